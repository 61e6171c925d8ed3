"""Which decisions hold after undoing, redoing, replacing, and where two contradict."""

from __future__ import annotations

from dataclasses import replace

from extract.decisions import Decision, EventIs, QuotedWords, ScoreIs, SidesAre, in_force

TAKEDOWN = EventIs(50.0, "takedown", "red", None, 2)
STEP_OUT = EventIs(50.0, "step_out", "red", None, 1)


def change(name: str, to: EventIs | None, by: str = "wren", replaces: tuple[str, ...] = ()) -> Decision:
    do = "remove" if to is None else "accept" if to == TAKEDOWN else "change"
    return Decision(name, "now", by, do, "event", TAKEDOWN, to, (), replaces)  # type: ignore[arg-type]


def turn(name: str, do: str, target: str) -> Decision:
    return Decision(name, "now", "wren", do, target=target)  # type: ignore[arg-type]


def test_undo_and_redo() -> None:
    one, two = change("d1", STEP_OUT), Decision("d2", "now", "wren", "add", "event", None, TAKEDOWN)
    force = in_force([one, two, turn("u1", "undo", "d2")])
    assert force.decisions == (one,)
    assert (force.undoable, force.redoable) == ((one,), (two,))
    assert in_force([one, two, turn("u1", "undo", "d2"), turn("r1", "redo", "d2")]).decisions == (one, two)
    # Who decides something new after undoing has left the old way.
    assert not in_force([one, turn("u1", "undo", "d1"), two]).redoable


def test_what_is_undone_again_gives_place_to_what_it_replaced() -> None:
    one, two = change("d1", STEP_OUT), change("d2", None, replaces=("d1",))
    assert in_force([one, two]).decisions == (two,)
    assert in_force([one, two, turn("u1", "undo", "d2")]).decisions == (one,)


def test_two_that_contradict_are_both_out() -> None:
    one, two, three = change("d1", STEP_OUT), change("d2", None, "finch"), change("d3", TAKEDOWN, "tern")
    force = in_force([one, two])
    assert force.decisions == ()
    assert force.conflicts == ((one, two),)
    assert len(in_force([one, two, three]).conflicts) == 3
    assert in_force([one, two, turn("u1", "undo", "d2")]).decisions == (one,)


def test_the_same_twice_is_once() -> None:
    one, two = change("d1", STEP_OUT), change("d2", STEP_OUT, "finch")
    assert in_force([one, two]).decisions == (one,)
    later = replace(two, of=replace(TAKEDOWN, t=50.8), to=replace(STEP_OUT, t=50.8))
    assert in_force([one, later]).decisions == (one,)
    added = Decision("d3", "now", "wren", "add", "event", None, TAKEDOWN)
    # One person who adds two means two; two people who add one mean one.
    assert len(in_force([added, replace(added, id="d4")]).decisions) == 2
    assert len(in_force([added, replace(added, id="d4", by="finch")]).decisions) == 1


def test_scores_said_in_one_breath_are_not_one() -> None:
    def score(name: str, t: float, said: tuple[int, int], text: str) -> Decision:
        of = ScoreIs(t, (2, 2))
        return Decision(name, "now", "wren", "change", "score", of, ScoreIs(t, said), (QuotedWords(t, text),))

    a, b = score("d1", 9.0, (2, 0), "two-nil"), score("d2", 9.8, (2, 1), "two-one")
    assert in_force([a, b]).decisions == (a, b)


def test_there_is_one_pair_of_sides() -> None:
    a = Decision("d1", "now", "wren", "change", "sides", SidesAre("", ""), SidesAre("Ada", "Bo"))
    b = Decision("d2", "now", "finch", "change", "sides", SidesAre("", ""), SidesAre("Bo", "Ada"))
    assert in_force([a, b]).conflicts == ((a, b),)
