"""What changed, as plain lines."""

from __future__ import annotations

from dataclasses import replace

from extract.live.changes import changes
from extract.live.told_lines import board_lines, change_line
from extract.record.said_table import Spoken
from tests.live.made_views import EVIL, board, call, flag, side, story, view
from tests.live.test_changes import told_of


def lines_of(*views: object) -> list[str]:
    return [line for change in told_of(views) if (line := change_line(change))]  # type: ignore[arg-type]


def test_a_bout_in_lines() -> None:
    assert lines_of(*story()) == [
        "[0:10] bout 1: Freestyle, rules of 2026",
        "[0:10] in blue: Junia Skelvara",
        "[0:46] Skelvara's takedown (2) (confidence 97 %)",
        "[0:42] the score is 2-0 Skelvara (confidence 93 %)",
        "[0:52] in red: Ottilie Brannoway",
        "[0:51] Skelvara's exposure (2) (confidence 97 %)",
        "[0:47] the score is 4-0 Skelvara (confidence 93 %)",
        "[1:20] TAKEN BACK: Skelvara's exposure (2) at 0:51; the score is 2-0 Skelvara",
        "[1:20] the score is 2-0 Skelvara (confidence 93 %)",
        "[1:30] 3 captions came twice",
        "[1:27] OLD SCORE: said 4-0 Skelvara; should be 2-0 Skelvara (confidence 90 %) "
        'Deck: "four nothing" Correction: it was 2-0 to Skelvara.',
        "[2:00] stream: no captions come",
        "[6:40] period 2",
        "[1:27] WITHDRAWN: OLD SCORE (said 4-0 Skelvara; should be 2-0 Skelvara): It was said again.",
        "[6:40] bout 1 over: Skelvara wins 2-0 by points",
        "[6:40] stream: ended; 120 captions",
    ]


def test_a_call_of_which_only_the_score_after_it_changed_has_no_line() -> None:
    before, now = view(1, calls=(call(1, 46, (0, 2)),)), view(2, calls=(call(1, 46, (1, 2)),))
    (change,) = changes(before, now)
    assert change_line(change) is None


def test_a_call_that_was_overturned() -> None:
    before, now = (
        view(1, calls=(call(1, 46, (0, 2)),)),
        view(2, calls=(call(1, 46, (0, 0), status="overturned"),)),
    )
    assert lines_of(before, now)[-1] == "[1:00] overturned: Skelvara's takedown (2) at 0:46"


def test_an_answer_is_told() -> None:
    before, now = (
        view(1, flags=(flag(1, 87),)),
        view(2, flags=(flag(1, 87, state="answered", answer="right"),)),
    )
    assert lines_of(before, now)[-1] == (
        "[1:27] ANSWERED: OLD SCORE (said 4-0 Skelvara; should be 2-0 Skelvara): the stated score was right"
    )


def test_no_control_character_of_a_transcript_is_in_a_line() -> None:
    evil = Spoken(EVIL, EVIL, EVIL, EVIL)
    shown = replace(board((0, 2), over=EVIL, why=EVIL), red=side(EVIL, 0, EVIL))
    told = lines_of(
        view(1), view(2, board=shown, calls=(call(1, 46, (0, 2), EVIL),), flags=(flag(1, 9, spoken=evil),))
    )
    assert len(told) > 4
    for line in [*told, *board_lines(shown)]:
        assert line.isprintable()


def test_a_moment_in_lines() -> None:
    assert list(board_lines(board((0, 2), 60.0, activity="red", activity_s=21.0))) == [
        "The score is 2-0 Skelvara (confidence 93 %, tentative)",
        "Skelvara leads by points: more points",
        "Period 1, about 2:00 left (±2 s)",
        "Activity clock: Brannoway, 21 s left",
        "Brannoway: 1 challenge left",
        "Skelvara: 1 challenge left",
        "A takedown makes it 2-2",
        "Brannoway needs 3 points to lead",
    ]
