"""Talk of any length: what is kept to save time changes nothing in what comes out, and nothing goes too deep."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from extract.bout import extract_bout
from extract.log.compare import EVENTS, paired
from extract.log.frame import Frame, Period, TimeCheck
from extract.log.hypothesis import Hypothesis, ReadingEvent, Said, SaidHistory
from extract.log.said_history import as_ahead, said_since
from extract.mentions.model import ScoreMention
from extract.rules import get_ruleset
from extract.rules.base import IllegalMove
from tests.made_talk import heard, transcript


@pytest.mark.parametrize("word", ["seven", "two", "nothing"])
def test_thousands_of_captions_of_one_number(word: str) -> None:
    assert len(extract_bout(transcript(*[word] * 5000)).statements) <= 1


def test_a_caption_of_thousands_of_scores() -> None:
    scores = " ".join(["3-1", "3-2"] * 300)
    assert sum(isinstance(m, ScoreMention) for m in heard(scores).mentions) == 600


@pytest.mark.parametrize("seed", range(6))
def test_changing_a_long_log_is_the_same_as_playing_it_anew(seed: int) -> None:
    pick = random.Random(seed)
    rules = get_ruleset(pick.choice(["freestyle", "collegiate"]))
    h = Hypothesis(0.0, rules.initial())
    for step in range(400):
        legal = [m for m in rules.legal_events(h.state) if m.kind not in ("bout_end", "fall", "period_end")]
        legal = [m for m in legal if rules.after(h.state, m).over is None]  # type: ignore[union-attr]
        pushed = h.push(rules, ReadingEvent(pick.choice(legal), float(step), float(step), "called"), 0.0)
        assert pushed is not None
        h = pushed
        if pick.random() < 0.2:
            at = len(h.entries) - 1 - min(int(pick.expovariate(0.1)), len(h.entries) - 1)
            gone = h.entries[at]._replace(overturned=0, off=float(step))
            entries = (*h.entries[:at], gone, *h.entries[at + 1 :])
            strict = pick.random() < 0.5
            changed = h.rebuilt(rules, entries, at, float(step), 0.0, strict=strict)
            moves = [e.move for e in entries if e.overturned is None]
            state = rules.replay(moves)
            if strict:
                try:
                    state = rules.initial()
                    for move in moves:
                        state = rules.apply(state, move)
                except IllegalMove:
                    assert changed is None
                    continue
            assert changed is not None
            assert changed.state == state.but(challenges=h.state.challenges)
            if changed.state.over is None:
                h = changed
    assert len(h.entries) == 400


def said(seed: int) -> tuple[SaidHistory | None, float]:
    """Scores said, with values that come again at once and later, and a moment among them."""
    pick = random.Random(seed)
    history, t = None, 0.0
    for k in range(pick.randint(0, 60)):
        t += pick.choice([0.5, 2.0, 7.9, 8.0, 20.0])
        value = pick.choice([(1, 0), (1, 0), (2, 0)])
        history = SaidHistory(Said(k, t, value, pick.choice([(1, 0)] * 9 + [(0, 0)]), "agrees"), history)
        if history is not None and pick.random() < 0.3:
            history.run(8.0)
    return history, pick.uniform(0, t) if pick.random() < 0.5 else 0.0


def looked_through(history: SaidHistory | None, last_event: float) -> Iterator[tuple[SaidHistory, int]]:
    out: list[tuple[SaidHistory, int]] = []
    count = 0
    while history is not None:
        count += 1
        item = history.item
        if item.board != (1, 0) or item.t < last_event:
            break
        if out and out[-1][0].item.said == item.said and out[-1][0].item.t - item.t < 8.0:
            out[-1] = (history, count)
        elif len(out) == 3:
            break
        else:
            out.append((history, count))
        history = history.rest
    return iter(out)


@pytest.mark.parametrize("seed", range(60))
def test_scores_said_over_are_found_without_a_look_at_each(seed: int) -> None:
    history, last_event = said(seed)
    rules = get_ruleset("freestyle")
    h = Hypothesis(0.0, rules.initial().but(score=(1, 0)), said=history)
    found, wanted = said_since(h, last_event, 8.0), list(looked_through(history, last_event))
    assert [(node.item, back) for node, back in found] == [(node.item, back) for node, back in wanted]


def test_thousands_of_scores_that_counted_an_award_taken_back() -> None:
    history = None
    for k in range(5000):
        history = SaidHistory(Said(k, float(k), (2, 0), (2, 0), "agrees"), history)
    changed = as_ahead(history, 1000.0, (2, 0), (0, 0))
    for k in range(4999, -1, -1):
        assert changed is not None
        assert changed.item.verdict == ("ahead" if k >= 1000 else "agrees")
        changed = changed.rest


@pytest.mark.parametrize("seed", range(20))
def test_pairs_are_the_nearest_in_time(seed: int) -> None:
    pick = random.Random(seed)
    rules = get_ruleset("freestyle")
    state = rules.apply(rules.initial(), rules.legal_events(rules.initial())[0])
    moves = [m for m in rules.legal_events(state) if m.points]
    a, b = (
        [
            ReadingEvent(pick.choice(moves), pick.uniform(0, 300), 0.0, "called")
            for _ in range(pick.randint(0, 20))
        ]
        for _ in range(2)
    )
    left, right = set(range(len(a))), set(range(len(b)))
    wanted = set()
    for step, alike in enumerate(EVENTS):
        near = sorted(
            (abs(a[i].t - b[j].t), i, j)
            for i in left
            for j in right
            if abs(a[i].t - b[j].t) <= 20.0 and alike(a[i], b[j])
        )
        for _, i, j in near:
            if i in left and j in right:
                left.remove(i)
                right.remove(j)
                wanted |= {(i, j)} if step else set()
    found = paired(a, b, [e.t for e in a], [e.t for e in b], EVENTS)
    assert set(found) == wanted | {(i, None) for i in left} | {(None, j) for j in right}


@pytest.mark.parametrize("seed", range(60))
def test_the_clock_between_readings(seed: int) -> None:
    pick = random.Random(seed)
    period = Period(1, 10.0, 400.0, 180)
    times = sorted(
        pick.choice([5.0, 20.0, 20.0, 90.0, 180.0, 300.0, 380.0]) for _ in range(pick.randint(0, 6))
    )
    readings = [TimeCheck(k, t, int(180 - 170 * t / 400), 1, True) for k, t in enumerate(times)]
    frame = Frame([period], readings)
    points = [(10.0, 180.0), *((r.t, float(r.seconds)) for r in readings)]
    for t in (10.0, 20.0, 55.5, 180.0, 399.0):
        before = max((p for p in points if p[0] <= t), key=lambda p: p[0])
        after = min((p for p in points if p[0] > t), default=None, key=lambda p: p[0])
        found = frame.clock_at(t)
        assert found is not None
        if after is None:
            assert found[0] == max(round(before[1] - (t - before[0]), 1), 0.0)
        else:
            assert min(before[1], after[1]) - 0.1 <= found[0] <= max(before[1], after[1]) + 0.1
