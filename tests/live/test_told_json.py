"""What changed, as JSON Lines: the keys are those that docs/live.md promises."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from extract.live.changes import changes
from extract.live.model import View
from extract.live.told_json import COMMON, KEYS, JsonTeller, board_differs
from extract.record.said_table import Spoken
from tests.docs import ROOT, text_of
from tests.live.made_views import EVIL, board, call, flag, side, story, view

_ROW = re.compile(r"^\| `(\w+)` \|[^|]*\| (.*) \|$", re.MULTILINE)


def told(views: list[View]) -> list[dict[str, Any]]:
    teller = JsonTeller()
    lines = [teller.start("match.srt", resumed=False, page=None)]
    before = None
    for now in views:
        lines += teller.lines(list(changes(before, now)), now.board)
        before = now
    lines.append(teller.end(400.0, 120, [Path("out/match.record.json")]))
    return [json.loads(line) for line in lines]


def every_event() -> list[dict[str, Any]]:
    answered = replace(story()[6], revision=9, flags=(flag(1, 87, state="answered", answer="slip"),))
    return told([*story()[:7], answered, story()[7], replace(story()[6], revision=10), story()[7]])


def test_every_event_has_its_keys_in_their_order() -> None:
    seen = set()
    for event in every_event():
        assert tuple(event) == COMMON + KEYS[event["event"]]
        seen.add(event["event"])
    assert seen == set(KEYS)


def test_the_page_explains_every_event_and_key() -> None:
    page = text_of(ROOT / "docs" / "live.md").partition("## JSON Lines")[2]
    rows = {name: set(re.findall(r"`(\w+)`", keys)) for name, keys in _ROW.findall(page)}
    assert rows == {name: set(keys) for name, keys in KEYS.items()}
    assert set(COMMON) <= set(re.findall(r"`(\w+)`", page.partition("\n| event")[0]))


def test_the_lines_are_counted() -> None:
    assert [event["n"] for event in every_event()] == list(range(1, len(every_event()) + 1))


def test_a_flag_carries_numbers_and_words() -> None:
    event = next(event for event in told(story()) if event["event"] == "flag")
    wanted = {
        "bout": 1, "t": 87, "now": 91, "flag": "f1", "head": "old score", "said": "4-0 Skelvara",
        "should_be": "2-0 Skelvara", "said_score": [0, 4], "should_be_score": [0, 2], "speaker": "Deck",
        "text": "four nothing", "cue_t": 86, "raised": 91, "delay": 4, "confidence": 0.9, "state": "open",
        "sentence": "Correction: it was 2-0 to Skelvara.",
    }  # fmt: skip
    assert {key: event[key] for key in wanted} == wanted


def test_a_board_is_told_only_when_it_is_another() -> None:
    views = [view(n, 60.0 + n) for n in range(1, 6)]
    views.append(view(6, 66.0, board=board((0, 2), 66.0, since=55)))
    views = [replace(v, board=v.board and replace(v.board, since=55)) for v in views]
    assert [event["now"] for event in told(views) if event["event"] == "board"] == [61, 66]


@pytest.mark.parametrize(
    ("other", "differs"),
    [
        ({"t": 70.0, "clock_s": 110.0}, False),
        ({"t": 70.0, "clock_s": 119.0}, True),
        ({"clock_s": None}, True),
        ({"confidence": 0.932}, False),
        ({"confidence": 0.97}, True),
        ({"activity": "red", "activity_s": 30.0}, True),
        ({"tentative": False}, True),
    ],
)
def test_a_clock_that_only_runs_on_is_no_other_board(other: dict[str, Any], differs: bool) -> None:
    last = board((0, 2), 60.0)
    assert board_differs(last, replace(last, **other)) is differs


def test_nothing_that_a_terminal_acts_on_is_written() -> None:
    evil = Spoken(EVIL, EVIL, EVIL, EVIL)
    shown = replace(board((0, 2), over=EVIL), red=side(EVIL, 0, EVIL))
    now = view(
        2, board=shown, calls=(call(1, 46, (0, 2), EVIL),), flags=(flag(1, 9, spoken=evil, said=EVIL),)
    )
    lines = [JsonTeller().start(EVIL, resumed=True, page=None)]
    lines += JsonTeller().lines(list(changes(view(1), now)), now.board)
    assert all(line.isprintable() for line in lines)
    assert json.loads(lines[0])["source"] == EVIL
