"""Labelled bouts replayed in time, and what is counted then. The talk and its labels are made up."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.labelled.labels import TrueBoard, TrueEvent, TrueResult, TrueScore, Truth
from extract.labelled.live_fit import fit
from extract.labelled.live_measures import BoardShare, board_share, flag_curve, is_slip
from extract.labelled.live_replay import Doubted, Replayed, prefixes, replay
from extract.labelled.truth import LabelledBout
from extract.live.waiting import Seen
from tests.made_talk import bout_file, transcript

LINES = (
    (0.0, "Felmouth in red and Strandlow in blue, and we are under way."),
    (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
    (60.0, "Step-out, one point for blue. Two-one Felmouth."),
    (90.0, "Still two-nothing Felmouth."),
    (100.0, "They circle in the middle."),
)


def labelled() -> LabelledBout:
    events = (
        TrueEvent(18.0, "takedown", "red", 2, called="full call"),
        TrueEvent(58.0, "step_out", "blue", 1, called="full call"),
    )
    board = (TrueBoard(0.0, 0, 0), TrueBoard(18.0, 2, 0), TrueBoard(58.0, 2, 1))
    scores = (TrueScore(21.0, (2, 0), None), TrueScore(62.0, (2, 1), None), TrueScore(90.0, (2, 0), "stale"))
    truth = Truth("made", "freestyle", events, board, scores, (), (), TrueResult("red", "points", 2, 1))
    return LabelledBout(transcript(*LINES), bout_file(), truth)


def doubted(t: float, *wrong: float, said: tuple[int, int] = (2, 0)) -> Doubted:
    seen = tuple(Seen(t + 4 * n, p, "score", "stale", 0.9, t) for n, p in enumerate(wrong, 1))
    return Doubted(t, said, "score", seen)


def replayed(*doubts: Doubted) -> Replayed:
    scores = ((4.0, (0, 0)), (24.0, (2, 0)), (80.0, (2, 1)), (104.0, (2, 1)))
    return Replayed(labelled(), scores, doubts, (0.01,), 0.1)


def test_the_cues_of_one_caption_come_together() -> None:
    talk = transcript("one", "two", "three")
    assert [len(part.cues) for part in prefixes(talk)] == [1, 2, 3]


def test_a_replay_shows_the_score_and_doubts_the_slip() -> None:
    one = replay(labelled())
    assert one.score_at(30.0) == (2, 0)
    assert one.score_at(70.0) == (2, 1)
    assert [(d.t, d.said) for d in one.doubted if d.history] == [(90.0, (2, 0))]
    assert is_slip(one, one.doubted[0])
    assert len(one.cost_s) == len(LINES)


def test_a_flag_counts_from_the_moment_at_which_it_is_raised() -> None:
    always = {"always": 0.0, "odds": 1.0}
    one = replayed(doubted(90.0, 0.4, 0.7), doubted(40.0, 0.9, said=(4, 4)))
    curve = flag_curve([(one, always)], 0.6)
    assert (curve.raised, curve.right, curve.found, curve.labelled, curve.delays) == (2, 1, 1, 1, (8.0,))
    assert (curve.precision, curve.recall) == (0.5, 1.0)
    sure = flag_curve([(one, always)], 0.95)
    assert (sure.raised, sure.precision, sure.recall) == (0, None, 0.0)


def test_the_score_is_looked_at_a_little_after_each_change() -> None:
    assert board_share([replayed()]) == BoardShare(1, 2, 1, 2)


def test_what_stands_longer_and_surer_weighs_more_after_a_fit() -> None:
    right = [replayed(doubted(90.0, 0.8, 0.9, 0.95)) for _ in range(8)]
    wrong = [replayed(doubted(40.0, 0.4, said=(4, 4))) for _ in range(8)]
    weights = fit([*right, *wrong])
    assert weights["odds"] > 1
    assert weights["stood"] > 0


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_the_command_measures_live(form: list[str], tmp_path: Path) -> None:
    lines = [
        "WEBVTT\n",
        *(f"00:{int(t) // 60:02}:{int(t) % 60:02}.000 --> 00:{int(t) // 60:02}:{int(t) % 60 + 4:02}.000\n{text}\n"
          for t, text in LINES),
    ]  # fmt: skip
    (tmp_path / "made.vtt").write_text("\n".join(lines), encoding="utf-8")
    truth = {
        "id": "made",
        "rules": "freestyle",
        "events": [
            {"t": 18.0, "kind": "takedown", "corner": "red", "points": 2, "called": "full call"},
            {"t": 58.0, "kind": "step_out", "corner": "blue", "points": 1, "called": "full call"},
        ],
        "board": [{"t": t, "red": red, "blue": blue} for t, red, blue in [(0, 0, 0), (18, 2, 0), (58, 2, 1)]],
        "scores": [{"t": 90.0, "said": [2, 0], "slip": "stale"}],
        "clocks": [],
        "challenges": [],
        "result": {"winner": "red", "by": "points", "red": 2, "blue": 1},
    }
    (tmp_path / "made.truth.json").write_text(json.dumps(truth), encoding="utf-8")
    result = CliRunner().invoke(app, ["measure", "--live", str(tmp_path), *form])
    assert result.exit_code == 0, result.output
    if form:
        first = json.loads(result.stdout)["live"][0]
        assert (first["bouts"], first["captions"]) == (1, len(LINES))
        assert [row["flag_at"] for row in first["flags"]] == [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]
    else:
        assert "score right 15 s after a change" in result.stdout
        assert "flag at" in result.stdout


def test_misses_do_not_go_with_live(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["measure", "--live", "--misses", str(tmp_path)])
    assert result.exit_code == 2
