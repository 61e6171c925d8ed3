"""What every input of a dataset is read with, in a form that can travel to any machine."""

from __future__ import annotations

import atexit
import hashlib
import json
import pickle
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Literal

from extract.lexicon.data import shipped_texts
from extract.log.parameters import Parameters, default_parameters
from extract.transcript.decode import read_bytes

#: Whether a recording is one bout, a session of many, or to be found out.
Recordings = Literal["auto", "bout", "session"]
_DIGITS = 16


@dataclass(frozen=True, slots=True)
class Settings:
    """``rules`` is a ruleset's name for inputs that name none. ``lexicons`` are the user's own files, name and bytes.
    ``parameters`` replaces the shipped ones."""

    rules: str | None = None
    recordings: Recordings = "auto"
    lexicons: tuple[tuple[str, bytes], ...] = ()
    parameters: Parameters | None = None

    def packed(self) -> bytes:
        """The settings as bytes that another process of this program can use."""
        return pickle.dumps(self)

    @property
    def provenance(self) -> dict[str, str]:
        """What stands in each row about how it was made."""
        parameters = self.parameters or default_parameters()
        numbers = json.dumps(parameters.tables, sort_keys=True, default=str).encode()
        return {
            "program": f"saidscore {version('saidscore')}",
            "lexicon": _digest([*shipped_texts(), *self.lexicons]),
            "parameters": _digest([("parameters", numbers)]),
        }

    @property
    def description(self) -> dict[str, str]:
        """Everything that a row depends on besides its input, for the dataset's description: the provenance and the
        options."""
        return {**self.provenance, "rules": self.rules or "", "recordings": self.recordings}


def settings_of(
    rules: str | None, recordings: Recordings, lexicons: Sequence[Path], parameters: Parameters | None
) -> Settings:
    """The settings with the files that they name. Raises InputError if one cannot be read."""
    return Settings(rules, recordings, tuple((path.name, read_bytes(path)) for path in lexicons), parameters)


def _digest(parts: Sequence[tuple[str, bytes]]) -> str:
    digest = hashlib.sha256()
    for name, content in parts:
        digest.update(f"{name} {len(content)}\n".encode())
        digest.update(content)
    return digest.hexdigest()[:_DIGITS]


@dataclass(frozen=True, slots=True)
class AtHand:
    """Settings as a process uses them, with the lexicons as files. They are the same objects from bout to bout, so
    what is made from them is made once."""

    settings: Settings
    lexicons: tuple[Path, ...]
    provenance: dict[str, str]


@lru_cache(maxsize=2)
def at_hand(packed: bytes) -> AtHand:
    """The settings in ``packed``, made ready once for each process."""
    settings: Settings = pickle.loads(packed)
    paths = []
    if settings.lexicons:
        folder = Path(tempfile.mkdtemp(prefix="saidscore-"))
        atexit.register(shutil.rmtree, folder, ignore_errors=True)
        for number, (name, content) in enumerate(settings.lexicons):
            path = folder / str(number) / name
            path.parent.mkdir()
            path.write_bytes(content)
            paths.append(path)
    return AtHand(settings, tuple(paths), settings.provenance)
