"""Writes fitted parameters as the TOML file that ``--parameters`` takes."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from extract.errors import InputError
from extract.log.parameters import Parameters


def write_parameters(parameters: Parameters, path: str | Path) -> None:
    """Write the tables to ``path``, whole or not at all. Raises InputError where it cannot be written or tomli-w is
    not installed."""
    try:
        import tomli_w
    except ImportError:
        raise InputError(
            "saidscore fit", "tomli-w is not installed", "pip install 'saidscore[fit]'"
        ) from None
    path = Path(path)
    content = tomli_w.dumps(parameters.tables)
    draft = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        draft.write_text(content, encoding="utf-8", newline="\n")
        os.replace(draft, path)
    except OSError as error:
        problem = f"cannot be written ({error.strerror})"
        raise InputError(path, problem, "name a file in a folder that can be written") from None
    finally:
        with contextlib.suppress(OSError):
            draft.unlink()
