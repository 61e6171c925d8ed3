"""The page of the live desk as a web application for this machine alone, fed by server-sent events."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp

from extract.decisions.make import Refused
from extract.live.model import Answer, Shown, View
from extract.live.page.newest import Claims, Newest
from extract.live.page.show import live_page, moment_text, view_html
from extract.record.decode import Mismatch, decode
from extract.record.plain import printable
from extract.report.page import TEMPLATES
from extract.served import Unusable, base_of, json_of, local_app, problem
from extract.transcript.times import any_seconds

_STATIC = Path(__file__).with_name("static")
#: A page hears at least so often that the desk is there, seconds.
BEAT_S = 4.0
#: Two views are no closer together, seconds: nobody reads faster.
GAP_S = 0.1
#: After so many milliseconds a page tries again to connect.
_RETRY_MS = 1000
#: No side has more points.
_MOST = 99


@dataclass(frozen=True, slots=True)
class _Answered:
    """What the page sends when a flag is answered: the flag, the answer, and the revision of the view that was seen."""

    flag: str
    answer: Answer
    revision: int


@dataclass(frozen=True, slots=True)
class _Corrected:
    """What the page sends when the score is corrected."""

    red: int
    blue: int


class LivePage:
    """The page of a live desk. A page hears that the desk is there every ``beat_s`` seconds."""

    def __init__(self, shown: Shown, beat_s: float = BEAT_S) -> None:
        self._shown, self._beat_s = shown, beat_s
        self._claims = Claims()
        self.newest = Newest(shown)

    def page(self, request: Request) -> Response:
        view = self._shown.view()
        self._claims.take(view)
        return HTMLResponse(live_page(view, base=base_of(request), lost_after_s=3 * self._beat_s))

    async def events(self, request: Request) -> Response:
        """The view whenever it changes. A page that was away and has the newest view gets only what comes after it."""
        known = request.headers.get("last-event-id", "")
        return StreamingResponse(
            self._told(int(known) if known.isascii() and known.isdecimal() and len(known) < 16 else None),
            media_type="text/event-stream",
        )

    async def _told(self, known: int | None) -> AsyncIterator[str]:
        yield f"retry: {_RETRY_MS}\n\n"
        async for view in self.newest.follow(known, self._beat_s, GAP_S):
            # A comment would keep the connection open, too, but a page's script hears only events.
            yield "event: beat\ndata:\n\n" if view is None else await run_in_threadpool(self._event, view)

    def _event(self, view: View) -> str:
        self._claims.take(view)
        shown = {"revision": view.revision, "html": view_html(view)}
        return f"id: {view.revision}\nevent: view\ndata: {json.dumps(shown)}\n\n"

    async def answer(self, request: Request) -> Response:
        return await self._done(request, self._answered)

    async def correct(self, request: Request) -> Response:
        return await self._done(request, self._corrected)

    async def undo(self, request: Request) -> Response:
        return await self._done(request, lambda _: self._shown.undo())

    async def _done(self, request: Request, do: Callable[[Any], str]) -> Response:
        """What was kept, as a sentence, or why nothing was."""
        try:
            tree = await json_of(request, "an answer")
            said = await run_in_threadpool(do, tree)
        except Unusable as error:
            return problem(str(error), error.status)
        except (Refused, Mismatch) as error:
            return problem(f"Not kept: {printable(str(error))}.", 422)
        return JSONResponse({"message": printable(said)})

    def _answered(self, tree: Any) -> str:
        given = decode(_Answered, tree)
        view = self._shown.view()
        self._claims.take(view)
        flag = next((each for each in view.flags if each.id == given.flag), None)
        if flag is None:
            raise Refused("that flag is not of the running bout")
        if flag.state == "withdrawn":
            raise Refused("that flag was withdrawn meanwhile")
        if flag.state == "answered":
            raise Refused("that flag was answered meanwhile")
        if self._claims.is_other_since(flag, given.revision):
            raise Refused("the flag says something else now: look at it, then answer again")
        return self._shown.answer(given.flag, given.answer)

    def _corrected(self, tree: Any) -> str:
        given = decode(_Corrected, tree)
        if not (0 <= given.red <= _MOST and 0 <= given.blue <= _MOST):
            raise Refused(f"a score is two numbers from 0 to {_MOST}")
        return self._shown.correct((given.red, given.blue))

    def at(self, request: Request) -> Response:
        """The score at a moment of the recording."""
        wanted = request.query_params.get("t", "")
        t = any_seconds(wanted)
        if t is None:
            return problem("Write the time as 5:40.", 422)
        board = self._shown.at(t)
        if board is None:
            return problem(f"The running bout has nothing at {printable(wanted)}.", 422)
        return JSONResponse({"message": moment_text(board), "score": board.score})


def live_app(shown: Shown, token: str, *, beat_s: float = BEAT_S) -> ASGIApp:
    """The page of a live desk, all under ``/token/``. See ``LivePage``."""
    page = LivePage(shown, beat_s)
    routes = [
        Route("/", page.page),
        Route("/events", page.events),
        Route("/answer", page.answer, methods=["POST"]),
        Route("/correct", page.correct, methods=["POST"]),
        Route("/undo", page.undo, methods=["POST"]),
        Route("/at", page.at),
    ]
    return local_app(routes, token, static=_STATIC, shared=[TEMPLATES / "report.css"])
