"""Published worked examples, from ``published_uww.toml`` and ``published_us.toml``: each names its source."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from extract.rules import IllegalMove, Move, Outcome, Ruleset, edition_names, get_ruleset
from extract.rules.edition import load_documents
from extract.rules.riding import Hold, riding_balance, riding_point

Moves = Callable[[str], list[Move]]
FILES = [
    tomllib.loads(path.read_text("utf-8")) for path in sorted(Path(__file__).parent.glob("published_*.toml"))
]
CASES: list[dict[str, Any]] = [case for file in FILES for case in file["case"]]
RIDING: list[dict[str, Any]] = [case for file in FILES for case in file.get("riding", ())]


#: A bout of foil at 14-14.
FOURTEEN_ALL = "; ".join(["touch red 1", "touch blue 1"] * 14)


def each() -> Iterator[Any]:
    """Each case under each of its rulesets and editions: those it lists, else the latest."""
    for number, case in enumerate(CASES):
        for style in case["rules"]:
            known = edition_names(style)
            for edition in [e for e in case.get("editions", [known[-1]]) if e in known]:
                yield pytest.param(case, get_ruleset(style, edition), id=f"{number}-{style}-{edition}")


def _played(rules: Ruleset, case: dict[str, Any], moves: Moves) -> Any:
    """The state after the case's moves, and after the last whistle where they do not end the bout by themselves."""
    takedown = next(iter(rules.points_of("takedown")), 0)
    state = rules.apply(rules.initial(), Move("period_start"))
    # Cases for several editions write the takedown of the latest.
    for move in moves(case["play"].format(takedown=takedown, fourteen_all=FOURTEEN_ALL)):
        if move.kind == "takedown" and len(case.get("editions", ())) != 1 and rules.rest_seconds == 0:
            move = move._replace(points=takedown)
        state = rules.apply(state, move)
    assert (state.over is not None) == case.get("ends", state.over is not None)
    while state.over is None and "winner" in case:
        open_now = {move.kind for move in rules.legal_events(state)}
        state = rules.apply(
            state,
            Move("bout_end" if "bout_end" in open_now else "period_end" if state.running else "period_start"),
        )
    return state


@pytest.mark.parametrize(("case", "rules"), list(each()))
def test_published_example(case: dict[str, Any], rules: Ruleset, moves: Moves) -> None:
    if "illegal" in case:
        with pytest.raises(IllegalMove, match=case["illegal"]):
            _played(rules, case, moves)
        return
    state = _played(rules, case, moves)
    red, blue = case["score"]
    if isinstance(blue, str):
        blue = int(blue.split("+")[0]) + rules.points_of("takedown")[0]
    assert state.score == (red, blue)
    if "winner" in case:
        assert state.over == Outcome(case["winner"], case["by"])
        assert rules.legal_events(state) == ()
    if "challenges" in case:
        assert state.challenges == tuple(case["challenges"])
    if "activity" in case:
        assert state.activity is None
    victory = rules.victory(state.over, state) if state.over is not None else None
    if "victory" in case:
        assert victory is not None
        assert victory.code == case["victory"]
    if "points" in case:
        assert victory is not None
        assert victory.points == tuple(case["points"])


@pytest.mark.parametrize("case", RIDING, ids=lambda case: case["source"])
def test_published_riding_time(case: dict[str, Any]) -> None:
    minimum = get_ruleset("collegiate").riding_time_seconds
    assert minimum is not None
    balance = riding_balance(Hold(corner, seconds) for corner, seconds in case["holds"])
    assert balance == case["balance"]
    assert riding_point(balance, minimum) == case.get("point")


def test_every_example_names_its_source_and_says_what_the_source_gives() -> None:
    documents = load_documents()
    for case in [*CASES, *RIDING]:
        named = re.findall(r"\b(?:[A-Z]{1,4}[0-9]{1,2}[a-z]?|NCweb|NFweb|NY)\b", case["source"])
        elsewhere = re.search(r"\b[a-z0-9]+\.(?:com|org|in)\b|^the same|results of 2025|exam", case["source"])
        assert (named and set(named) & set(documents)) or elsewhere, case["source"]
        assert case["grade"] in ("published", "applied")
    assert sum(case["grade"] == "published" for case in CASES) >= 40
