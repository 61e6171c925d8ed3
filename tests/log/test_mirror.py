"""A bout and its mirror image, the corners exchanged in all that is said, have records that mirror each other."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.bout import extract_bout
from extract.record.model import Record
from extract.transcript.bout_file import BoutFile
from tests.made_talk import BLUE, RED, transcript

_OTHER = {"red": "blue", "blue": "red", None: None}
#: Words for the two of equal length: the time at which a word is said hangs on the letters before it.
_WORN = {"green": "amber", "amber": "green"}
TALKS = [
    # Nobody says who was first: both brought the board to two-all.
    ("It's amber in on the leg.", "They go at it on the edge.", "It's two-two. Two for amber, four-two."),
    ("Takedown amber, two.", "Step-out, one.", "Three-one, is it? Or two-one."),
    ("Now amber to shoot.", "Takedown!", "Takedown!", "One-nothing, they say.", "Two-nothing green."),
    ("Caution!", "And amber says no.", "Passivity.", "Eight-seven now.", "And nine-seven."),
    ("Felmouth against Strandlow.", "Strandlow with the takedown.", "Two, and two more. Four-two.", "Pinned!"),
]  # fmt: skip


def _turned(line: str) -> str:
    """The line as it is said with the other singlets on."""
    return re.sub(r"\b(green|amber)\b", lambda m: _WORN[m[0]], line)


def _told(record: Record, *, turned: bool) -> object:
    """What the record says of the corners, the other way round if ``turned``."""

    def corner(name: str | None) -> str | None:
        return _OTHER[name] if turned else name

    def pair(score: tuple[int, int] | None) -> tuple[int, ...] | None:
        return score[::-1] if score is not None and turned else score

    events = [
        (e.kind, e.t, corner(e.corner), corner(e.against), e.points, e.confidence, pair(e.score_after))
        for e in record.events
    ]
    said = [(s.t, pair(s.said), corner(s.leader), s.verdict, s.confidence) for s in record.statements]
    end = (
        corner(record.result.winner),
        record.result.by,
        pair(record.result.score),
        record.result.confidence,
    )
    return events, said, end


def _mirrors(lines: tuple[str, ...], rules: str) -> bool:
    one, two = replace(RED, colour="green"), replace(BLUE, colour="amber")
    straight = extract_bout(transcript(*lines), BoutFile(rules, red=one, blue=two))
    one, two = replace(BLUE, colour="green"), replace(RED, colour="amber")
    turned = extract_bout(transcript(*map(_turned, lines)), BoutFile(rules, red=one, blue=two))
    return _told(straight, turned=False) == _told(turned, turned=True)


@pytest.mark.parametrize("lines", TALKS)
@pytest.mark.parametrize("rules", ["freestyle", "greco", "collegiate"])
def test_a_talk_with_the_corners_exchanged_gives_the_mirrored_record(
    lines: tuple[str, ...], rules: str
) -> None:
    assert _mirrors(lines, rules)


_PHRASES = st.sampled_from(
    ["takedown", "two", "green", "amber", "Felmouth", "Strandlow", "one", "step-out", "four-two", "three-all", "fall",
     "pinned", "challenge", "lost", "caution", "leads by one", "two-nothing", "exposure", "for", "and", "."]
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(st.lists(_PHRASES, min_size=1, max_size=5).map(" ".join), min_size=1, max_size=6))
def test_any_talk_that_names_somebody_is_mirrored(lines: list[str]) -> None:
    assert _mirrors(("Felmouth meets Strandlow.", *lines), "freestyle")
