"""Telling what changes, one thing after another, to whatever reads lines."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from extract.live.changes import Change, NoticeTold, changes
from extract.live.model import Notice, Shown, View
from extract.live.told import Told

#: Seconds between two looks at whether the desk is done.
_LOOK_S = 0.25
#: A reader that takes longer than so many seconds for what it is given misses what came and went meanwhile.
SLOW_S = 2.0


class Teller:
    """Gives ``write`` what there is to tell, view after view. ``told`` keeps it. ``clock`` gives seconds that only rise.

    A slow reader hears what is so when it is ready again, and that it was slow."""

    def __init__(
        self,
        write: Callable[[Sequence[Change], View], None],
        told: Told,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._write, self._told, self._clock = write, told, clock
        self._before: View | None = None
        self._late = 0.0

    def take(self, view: View) -> None:
        """Tell what is new in a view."""
        if self._before is None and view.t < self._told.until and view.state != "ended":
            # What was told before a restart is being read again.
            return
        new = list(changes(self._before, view, self._told.ids))
        skipped = self._before is not None and view.revision > self._before.revision + 1
        if skipped and self._late > SLOW_S and new:
            new.insert(0, _late(self._late, view.t))
        began = self._clock()
        self._write(new, view)
        self._late = self._clock() - began
        self._told.keep(new)
        self._before = view


def tell(shown: Shown, teller: Teller, done: Callable[[], bool]) -> None:
    """Tell what there is to see of the desk until it is ``done``: each time what is so then."""
    revision = -1
    while True:
        # Asked before the view is taken, so that the last one is not missed.
        finished = done()
        view = shown.wait(revision, _LOOK_S)
        if view.revision != revision:
            revision = view.revision
            teller.take(view)
        elif finished:
            return


def _late(seconds: float, now: float) -> NoticeTold:
    text = f"the reader of these lines was {seconds:.0f} s late; they go on with what is so now"
    return NoticeTold(f"notice late|{now:.1f}", now, now, None, Notice(0, now, "skipped", text))
