"""The weights of the model, read from their data file."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib.resources import files

from extract.log.parameters import Parameters


@lru_cache(maxsize=1)
def recording_parameters() -> Parameters:
    """The weights that are shipped with the package."""
    text = (files("extract.recording") / "parameters.toml").read_text(encoding="utf-8")
    return Parameters(tomllib.loads(text))
