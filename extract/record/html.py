"""How a template becomes a page. Everything from a transcript is escaped."""

from __future__ import annotations

import base64
import hashlib
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment


def script_hash(script: str) -> str:
    """The SHA-256 of a page's script, as its Content-Security-Policy names it."""
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()


@lru_cache(maxsize=4)
def templates_of(*folders: Path) -> Environment:
    """The templates in some folders; those of the first folder come first. Escaping is always on, and an undefined
    name is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
