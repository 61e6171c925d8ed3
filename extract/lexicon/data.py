"""Finds and reads the lexicon files, TOML kept beside the code or written by the user."""

from __future__ import annotations

import hashlib
import os
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from extract.errors import InputError
from extract.transcript.decode import SourceText, read_bytes
from extract.transcript.toml_text import parse_toml

_INSTALLED = Path(__file__).parent / "data"
_CHECKOUT = Path(__file__).parents[2] / "lexicons"
#: Folders of the shipped lexicons.
FOLDERS = ("styles", "talk", "registers", "phrases")
#: Largest lexicon file that is read, bytes; all shipped ones together have a quarter of it.
_LIMIT = 1024 * 1024


def lexicon_path(name: str) -> Path:
    """Where the lexicon ``name`` (folder and file without ``.toml``, as ``talk/clock``) lies: in the installed
    package, or else in the checkout.

    Raises InputError when there is none.
    """
    for base in (_INSTALLED, _CHECKOUT):
        path = base / f"{name}.toml"
        if path.is_file():
            return path
    raise InputError(_CHECKOUT / f"{name}.toml", "no such lexicon", "reinstall the package")


def lexicon_names(folder: str) -> tuple[str, ...]:
    """The names of the shipped lexicons in a folder, in alphabetical order."""
    bases = (base / folder for base in (_INSTALLED, _CHECKOUT))
    base = next((base for base in bases if base.is_dir()), None)
    if base is None:
        raise InputError(_CHECKOUT / folder, "no such folder of lexicons", "reinstall the package")
    return tuple(f"{folder}/{path.stem}" for path in sorted(base.glob("*.toml")))


def read_lexicon(path: str | Path) -> SourceText:
    """The text of a lexicon file. Raises InputError where it cannot be read, is too large or is not UTF-8."""
    if os.path.exists(path) and not (os.path.isfile(path) or os.path.isdir(path)):
        # It is read once for the checks and again for each bout; a pipe would be empty by then.
        raise InputError(path, "is no plain file", "save the words in a file, and give its path")
    data = read_bytes(path, _LIMIT, "write less of it, or cut it into several files")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(path, "a byte that is no UTF-8 text", "save it again as UTF-8", line) from None
    return SourceText(str(path), Path(path).name, text, hashlib.sha256(data).hexdigest())


@lru_cache(maxsize=64)
def tables_of(source: SourceText) -> dict[str, Any]:
    """The tables of a lexicon file. Treat them as read only. Raises InputError where it is no TOML."""
    return parse_toml(source.file, source.text)


@cache
def load_toml(name: str) -> dict[str, Any]:
    """The tables of the shipped lexicon ``name``, read once. Treat them as read only.

    Raises InputError when the file is missing or no valid TOML.
    """
    return tables_of(read_lexicon(lexicon_path(name)))


@cache
def shipped_texts() -> tuple[tuple[str, bytes], ...]:
    """Every shipped lexicon file by its name (``talk/clock``), as bytes; read once. A hash of the lexicon is over it."""
    names = (name for folder in FOLDERS for name in lexicon_names(folder))
    return tuple((name, read_lexicon(lexicon_path(name)).text.encode()) for name in names)
