"""Reads labelled bouts: ``ID.truth.json`` with its transcript and bout file beside it.

The form of a label file is described in docs/labelled-bouts.md.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, cast

from extract.errors import InputError
from extract.labelled.labels import TrueDistractor, Truth
from extract.paths import real
from extract.record.decode import Mismatch, decode
from extract.rules import UnknownRules, ruleset_named
from extract.transcript import BoutFile, Transcript, read_bout_file, read_transcript

#: Endings of transcripts; of several of one name the first is taken.
TRANSCRIPTS = (".srt", ".vtt", ".ttml", ".xml", ".json", ".txt", ".csv", ".tsv")
_REMEDY = "the keys are described in docs/labelled-bouts.md"


@dataclass(frozen=True, slots=True)
class LabelledBout:
    """A transcript with its bout file (if any) and its truth."""

    transcript: Transcript
    bout: BoutFile | None
    truth: Truth


def read_labelled(*folders: str | Path) -> list[LabelledBout]:
    """All labelled bouts of the folders, each folder once, in order of their file names. Raises InputError for a
    folder without any, a label file that is not of the form, a bout without a transcript, or an id that two bouts
    share."""
    out: list[LabelledBout] = []
    owners: dict[str, Path] = {}
    for root in {real(Path(folder)): Path(folder) for folder in folders}.values():
        paths = sorted(root.glob("*.truth.json"))
        if not paths:
            raise InputError(root, "no label file (*.truth.json) here", "name a folder of labelled bouts")
        for path in paths:
            labelled = _one(path)
            owner = owners.setdefault(labelled.truth.id, path)
            if owner is not path:
                raise InputError(path, f"its id is that of {owner} too", "give every bout an id of its own")
            out.append(labelled)
    return out


def _one(path: Path) -> LabelledBout:
    truth = read_truth(path)
    stem = path.name.removesuffix(".truth.json")
    texts = [path.with_name(stem + ending) for ending in TRANSCRIPTS]
    transcript = next((text for text in texts if text.exists()), None)
    if transcript is None:
        raise InputError(
            path, "no transcript beside it", f"put {stem}.srt (or .vtt, .txt, .json, .csv) there"
        )
    sheet = path.with_name(f"{stem}.bout.toml")
    talk = read_transcript(transcript)
    if talk.by_order:
        problem = "has no times, and labels are compared by their times"
        raise InputError(transcript, problem, "give a transcript with times")
    return LabelledBout(talk, read_bout_file(sheet) if sheet.exists() else None, truth)


def read_truth(path: Path) -> Truth:
    """The truth about a bout, from its label file. Raises InputError, which names the place of what is wrong."""
    try:
        data = json.loads(path.read_text(encoding="utf-8-sig"), parse_constant=_refuse_constant)
    except OSError as error:
        raise InputError(path, f"cannot be read ({error.strerror})", _REMEDY) from None
    except json.JSONDecodeError as error:
        raise InputError(path, f"is not JSON: {error.msg}", "mend the line named", error.lineno) from None
    except (ValueError, RecursionError) as error:
        raise InputError(path, f"is not JSON in UTF-8: {error}", _REMEDY) from None
    if not isinstance(data, dict):
        raise InputError(path, "is no JSON object", _REMEDY)
    try:
        told = tuple(_distractors(data.pop("distractors", None)))
        truth = replace(cast(Truth, decode(Truth, data)), distractors=told)
        truth = replace(truth, rules=ruleset_named(truth.rules))
    except (Mismatch, OverflowError) as error:
        raise InputError(path, str(error), _REMEDY) from None
    except UnknownRules as error:
        raise InputError(path, f"rules: {error}", _REMEDY) from None
    for problem in _contradictions(truth):
        raise InputError(path, problem, _REMEDY)
    return truth


def _distractors(noted: Any) -> Iterator[TrueDistractor]:
    """The distractors that say which kind of talk they are. The others are notes, in whatever form. Raises Mismatch."""
    for k, entry in enumerate(noted if isinstance(noted, list) else ()):
        if isinstance(entry, dict) and "stretch" in entry:
            yield cast(TrueDistractor, decode(TrueDistractor, entry, f"distractors[{k}]"))


def _contradictions(truth: Truth) -> Iterable[str]:
    """Checks what the types of the fields allow and is still wrong."""
    for k, event in enumerate(truth.events):
        for key in ("corner", "called"):
            if event.points and getattr(event, key) is None:
                yield f"events[{k}].{key}: missing, though there are points"


def _refuse_constant(word: str) -> Any:
    raise ValueError(f"{word} is no number")
