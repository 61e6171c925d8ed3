"""The full-screen view in a terminal: draws the screen when something changed, and passes the keys on.

Rich draws it; it is a dependency already. A toolkit with key input would read the keys from standard input, where captions
come, so they are read from the terminal itself (``keys``).
"""

from __future__ import annotations

import time
from collections.abc import Callable

from rich.console import Console
from rich.live import Live

from extract.live.controls import Controls
from extract.live.keys import Keys
from extract.live.model import Shown
from extract.live.screen import screen

#: Seconds between two looks for keys, and between two drawings while only the clock runs.
_LOOK_S, _TICK_S = 0.1, 1.0


def watch(
    shown: Shown,
    console: Console,
    failed: Callable[[], bool],
    *,
    address: str = "",
) -> None:
    """Show the desk until a person quits, or until it ``failed``. The terminal is restored whatever happens. ``address`` is
    that of the page."""
    controls = Controls(shown)
    with (
        Keys() as keys,
        Live(console=console, screen=True, auto_refresh=False, redirect_stdout=False) as live,
    ):
        view = shown.view()
        came = drawn_at = time.monotonic()
        size = None
        while not controls.ended and not failed():
            pressed = list(keys.pressed())
            for key in pressed:
                controls.press(key, view)
            now = time.monotonic()
            if pressed or size != console.size or drawn_at <= came or now - drawn_at >= _TICK_S:
                size, drawn_at = console.size, now
                drawn = screen(view, controls, size.width, size.height, ran_on_s=now - came, address=address)
                live.update(drawn, refresh=True)
            new = shown.wait(view.revision, _LOOK_S)
            if new.revision != view.revision:
                view, came = new, time.monotonic()
