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


def tell(
    shown: Shown,
    write: Callable[[Sequence[Change], View], None],
    told: Told,
    done: Callable[[], bool],
    clock: Callable[[], float] = time.monotonic,
) -> View:
    """Give ``write`` what there is to tell, view after view, until the desk is ``done``. The last view.

    A slow reader hears what is so when it is ready again, and that it was slow."""
    before: View | None = None
    revision, late = -1, 0.0
    while True:
        # Asked before the view is taken, so that the last one is not missed.
        finished = done()
        view = shown.wait(revision, _LOOK_S)
        if view.revision == revision:
            if finished:
                return view
            continue
        revision = view.revision
        if before is None and view.t < told.until and view.state != "ended":
            # What was told before a restart is being read again.
            continue
        new = list(changes(before, view, told.ids))
        if late > SLOW_S and new:
            new.insert(0, _late(late, view.t))
        began = clock()
        write(new, view)
        late = clock() - began
        told.keep(new)
        before = view


def _late(seconds: float, now: float) -> NoticeTold:
    text = f"the reader of these lines was {seconds:.0f} s late; they go on with what is so now"
    return NoticeTold(f"notice late|{now:.1f}", now, now, None, Notice(0, now, "skipped", text))
