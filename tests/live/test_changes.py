"""What is told when a view follows another: everything, in order, once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from extract.live.changes import (
    BoutBegun,
    BoutOver,
    CallTold,
    Change,
    FlagTold,
    NameLearned,
    NoticeTold,
    ScoreChanged,
    StreamTold,
    TakenBack,
    call_content,
    changes,
    flag_content,
)
from extract.live.model import LiveCall, LiveFlag, Notice, View
from extract.live.told import Told
from tests.live.made_views import board, call, flag, side, story, view


def told_of(views: Iterable[View], told: frozenset[str] = frozenset()) -> list[Change]:
    found: list[Change] = []
    before = None
    for now in views:
        found += changes(before, now, told)
        before = now
    return found


def kinds(found: Iterable[Change]) -> list[str]:
    return [type(change).__name__ for change in found]


def test_a_bout_is_told_in_order() -> None:
    assert kinds(told_of(story())) == [
        "BoutBegun", "NameLearned",
        "CallTold", "ScoreChanged",
        "NameLearned", "CallTold", "ScoreChanged",
        "TakenBack", "ScoreChanged",
        "NoticeTold", "FlagTold",
        "StreamTold",
        "PeriodBegun", "FlagTold", "BoutOver", "StreamTold",
    ]  # fmt: skip


def test_the_same_view_tells_nothing() -> None:
    for each in story():
        assert list(changes(each, replace(each, revision=each.revision + 1))) == []


def test_a_score_says_which_call_brought_it() -> None:
    scores = [change for change in told_of(story()) if isinstance(change, ScoreChanged)]
    assert [(s.before, s.board.score, s.by and s.by.id) for s in scores] == [
        ((0, 0), (0, 2), "e1"),
        ((0, 2), (0, 4), "e2"),
        ((0, 4), (0, 2), None),
    ]
    assert [s.t for s in scores] == [42, 47, 80]


def test_a_score_that_an_overturned_call_leaves_is_so_from_now_on() -> None:
    first, second = call(1, 46, (0, 2)), call(2, 51, (0, 4))
    both = view(1, 52, board=board((0, 4), 52), calls=(second, first))
    left = view(2, 83, board=board((0, 2), 83), calls=(replace(second, status="overturned"), first))
    again = replace(both, revision=3, t=90.0)
    scores = [c for c in told_of([both, left, again]) if isinstance(c, ScoreChanged)]
    assert [(s.t, s.by and s.by.id) for s in scores] == [(47, "e2"), (83, None), (90, "e2")]


def test_a_call_that_is_missing_was_taken_back_and_the_score_without_it_is_told() -> None:
    taken = [change for change in told_of(story()) if isinstance(change, TakenBack)]
    assert [(t.call.id, t.board.score, t.now) for t in taken] == [("e2", (0, 2), 80)]


def test_a_call_that_drifts_is_not_told_again_and_one_that_changes_is() -> None:
    first = view(1, calls=(call(1, 46, (0, 2)),))
    drifted = view(2, calls=(call(1, 46.4, (0, 2), confidence=0.8, tentative=False),))
    overturned = view(3, calls=(call(1, 46.4, (0, 2), status="overturned"),))
    assert list(changes(first, drifted)) == []
    (change,) = changes(drifted, overturned)
    assert isinstance(change, CallTold)
    assert change.was is not None
    assert change.call.status == "overturned"


def test_calls_and_flags_of_an_earlier_bout_are_let_go_in_silence() -> None:
    first = view(1, calls=(call(1, 46, (0, 2)),), flags=(flag(1, 50),), board=board((0, 2)))
    second = view(2, board=replace(board(), bout=2), bouts=("Skelvara wins 2-0 by points",))
    assert kinds(changes(first, second)) == ["BoutOver", "BoutBegun", "NameLearned"]


def test_the_end_of_a_bout_is_told_once() -> None:
    over = view(2, board=board((0, 2), over="Skelvara wins 2-0 by points"))
    following = view(3, board=replace(board(), bout=2), bouts=("Skelvara wins 2-0 by points",))
    ends = [c for c in told_of([view(1), over, following]) if isinstance(c, BoutOver)]
    assert [(end.bout, end.text) for end in ends] == [(1, "Skelvara wins 2-0 by points")]


def test_the_end_of_a_bout_is_not_told_again_after_a_restart() -> None:
    over = view(2, board=board((0, 2), over="Skelvara wins 2-0"))
    told = frozenset(change.id for change in told_of([over]))
    following = view(3, board=replace(board(), bout=2), bouts=("Junia Skelvara wins 2-0 by points",))
    assert not [c for c in changes(None, following, told) if isinstance(c, BoutOver)]


def test_a_bout_that_goes_on_after_all_is_told() -> None:
    over = view(1, board=board((0, 2), over="Skelvara wins 2-0 by points"))
    on = view(2, board=board((0, 2)))
    assert [c.text for c in changes(over, on) if isinstance(c, BoutOver)] == [""]


def test_a_flag_that_came_and_went_between_two_views_is_not_told() -> None:
    gone = flag(1, 50, state="withdrawn")
    assert list(changes(view(1), view(2, flags=(gone,)))) == []


def test_a_flag_that_is_missing_was_withdrawn_unless_somebody_answered_it() -> None:
    open_, answered = flag(1, 50), flag(2, 55, state="answered", answer="slip")
    found = list(changes(view(1, flags=(answered, open_)), view(2)))
    assert [(c.flag.id, c.what) for c in found if isinstance(c, FlagTold)] == [("f1", "withdrawn")]


def test_an_answer_that_is_undone_raises_the_flag_again() -> None:
    answered = view(1, flags=(flag(1, 50, state="answered", answer="slip"),))
    (change,) = changes(answered, view(2, flags=(flag(1, 50),)))
    assert isinstance(change, FlagTold)
    assert change.what == "raised"


def test_notices_of_what_the_views_show_are_not_told_twice() -> None:
    kept = Notice(4, 90, "mixed", "two producers")
    now = view(2, notices=(Notice(3, 80, "taken_back", "at 1:20 taken back: ..."), kept))
    assert [c.notice for c in changes(view(1), now) if isinstance(c, NoticeTold)] == [kept]


def test_a_stream_that_stalls_and_runs_again() -> None:
    views = [view(1), view(2, state="stalled"), view(3), view(4, state="ended")]
    assert [c.state for c in told_of(views) if isinstance(c, StreamTold)] == ["stalled", "running", "ended"]


def test_after_a_restart_only_news_is_told() -> None:
    views = story()
    told = frozenset(change.id for change in told_of(views[:6]))
    assert list(changes(None, views[5], told)) == []
    assert kinds(changes(None, views[7], told)) == ["PeriodBegun", "FlagTold", "BoutOver", "StreamTold"]


def test_what_was_told_is_kept_on_disk_and_a_torn_line_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "told.jsonl"
    first = told_of(story()[:4])
    Told(path).keep(first)
    with path.open("a") as file:
        file.write('{"id": "call 1 e9|')
    again = Told(path)
    assert again.goes_on
    assert again.until == 52
    assert list(changes(None, story()[3], again.ids)) == []
    again.keep(told_of(story()[4:5]))
    assert Told(path).until == 80
    again.end()
    anew = Told(path)
    assert (anew.goes_on, anew.ids, anew.until) == (False, frozenset(), 0)


def test_a_flag_that_was_withdrawn_before_a_restart_and_is_there_again_is_told(tmp_path: Path) -> None:
    path = tmp_path / "told.jsonl"
    there, gone = view(1, flags=(flag(1, 50),)), view(2, flags=(flag(1, 50, state="withdrawn"),))
    told = Told(path)
    told.keep(told_of([there, gone]))
    again = Told(path)
    assert list(changes(None, gone, again.ids)) == []
    (change,) = changes(None, there, again.ids)
    assert isinstance(change, FlagTold)
    assert change.what == "raised"


_CALLS = st.dictionaries(
    st.integers(1, 5), st.tuples(st.sampled_from(["a", "b"]), st.sampled_from(["stands", "overturned"])), max_size=4
)  # fmt: skip
_STATES = st.sampled_from(["open", "answered", "withdrawn"])
_FLAGS = st.dictionaries(st.integers(1, 4), st.tuples(_STATES, st.sampled_from(["x", "y"])), max_size=3)
_MOMENTS = st.tuples(
    st.integers(0, 1), _CALLS, _FLAGS, st.tuples(st.integers(0, 3), st.integers(0, 3)),
    st.sampled_from([None, "Ottilie Brannoway", "Tilly Brannoway"]),
)  # fmt: skip


def drawn_views(moments: list[Any]) -> list[View]:
    views, bout = [], 1
    for n, (step, calls, flags, score, name) in enumerate(moments):
        bout += step
        made_calls = [
            call(c, 10.0 * c, (0, c), text, status=status, bout=bout)
            for c, (text, status) in sorted(calls.items())
        ]
        made_flags = [
            flag(
                f, 9.0 * f, state=state, said=said, bout=bout, answer="slip" if state == "answered" else None
            )
            for f, (state, said) in sorted(flags.items())
        ]
        shown = replace(board(score, 100.0 + n), bout=bout, red=side("Brannoway", score[0], name))
        views.append(
            view(n, 100.0 + n, board=shown, calls=tuple(made_calls[::-1]), flags=tuple(made_flags[::-1]))
        )
    return views


@given(st.lists(_MOMENTS, min_size=1, max_size=8))
def test_what_is_told_rebuilds_the_last_view(moments: list[Any]) -> None:
    views = drawn_views(moments)
    calls: dict[str, LiveCall] = {}
    flags: dict[str, LiveFlag] = {}
    score, name = (0, 0), None
    for change in told_of(views):
        if isinstance(change, BoutBegun):
            calls, flags, score, name = {}, {}, (0, 0), None
        elif isinstance(change, CallTold):
            calls[change.call.id] = change.call
        elif isinstance(change, TakenBack):
            del calls[change.call.id]
        elif isinstance(change, ScoreChanged):
            assert score == change.before
            score = change.board.score
        elif isinstance(change, NameLearned) and change.corner == "red":
            name = change.full_name
        elif isinstance(change, FlagTold):
            flags.pop(change.flag.id, None)
            if change.what == "raised":
                flags[change.flag.id] = change.flag
    last = views[-1]
    assert last.board is not None
    assert {c.id: call_content(c) for c in last.calls} == {n: call_content(c) for n, c in calls.items()}
    opened = {f.id: flag_content(f) for f in last.flags if f.state == "open"}
    assert opened == {n: flag_content(f) for n, f in flags.items()}
    assert last.board.score == score
    assert last.board.red.full_name in (name, None)


@given(st.lists(_MOMENTS, min_size=1, max_size=8), st.integers(1, 8))
def test_nothing_is_told_twice_even_after_a_restart(moments: list[Any], cut: int) -> None:
    told, last = Told(), {}
    before = None
    for n, now in enumerate(drawn_views(moments)):
        if n == cut:
            # A desk that is started again does not know what it showed last, but what was told.
            before = None
        new = list(changes(before, now, told.ids))
        told.keep(new)
        for change in new:
            assert last.get(change.about) != change.id
            last[change.about] = change.id
        assert list(changes(before, now, told.ids)) == []
        before = now


def test_what_is_kept_in_memory_has_an_end() -> None:
    told = Told()
    for n in range(6000):
        told.keep(changes(None, View(1, "", "running", 1.0, None, notices=(Notice(n, 1.0, "mixed", "x"),))))
    assert 1000 < len(told.ids) < 5000
