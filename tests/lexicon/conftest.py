"""Lexicons to test with: a copy of the shipped ones that may be changed, and files of a user's own."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from extract.errors import InputError
from extract.lexicon import Lexicon, data, load, styles
from extract.lexicon.entries import FileEntry
from extract.mentions import lexicon_check

#: Puts a text in place of the lexicon file named, as ``talk/calls``; gives its path.
Put = Callable[[str, str], Path]
#: Writes a lexicon of the user's own; gives its path.
Own = Callable[..., Path]


def _forget() -> None:
    for cached in (
        data.load_toml, data.shipped_texts, styles.load_styles, load.shipped_entries, load.own_entries, load._load,
        lexicon_check._check_own,
    ):  # fmt: skip
        cached.cache_clear()


@pytest.fixture(scope="session", autouse=True)
def _sound_forms() -> Iterator[None]:
    """Entries whose forms can all be found are not tried once more in each test that changes something else."""
    sound = set()
    tried = lexicon_check._unfound_in

    def unfound_in(lexicon: Lexicon, placed: Sequence[FileEntry]) -> Iterator[InputError]:
        key = (lexicon.entries, tuple(each.entry for each in placed))
        if key in sound:
            return
        found = list(tried(lexicon, placed))
        if not found:
            sound.add(key)
        yield from found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(lexicon_check, "_unfound_in", unfound_in)
        yield


@pytest.fixture
def put(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Put]:
    """Changes files of the shipped lexicon for the time of a test."""
    folder = tmp_path / "lexicons"
    shutil.copytree(data._CHECKOUT, folder)
    monkeypatch.setattr(data, "_CHECKOUT", folder)
    monkeypatch.setattr(data, "_INSTALLED", tmp_path / "none")

    def write(name: str, text: str) -> Path:
        path = folder / f"{name}.toml"
        path.write_text(text, "utf-8")
        _forget()
        return path

    _forget()
    yield write
    monkeypatch.undo()
    _forget()


@pytest.fixture
def own(tmp_path: Path) -> Own:
    def write(text: str, name: str = "own.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, "utf-8")
        return path

    return write
