"""Commands to start as if from a terminal.

What a script starts in the background ignores Ctrl-C (POSIX.1-2017, Shell Command Language, section 2.11), as does all
that it starts: the tests themselves, and what they want to interrupt.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

_LAUNCHER = "import os, signal, sys; signal.signal(signal.SIGINT, signal.SIG_DFL); os.execv(sys.argv[1], sys.argv[1:])"


def foreground(command: Sequence[str]) -> list[str]:
    """The command, started so that Ctrl-C ends it. Its first word is the path of a program."""
    return [sys.executable, "-S", "-c", _LAUNCHER, *command]
