"""The record of a bout that is a part of a longer recording is that of the bout alone, moved in time."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from extract.bout import extract_bout
from extract.export.board import stretches
from extract.record import from_json, to_json
from extract.record.source import source_transcript
from extract.report import report_page
from extract.session import Part, part_transcript
from extract.transcript import BoutFile, Transcript, read_bout_file, read_transcript
from tests.made_talk import transcript
from tests.samples import FOLDER

#: A power of two: adding it to times in binary fractions loses little.
MOVED = 4096.0
SAMPLES = ("lantern-final.srt", "ropewalk-greco.json", "pellingham-dual.txt", "tallow-quarter.vtt")
_TIMES = {"t", "t_range", "t_outcome", "until"}
_CLOCK = re.compile(r"\b\d+:\d\d(?::\d\d)?\b")


def in_a_recording(talk: Transcript) -> tuple[Transcript, Part]:
    """A recording with the talk far into it, after some other cues, and its part."""
    before = transcript("Good evening.", (60.0, "Nothing yet."), (300.0, "Still nothing.")).cues
    moved = tuple(
        replace(
            cue,
            index=cue.index + len(before),
            start=cue.start + MOVED,
            end=cue.end + MOVED,
            anchors=tuple((at, t + MOVED) for at, t in cue.anchors),
        )
        for cue in talk.cues
    )
    whole = replace(talk, cues=(*before, *moved))
    return whole, Part("bout", MOVED, whole.seconds, len(before), len(whole.cues), 1)


def moved_back(tree: Any, cues: int, key: str = "") -> Any:
    """A record's JSON with the times and cues of the talk alone; times in sentences are left out."""
    if isinstance(tree, dict):
        return {k: moved_back(v, cues, k) for k, v in tree.items() if k != "source"}
    if isinstance(tree, list):
        return [moved_back(item, cues, key) for item in tree]
    if key in _TIMES and tree is not None:
        return pytest.approx(tree - (MOVED if cues else 0.0), abs=0.02)
    if key in ("cue", "last_cue") and tree is not None:
        return tree - cues
    return _CLOCK.sub("0:00", tree) if isinstance(tree, str) and key in ("why", "text") else tree


@pytest.mark.parametrize("name", SAMPLES)
def test_the_record_of_a_part_is_that_of_the_bout_alone(name: str) -> None:
    talk = read_transcript(FOLDER / name)
    bout: BoutFile = read_bout_file((FOLDER / name).with_suffix(".bout.toml"))
    whole, part = in_a_recording(talk)
    alone = json.loads(to_json(extract_bout(talk, bout)))
    inside = json.loads(to_json(extract_bout(part_transcript(whole, part), bout)))
    assert inside["source"]["part"] == {
        "number": 1, "start": MOVED, "end": round(whole.seconds, 2), "first": 3, "last": len(whole.cues),
    }  # fmt: skip
    assert inside["source"]["cues"] == len(talk.cues)
    assert json.loads(to_json(extract_bout(talk, bout)))["source"]["part"] is None
    assert moved_back(inside, 3) == moved_back(alone, 0)
    assert (inside["board"][0]["t"], inside["board"][0]["red"], inside["board"][0]["blue"]) == (MOVED, 0, 0)


def test_a_talk_of_nothing_is_flagged_where_the_part_begins() -> None:
    talk = transcript(
        *["So much sand, and so many deckchairs, and nobody ever sits in any of them at all."] * 6
    )
    whole, part = in_a_recording(talk)
    record = extract_bout(part_transcript(whole, part))
    assert [flag.t for flag in record.flags if flag.kind == "talk"] == [MOVED]
    assert record.board[0].t == MOVED


def test_a_record_of_a_part_finds_its_talk_again(tmp_path: Path) -> None:
    """The report and the desk read the transcript of the whole recording: only the bout's part of it is the record's."""
    source = FOLDER / "session" / "pebble-cup.srt"
    whole = read_transcript(source)
    part = Part("bout", 1802.24, 2265.0, 152, 197, 5)
    record = extract_bout(part_transcript(whole, part))
    path = tmp_path / "pebble-cup.05.record.json"
    path.write_text(to_json(record), encoding="utf-8")
    read = from_json(path)
    _, talk = source_transcript(read, path, source)
    assert talk.cues == whole.cues[152:197]
    assert talk.begins == 1802.24
    assert to_json(extract_bout(talk)) == to_json(record)
    assert whole.cues[10].text.split("\n")[0] not in report_page(read, talk)
    assert stretches(read)[0].start == 1802.24
