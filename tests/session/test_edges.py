"""Edges of bouts: what belongs to a bout and what to the talk around it."""

from __future__ import annotations

from extract.lexicon import load_lexicon
from extract.session.signs import cue_signs
from tests.session.session_samples import found, pebble_truth
from tests.talk import transcript


def test_a_bare_whistle_may_start_a_bout() -> None:
    (heard,) = cue_signs(transcript("whistle"), "freestyle", load_lexicon("freestyle"))
    assert heard.whistle
    assert "start" not in heard.counts


def test_every_end_lies_between_the_horn_and_the_result() -> None:
    for part, bout in zip(found(sheet=False).session.bouts, pebble_truth(), strict=True):
        assert bout["over"] - 20.0 <= part.end <= bout["told"] + 20.0
