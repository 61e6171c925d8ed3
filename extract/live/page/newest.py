"""The newest view for many readers: one thread waits for it, however many look, and nothing is kept for who is slow."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

from starlette.concurrency import run_in_threadpool

from extract.live.model import LiveFlag, Shown, View

#: One look waits no longer for a change, seconds: so soon its thread is free when nobody reads any more.
_LOOK_S = 0.5


class Newest:
    """The newest view of a desk, for the tasks of one event loop."""

    def __init__(self, shown: Shown) -> None:
        self._shown = shown
        self._view: View | None = None
        self._look: asyncio.Task[View] | None = None
        #: How many follow now.
        self.readers = 0

    async def follow(self, known: int | None, beat_s: float, gap_s: float) -> AsyncIterator[View | None]:
        """The view whenever it is another than that of revision ``known`` (None: at once). None after each ``beat_s``
        seconds without a change. No two views come within ``gap_s`` seconds: what changes between is passed over. An error
        of the desk comes out here, so that a page never looks live beside a desk that is not."""
        self.readers += 1
        try:
            self._take(await run_in_threadpool(self._shown.view))
            while True:
                view = await self._after(known, beat_s)
                if view.revision == known:
                    yield None
                else:
                    known = view.revision
                    yield view
                    await asyncio.sleep(gap_s)
        finally:
            self.readers -= 1

    async def _after(self, known: int | None, beat_s: float) -> View:
        """The newest view, waited for as long as it is the known one, but no longer than a beat."""
        loop = asyncio.get_running_loop()
        end = loop.time() + beat_s
        while True:
            assert self._view is not None
            if self._view.revision != known or loop.time() >= end:
                return self._view
            if self._look is None or self._look.done():
                waited = run_in_threadpool(self._shown.wait, self._view.revision, min(beat_s, _LOOK_S))
                self._look = asyncio.create_task(waited)
            look = self._look
            # All readers wait for the same look; the one of them that leaves does not take it away from the others.
            await asyncio.wait((look,))
            self._take(look.result())

    def _take(self, view: View) -> None:
        if self._view is None or view.revision > self._view.revision:
            self._view = view


class Claims:
    """Since which revision each flag has said what it says, so that no answer is taken that was meant for other words."""

    def __init__(self) -> None:
        self._since: dict[str, tuple[tuple[str, str], int]] = {}

    def take(self, view: View) -> None:
        """Note what the flags of a view say."""
        before, self._since = self._since, {}
        for flag in view.flags:
            claim = (flag.said, flag.should_be)
            known = before.get(flag.id)
            kept = known is not None and known[0] == claim
            self._since[flag.id] = known if known is not None and kept else (claim, view.revision)

    def is_other_since(self, flag: LiveFlag, revision: int) -> bool:
        """Whether the flag said something else at that revision."""
        known = self._since.get(flag.id)
        return known is not None and revision < known[1]
