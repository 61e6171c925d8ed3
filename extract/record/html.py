"""How a template becomes a page: whatever a transcript may hold stands in it as text."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment


@lru_cache(maxsize=4)
def templates_of(*folders: Path) -> Environment:
    """The templates in some folders, those of the first going before, with escaping always on and nothing undefined
    passed over."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
