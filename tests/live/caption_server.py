"""A server on this machine that sends captions, as one response that goes on or as events, and drops connections."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass(slots=True)
class Asked:
    """What a client asked for, request by request: the path and the last event's id."""

    requests: list[tuple[str, str | None]] = field(default_factory=list)


@contextmanager
def captions_served(
    pieces: Sequence[bytes],
    *,
    events: bool = False,
    drop_after: Sequence[int] = (),
    wait_s: float = 0.0,
    status: int = 200,
) -> Iterator[tuple[str, Asked]]:
    """Serve the pieces. The n-th connection is dropped after ``drop_after[n]`` pieces, within the next one. ``wait_s``
    passes before each piece. Events go on after the last one that the client names; another response begins again. When
    all events were sent, the answer is 204. Gives the address and what was asked."""
    asked = Asked()
    over = threading.Event()

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            named = self.headers.get("Last-Event-ID")
            asked.requests.append((self.path, named))
            first = int(named) if events and named else 0
            done = events and first >= len(pieces)
            self.send_response(204 if done else status)
            self.send_header("Content-Type", "text/event-stream" if events else "text/vtt")
            if done or status != 200:
                self.send_header("Content-Length", "0")
                self.end_headers()
                return
            self.send_header("Transfer-Encoding", "chunked")
            self.end_headers()
            turn = len(asked.requests) - 1
            stop = drop_after[turn] if turn < len(drop_after) else None
            for n, piece in enumerate(pieces[first:], first):
                if over.wait(wait_s):
                    return
                data = event(n + 1, piece) if events else piece
                if stop is not None and n >= first + stop:
                    self.chunk(data[: len(data) // 2])
                    self.close_connection = True
                    return
                self.chunk(data)
            self.wfile.write(b"0\r\n\r\n")

        def chunk(self, data: bytes) -> None:
            self.wfile.write(f"{len(data):x}\r\n".encode() + data + b"\r\n")
            self.wfile.flush()

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}/captions?bout=1", asked
    finally:
        over.set()
        server.shutdown()
        server.server_close()


def event(number: int, piece: bytes) -> bytes:
    """A piece of a stream as an event."""
    lines = piece.decode().rstrip("\n").split("\n")
    return (
        f": hello\nid: {number}\nretry: 10\n".encode()
        + b"".join(b"data: %s\n" % x.encode() for x in lines)
        + b"\n"
    )
