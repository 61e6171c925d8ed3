"""The records of a folder. Those on which answers are expected to correct most come first."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from extract.decisions import read_decisions
from extract.desk.bout import ENDING
from extract.errors import InputError
from extract.record import Record, from_json


@dataclass(frozen=True, slots=True)
class Listed:
    """A record of the folder. ``record`` is None if it cannot be read, and ``problem`` says why. ``decisions`` is how
    many were ever made."""

    name: str
    record: Record | None
    decisions: int = 0
    problem: str = ""

    @property
    def gain(self) -> float:
        """How many entries the answers to all questions are expected to correct."""
        return sum(doubt.gain for doubt in self.record.doubts) if self.record is not None else 0.0


def record_files(folder: Path) -> dict[str, Path]:
    """The records of a folder by name. Raises InputError if there is none."""
    try:
        found = sorted(path for path in folder.iterdir() if _has_name(path) and path.is_file())
    except OSError as error:
        raise InputError(folder, f"cannot be read ({error.strerror})", "give the path of a folder") from None
    if not found:
        raise InputError(folder, "no record in this folder", "make some with saidscore log --out")
    return {path.name.removesuffix(ENDING): path for path in found}


def _has_name(path: Path) -> bool:
    """Whether a file is named as a record, in characters that an address can have."""
    try:
        path.name.encode()
    except UnicodeEncodeError:
        return False
    return path.name.endswith(ENDING)


def listed(files: dict[str, Path]) -> list[Listed]:
    """What is known of each, the most doubtful first."""
    return sorted(
        (_listed(name, path) for name, path in files.items()), key=lambda each: (-each.gain, each.name)
    )


def _listed(name: str, path: Path) -> Listed:
    try:
        made = read_decisions(path.with_name(f"{name}.decisions.jsonl")).decisions
        return Listed(name, from_json(path), sum(decision.target is None for decision in made))
    except InputError as error:
        return Listed(name, None, problem=str(error))
