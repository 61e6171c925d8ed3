"""The file of decisions: what is kept survives a crash at any moment, and two who write at once do no harm."""

from __future__ import annotations

import json
import multiprocessing
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.decisions import (
    ChallengeIs,
    Decision,
    EventIs,
    Journal,
    MovedOn,
    QuotedWords,
    ResultIs,
    ScoreIs,
    SidesAre,
    read_decisions,
)
from extract.errors import InputError

texts = st.text(max_size=20)
times = st.floats(0, 10_000).map(lambda t: round(t, 2))
corners = st.sampled_from(["red", "blue"])
events = st.builds(
    EventIs, times, st.sampled_from(["takedown", "caution"]), corners, st.none() | corners, st.integers(0, 5)
)
challenges = st.builds(ChallengeIs, times, corners, st.sampled_from(["won", "lost"]), st.none() | times)
scores = st.builds(ScoreIs, times, st.none() | st.tuples(st.integers(0, 30), st.integers(0, 30)))
subjects = st.one_of(
    st.tuples(st.just("event"), events),
    st.tuples(st.just("challenge"), challenges),
    st.tuples(st.just("score"), scores),
    st.tuples(st.just("sides"), st.builds(SidesAre, texts.map("r{}".format), texts.map("b{}".format))),
    st.tuples(st.just("result"), st.builds(ResultIs, st.none() | corners, st.just("fall"))),
)


@st.composite
def decisions(draw: st.DrawFn) -> list[Decision]:
    made: list[Decision] = []
    for k in range(draw(st.integers(1, 5))):
        what, subject = draw(subjects)
        do = draw(st.sampled_from(["accept", "change", "add", "remove"]))
        of, to = None if do == "add" else subject, None if do == "remove" else subject
        words = tuple(draw(st.lists(st.builds(QuotedWords, times, texts), max_size=2)))
        made.append(Decision(f"d{k}", draw(texts), draw(texts), do, what, of, to, words))  # type: ignore[arg-type]
        if draw(st.booleans()):
            made.append(Decision(f"u{k}", "now", "wren", "undo", target=f"d{k}"))
    return made


def an_event(name: str, by: str = "wren") -> Decision:
    return Decision(
        name, "2026-01-01T00:00:00Z", by, "add", "event", None, EventIs(10.0, "takedown", "red", None, 2)
    )


@given(decisions())
def test_what_is_written_is_read_again(
    tmp_path_factory: pytest.TempPathFactory, made: list[Decision]
) -> None:
    path = tmp_path_factory.mktemp("j") / "bout.decisions.jsonl"
    journal = Journal()
    for decision in made:
        journal = journal.append(path, [decision])
    assert read_decisions(path) == journal
    assert list(journal.decisions) == made
    assert journal.length == path.stat().st_size


def test_no_file_is_no_decision(tmp_path: Path) -> None:
    assert read_decisions(tmp_path / "none.decisions.jsonl") == Journal()


def test_a_crash_at_any_byte_leaves_what_was_kept(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    first = Journal().append(path, [an_event("d1")])
    first.append(path, [an_event("d2", "Ünal \u2028 x")])
    whole = path.read_bytes()
    for cut in range(len(whole) + 1):
        path.write_bytes(whole[:cut])
        kept = read_decisions(path)
        assert [d.id for d in kept.decisions] == ["d1", "d2"][: max(whole[:cut].count(b"\n") - 1, 0)]
        # And one goes on from there.
        after = kept.append(path, [an_event("d3")])
        assert read_decisions(path) == after
        assert after.decisions[-1].id == "d3"


def test_who_has_not_seen_the_last_decision_is_told(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    stale = Journal()
    stale.append(path, [an_event("d1")])
    before = path.read_bytes()
    with pytest.raises(MovedOn):
        stale.append(path, [an_event("d2")])
    assert path.read_bytes() == before


def test_what_could_not_be_read_again_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    wrong = Decision("d1", "now", "wren", "add", "sides", SidesAre("a", "b"), SidesAre("a", "b"))
    with pytest.raises(ValueError, match="not with add"):
        Journal().append(path, [wrong])
    assert not path.exists()


def test_what_the_disk_refuses_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    journal = Journal().append(path, [an_event("d1")])

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(InputError, match="No space left"):
        journal.append(path, [an_event("d2")])
    assert read_decisions(path) == journal


def _write(path: Path, who: int) -> None:
    for k in range(20):
        while True:
            try:
                read_decisions(path).append(path, [an_event(f"d{who}-{k}")])
                break
            except MovedOn:
                continue


def test_many_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    context = multiprocessing.get_context("spawn")
    people = [context.Process(target=_write, args=(path, who)) for who in range(3)]
    for one in people:
        one.start()
    for one in people:
        one.join(60)
    found = {d.id for d in read_decisions(path).decisions}
    assert found == {f"d{who}-{k}" for who in range(3) for k in range(20)}


HEAD = '{"schema": "saidscore.decisions/1"}\n'
SIDES = (
    '{"id": "d1", "at": "now", "by": "wren", "do": "change", "what": "sides", '
    '"of": {"red": "", "blue": ""}, "to": {"red": "Ada", "blue": "ada"}}\n'
)
LINE = (
    '{"id": "d1", "at": "now", "by": "wren", "do": "accept", "what": "event", '
    '"of": {"t": 1, "kind": "fall"}, "to": {"t": 1, "kind": "fall"}}\n'
)


@pytest.mark.parametrize(
    ("text", "line", "problem"),
    [
        ('{"schema": "other/1"}\n', 1, "expected saidscore.decisions/1"),
        ("[]\n", 1, "expected saidscore.decisions/1"),
        (HEAD + "nonsense\n", 2, "is no decision"),
        (HEAD + "[]\n", 2, "expected an object"),
        (HEAD + LINE + LINE, 3, "stands in a line before"),
        (HEAD + LINE.replace('"fall"', '"cartwheel"'), 2, "of.kind: expected one of"),
        (HEAD + LINE.replace('"event"', '"weather"'), 2, "what: expected one of"),
        (HEAD + LINE.replace('"accept"', '"add"'), 2, "of: not with add"),
        (HEAD + '{"id": "d1", "at": "now", "by": "w", "do": "undo"}\n', 2, "target: missing"),
        (HEAD + '{"id": "d1", "at": "now", "by": "w", "do": "undo", "target": "x"}\n', 2, "no decision x"),
        (HEAD + LINE.replace('{"t": 1,', '{"t": "1",'), 2, "of.t: expected a number"),
        (HEAD + LINE.replace('{"t": 1,', '{"t": NaN,'), 2, "NaN"),
        (HEAD + SIDES, 2, "the same name"),
        (HEAD + LINE.replace('"d1"', '"d 1"'), 2, "id: letters"),
        (HEAD + LINE.replace('"wren"', '"\\ud800"'), 2, "is no decision"),
        (HEAD + LINE.replace('{"t": 1,', '{"t": 1, "points": 1000000000,'), 2, "points: 0 to"),
        (HEAD + LINE.replace('{"t": 1,', '{"t": 1' + "0" * 400 + ","), 2, "a number"),
        (HEAD + LINE.replace('{"t": 1,', '{"t": 1e999,'), 2, "of.t"),
    ],
)
def test_a_broken_line_is_named(tmp_path: Path, text: str, line: int, problem: str) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_decisions(path)
    assert caught.value.line == line
    assert problem in caught.value.problem


def test_a_file_that_is_not_utf8_is_named(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    path.write_bytes(HEAD.encode() + b"\xff\xfe\n")
    with pytest.raises(InputError, match="is no decision"):
        read_decisions(path)


def test_each_line_is_json_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "bout.decisions.jsonl"
    Journal().append(path, [an_event("d1"), an_event("d2")])
    head, *lines = [json.loads(line) for line in path.read_text().splitlines()]
    assert head == {"schema": "saidscore.decisions/1"}
    assert [line["id"] for line in lines] == ["d1", "d2"]
    assert lines[0]["to"] == {"t": 10.0, "kind": "takedown", "corner": "red", "points": 2}
