"""Which question is worth most: small talks, and readings made by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.log import BoutLog, default_parameters, infer
from extract.log.doubts import Ending, OpenQuestion, doubts
from extract.log.facts import Facts
from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun, Said, SaidHistory
from extract.log.to_log import LogEvent, Reading, ScoreTaken
from extract.mentions.model import CallMention, Mention, ScoreMention
from extract.rules import get_ruleset
from extract.rules.base import Corner, Move, Outcome

RULES = get_ruleset("freestyle")


def call(t: float, corner: Corner, points: int = 2, kind: str = "takedown") -> CallMention:
    return CallMention(
        0, 0, t, "asserted", "points and kind", (kind,), points, corner, "attached", signs=("exclaimed",)
    )


def score(t: float, first: int, second: int, holder: Corner | None = "red") -> ScoreMention:
    return ScoreMention(0, 0, t, "asserted", "to", (first, second), holder, "attached" if holder else "none")


def read(*mentions: Mention, seconds: float = 120.0) -> BoutLog:
    return infer(mentions, RULES, seconds)


def award(t: float, corner: Corner = "red", points: int = 2, kind: str = "takedown") -> ReadingEvent:
    return ReadingEvent(Move(kind, corner, points), t, t, "called")


def reading(
    *entries: ReadingEvent, share: float, said: Sequence[Said] = (), reviews: tuple[ReviewRun, ...] = ()
) -> Reading:
    red, blue = (sum(e.move.points for e in entries if e.move.corner == c) for c in ("red", "blue"))
    winner: Corner = "red" if red >= blue else "blue"
    history = None
    for item in said:
        history = SaidHistory(item, history)
    hypothesis = Hypothesis(
        0.0, replace(RULES.initial(), score=(red, blue)), entries, reviews=reviews, said=history
    )
    return Reading(share, hypothesis, tuple(e.t for e in entries), Outcome(winner, "points"))


EMPTY = read()
#: How far a score said is believed in the logs made up here.
SAID_TRUST = 0.9


def log_of(*readings: Reading) -> BoutLog:
    """The log of readings, the first of which is the best."""
    best = readings[0].hypothesis
    events = tuple(
        LogEvent(e, t, t, t, 1, None, None, EMPTY.trust[e.basis], (0, 0))
        for e, t in zip(best.entries, readings[0].times, strict=True)
    )
    taken = []
    history = best.said
    while history is not None:
        taken.append(ScoreTaken(history.item, 1.0, 0.0, trust=SAID_TRUST))
        history = history.rest
    return replace(EMPTY, events=events, taken=tuple(reversed(taken)), best=best, readings=readings)


def about(found: Sequence[OpenQuestion], what: str, at: int | None = None) -> OpenQuestion:
    (only,) = [d for d in found if d.about == what and d.at == at]
    return only


def test_what_is_in_no_doubt_gains_what_its_confidence_lacks() -> None:
    log = read(call(10.0, "red"), score(14.0, 2, 0), score(30.0, 2, 0))
    found = doubts(log)
    sure = [d for d in found if not d.others]
    assert {d.about for d in sure} == {"event", "score", "result"}
    for doubt in sure:
        assert doubt.gain == pytest.approx(1 - doubt.share)
        if doubt.about == "event":
            assert doubt.at is not None
            assert doubt.share == pytest.approx(log.events[doubt.at].confidence, abs=1e-3)
        elif doubt.about == "result":
            assert doubt.share == pytest.approx(log.outcome_confidence, abs=1e-3)
        else:
            assert doubt.at is not None
            assert doubt.share == pytest.approx(log.taken[doubt.at].trust)


def test_what_others_hang_on_comes_before_what_stands_alone() -> None:
    """Whether the second call is a further award decides the board, what the last scores are, and the end; whether
    there was a warning decides nothing else."""
    warning = CallMention(0, 0, 20.0, "asserted", "kind called", ("passivity_warning",), None, None, "none")
    second = call(60.0, "red")
    log = read(call(10.0, "red"), score(14.0, 2, 0), warning, second, score(66.0, 2, 0), score(90.0, 2, 0))
    found = doubts(log)
    lag = default_parameters().get("time", "call_lag_s")
    warned, awarded = (
        next(d for d in found if d.about == "event" and d.t == t - lag) for t in (warning.t, second.t)
    )
    # The warning is the more doubtful of the two, and still the question that is worth less.
    assert warned.share < awarded.share
    assert found.index(awarded) < found.index(warned)
    assert warned.gain == pytest.approx(1 - warned.share)
    assert awarded.gain > 2 * (1 - awarded.share)


def test_a_question_is_worth_what_changes_with_its_answer() -> None:
    """Two awards and the result come and go together; a third stands for itself."""
    first, second, third = award(10.0), award(60.0, "blue"), award(100.0, points=1, kind="step_out")
    log = log_of(reading(first, second, third, share=0.6), reading(third, share=0.4))
    found = doubts(log)
    called, result = log.trust["called"], log.trust["result"]
    # Of three items that two readings have otherwise, the answer puts all three right in four of ten cases.
    assert about(found, "event", 0).gain == pytest.approx(called * 0.4 * 3 + 1 - called)
    assert about(found, "result").gain == pytest.approx(result * 0.4 * 3 + 1 - result)
    assert about(found, "event", 2).gain == pytest.approx(1 - called)
    assert about(found, "event", 0).share == pytest.approx(called * 0.6)
    assert found[-1] == about(found, "event", 2)


def test_each_answer_is_one_of_the_others() -> None:
    kind = reading(award(11.0, kind="exposure"), share=0.2)
    log = log_of(
        reading(award(10.0), share=0.5),
        reading(award(12.0, "blue"), share=0.25),
        kind,
        reading(share=0.05),
    )
    doubt = about(doubts(log), "event", 0)
    called = log.trust["called"]
    assert [o.answer for o in doubt.others] == [award(12.0, "blue"), kind.hypothesis.entries[0], None]
    assert [o.share / called for o in doubt.others] == pytest.approx([0.25, 0.2, 0.05])
    assert doubt.ours == award(10.0)


def test_what_the_log_lacks_is_asked_about_once() -> None:
    """Two readings tell of it a little apart; a third puts another one a minute later."""
    log = log_of(
        reading(share=0.4),
        reading(award(50.0), share=0.3),
        reading(award(58.0), share=0.1),
        reading(award(118.0), share=0.2),
    )
    lacking = [d for d in doubts(log) if d.about == "event"]
    assert [(d.at, d.t, d.ours) for d in lacking] == [(None, 50.0, None), (None, 118.0, None)]
    assert [d.share for d in lacking] == pytest.approx([0.6, 0.8])
    assert [o.answer for o in lacking[0].others] == [award(50.0)]
    assert lacking[0].others[0].share == pytest.approx(0.4)


def test_challenges_and_verdicts_are_asked_about() -> None:
    asked = ReviewRun("red", 60.0, None, "won", 80.0)
    said = Said(3, 70.0, (2, 0), (2, 0), "agrees")
    lost = asked._replace(outcome="lost")
    slip = said._replace(board=(2, 1), verdict="ahead")
    log = log_of(
        reading(award(10.0), share=0.7, said=[said], reviews=(asked,)),
        reading(award(10.0), share=0.2, said=[slip], reviews=(lost,)),
        reading(award(10.0), share=0.1, reviews=()),
    )
    found = doubts(log)
    challenge = about(found, "challenge", 0)
    assert [o.answer for o in challenge.others] == [lost, None]
    assert [o.share for o in challenge.others] == pytest.approx([0.2, 0.1])
    # With "lost" the verdict changes too; with no challenge at all nothing else does.
    assert challenge.gain == pytest.approx(0.2 * 2 + 0.1)
    verdict = about(found, "score", 0)
    assert [o.answer for o in verdict.others] == [slip]
    assert verdict.share == pytest.approx(0.8 * SAID_TRUST)
    none = replace(log, readings=(replace(log.readings[2], share=0.6), replace(log.readings[0], share=0.4)))
    (lacking,) = [d for d in doubts(none) if d.about == "challenge" and d.at is None]
    assert (lacking.ours, lacking.others[0].answer) == (None, asked)


def test_the_result_is_told_with_its_score() -> None:
    log = log_of(reading(award(10.0), share=0.6), reading(award(10.0), award(50.0, "blue", 4), share=0.4))
    result = about(doubts(log), "result")
    assert result.ours == Ending(Outcome("red", "points"), (2, 0))
    assert [o.answer for o in result.others] == [Ending(Outcome("blue", "points"), (2, 4))]


def test_an_answer_after_which_more_is_wrong_is_worth_its_own_item() -> None:
    """The likeliest reading without the award has four others that most readings without it lack."""
    first = award(10.0)
    far = [award(40.0 + 40 * n, "blue", 1, "step_out") for n in range(4)]
    alone = [reading(award(400.0 + 40 * n), share=0.15) for n in range(2)]
    log = log_of(reading(first, share=0.5), reading(*far, share=0.2), *alone)
    asked = about(doubts(log), "event", 0)
    assert asked.gain == pytest.approx(1 - asked.share)


def test_what_is_decided_is_worth_no_question() -> None:
    known = award(10.0)._replace(fact="d1")
    log = log_of(reading(known, share=1.0))
    decided = replace(log, facts=Facts(outcome=Outcome("red", "points")))
    assert {(d.about, d.gain, d.share) for d in doubts(decided)} == {
        ("event", 0.0, 1.0),
        ("result", 0.0, 1.0),
    }
    assert about(doubts(log), "result").gain == pytest.approx(1 - log.trust["result"])


entries = st.builds(
    award,
    st.integers(0, 200).map(float),
    st.sampled_from(("red", "blue")),
    points=st.sampled_from((1, 2, 4)),
    kind=st.sampled_from(("takedown", "throw", "step_out")),
)
challenges = st.builds(
    ReviewRun, st.sampled_from(("red", "blue")), st.just(60.0), st.none(), st.sampled_from(("won", "lost"))
)
stated = st.builds(
    Said,
    st.sampled_from((1, 2, 3)),
    st.just(50.0),
    st.just((2, 0)),
    st.just((2, 0)),
    st.sampled_from(("agrees", "stale", "wrong")),
)


@st.composite
def logs(draw: st.DrawFn) -> BoutLog:
    """Up to six readings that share out the probability, the greatest share first."""
    weights = sorted(draw(st.lists(st.integers(1, 9), min_size=1, max_size=6)), reverse=True)
    return log_of(
        *(
            reading(
                *sorted(draw(st.lists(entries, max_size=4)), key=lambda e: e.t),
                share=w / sum(weights),
                said=draw(st.lists(stated, max_size=3, unique_by=lambda s: s.mention)),
                reviews=tuple(draw(st.lists(challenges, max_size=1))),
            )
            for w in weights
        )
    )


@settings(deadline=None)
@given(logs())
def test_gains_and_shares_are_within_their_bounds(log: BoutLog) -> None:
    found = doubts(log)
    # Gains that rounding alone tells apart are equal, and other things decide.
    assert [d.gain for d in found] == pytest.approx(sorted((d.gain for d in found), reverse=True))
    for doubt in found:
        others = sum(o.share for o in doubt.others)
        assert 1 - doubt.share - 1e-9 <= doubt.gain <= len(found)
        assert doubt.gain >= 0.0
        assert doubt.share + others <= 1 + 1e-9
        assert [o.share for o in doubt.others] == sorted((o.share for o in doubt.others), reverse=True)
        if not doubt.others:
            assert doubt.gain == pytest.approx(1 - doubt.share)


@settings(deadline=None)
@given(logs())
def test_each_item_of_the_log_is_asked_about_once(log: BoutLog) -> None:
    found = [(d.about, d.at) for d in doubts(log) if d.at is not None or d.about == "result"]
    counts = {"event": len(log.events), "score": len(log.taken), "challenge": len(log.best.reviews)}
    wanted = [(what, at) for what, many in counts.items() for at in range(many)]
    assert sorted(found, key=str) == sorted([*wanted, ("result", None)], key=str)


@settings(deadline=None)
@given(logs(), st.data())
def test_the_order_of_readings_with_equal_shares_changes_nothing(log: BoutLog, data: st.DataObject) -> None:
    best, *rest = log.readings
    level = [replace(r, share=0.1) for r in rest]
    turned = data.draw(st.permutations(level))
    best = replace(best, share=0.3)
    assert doubts(replace(log, readings=(best, *level))) == doubts(replace(log, readings=(best, *turned)))
