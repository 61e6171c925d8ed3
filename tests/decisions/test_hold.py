"""What a person has decided holds in the record, whatever the talk says."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract import extract_bout
from extract.decisions.make import Refused, Request, make
from extract.rules import get_ruleset
from extract.rules.base import BOUNDS, other
from extract.rules.kinds import KINDS
from tests.decisions.desk_talk import SAMPLES, decide, listed, nature, sample

LANTERN = "lantern-final.srt"


def event_at(name: str, t: float) -> str:
    """The id of the event nearest to a moment."""
    return min(listed(sample(name)[2]), key=lambda e: abs(e.t - t)).id


@pytest.mark.parametrize("name", SAMPLES)
def test_accepting_everything_leaves_everything_as_it_was(name: str) -> None:
    transcript, bout, record = sample(name)
    requests = [Request("accept", "event", event.id) for event in listed(record)]
    # All looking at the first record: ids may change from one to the next.
    decisions = [make(request, record, transcript, (), "wren") for request in requests]
    after = extract_bout(transcript, bout, decisions=decisions)
    assert [(nature(e), e.t) for e in listed(after)] == [(nature(e), e.t) for e in listed(record)]
    assert {e.confidence for e in listed(after)} == {1.0}
    assert [c.outcome for c in after.challenges] == [c.outcome for c in record.challenges]
    assert not [flag for flag in after.flags if flag.kind.startswith("decision")]


@settings(max_examples=20, deadline=None)
@given(st.data())
def test_a_changed_event_is_what_was_said(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(SAMPLES))
    record = sample(name)[2]
    event = data.draw(st.sampled_from(listed(record)))
    rules = get_ruleset(record.bout.rules, record.bout.edition)
    actions = [kind for kind in rules.scoring_kinds if KINDS[kind].does == "action"]
    kind = data.draw(st.sampled_from(actions))
    to = {
        "kind": kind,
        "points": data.draw(st.sampled_from(rules.points_of(kind))),
        "who": data.draw(st.sampled_from(["red", "blue"])),
        "status": "stands",
        "challenge": None,
    }
    try:
        after, decisions = decide(name, Request("change", "event", event.id, to))
    except Refused:
        return
    found = [e for e in after.events if e.decided == decisions[-1].id]
    assert [(e.kind, e.points, e.corner) for e in found] == [(to["kind"], to["points"], to["who"])]
    assert abs(found[0].t - event.t) < 2.5
    tied = any(event.id in challenge.events for challenge in record.challenges)
    if nature(found[0])[1:4] != nature(event)[1:4] and event.basis == "called" and not tied:
        # The words that told of it tell of nothing else now.
        telling = {(e.cue, e.start) for e in event.evidence}
        assert not [
            e for e in after.events if e.decided is None and telling & {(p.cue, p.start) for p in e.evidence}
        ]


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_a_removed_event_is_gone(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(SAMPLES))
    event = data.draw(st.sampled_from(listed(sample(name)[2])))
    after, decisions = decide(name, Request("remove", "event", event.id))
    alike = [
        e
        for e in listed(after)
        if nature(e)[1:4] == nature(event)[1:4] and (e.points or e.kind == event.kind)
    ]
    before = [
        e
        for e in listed(sample(name)[2])
        if e.id != event.id and nature(e)[1:4] == nature(event)[1:4] and abs(e.t - event.t) <= 4
    ]
    beside = [e for e in alike if e.basis == "called" and abs(e.t - event.t) <= 4]
    kept = [flag for flag in after.flags if flag.kind == "decision_conflict"]
    assert len(beside) <= len(before) or kept
    assert [d.id for d in after.decisions] == [decisions[-1].id]


def test_what_was_added_by_hand_counts() -> None:
    to = {"t": 330.0, "kind": "step_out", "who": "blue", "points": 1}
    after, _ = decide(LANTERN, Request("add", "event", to=to, cue=80))
    added = next(e for e in after.events if e.decided)
    assert (added.t, added.kind, added.corner, added.confidence) == (330.0, "step_out", "blue", 1.0)
    assert "Corrected by hand" in added.why
    red, blue = [(b.red, b.blue) for b in after.board if b.t < 330][-1]
    assert [(b.red, b.blue) for b in after.board if b.t <= 330][-1] == (red, blue + 1)


def test_what_a_person_has_added_is_not_told_as_uncalled() -> None:
    to = {"t": 300.0, "kind": "step_out", "corner": "blue", "points": 1, "against": None}
    after, _ = decide(LANTERN, Request("add", "event", to=to))
    (added,) = [event for event in after.events if event.decided]
    assert not [flag for flag in after.flags if added.id in flag.refs and flag.kind == "uncalled"]


def test_an_addition_is_taken_back_by_removing_it() -> None:
    transcript, bout, record = sample(LANTERN)
    to = {"t": 330.0, "kind": "step_out", "who": "blue", "points": 1}
    after, decisions = decide(LANTERN, Request("add", "event", to=to))
    added = next(e for e in after.events if e.decided)
    undo = make(Request("remove", "event", added.id), after, transcript, decisions, "wren")
    assert (undo.do, undo.target) == ("undo", decisions[0].id)
    assert extract_bout(transcript, bout, decisions=[*decisions, undo]) == record


def test_a_score_means_what_a_person_says() -> None:
    record = sample(LANTERN)[2]
    wrong = next(s for s in record.statements if s.verdict == "disagrees")
    after, decisions = decide(LANTERN, Request("change", "score", wrong.id, {"said": list(wrong.computed)}))
    found = next(s for s in after.statements if s.decided == decisions[0].id)
    assert (found.cue, found.said, found.verdict) == (wrong.cue, wrong.computed, "agrees")
    none, _ = decide(LANTERN, Request("change", "score", wrong.id, {"said": None}))
    assert not [s for s in none.statements if (s.cue, s.start) == (wrong.cue, wrong.start)]
    assert not [flag for flag in none.flags if flag.cue == wrong.cue and flag.kind == "score"]


def test_a_score_nobody_heard_can_be_marked() -> None:
    cue = next(c for c in sample(LANTERN)[0].cues if c.start > 120)
    assert not [s for s in sample(LANTERN)[2].statements if s.cue == cue.index]
    request = Request(
        "add", "score", to={"t": cue.start, "said": [5, 1]}, cue=cue.index, text=cue.text.split()[0]
    )
    after, decisions = decide(LANTERN, request)
    found = next(s for s in after.statements if s.decided == decisions[0].id)
    assert (found.cue, found.said, found.verdict) == (cue.index, (5, 1), "disagrees")


@pytest.mark.parametrize("outcome", ["won", "lost", "withdrawn"])
def test_the_outcome_of_a_challenge_does_what_the_rules_say(outcome: str) -> None:
    record = sample(LANTERN)[2]
    for challenge in record.challenges:
        if challenge.outcome == outcome:
            continue
        after, _ = decide(LANTERN, Request("change", "challenge", challenge.id, {"outcome": outcome}))
        found = next(c for c in after.challenges if abs(c.t - challenge.t) < 1)
        assert (found.outcome, found.by) == (outcome, challenge.by)
        against = other(challenge.by or "red")
        given = [
            e
            for e in after.events
            if e.kind == "challenge_point" and e.corner == against and e.id in found.events
        ]
        if outcome == "lost":
            # Nothing said speaks against the point.
            assert given or any(f.kind == "score" for f in after.flags)
        else:
            assert not given
        assert not [
            e for e in after.events if e.status == "overturned" and e.id in found.events and outcome != "won"
        ]


def test_sides_and_result_are_set() -> None:
    record = sample(LANTERN)[2]
    names = {"red": record.bout.blue.name, "blue": record.bout.red.name}
    after, _ = decide(LANTERN, Request("change", "sides", to=names))
    assert (after.bout.red.name, after.bout.blue.name) == (names["red"], names["blue"])
    assert after.bout.red.team == record.bout.blue.team
    won, decisions = decide(LANTERN, Request("change", "result", to={"winner": "red", "by": "injury"}))
    assert (won.result.winner, won.result.by, won.result.confidence) == ("red", "injury", 1.0)
    again, decisions = decide(LANTERN, Request("change", "sides", to=names), made=decisions)
    assert again.result.winner == "red"


def test_a_period_begins_where_a_person_says() -> None:
    record = sample(LANTERN)[2]
    start = next(e for e in record.events if e.kind == "period_start" and e.period == 2)
    after, made = decide(LANTERN, Request("change", "event", start.id, {"t": start.t + 7}))
    moved = next(e for e in after.events if e.kind == "period_start" and e.period == 2)
    assert moved.t == pytest.approx(start.t + 7)
    assert not [flag for flag in after.flags if flag.kind.startswith("decision")]
    # Once more, a second later: the new decision takes the place of the old one.
    again = make(
        Request("change", "event", moved.id, {"t": moved.t + 1}), after, sample(LANTERN)[0], made, "wren"
    )
    assert again.replaces == (made[0].id,)


def test_what_the_rules_forbid_stands_and_is_named() -> None:
    name = "pellingham-dual.txt"
    # Nothing is scored once a fall has ended the bout.
    fall = {"t": 60.0, "kind": "fall", "who": "red"}
    late = {"t": 90.0, "kind": "takedown", "who": "blue", "points": 2}
    after, decisions = decide(name, Request("add", "event", to=fall), Request("add", "event", to=late))
    assert [e.kind for e in after.events if e.decided] == ["fall", "takedown"]
    flag = next(flag for flag in after.flags if flag.kind == "decision_conflict")
    assert decisions[1].id in flag.why
    assert "the rules do not allow it there" in flag.why


def test_decisions_that_contradict_are_named_and_neither_is_taken() -> None:
    transcript, bout, record = sample(LANTERN)
    at = event_at(LANTERN, 171)
    one = make(Request("remove", "event", at), record, transcript, (), "wren")
    two = make(Request("accept", "event", at), record, transcript, (), "finch")
    after = extract_bout(transcript, bout, decisions=[one, two])
    assert [nature(e) for e in listed(after)] == [nature(e) for e in listed(record)]
    flag = next(flag for flag in after.flags if flag.kind == "decision_conflict")
    assert one.id in flag.why
    assert two.id in flag.why
    assert not after.decisions


def test_bounds_are_no_events_to_remove() -> None:
    start = next(e for e in sample(LANTERN)[2].events if e.kind in BOUNDS)
    after, _ = decide(LANTERN, Request("remove", "event", start.id))
    assert [flag.kind for flag in after.flags if flag.kind.startswith("decision")] == ["decision_unplaced"]


def test_a_score_that_was_on_the_board_brings_what_is_missing() -> None:
    record = sample(LANTERN)[2]
    wrong = next(s for s in record.statements if s.slip == "wrong")
    request = Request("change", "score", wrong.id, {"right": True})
    after, decisions = decide(LANTERN, request)
    found = next(s for s in after.statements if s.decided == decisions[0].id)
    assert (found.said, found.verdict, found.computed) == (wrong.said, "agrees", wrong.said)
    assert found.confidence == 1.0
    assert [e.points for e in listed(after)] != [e.points for e in listed(record)]
    # And what was right can have been a slip.
    right = next(s for s in record.statements if s.verdict == "agrees" and s.t > 100)
    after, decisions = decide(LANTERN, Request("change", "score", right.id, {"right": False}))
    found = next(s for s in after.statements if s.decided == decisions[0].id)
    assert found.verdict == "disagrees"


def test_what_is_added_rests_on_marked_words_alone() -> None:
    """The words of a line may tell of something else, which they go on to tell."""
    transcript, _, record = sample(LANTERN)
    call = next(e for e in record.events if e.kind == "step_out" and e.corner == "red")
    place = call.evidence[0]
    to = {"t": call.t, "kind": "exposure", "who": "blue", "points": 2}
    plain = make(Request("add", "event", to=to, cue=place.cue), record, transcript, (), "wren")
    marked = make(
        Request("add", "event", to=to, cue=place.cue, text=place.text), record, transcript, (), "wren"
    )
    assert (plain.words, [word.text for word in marked.words]) == ((), [place.text])


@settings(max_examples=10)
@given(st.data())
def test_an_event_stands_where_a_person_has_put_it(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(SAMPLES))
    record = sample(name)[2]
    event = data.draw(st.sampled_from(listed(record)))
    t = round(data.draw(st.floats(1, record.source.seconds)), 2)
    try:
        after, made = decide(name, Request("change", "event", event.id, {"t": t}))
    except Refused:
        return
    assert [e.t for e in after.events if e.decided == made[0].id] == [t]
    assert [e.t for e in after.events] == sorted(e.t for e in after.events)


def test_a_challenge_that_there_was_not_stays_away() -> None:
    record = sample(LANTERN)[2]
    for challenge in record.challenges:
        after, _ = decide(LANTERN, Request("remove", "challenge", challenge.id))
        assert not [c for c in after.challenges if abs(c.t - challenge.t) < 20]
        other_one, made = decide(
            LANTERN, Request("change", "challenge", challenge.id, {"by": other(challenge.by or "red")})
        )
        assert [c.decided for c in other_one.challenges if abs(c.t - challenge.t) < 20] == [made[0].id]


def test_no_score_said_meanwhile_decides_a_challenge() -> None:
    """A score that shows another board closes a challenge that nobody decided; not one of which it is known."""
    record = sample(LANTERN)[2]
    for statement in record.statements:
        to = {"t": max(statement.t - 12, 0.0), "by": "red", "outcome": "unknown"}
        after, made = decide(LANTERN, Request("add", "challenge", to=to))
        assert [c.outcome for c in after.challenges if c.decided == made[0].id] == ["unknown"]


def test_a_result_that_is_decided_is_asked_no_more() -> None:
    after, _ = decide("tallow-quarter.vtt", Request("accept", "result"))
    assert not [doubt for doubt in after.doubts if doubt.about == "result"]


def test_periods_that_cannot_be_are_named_and_wreck_nothing() -> None:
    record = sample(LANTERN)[2]
    start = next(e for e in record.events if e.kind == "period_start" and e.period == 2)
    for t in (5.0, record.source.seconds + 1000):
        after, made = decide(LANTERN, Request("change", "event", start.id, {"t": t}))
        assert {e.period for e in after.events} == {1, 2}
        flag = next(flag for flag in after.flags if flag.kind == "decision_conflict")
        assert made[0].id in flag.why


def test_a_challenge_and_what_it_brought_may_both_be_decided() -> None:
    """They rest on the same words, and each finds them."""
    record = sample(LANTERN)[2]
    given = next(e for e in record.events if e.kind == "challenge_point")
    after, made = decide(LANTERN, Request("accept", "event", given.id))
    lost = next(c for c in after.challenges if given.id in c.events)
    after, made = decide(
        LANTERN, Request("change", "challenge", lost.id, {"outcome": "withdrawn"}), made=made
    )
    assert [(e.t, e.kind) for e in after.events if e.decided == made[0].id] == [(given.t, "challenge_point")]
    assert [c.outcome for c in after.challenges if c.decided == made[1].id] == ["withdrawn"]
