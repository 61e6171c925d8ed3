"""Keys of the terminal: which flag they answer, what is typed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from extract.live.controls import SETTLE_S, Controls
from tests.live.made_views import MadeDesk, flag, view


class Hand:
    """Somebody at the keys, with a clock of their own."""

    def __init__(self, *flags: Any) -> None:
        self.now = 100.0
        self.view = view(1, flags=flags)
        self.desk = MadeDesk([self.view])
        self.controls = Controls(self.desk, clock=lambda: self.now)

    def look(self, *flags: Any) -> str | None:
        """See a new view for a while."""
        self.view = replace(self.view, revision=self.view.revision + 1, flags=flags)
        seen = self.controls.flag(self.view)
        self.now += SETTLE_S + 1
        return seen and seen.id

    def press(self, keys: str) -> None:
        for key in keys:
            self.controls.press(key, self.view)


@pytest.mark.parametrize(("key", "answer"), [("1", "right"), ("2", "slip"), ("3", "other_bout")])
def test_one_key_answers_the_flag_that_is_shown(key: str, answer: str) -> None:
    hand = Hand()
    assert hand.look(flag(1, 10)) == "f1"
    hand.press(key)
    assert hand.desk.asked == [("answer", "f1", answer)]
    assert hand.controls.message == f"Kept: {answer}"


def test_a_newer_flag_does_not_take_the_place_of_the_one_that_is_shown() -> None:
    hand = Hand()
    hand.look(flag(1, 10))
    assert hand.look(flag(2, 20), flag(1, 10)) == "f1"
    hand.press("2")
    assert hand.desk.asked == [("answer", "f1", "slip")]


def test_a_flag_that_took_another_ones_place_just_now_is_not_answered() -> None:
    hand = Hand()
    hand.look(flag(1, 10))
    hand.view = replace(hand.view, flags=(flag(2, 20), flag(1, 10, state="withdrawn")))
    hand.press("2")
    assert hand.desk.asked == []
    assert "answer again" in hand.controls.message
    hand.press("2")
    assert hand.desk.asked == [], "it has still only just come"
    hand.now += SETTLE_S
    hand.press("2")
    assert hand.desk.asked == [("answer", "f2", "slip")]


def test_the_next_flag_is_asked_for() -> None:
    hand = Hand()
    both = (flag(2, 20), flag(1, 10))
    assert hand.look(*both) == "f2"
    hand.press("j")
    assert hand.look(*both) == "f1"
    hand.press("j")
    assert hand.look(*both) == "f2"


def test_no_flag_to_answer() -> None:
    hand = Hand()
    hand.look()
    hand.press("1")
    assert hand.desk.asked == []
    assert hand.controls.message == "No flag waits for an answer"


def test_a_score_is_typed_and_mended() -> None:
    hand = Hand()
    hand.press("m4-1\x7f2\r")
    assert hand.desk.asked == [("correct", (4, 2))]
    assert hand.controls.mode == "watch"


def test_what_is_typed_wrong_is_said_and_stays_to_be_mended() -> None:
    hand = Hand()
    hand.press("mfour\r")
    assert hand.desk.asked == []
    assert hand.controls.message == '"four" is no score: type red and blue, like 4-2'
    assert (hand.controls.mode, hand.controls.typed) == ("correct", "four")
    hand.press("\x1bq")
    assert hand.controls.ended


def test_what_the_desk_refuses_is_said() -> None:
    hand = Hand()
    hand.press("m99-0\r")
    assert hand.controls.message == "Not kept: no such score"
    hand.press("u")
    assert hand.controls.message == "Not kept: nothing to undo"


def test_a_moment_is_asked_for_and_left() -> None:
    hand = Hand()
    hand.press("h1:10\r")
    assert hand.controls.board_at is not None
    assert hand.controls.board_at.t == 70
    hand.press("\x1b")
    assert hand.controls.board_at is None
    hand.press("h0:01\r")
    assert hand.controls.message == "No bout was running at 0:01"
    hand.press("hsoon\r")
    assert hand.controls.message == '"soon" is no time: type it like 5:40'


def test_keys_that_are_letters_of_what_is_typed_do_nothing_else() -> None:
    hand = Hand()
    hand.look(flag(1, 10))
    hand.press("hsrq\x1b")
    assert hand.desk.asked == []
    assert not hand.controls.ended
