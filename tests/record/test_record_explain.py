"""The sentence on what decided an event."""

from __future__ import annotations

import re

from extract.record.model import Event, Record
from tests.made_talk import Line, awards, bout

START = "Here we go, first period."
FIRST: tuple[Line, ...] = (START, "Takedown, red! Two points.", "Two-nothing, red.")


def one(record: Record, **wanted: object) -> Event:
    (event,) = [e for e in record.events if all(getattr(e, k) == v for k, v in wanted.items())]
    return event


def test_called_and_confirmed_by_the_next_score() -> None:
    (event,) = awards(bout(*FIRST, (40.0, "Two-nothing, red, still.")))
    assert event.why == (
        'Said: "Takedown, red! Two points" at 0:05; confirmed by "Two-nothing" (2-0 Felmouth) at 0:10.'
    )


def test_a_slip_confirms_nothing() -> None:
    record = bout(*FIRST[:2], "Five-three, red.", (40.0, "Two-nothing, red."), (50.0, "Two-nothing, red."))
    assert awards(record)[0].why.endswith('; confirmed by "Two-nothing" (2-0 Felmouth) at 0:40.')


def test_no_score_after_it() -> None:
    record = bout(*FIRST, (40.0, "Step-out, one, blue."))
    assert one(record, corner="blue").why.startswith(
        'Said: "Step-out, one" at 0:40; no score said later confirms it'
    )


def test_confirmed_together_with_the_award_after_it() -> None:
    record = bout(
        *FIRST, (40.0, "Step-out, one, blue."), (50.0, "Takedown, red! Two."), (56.0, "Four-one, red.")
    )
    assert (
        '; confirmed, with what was scored next, by "Four-one" (4-1 Felmouth) at 0:56'
        in one(record, corner="blue").why
    )
    assert '; confirmed by "Four-one" (4-1 Felmouth) at 0:56' in awards(record)[2].why


def test_told_again_the_first_two_places_are_quoted() -> None:
    again = ("That's the takedown for red.", "So that's two for the takedown, red.")
    (event,) = awards(bout(START, "Takedown, red! Two points.", *again, "2-0, red."))
    assert len(event.evidence) == 3
    assert event.why.startswith(
        'Said: "Takedown, red! Two points" at 0:05 and "takedown" at 0:10, and once more;'
    )


def test_inferred_lies_between_two_stated_scores() -> None:
    record = bout(
        *FIRST, (60.0, "A long exchange."), (70.0, "That makes it two-two."), (80.0, "Two-two on the board.")
    )
    assert one(record, basis="inferred").why.startswith(
        'Nobody mentioned it; it lies between "Two-nothing" (2-0 Felmouth) at 0:10 and "two-two" (2-2) at 1:10'
    )


def test_inferred_with_no_score_before_it() -> None:
    record = bout(START, (30.0, "Two-nothing, red."), (50.0, "Two-nothing, red."))
    assert one(record, basis="inferred").why.startswith(
        'Nobody mentioned it; it lies between the start (0-0) and "Two-nothing" (2-0 Felmouth) at 0:30'
    )


def test_inferred_since_the_rules_need_it_for_the_next_call() -> None:
    # From neutral there is no escape (NCAA wrestling rules, rule 4: an escape is made by the wrestler underneath).
    record = bout(START, (40.0, "Escape, blue, one point!"), rules="collegiate")
    (needed,) = [e for e in awards(record) if e.basis == "inferred"]
    assert re.match(
        r'Nobody mentioned it, but without it the rules do not allow what was said next, "Escape[^"]*" at 0:40',
        needed.why,
    )


def test_challenges_are_named_with_their_words() -> None:
    record = bout(
        *FIRST,
        (30.0, "Takedown, blue! Two points."),
        (36.0, "Red corner throws the brick, they challenge."),
        (70.0, "Challenge is won, the two points come off."),
        (80.0, "Two-nothing, red."),
    )
    off = one(record, status="overturned")
    assert re.match(
        r'Said: "Takedown, blue! Two points" at 0:30; '
        r'overturned at 1:10, when Felmouth\'s challenge was won \("Challenge is won[^"]*"\)',
        off.why,
    )
    record = bout(
        *FIRST,
        (36.0, "Blue corner throws the brick, they challenge."),
        (70.0, "Challenge is lost, one point for red."),
        (80.0, "Three-nothing, red."),
    )
    point = one(record, kind="challenge_point")
    assert point.why.startswith(
        "Follows from Strandlow's challenge, which was lost at 1:10 (\"Challenge is lost"
    )
    assert 'confirmed by "Three-nothing" (3-0 Felmouth) at 1:20' in point.why


def test_other_readings_are_named_from_five_in_a_hundred_on() -> None:
    told = re.compile(r"; (\d+) % of the interpretations have (.+)\.$")
    # Nothing confirms the call, and a question weakens it.
    record = bout(*FIRST, (40.0, "Two for red there, maybe?"), (60.0, "And they circle."))
    doubtful = bout(*FIRST, (40.0, "Step-out, one, maybe."), (60.0, "And they circle."))
    found = [(e, m) for e in (*awards(record), *awards(doubtful)) if (m := told.search(e.why))]
    assert found
    for event, match in found:
        assert 5 <= int(match[1]) <= round(100 * (1 - event.confidence) + 1)
    assert not told.search(awards(record)[0].why)
