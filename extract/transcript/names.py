"""The words of ``names.toml``, loaded on first use."""

from __future__ import annotations

from functools import cache
from pathlib import Path


@cache
def names(table: str, key: str) -> frozenset[str]:
    """The words at ``key`` of ``[table]``."""
    return frozenset(_load()[table][key])


@cache
def _load() -> dict[str, dict[str, list[str]]]:
    import tomllib

    return tomllib.loads(Path(__file__).with_name("names.toml").read_text(encoding="utf-8"))
