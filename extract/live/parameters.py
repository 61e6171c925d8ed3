"""The numbers of the live desk, read from their data file."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib.resources import files

from extract.log.parameters import Parameters


@lru_cache(maxsize=1)
def live_parameters() -> Parameters:
    """The numbers that are shipped with the package."""
    text = (files("extract.live") / "parameters.toml").read_text(encoding="utf-8")
    return Parameters(tomllib.loads(text))
