"""Decisions hold when the transcript has been captioned anew: other words, other times, other cues."""

from __future__ import annotations

from dataclasses import replace

import pytest

from extract import extract_bout
from extract.decisions.make import Request, make
from extract.transcript import Transcript
from tests.decisions.desk_talk import decide, listed, nature, sample

LANTERN = "lantern-final.srt"


def captioned_anew(transcript: Transcript, late: float) -> Transcript:
    """The same talk by another hand: all a little later, no marks, capitals gone, every seventh cue joined on."""
    cues = []
    for cue in transcript.cues:
        text = "".join(c for c in cue.text.lower() if c not in ",.!?")
        fresh = replace(cue, start=cue.start + late, end=cue.end + late, text=text, origin=(), anchors=())
        if cues and cue.index % 7 == 0:
            last = cues[-1]
            fresh = replace(last, end=fresh.end, text=f"{last.text} {fresh.text}")
            cues.pop()
        cues.append(fresh)
    return replace(
        transcript, cues=tuple(replace(cue, index=k) for k, cue in enumerate(cues, 1)), sha256="0" * 64
    )


@pytest.mark.parametrize("late", [0.0, 0.7, -0.7, 2.5])
def test_every_decision_is_found_again(late: float) -> None:
    transcript, bout, record = sample(LANTERN)
    events = [e for e in listed(record) if e.basis == "called" and e.status == "stands"]
    gone = events[3]
    requests = [
        Request("change", "event", events[2].id, {"who": "blue"}),
        Request("remove", "event", gone.id),
        Request("change", "score", record.statements[2].id, {"said": None}),
        Request("change", "challenge", record.challenges[1].id, {"outcome": "withdrawn"}),
    ]
    made = [make(request, record, transcript, (), "wren") for request in requests]
    again = extract_bout(captioned_anew(transcript, late), bout, decisions=made)
    (changed,) = [e for e in again.events if e.decided == made[0].id]
    assert nature(changed) == ("step_out", "blue", None, 1, "stands")
    assert abs(changed.t - events[2].t - late) < 2
    assert changed.evidence
    there = [e for e in listed(again) if nature(e) == nature(gone) and abs(e.t - gone.t - late) < 4]
    assert not there
    left_out = record.statements[2]
    assert not [s for s in again.statements if abs(s.t - left_out.t - late) < 0.5 and s.said == left_out.said]
    assert [c.outcome for c in again.challenges if c.decided == made[3].id] == ["withdrawn"]
    assert not [flag for flag in again.flags if flag.kind.startswith("decision")]


def test_words_that_are_gone_are_named() -> None:
    transcript, bout, record = sample(LANTERN)
    statement = record.statements[4]
    _, made = decide(LANTERN, Request("change", "score", statement.id, {"said": [9, 9]}))
    cues = tuple(
        replace(cue, text="(applause)") if abs(cue.start - statement.t) < 12 else cue
        for cue in transcript.cues
    )
    after = extract_bout(replace(transcript, cues=cues), bout, decisions=made)
    flag = next(flag for flag in after.flags if flag.kind == "decision_unplaced")
    assert made[0].id in flag.why
