"""Notes with the times of the bout clock, which counts down in each period (common practice of people who take notes)."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.transcript.bout_clock import NOTICE, counted_down
from extract.transcript.headings import is_heading

LINES = """Folkstyle 138 lbs
P1
2:41 R T3
2:10 G E1 3-1
0:20 G R2
P2
R bottom
1:52 R E1 7-3
0:31 G T3
P3
1:30 G E1 8-7
0:00 final
"""


def test_times_that_count_down_in_each_period(read) -> None:
    transcript = read(LINES, "notes.txt")
    shown = [(cue.index, cue.start, cue.text) for cue in transcript.cues]
    # A period of 3:00, two of 2:00, and a rest of 30 seconds after each.
    assert shown == [
        (1, 0.0, "Folkstyle 138 lbs"),
        (1, 0.0, "P1"),
        (1, 19.0, "2:41 left; R T3"),
        (2, 50.0, "2:10 left; G E1 3-1"),
        (3, 160.0, "0:20 left; G R2"),
        (4, 210.0, "P2\nR bottom"),
        (4, 218.0, "1:52 left; R E1 7-3"),
        (5, 299.0, "0:31 left; G T3"),
        (6, 360.0, "P3"),
        (6, 390.0, "1:30 left; G E1 8-7"),
        (7, 480.0, "0:00 left; final"),
    ]
    assert transcript.notices == (NOTICE,)
    own = "2:10 G E1 3-1"
    cue = transcript.cues[3]
    assert own[cue.source_position(cue.text.index("E1")) :] == "E1 3-1"
    moved = transcript.cues[6]
    assert ("P2\nR bottom\n1:52 R E1 7-3")[moved.source_position(moved.text.index("E1")) :] == "E1 7-3"


def test_a_table_whose_times_count_down(read) -> None:
    text = (
        "period;clock;who;what\n1;2:31;R;takedown\n1;1:30;B;step out\n2;2:20;B;takedown\n2;0:10;R;step out\n"
    )
    transcript = read(text)
    assert [(cue.start, cue.text) for cue in transcript.cues] == [
        (29.0, "2:31 left in the first; R takedown"),
        (90.0, "1:30 left in the first; B step out"),
        (250.0, "2:20 left in the second; B takedown"),
        (380.0, "0:10 left in the second; R step out"),
    ]
    assert transcript.notices == (NOTICE,)


def test_times_of_the_recording_stay(read) -> None:
    transcript = read("P1\n0:41 R T3\n1:10 G E1\nP2\n3:52 R E1\n5:31 G T3\n")
    assert [cue.start for cue in transcript.cues if not cue.heading] == [41.0, 70.0, 232.0, 331.0]
    assert transcript.notices == ()


@pytest.mark.parametrize(
    "text",
    [
        "0:41 R T3\n1:10 G E1\n1:02 R T3\n3:52 R E1\n",  # one slip
        "2:41 R T3\n2:10 G E1\n2:30 R T3\n2:20 R E1\nP2\n2:00 R E1\n1:00 G T3\n",  # up within a period
        "9:41 R T3\n8:10 G E1\n7:30 R T3\n6:20 R E1\n",  # no period is so long
    ],
)
def test_times_that_only_go_back_are_refused(fail, text: str) -> None:
    assert "goes back" in fail(text).problem


@pytest.mark.parametrize(
    ("line", "heading"),
    [("P2", True), ("-- Period 2 --", True), ("2nd period:", True), ("OT", True), ("third period R down", True),
     ("R T3", False), ("Pass. blue", False), ("Other mat", False)],
)  # fmt: skip
def test_headings_of_periods(line: str, heading: bool) -> None:
    assert is_heading(line) == heading


PERIODS = st.lists(
    st.lists(st.integers(0, 180), min_size=2, max_size=8).map(lambda times: sorted(times, reverse=True)),
    min_size=1,
    max_size=3,
)


@given(PERIODS)
def test_made_up_times_run_on_and_as_fast_as_the_clock(periods: list[list[int]]) -> None:
    shown = [float(t) for times in periods for t in times]
    starts = {sum(map(len, periods[:n])) for n in range(1, len(periods))}
    found = counted_down(shown, frozenset(starts))
    if found is None:
        # Too few, or none that falls.
        assert len(shown) < 3 or sum(b < a for a, b in pairwise(shown)) < 2
        return
    assert list(found.times) == sorted(found.times)
    assert found.times[0] >= 0
    for (a, ta), (b, tb) in pairwise(zip(shown, found.times, strict=True)):
        assert b > a or tb - ta >= a - b


@pytest.mark.parametrize("mark", ["- ", "* ", "• ", "1. ", "12) ", ""])
@pytest.mark.parametrize("dash", [" — ", " - ", ": ", " | ", " "])
def test_times_in_lists(read, mark: str, dash: str) -> None:
    lines = [f"{mark}00:46{dash}Red takedown (2–0)", f"{mark}01:10{dash}Blue step-out (2–1)"]
    cues = read("\n".join(lines) + "\n").cues
    assert [(cue.start, cue.text) for cue in cues] == [
        (46.0, "Red takedown (2–0)"),
        (70.0, "Blue step-out (2–1)"),
    ]


def test_captions_pasted_line_by_line_are_no_notes(read) -> None:
    """The stamp stands on a line of its own, as a player shows a transcript."""
    assert not read("0:04\nand we are away here\n0:07\nit is red who goes\n0:09\nfor the first two\n").typed
    assert read("0:04 R TD\n0:07 B SO 2-1\n0:09 R gut\n").typed
