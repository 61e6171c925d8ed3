"""The files of a labelled bout that is made from a record, and where they may be written."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from extract.decisions import Decision, ScoreIs
from extract.errors import InputError
from extract.labelled.from_record import result_looked_at, scores_of, sides_looked_at
from extract.labelled.labels import Truth
from extract.labelled.truth import TRANSCRIPTS
from extract.paths import real
from extract.record.files import lined, plain_tree
from extract.record.model import Challenge, Event, Record, Statement
from extract.transcript import BoutFile, read_bout_file
from extract.transcript.bout_file_text import bout_file_text
from extract.transcript.cue import hundredths

#: What a label file of this origin says of itself. Another's is never overwritten.
_MADE_BY = {"made_by": "saidscore label"}
_REMEDY = "name another folder with --out"


@dataclass(frozen=True, slots=True)
class Sources:
    """What a record was made from: its transcript, the bout file if there is one, and what was known beforehand."""

    transcript: Path
    bout: Path | None
    known: BoutFile


def label_files(
    folder: Path, truth: Truth, record: Record, decisions: Sequence[Decision], sources: Sources
) -> dict[Path, bytes]:
    """The files of a labelled bout in ``folder`` by path: the labels, then a copy of the transcript, then the bout file if
    anything was known. What stands there already as it should is left out. Raises InputError if something else does, or
    another transcript of that name would be taken for this one."""
    labels = folder / f"{truth.id}.truth.json"
    ours = _check_labels(labels)
    ending = sources.transcript.suffix.lower()
    # The format is found in the content. The name has to be one that is looked for.
    transcript = folder / f"{truth.id}{ending if ending in TRANSCRIPTS else '.txt'}"
    for other in TRANSCRIPTS[: TRANSCRIPTS.index(transcript.suffix)]:
        rival = folder / f"{truth.id}{other}"
        if rival.exists():
            raise InputError(rival, f"would be taken for the transcript of {labels.name}", _REMEDY)
    copies = {transcript: sources.transcript.read_bytes()}
    bout = folder / f"{truth.id}.bout.toml"
    if sources.known != BoutFile():
        copies[bout] = _bout_file(sources)
    elif bout.exists():
        raise InputError(bout, "would be read with the transcript, and this record was made without", _REMEDY)
    out = {labels: lined(_tree(truth, record, decisions)).encode()}
    read = {real(path) for path in (sources.transcript, sources.bout) if path is not None}
    for path, content in copies.items():
        if path.is_file() and path.read_bytes() == content:
            continue
        if path.exists() and (not ours or real(path) in read):
            raise InputError(path, "is there already and differs from what the record was made from", _REMEDY)
        out[path] = content
    return out


def _check_labels(path: Path) -> bool:
    """Whether labels of this origin stand there. Raises InputError if others do."""
    if not path.exists():
        return False
    try:
        found = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        found = None
    if isinstance(found, dict) and found.items() >= _MADE_BY.items():
        return True
    raise InputError(path, "is there already and was not made by saidscore label", _REMEDY)


def _bout_file(sources: Sources) -> bytes:
    """The bout file as it is if it says all that was known, else one that does."""
    if sources.bout is not None and read_bout_file(sources.bout) == sources.known:
        return sources.bout.read_bytes()
    return bout_file_text(sources.known).encode()


def _tree(truth: Truth, record: Record, decisions: Sequence[Decision]) -> dict[str, Any]:
    """The labels as JSON. ``looked_at`` says of each whether a person has said that it is so."""
    tree: dict[str, Any] = {**_MADE_BY, **plain_tree(truth)}
    told: dict[str, Sequence[Event | Statement | Challenge]] = {
        "events": record.events,
        "scores": tuple(scores_of(record)),
        "challenges": record.challenges,
    }
    for key, entries in told.items():
        for label, entry in zip(tree[key], entries, strict=True):
            label["looked_at"] = entry.decided is not None
    for label in tree["clocks"]:
        label["looked_at"] = False
    tree["result"]["looked_at"] = result_looked_at(record)
    tree["corrected_by"] = list(dict.fromkeys(each.by for each in record.decisions))
    tree["sides_looked_at"] = sides_looked_at(record)
    tree["distractors"] = list(_distractors(decisions))
    return tree


def _distractors(decisions: Sequence[Decision]) -> Iterator[dict[str, Any]]:
    """The words of which a person has said that they state no score of this bout."""
    for decision in decisions:
        of, to = decision.of, decision.to
        if isinstance(of, ScoreIs) and (to is None or (isinstance(to, ScoreIs) and to.said is None)):
            words = " ".join(each.text for each in decision.words)
            yield {"t": hundredths(of.t), "words": words, "why": "no score of this bout"}
