"""The numbers of ``order.toml``, loaded on first use."""

from __future__ import annotations

from functools import cache
from pathlib import Path


def order_number(table: str, key: str) -> float:
    """The number at ``key`` of ``[table]``."""
    return float(_load()[table][key])


@cache
def _load() -> dict[str, dict[str, float]]:
    import tomllib

    return tomllib.loads(Path(__file__).with_name("order.toml").read_text(encoding="utf-8"))
