"""Reads labelled bouts: ``ID.truth.json`` with its transcript and bout file beside it.

The form of a label file is described in DEVELOPERS.md under "Labelled bouts".
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from extract.errors import InputError
from extract.transcript import BoutFile, Transcript, read_bout_file, read_transcript

_NEEDED = ("id", "rules", "events", "board", "scores", "clocks", "challenges", "result")
_TEXTS = (".srt", ".vtt", ".ttml", ".xml", ".json", ".txt", ".csv", ".tsv")


@dataclass(frozen=True, slots=True)
class Truth:
    """What is known of a bout: the label file as it stands, its required keys checked."""

    data: dict[str, Any]

    @property
    def id(self) -> str:
        """The name that the bout's files share."""
        return str(self.data["id"])

    @property
    def rules(self) -> str:
        """The ruleset's name."""
        return str(self.data["rules"])

    @property
    def near(self) -> float:
        """How far an event may be off in time and still count as found, in seconds."""
        return float(self.data.get("near_s", 12.0))

    def rows(self, key: str) -> list[dict[str, Any]]:
        """The entries of one list of the label file."""
        return list(self.data.get(key, ()))


@dataclass(frozen=True, slots=True)
class LabelledBout:
    """A transcript with its bout file (if any) and its truth."""

    transcript: Transcript
    bout: BoutFile | None
    truth: Truth


def read_labelled(folder: str | Path) -> list[LabelledBout]:
    """All labelled bouts of a folder, in order of their names. Raises InputError for a folder without any, a label
    file that lacks a key, or a bout without a transcript."""
    root = Path(folder)
    files = sorted(root.glob("*.truth.json"))
    if not files:
        raise InputError(root, "no label file (*.truth.json) here", "name a folder of labelled bouts")
    return [_one(path) for path in files]


def _one(path: Path) -> LabelledBout:
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except json.JSONDecodeError as error:
        raise InputError(path, f"not valid JSON: {error.msg}", "mend the line named", error.lineno) from None
    missing = [key for key in _NEEDED if not isinstance(data, dict) or key not in data]
    if missing:
        raise InputError(path, f"the key {missing[0]!r} is missing", f"a label file has {', '.join(_NEEDED)}")
    stem = path.name.removesuffix(".truth.json")
    texts = [path.with_name(stem + ending) for ending in _TEXTS]
    transcript = next((text for text in texts if text.exists()), None)
    if transcript is None:
        raise InputError(path, "no transcript beside it", f"put {stem}.srt (or .vtt, .txt, .json, .csv) there")
    sheet = path.with_name(f"{stem}.bout.toml")
    return LabelledBout(read_transcript(transcript), read_bout_file(sheet) if sheet.exists() else None, Truth(data))
