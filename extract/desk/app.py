"""The desk as a web application for this machine alone."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request as WebRequest
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from extract.decisions.make import Refused, Request
from extract.decisions.model import Do, What
from extract.desk.bout import DeskBout, DeskOptions, DeskState, Outdated, open_bout
from extract.desk.folder import listed
from extract.desk.view import desk_page, list_page, view_html
from extract.errors import InputError
from extract.record.decode import Mismatch, decode
from extract.report.page import TEMPLATES
from extract.served import Unusable, base_of, json_of, local_app, problem

_STATIC = Path(__file__).with_name("static")


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
            return RedirectResponse(f"{base_of(request)}/bout/{quote(next(iter(self._files)), safe='')}")
        return HTMLResponse(list_page(listed(self._files), base_of(request)))

    def page(self, request: WebRequest) -> Response:
        name = request.path_params["name"]
        try:
            bout = self.bout(name)
            return HTMLResponse(desk_page(bout, bout.state(), base=base_of(request), listed=self._folder))
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
            return problem("there is no such bout", 404)
        except InputError as error:
            return problem(str(error), 409)
        if request.query_params.get("revision") == str(state.revision):
            return Response(status_code=204)
        return _shown(bout, state)

    async def decide(self, request: WebRequest) -> Response:
        try:
            tree = await json_of(request, "a decision")
        except Unusable as error:
            return problem(str(error), error.status)
        return await run_in_threadpool(self._decided, request.path_params["name"], tree)

    def _decided(self, name: str, tree: Any) -> Response:
        try:
            wanted, revision = _wanted(tree)
        except Refused as error:
            return problem(f"Not kept: {error}.", 422)
        try:
            bout = self.bout(name)
        except KeyError:
            return problem("there is no such bout", 404)
        except InputError as error:
            return problem(f"Not kept: {error}", 409)
        try:
            state, message = bout.decide(wanted, revision)
        except Outdated:
            message = "Not saved: this bout was changed in another window. This is how it is now."
            return _shown(bout, bout.state(), message, 409)
        except Refused as error:
            return problem(f"Not kept: {error}.", 422)
        except InputError as error:
            return problem(f"Not kept: {error}", 507)
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


def _shown(bout: DeskBout, state: DeskState, message: str = "", status: int = 200) -> Response:
    shown = {"revision": state.revision, "html": view_html(bout, state), "message": message}
    return JSONResponse(shown, status)


def desk_app(files: Mapping[str, Path], given: DeskOptions, token: str, *, folder: bool) -> ASGIApp:
    """The application for these records, all under ``/token/``."""
    desk = Desk(files, given, folder=folder)
    routes = [
        Route("/", desk.home),
        Route("/bout/{name}", desk.page),
        Route("/bout/{name}/view", desk.view),
        Route("/bout/{name}/decide", desk.decide, methods=["POST"]),
    ]
    # The style and the script that the desk shares with the report.
    shared = [TEMPLATES / name for name in ("report.css", "report.js")]
    return local_app(routes, token, static=_STATIC, shared=shared)
