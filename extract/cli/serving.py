"""Serving a page to this machine alone: the options, the port, the address, the server."""

from __future__ import annotations

import contextlib
import getpass
import socket
import threading
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from extract.errors import InputError

if TYPE_CHECKING:
    import uvicorn
    from starlette.types import ASGIApp

_HOST = "127.0.0.1"
#: Seconds that a server gets to come to its end.
_END_S = 5.0

ByOption = Annotated[
    str | None,
    typer.Option("--by", metavar="NAME", help="Who corrects; else the name you are logged in as."),
]
PortOption = Annotated[
    int,
    typer.Option("--port", metavar="N", min=0, max=65535, help="Port on this machine; 0: any that is free."),
]
NoBrowserOption = Annotated[bool, typer.Option("--no-browser", help="Print the address and open no browser.")]


def who(by: str | None) -> str:
    """Who decides. Raises InputError if that is not known."""
    if by is not None and not by.strip():
        raise InputError("--by", "the name is empty", "give the name, or leave the option out")
    try:
        return by.strip() if by is not None else getpass.getuser()
    except (OSError, KeyError):
        raise InputError("--by", "who decides is not known here", "give a name with --by") from None


def listening(port: int) -> socket.socket:
    """A socket that listens on a port of this machine. Raises InputError."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((_HOST, port))
    except OSError as error:
        listener.close()
        raise InputError(
            "--port", f"{port} cannot be used ({error.strerror})", "give another, or 0 for any"
        ) from None
    listener.listen(64)
    return listener


def address_of(listener: socket.socket, token: str) -> str:
    """The address of a page whose path begins with a token."""
    return f"http://{_HOST}:{listener.getsockname()[1]}/{token}/"


def server(app: ASGIApp, *, end_s: int | None = None) -> uvicorn.Server:
    """The server of a page. It prints errors alone, and nothing at all where what is not done after ``end_s`` seconds is
    broken off in the end."""
    import uvicorn

    config = uvicorn.Config(
        app, log_level="error" if end_s is None else "critical", access_log=False, lifespan="off",
        server_header=False, timeout_graceful_shutdown=end_s,
    )  # fmt: skip
    return uvicorn.Server(config)


@contextlib.contextmanager
def served(app: ASGIApp, listener: socket.socket) -> Iterator[None]:
    """Serve a page in a thread while something else is done."""
    # A stream of events to a page that stays open would keep the server for ever.
    running = server(app, end_s=1)
    thread = threading.Thread(target=running.run, args=([listener],), daemon=True, name="page")
    thread.start()
    try:
        yield
    finally:
        running.should_exit = True
        thread.join(_END_S)


def open_browser(address: str) -> None:
    """Open a page in the browser, if there is one."""
    import webbrowser

    with contextlib.suppress(webbrowser.Error):
        webbrowser.open(address)
