"""The words of ``names.toml``, loaded on first use."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import cast


@cache
def names(table: str, key: str) -> frozenset[str]:
    """The words at ``key`` of ``[table]``."""
    return frozenset(listed(table, key))


@cache
def listed(table: str, key: str) -> tuple[str, ...]:
    """The words at ``key`` of ``[table]``, in order."""
    return tuple(_load()[table][key])


@cache
def wording(table: str, key: str) -> str:
    """The text at ``key`` of ``[table]``."""
    return cast(str, _load()[table][key])


@cache
def _load() -> dict[str, dict[str, list[str] | str]]:
    import tomllib

    return tomllib.loads(Path(__file__).with_name("names.toml").read_text(encoding="utf-8"))
