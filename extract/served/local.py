"""A web application for this machine alone.

All addresses begin with a random token, so that no other program or page can guess one. A request with another host's
name, or from another page, is refused (DNS rebinding, cross-site requests).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Message, Receive, Scope, Send

_STATIC = Path(__file__).with_name("static")
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; media-src blob:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


def local_app(
    routes: Sequence[BaseRoute], token: str, *, static: Path, shared: Sequence[Path] = ()
) -> ASGIApp:
    """The application of these routes, all under ``/token/``. ``/static/`` has the files of the folder ``static``, those
    that all such pages share, and the files ``shared``."""
    files = [
        *(Route(f"/static/{path.name}", _file(path)) for path in shared),
        Mount("/static", _Folders(static, _STATIC)),
    ]
    app = Starlette(
        routes=[Mount(f"/{token}", routes=[*routes, *files])],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=["127.0.0.1", "localhost"], www_redirect=False),
            Middleware(_SameOrigin),
        ],
    )
    # Outside everything else, so that an answer about a fault of ours has them too.
    return _Headers(app)


def base_of(request: Request) -> str:
    """The beginning of all addresses of the application."""
    return str(request.scope["root_path"])


def problem(text: str, status: int) -> Response:
    """An answer that says why something was not done."""
    return JSONResponse({"message": text}, status)


class _Headers:
    """Puts the same headers on every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                fixed = [(name.encode(), value.encode()) for name, value in _HEADERS.items()]
                message["headers"] = [*message["headers"], *fixed]
            await send(message)

        await self._app(scope, receive, guarded)


class _SameOrigin:
    """Refuses a request that another page has made."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            headers = {name: value.decode("latin-1") for name, value in scope["headers"]}
            origin = headers.get(b"origin")
            elsewhere = headers.get(b"sec-fetch-site") in ("cross-site", "same-site")
            if elsewhere or origin not in (None, f"http://{headers.get(b'host', '')}"):
                await PlainTextResponse("not from another page", 403)(scope, receive, send)
                return
        await self._app(scope, receive, send)


class _Folders(StaticFiles):
    """The files of several folders; those of the first come first."""

    def __init__(self, *folders: Path) -> None:
        super().__init__(directory=folders[0])
        self.all_directories = list(folders)


def _file(path: Path) -> Callable[[Request], Response]:
    return lambda _: FileResponse(path)
