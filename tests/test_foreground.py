"""What tests start for Ctrl-C is open to it, even if the tests themselves run in the background."""

from __future__ import annotations

import signal
import subprocess
import sys

import pytest

from tests.foreground import foreground

ASKS = [
    sys.executable,
    "-c",
    "import signal; print(signal.getsignal(signal.SIGINT) is signal.default_int_handler)",
]


@pytest.mark.parametrize(("command", "open_to_it"), [(ASKS, "False"), (foreground(ASKS), "True")])
def test_an_interrupt_reaches_what_the_background_has_started(command: list[str], open_to_it: str) -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    finally:
        signal.signal(signal.SIGINT, before)
    assert done.stdout.strip() == open_to_it
