"""What people call the styles."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path


def style_name(rules: str) -> str:
    """A ruleset as people call it; its own name with a capital where they have no other.

    >>> style_name("greco")
    'Greco-Roman'
    """
    return _names().get(rules, rules.replace("_", " ").capitalize())


@cache
def _names() -> Mapping[str, str]:
    return tomllib.loads(Path(__file__).with_name("styles.toml").read_text("utf-8"))
