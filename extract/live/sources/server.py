"""A server on this machine: a response that goes on (chunked), or server-sent events."""

from __future__ import annotations

import contextlib
import http.client
import ipaddress
import queue
import socket
import threading
from urllib.parse import urlsplit

from extract.errors import InputError
from extract.live.sources.events import Events
from extract.live.sources.model import News

#: A lost connection is made again after this many seconds, then after twice as many each time, up to the most.
RETRY_S, _MOST_RETRY_S = 0.5, 8.0
_CONNECT_S = 10.0
_MOST = 65_536
#: The most pieces that wait to be read; the server has to wait then.
_WAITING = 64
_LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})
_REMEDY = "give the address of a server on this machine, as http://127.0.0.1:8000/captions"

_Item = bytes | News | None


class ServerSource:
    """The body of the response at ``url``. A lost connection is made again: with Last-Event-ID for server-sent events, and
    from the beginning otherwise. Raises InputError if the address is not on this machine or nobody answers there."""

    def __init__(self, url: str, *, retry_s: float = RETRY_S) -> None:
        self.name = url
        self._retry_s = retry_s
        self._host, self._port, self._path = _parts(url)
        self._events = Events()
        self._items: queue.Queue[_Item] = queue.Queue(_WAITING)
        self._news: list[News] = []
        self._over = threading.Event()
        self._ended = False
        self._connection: http.client.HTTPConnection | None = None
        response = self._ask(first=True)
        assert response is not None
        threading.Thread(target=self._run, args=(response,), name="captions", daemon=True).start()

    def read(self, timeout_s: float) -> bytes | None:
        if self._ended or self._over.is_set():
            return None
        try:
            item = self._items.get(timeout=max(timeout_s, 0.001))
        except queue.Empty:
            return b""
        if isinstance(item, News):
            self._news.append(item)
            return b""
        self._ended = item is None
        return item

    def news(self) -> list[News]:
        told, self._news = self._news, []
        return told

    def close(self) -> None:
        self._over.set()
        self._hang_up()

    def _run(self, response: http.client.HTTPResponse) -> None:
        """Read responses until the stream is over or this is closed."""
        try:
            while not self._body(response) and not self._over.is_set():
                again = self._again()
                if again is None:
                    break
                response = again
        finally:
            self._hang_up()
            self._put(None)

    def _body(self, response: http.client.HTTPResponse) -> bool:
        """Pass on the body of a response. Whether the stream is over, and not only the connection lost."""
        events = (response.getheader("content-type") or "").startswith("text/event-stream")
        while not self._over.is_set():
            try:
                data = response.read1(_MOST)
            except (OSError, ValueError, AttributeError, http.client.HTTPException):
                return False
            if not data:
                # The standard has it that a server that ends its events is asked again.
                return not events and not response.length
            data = self._events.take(data) if events else data
            if data:
                self._put(data)
        return True

    def _again(self) -> http.client.HTTPResponse | None:
        """The response to asking again, however long it takes. None if there is nothing more."""
        self._put(News("stalled", f"The connection to {self.name} was lost; it is tried again."))
        wait_s = self._retry_s
        while not self._over.wait(max(wait_s, self._events.retry_s or 0.0)):
            try:
                response = self._ask()
            except InputError as error:
                self._put(News("broken", f"{error}."))
                return None
            if response is not None:
                if response.status == 204:
                    return None
                self._events.anew()
                self._put(News("resumed", f"The connection to {self.name} was made again.", anew=True))
                return response
            wait_s = min(2 * wait_s, _MOST_RETRY_S)
        return None

    def _ask(self, *, first: bool = False) -> http.client.HTTPResponse | None:
        """The response of the server. None if nobody answers and this is not the ``first`` time. Raises InputError for an
        answer that is no stream."""
        self._hang_up()
        connection = http.client.HTTPConnection(self._host, self._port, timeout=_CONNECT_S)
        headers: dict[str, str | bytes] = {
            "Accept": "text/event-stream, */*;q=0.5",
            "Cache-Control": "no-store",
        }
        if self._events.last_id:
            headers["Last-Event-ID"] = self._events.last_id
        try:
            connection.connect()
            if not ipaddress.ip_address(connection.sock.getpeername()[0]).is_loopback:
                raise InputError(self.name, "is not on this machine", _REMEDY)
            connection.request("GET", self._path, headers=headers)
            response = connection.getresponse()
            # Nobody may speak for a long time.
            connection.sock.settimeout(None)
        except (OSError, http.client.HTTPException) as error:
            connection.close()
            if not first:
                return None
            reason = getattr(error, "strerror", None) or type(error).__name__
            raise InputError(
                self.name, f"nobody answers there ({reason})", "start the server first"
            ) from None
        except InputError:
            connection.close()
            raise
        if response.status not in (200, 204) or (first and response.status == 204):
            connection.close()
            problem = f"the server answers {response.status} {response.reason}"
            raise InputError(self.name, problem, "give the address of a stream of captions")
        self._connection = connection
        return response

    def _put(self, item: _Item) -> None:
        while not self._over.is_set():
            try:
                self._items.put(item, timeout=0.2)
            except queue.Full:
                continue
            return

    def _hang_up(self) -> None:
        connection, self._connection = self._connection, None
        if connection is not None and connection.sock is not None:
            with contextlib.suppress(OSError):
                # A read that waits in the other thread returns.
                connection.sock.shutdown(socket.SHUT_RDWR)
            connection.close()


def _parts(url: str) -> tuple[str, int, str]:
    """Host, port and path of an address on this machine."""
    try:
        parts = urlsplit(url)
        host, port = parts.hostname, parts.port
    except ValueError:
        raise InputError(url, "is no address", _REMEDY) from None
    if parts.scheme != "http":
        raise InputError(url, "is no http address", _REMEDY)
    if host not in _LOOPBACK or parts.username is not None:
        raise InputError(url, "is not on this machine, and saidscore works offline", _REMEDY)
    path = parts.path or "/"
    return host, port or 80, f"{path}?{parts.query}" if parts.query else path
