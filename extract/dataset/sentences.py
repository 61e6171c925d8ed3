"""The sentences around the words of entries, from the transcripts that a dataset was made from."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from extract.dataset.item import load
from extract.dataset.source import SourceOf
from extract.dataset.store import Store
from extract.dataset.work import read_item
from extract.errors import InputError
from extract.transcript import Transcript

#: Where a sentence ends: at its mark, before a blank.
_END = re.compile(r"[.?!…][\"'”’)\]]*\s")
#: No more letters than these before and after the words, where no sentence ends.
_MOST = 240


def add_sentences(rows: Iterable[dict[str, Any]], store: Store, source: SourceOf) -> list[InputError]:
    """Put the key ``sentence`` into rows of a sample: what is said around the words of each. It is blank where the input
    is not in the source any more or has changed; the faults say so, one for each input."""
    wanted: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        row["sentence"] = ""
        wanted.setdefault(row["input"], []).append(row)
    digests = _digests(store, wanted)
    faults = []
    for item in source.items():
        of_input = wanted.pop(item.key, None)
        if of_input is None:
            continue
        try:
            transcript = read_item(load(item))
        except InputError as error:
            faults.append(error)
            continue
        if transcript.sha256 != digests[item.key]:
            faults.append(InputError(item.key, "its transcript has changed since", "make the dataset anew"))
            continue
        for row in of_input:
            if row["cue"] is not None:
                row["sentence"] = sentence_around(transcript, row["cue"], row["t"])
        if not wanted:
            break
    faults += [
        InputError(key, "is not in the source any more", "give what the dataset was made from with --source")
        for key in wanted
    ]
    return faults


def _digests(store: Store, inputs: Mapping[str, Any]) -> dict[str, str]:
    """The SHA-256 of the transcript of each input."""
    found: dict[str, str] = {}
    for part in store.parts():
        table = store.read_table("bouts", part, ["input", "transcript_sha256"])
        found |= {
            row["input"]: row["transcript_sha256"] for row in table.to_pylist() if row["input"] in inputs
        }
    return found


def sentence_around(transcript: Transcript, index: int, t: float) -> str:
    """The sentence that is said in a cue about a moment, or more of them where the cue ends within one; with what the
    cues beside it have of it."""
    at = [n for n, cue in enumerate(transcript.cues) if cue.index == index]
    if not at:
        return ""
    # A cue of several speakers is several: that of the moment counts.
    here = max((n for n in at if transcript.cues[n].start <= t), default=at[0])
    before = " ".join(cue.text for cue in transcript.cues[max(here - 2, 0) : here])
    after = " ".join(cue.text for cue in transcript.cues[here + 1 : here + 3])
    ends = [match.end() for match in _END.finditer(f"{before} ")]
    begun = before[ends[-1] :] if ends else before[-_MOST:]
    own = transcript.cues[here].text
    more = ""
    if not _END.search(f"{own} ", max(len(own) - 3, 0)):
        end = _END.search(f"{after} ")
        more = after[: end.end()] if end else after[:_MOST]
    return " ".join(f"{begun} {own} {more}".split())
