"""Where a path really leads."""

from __future__ import annotations

import os
from pathlib import Path


def real(path: Path) -> Path:
    """The path with its links followed as far as they lead; a loop of links leads nowhere and stays as it is written,
    where ``Path.resolve`` would raise."""
    return Path(os.path.realpath(path))
