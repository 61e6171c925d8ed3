"""The desk as a web application for this machine alone.

All addresses begin with a random token, so that no other program or page can guess one. A request with another host's
name, or from another page, is refused (DNS rebinding, cross-site requests).
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import ClientDisconnect
from starlette.requests import Request as WebRequest
from starlette.responses import (
    FileResponse,
    HTMLResponse,
    JSONResponse,
    PlainTextResponse,
    RedirectResponse,
    Response,
)
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from extract.decisions.make import Refused, Request
from extract.decisions.model import Do, What
from extract.desk.bout import DeskBout, DeskOptions, DeskState, Outdated, open_bout
from extract.desk.folder import listed
from extract.desk.view import desk_page, list_page, view_html
from extract.errors import InputError
from extract.record.decode import Mismatch, decode
from extract.report.page import TEMPLATES

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
#: No request is longer, in bytes.
_LONGEST = 65536


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


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What the page sends, without ``to``, which is checked together with its subject."""

    revision: int
    do: Do
    what: What | None = None
    ref: str | None = None
    cue: int | None = None
    text: str = ""


class Desk:
    """The bouts of a call. ``files`` are records by name. ``folder`` is true if a list of them is shown first."""

    def __init__(self, files: Mapping[str, Path], given: DeskOptions, *, folder: bool) -> None:
        self._files, self._given, self._folder = dict(files), given, folder
        self._open: dict[str, DeskBout] = {}
        self._lock = threading.Lock()

    def bout(self, name: str) -> DeskBout:
        """The bout of that name, opened when it is first asked for. Raises KeyError, InputError."""
        with self._lock:
            if name not in self._open:
                self._open[name] = open_bout(self._files[name], self._given)
            return self._open[name]

    def home(self, request: WebRequest) -> Response:
        if not self._folder:
            return RedirectResponse(f"{_base(request)}/bout/{quote(next(iter(self._files)), safe='')}")
        return HTMLResponse(list_page(listed(self._files), _base(request)))

    def page(self, request: WebRequest) -> Response:
        name = request.path_params["name"]
        try:
            bout = self.bout(name)
            return HTMLResponse(desk_page(bout, bout.state(), base=_base(request), listed=self._folder))
        except KeyError:
            return PlainTextResponse("there is no such bout", 404)
        except InputError as error:
            return PlainTextResponse(str(error), 409)

    def view(self, request: WebRequest) -> Response:
        """The bout as it now is, for a page that shows an older revision."""
        try:
            bout = self.bout(request.path_params["name"])
            state = bout.state()
        except KeyError:
            return _problem("there is no such bout", 404)
        except InputError as error:
            return _problem(str(error), 409)
        if request.query_params.get("revision") == str(state.revision):
            return Response(status_code=204)
        return _shown(bout, state)

    async def decide(self, request: WebRequest) -> Response:
        if request.headers.get("content-type", "").split(";")[0].strip() != "application/json":
            return _problem("a decision is sent as application/json", 415)
        body = b""
        too_long = _problem("that is too long for a decision", 413)
        if _is_too_long(request.headers.get("content-length", "")):
            return too_long
        try:
            async for part in request.stream():
                body += part
                if len(body) > _LONGEST:
                    return too_long
        except ClientDisconnect:
            # The page is gone, so there is nobody to answer.
            return Response(status_code=400)
        return await run_in_threadpool(self._decided, request.path_params["name"], body)

    def _decided(self, name: str, body: bytes) -> Response:
        try:
            tree = json.loads(body)
            # Half a surrogate pair is not a character and could not be shown again.
            json.dumps(tree, ensure_ascii=False).encode()
            wanted, revision = _wanted(tree)
        except (ValueError, RecursionError) as error:
            return _problem(f"Not kept: {error}.", 422)
        try:
            bout = self.bout(name)
        except KeyError:
            return _problem("there is no such bout", 404)
        except InputError as error:
            return _problem(f"Not kept: {error}", 409)
        try:
            state, message = bout.decide(wanted, revision)
        except Outdated:
            message = "Not saved: this bout was changed in another window. This is how it is now."
            return _shown(bout, bout.state(), message, 409)
        except Refused as error:
            return _problem(f"Not kept: {error}.", 422)
        except InputError as error:
            return _problem(f"Not kept: {error}", 507)
        return _shown(bout, state, f"{message}.")


def _wanted(tree: Any) -> tuple[Request, int]:
    """What the page asks for, and the revision that it shows. Raises Refused."""
    if not isinstance(tree, dict) or not isinstance(tree.get("to") or {}, dict):
        raise Refused("a decision is an object")
    try:
        wanted = decode(_Wanted, tree)
    except Mismatch as error:
        raise Refused(f"no such decision can be made ({error})") from None
    return Request(
        wanted.do, wanted.what, wanted.ref, tree.get("to") or {}, wanted.cue, wanted.text
    ), wanted.revision


def _is_too_long(length: str) -> bool:
    """Whether a request says that it is too long. Its number may have any number of digits."""
    digits = length.strip().lstrip("0")
    return digits.isdecimal() and (len(digits) > len(str(_LONGEST)) or int(digits) > _LONGEST)


def _shown(bout: DeskBout, state: DeskState, message: str = "", status: int = 200) -> Response:
    shown = {"revision": state.revision, "html": view_html(bout, state), "message": message}
    return JSONResponse(shown, status)


def _base(request: WebRequest) -> str:
    """The beginning of all addresses of the desk."""
    return str(request.scope["root_path"])


def _file(path: Path) -> Callable[[WebRequest], Response]:
    return lambda _: FileResponse(path)


def _problem(text: str, status: int) -> Response:
    return JSONResponse({"message": text}, status)


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


def desk_app(files: Mapping[str, Path], given: DeskOptions, token: str, *, folder: bool) -> ASGIApp:
    """The application for these records, all under ``/token/``."""
    desk = Desk(files, given, folder=folder)
    routes = [
        Route("/", desk.home),
        Route("/bout/{name}", desk.page),
        Route("/bout/{name}/view", desk.view),
        Route("/bout/{name}/decide", desk.decide, methods=["POST"]),
        # The style and the script that the desk shares with the report.
        *(Route(f"/static/{name}", _file(TEMPLATES / name)) for name in ("report.css", "report.js")),
        Mount("/static", StaticFiles(directory=_STATIC)),
    ]
    app = Starlette(
        routes=[Mount(f"/{token}", routes=routes)],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=["127.0.0.1", "localhost"], www_redirect=False),
            Middleware(_SameOrigin),
        ],
    )
    # Outside everything else, so that an answer about a fault of ours has them too.
    return _Headers(app)
