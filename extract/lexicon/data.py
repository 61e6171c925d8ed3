"""Finds and reads the word lists, TOML files kept beside the code."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from extract.errors import InputError

_INSTALLED = Path(__file__).parent / "data"
_CHECKOUT = Path(__file__).parents[2] / "lexicons"


def lexicon_path(name: str) -> Path:
    """Where the lexicon ``name`` (without ``.toml``) lies: in the installed package, or else in the checkout.

    Raises InputError when there is none.
    """
    for folder in (_INSTALLED, _CHECKOUT):
        path = folder / f"{name}.toml"
        if path.is_file():
            return path
    raise InputError(_CHECKOUT / f"{name}.toml", "no such lexicon", "reinstall the package")


@cache
def load_toml(name: str) -> dict[str, object]:
    """The content of the lexicon ``name``, read once. Treat it as read only.

    Raises InputError, naming the line where possible, when the file is missing or no valid TOML.
    """
    path = lexicon_path(name)
    try:
        return tomllib.loads(path.read_text("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(path, f"not valid TOML ({error})", "mend the file") from error
