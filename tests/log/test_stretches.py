"""Of which kind each passage of the talk is: the chain against all paths, what makes a kind go on, and the whole talk."""

from __future__ import annotations

import math
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.bout import read_bout
from extract.log.parameters import default_parameters
from extract.log.stretches import LIVE, Chain, chain_of, find_stretches, kinds_of, seen_in
from extract.transcript import Cue, Transcript
from tests import samples
from tests.samples import NAMES

KINDS = 3
SHARES = st.lists(st.floats(0.01, 1.0), min_size=KINDS, max_size=KINDS).map(
    lambda parts: tuple(part / sum(parts) for part in parts)
)
CHAINS = st.builds(Chain, SHARES, st.tuples(*[SHARES] * KINDS))
WEIGHTS = st.lists(st.tuples(*[st.floats(-6.0, 6.0)] * KINDS), min_size=1, max_size=5)


def by_all_paths(chain: Chain, weights: list[tuple[float, ...]]) -> list[list[float]]:
    """The chance of each kind for each passage, summed over every sequence of kinds that there is."""
    chances = [[0.0] * KINDS for _ in weights]
    for path in product(range(KINDS), repeat=len(weights)):
        p = chain.first[path[0]] * math.prod(chain.step[a][b] for a, b in pairwise(path))
        p *= math.exp(sum(row[kind] for row, kind in zip(weights, path, strict=True)))
        for row, kind in zip(chances, path, strict=True):
            row[kind] += p
    return [[p / sum(row) for p in row] for row in chances]


@given(CHAINS, WEIGHTS)
def test_the_chances_are_those_of_all_paths(chain: Chain, weights: list[tuple[float, ...]]) -> None:
    for got, summed in zip(chain.chances(weights), by_all_paths(chain, weights), strict=True):
        assert got == pytest.approx(summed, abs=1e-9)


@given(CHAINS, WEIGHTS, st.floats(-500.0, 500.0))
def test_only_the_differences_between_kinds_count(
    chain: Chain, weights: list[tuple[float, ...]], more: float
) -> None:
    moved = [tuple(weight + more for weight in row) for row in weights]
    for a, b in zip(chain.chances(weights), chain.chances(moved), strict=True):
        assert a == pytest.approx(b, abs=1e-6)


def test_a_long_talk_does_not_run_out_of_numbers() -> None:
    chain = chain_of(default_parameters())
    row = (-300.0, *[-310.0] * (len(chain.first) - 1))
    chances = chain.chances([row] * 3000)
    assert all(sum(one) == pytest.approx(1.0) for one in chances)


def test_a_kind_goes_on_where_nothing_speaks_for_another() -> None:
    """A passage between two that are plainly of another bout is of it, too; far from them it is as elsewhere."""
    parameters = default_parameters()
    chain, kinds = chain_of(parameters), kinds_of(parameters)
    other = kinds.index("another bout")
    nothing = (0.0,) * len(kinds)
    plainly = tuple(8.0 if kind == other else 0.0 for kind in range(len(kinds)))
    between = chain.chances([plainly, nothing, plainly])[1]
    assert max(range(len(kinds)), key=between.__getitem__) == other
    alone = chain.chances([nothing] * 40 + [plainly])[20]
    assert alone[other] < between[other]


def test_each_kind_is_likelier_to_go_on_than_to_begin() -> None:
    chain = chain_of(default_parameters())
    for kind in range(len(chain.first)):
        begins = [row[kind] for k, row in enumerate(chain.step) if k != kind]
        assert chain.step[kind][kind] > max(begins) or kinds_of(default_parameters())[kind] == LIVE


@pytest.mark.parametrize("name", NAMES)
def test_the_stretches_of_a_record_cover_the_talk(name: str) -> None:
    transcript, _, record = samples.sample(name)
    assert record.stretches
    first, last = record.stretches[0], record.stretches[-1]
    spoken = [cue for cue in transcript.cues if cue.text.strip()]
    assert first.cue <= spoken[-1].index
    assert last.last_cue == spoken[-1].index
    for one, following in pairwise(record.stretches):
        assert one.kind != following.kind
        assert (one.last_cue, one.end) <= (following.cue, following.start)
        assert one.t <= min(one.until, following.t)
        assert one.until == pytest.approx(following.t, abs=0.02)
    assert all(0.0 < one.confidence <= 1.0 for one in record.stretches)


TALK = (
    "Ottilie in red, Junia in blue. Here we go!",
    "Takedown, two for red!",
    "Two-nothing, red.",
    "Last year it was six four and she won that one.",
    "She was six two down at the break last year.",
    "Step out, one for blue!",
    "Two-one.",
)


def test_what_the_log_rests_on_was_taken_for_live_and_last_year_was_not() -> None:
    cues = tuple(Cue(n + 1, 6.0 * n, 6.0 * n + 5, text) for n, text in enumerate(TALK))
    read, record = read_bout(Transcript("talk.srt", "srt", "", cues), rules="freestyle")
    rested = {e.cue for event in record.events for e in event.evidence} | {s.cue for s in record.statements}
    assert rested >= {2, 3, 6, 7}
    by_cue = {cue: one.kind for one in record.stretches for cue in range(one.cue, one.last_cue + 1)}
    assert all(by_cue[cue] == LIVE for cue in rested)
    assert by_cue[4] == by_cue[5] == "another bout"
    seen = seen_in(read.heard.passages, read.mentions, read.log, default_parameters())
    assert "score let go" in {what for one in seen for what in one.taken}


def test_there_is_no_stretch_where_nothing_is_said() -> None:
    read, record = read_bout(Transcript("talk.srt", "srt", "", ()), rules="freestyle")
    assert record.stretches == ()
    assert find_stretches((), (), read.log, default_parameters()) == ()
