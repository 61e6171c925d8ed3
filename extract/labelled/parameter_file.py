"""Writes fitted parameters as the TOML file that ``--parameters`` takes."""

from __future__ import annotations

from pathlib import Path

from extract.errors import InputError
from extract.log.parameters import Parameters
from extract.paths import write_whole


def write_parameters(parameters: Parameters, path: str | Path) -> None:
    """Write the tables to ``path``, whole or not at all. Raises InputError if it cannot be written or tomli-w is not
    installed."""
    try:
        import tomli_w
    except ImportError:
        raise InputError(
            "saidscore fit", "tomli-w is not installed", "pip install 'saidscore[fit]'"
        ) from None
    write_whole(Path(path), tomli_w.dumps(parameters.tables).encode())
