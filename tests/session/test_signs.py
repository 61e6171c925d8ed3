"""What is heard in each cue, with nobody in the cast."""

from __future__ import annotations

from extract.lexicon import load_lexicon
from extract.recording.signs import CueSigns, cue_signs
from tests.made_talk import transcript


def signs(*lines: str) -> list[CueSigns]:
    return cue_signs(transcript(*lines), "freestyle", load_lexicon("freestyle"))


def test_each_sort_of_sign_is_heard() -> None:
    heard = signs(
        "Up next, in the red singlet, Ada Felmouth.",
        "First period, and there's the whistle.",
        "Takedown red, two points.",
        "It's four-two, with thirty seconds left.",
        "She won her quarterfinal this morning, six-one.",
        "Final score six to two, and Felmouth wins it.",
        "We'll take a short break.",
    )
    counts = [cue.counts for cue in heard]
    assert {"said_next", "said_intro"} <= counts[0].keys()
    assert "first" in counts[1]
    assert "call" in counts[2]
    assert {"score", "clock"} <= counts[3].keys()
    assert heard[3].scores == [(4, 2)]
    assert heard[3].clocks == [30]
    assert "score_past" in counts[4]
    assert heard[4].scores == []
    assert {"final", "won"} <= counts[5].keys()
    assert "said_desk" in counts[6]


def test_the_end_of_a_named_period_starts_none() -> None:
    (end,) = signs("End P1. 2-1 red.")
    assert "horn" in end.counts
    assert not {"first", "start", "later"} & end.counts.keys()
