"""Edges of bouts: what belongs to a bout and what to the talk around it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from extract.bout import extract_bout
from extract.lexicon import load_lexicon
from extract.recording.evidence import CueEvidence, weigh
from extract.recording.names import cue_names
from extract.recording.parameters import recording_parameters
from extract.recording.search import CueSpan, search
from extract.recording.signs import cue_signs
from extract.session.edges import closed, opened
from extract.session.find import _joined
from extract.session.parts import Part, part_transcript
from tests.made_talk import transcript
from tests.session.session_samples import NEAR_S, found, pebble, pebble_truth


def test_a_bare_whistle_may_start_a_bout() -> None:
    (heard,) = cue_signs(transcript("whistle"), "freestyle", load_lexicon("freestyle"))
    assert heard.whistle
    assert "start" not in heard.counts


def test_every_end_lies_between_the_horn_and_the_result() -> None:
    for part, bout in zip(found(sheet=False).session.bouts, pebble_truth(), strict=True):
        assert bout["over"] - NEAR_S <= part.end <= bout["told"] + NEAR_S


@pytest.fixture(scope="module")
def rough() -> tuple[CueEvidence, list[CueSpan]]:
    """What the search makes of the sample session."""
    parameters, lexicon = recording_parameters(), load_lexicon("freestyle")
    signs = cue_signs(pebble(), "freestyle", lexicon)
    evidence = weigh(pebble().cues, signs, cue_names(pebble(), lexicon, None, parameters), parameters)
    return evidence, _joined(search(evidence, parameters))


def edged(part: CueSpan, evidence: CueEvidence) -> CueSpan:
    """The part with its edges set by the record of it."""
    begins, ends = evidence.starts[part.first], evidence.ends[part.last - 1]
    talk = part_transcript(pebble(), Part("bout", begins, ends, part.first, part.last, 1))
    record = extract_bout(talk)
    parameters = recording_parameters()
    return closed(opened(part, record, evidence, parameters), record, evidence, parameters)


def test_the_edges_hang_little_on_how_much_talk_the_search_took_along(
    rough: tuple[CueEvidence, list[CueSpan]],
) -> None:
    evidence, parts = rough
    taken = 0
    for before, part, after in zip(parts, parts[1:], parts[2:], strict=False):
        if not part.bout or before.bout or after.bout or part.run is None or part.run[0] == part.run[1]:
            continue
        more = part._replace(first=max(before.first, part.first - 3), last=min(after.last, part.last + 6))
        here, there = edged(part, evidence), edged(more, evidence)
        assert abs(evidence.starts[here.first] - evidence.starts[there.first]) <= NEAR_S
        assert abs(evidence.ends[here.last - 1] - evidence.ends[there.last - 1]) <= NEAR_S
        taken += 1
    assert taken >= 4


def test_a_bout_that_is_not_fought_keeps_its_end(rough: tuple[CueEvidence, list[CueSpan]]) -> None:
    evidence, parts = rough
    unfought = [part for part in parts if part.bout and part.run is not None and part.run[0] == part.run[1]]
    assert unfought
    assert all(edged(part, evidence).last == part.last for part in unfought)


def test_parts_follow_one_another_without_a_gap() -> None:
    for part, following in pairwise(found(sheet=False).session.parts):
        assert part.last == following.first
