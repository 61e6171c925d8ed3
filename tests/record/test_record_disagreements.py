"""What was said on air against the log: one list, each thing in it once, the worst first."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from record_example import make_record, make_statement

from extract.export.facts import fact_sheet
from extract.export.facts_text import facts_text
from extract.record import Flag, Record, disagreement_lines, disagreements
from extract.record.disagreements import on_air, sentence
from extract.record.files import csv_text
from extract.record.said_table import COLUMNS, json_line, said_rows, spoken
from extract.transcript import Transcript
from extract.transcript.cue import Cue, Order
from tests.samples import NAMES, sample


def flag(number: int, kind: str, severity: str, **changed: object) -> Flag:
    values: dict[str, object] = {
        "id": f"f{number}", "kind": kind, "severity": severity, "t": 115.0, "cue": None, "text": "", "said": "red",
        "computed": "blue", "why": "Blue scored last.",
    }  # fmt: skip
    return Flag(**{**values, **changed})  # type: ignore[arg-type]


def test_a_line_for_each_the_worst_first() -> None:
    """By severity, then by confidence; what is unclear comes last and does not say what should be."""
    flags = (
        *make_record().flags,
        flag(9, "criteria", "warning", refs=("e2",), confidence=0.7),
        flag(8, "riding_time_said", "note", said="1:10", computed="0:41", cue=12, why="By what was said."),
    )
    lines = disagreement_lines(make_record(flags=flags), "in/match.srt")
    assert lines == (
        "in/match.srt:30:2:10: wrong score: said Brackett ahead by 2; should be 3-0 Varnholt (88 %): Red leads.",
        "in/match.srt:25:1:52: wrong score: said 3-1 Varnholt; should be 3-0 Varnholt: No call has given blue a point.",
        "in/match.srt:0:1:55: wrong on criteria: said Varnholt; should be Brackett (70 %): Blue scored last.",
        "in/match.srt:60:6:35: wrong winner: said Brackett; should be Varnholt: Red leads.",
        "in/match.srt:19:1:22: wrong time left?: said 1:00; computed 0:40: It rose.",
        "in/match.srt:12:1:55: wrong riding time?: said 1:10; computed 0:41: By what was said.",
    )


def test_an_account_without_times_has_lines() -> None:
    record = make_record(statements=(make_statement(1, 20.0),), flags=())
    source = replace(record.source, times="by order", order=Order(20.0, 8.0, (1, 4, 7)))
    (line,) = disagreement_lines(replace(record, source=source), "a.txt")
    assert line.startswith("a.txt:4: wrong score: said 3-1 Varnholt; should be 3-0 Varnholt (88 %): ")
    ((_, _, _, _, _, _, t, time, *_),) = said_rows(
        disagreements(replace(record, source=source)), replace(record, source=source), "a.txt", "a", None
    )
    assert (t, time) == (None, "line 4")


def test_what_was_not_said_has_its_reason_alone() -> None:
    nothing = flag(
        1, "nothing_understood", "error", said=None, computed=None, why="Nothing was heard.", t=0.0
    )
    record = make_record(statements=(), flags=(nothing,))
    assert disagreement_lines(record, "a.srt") == ("a.srt:0:0:00: nothing understood: Nothing was heard.",)
    assert disagreements(record)[0].verdict == "wrong"
    assert "0:00: NOTHING UNDERSTOOD\n  Nothing was heard.\n" in facts_text(fact_sheet(record))


def test_what_agrees_and_what_is_of_another_bout_is_no_disagreement() -> None:
    same = flag(9, "final_score", "error", said=(3, 0), computed=(3, 0))
    other = flag(8, "score_apart", "note", said=(7, 5), computed=(0, 0))
    record = make_record(statements=make_record().statements[:1], flags=(same, other))
    assert disagreement_lines(record, "match.srt") == ()
    # Whoever goes through all that was said wants to see it.
    assert [item.id for item in on_air(record)] == ["f8", "s1"]


def test_an_unclear_score_that_is_the_computed_one_is_in_the_whole_list_alone() -> None:
    unclear = make_statement(1, 60.0, said=(2, 0), computed=(2, 0), verdict="unclear", slip=None)
    about = flag(1, "score_unclear", "note", said=(2, 0), computed=(2, 0), refs=("s1",), confidence=0.6)
    record = make_record(statements=(unclear,), flags=(about,))
    assert disagreements(record) == ()
    (item,) = on_air(record)
    assert (item.verdict, item.head(record), item.id) == ("unclear", "unclear score", "f1")


def test_a_lead_is_told_as_one() -> None:
    lead = make_statement(1, 60.0, said=None, margin=2, leader="blue", verdict="unclear", slip=None)
    about = flag(
        1, "score_unclear", "note", said="Brackett ahead by 2", computed=(3, 0), refs=("s1",), confidence=0.7
    )
    record = make_record(statements=(lead,), flags=(about,))
    (item,) = disagreements(record)
    assert (item.kind, item.head(record), item.verdict) == ("lead", "wrong lead?", "unclear")
    assert (
        ": wrong lead?: said Brackett ahead by 2; computed 3-0 Varnholt (70 %)"
        in disagreement_lines(record, "a")[0]
    )


def test_a_final_score_that_is_a_stated_score_too_is_one_thing() -> None:
    stated = flag(1, "score", "error", said=(3, 1), computed=(3, 0), refs=("s1", "s2"))
    final = flag(2, "final_score", "error", said=(3, 1), computed=(3, 0), refs=("s2",))
    record = make_record(statements=(make_statement(1, 60.0), make_statement(2, 63.0)), flags=(stated, final))
    (item,) = on_air(record)
    assert (item.head(record), item.id) == ("wrong final score", "f2 f1")
    assert [s.id for s in item.statements] == ["s1", "s2"]
    assert sentence(item.flag, record) == "Correction: the final score was 3-0 to Varnholt."
    assert "said 2 times: 1:00, 1:03" in facts_text(fact_sheet(record))


def test_a_score_that_was_right_in_its_moment_and_wrong_at_the_end() -> None:
    final = flag(9, "final_score", "error", said=(2, 0), computed=(3, 0), refs=("s1",), cue=25, t=60.0)
    record = make_record(statements=make_record().statements[:1], flags=(final,))
    assert [(item.verdict, item.id) for item in on_air(record)] == [("wrong", "f9"), ("right", "s1")]


@pytest.mark.parametrize(
    ("about", "said"),
    [
        (flag(1, "winner", "error", said="blue", computed="red"), "Correction: Varnholt won 3-0 by points."),
        (flag(1, "winner", "error", said="red", computed="blue"), "Correction: Brackett won."),
        (flag(1, "criteria", "warning"), "Correction: Brackett led on criteria."),
        (
            flag(1, "final_score", "error", said=(1, 0), computed=(2, 2)),
            "Correction: the final score was 2-2.",
        ),
        # The officials give the point, and a bout file is no commentary.
        (flag(1, "riding_time", "warning"), ""),
        (flag(1, "known", "warning", said=(1, 0), computed=(2, 2)), ""),
        (flag(1, "clock", "note", said="1:00", computed="0:40"), ""),
    ],
)
def test_the_sentence_to_read_out(about: Flag, said: str) -> None:
    record = make_record(statements=(), flags=(about,))
    (item,) = on_air(record)
    assert sentence(item.flag, record) == said


_KINDS = (
    "score",
    "score_unclear",
    "final_score",
    "winner",
    "criteria",
    "clock",
    "riding_time_said",
    "known",
    "edition",
)
_VALUES = st.sampled_from([None, (3, 1), (3, 0), (0, 3), "red", "blue", "1:00"])


@st.composite
def records(draw: st.DrawFn) -> Record:
    """Records with any flags on any statements, each statement under one flag of the scores at most."""
    verdicts = draw(st.lists(st.sampled_from(["agrees", "disagrees", "unclear"]), max_size=6))
    statements = tuple(
        make_statement(n, 10.0 * n, verdict=v, said=draw(st.sampled_from([(3, 1), (3, 0), None])))
        for n, v in enumerate(verdicts, 1)
    )
    left = [s.id for s in statements]
    flags = []
    for n in range(draw(st.integers(0, 6))):
        kind, refs = draw(st.sampled_from(_KINDS)), ()
        if kind.startswith("score"):
            refs, left = tuple(left[: (k := draw(st.integers(0, 2)))]), left[k:]
        elif kind == "final_score" and statements:
            refs = (draw(st.sampled_from(statements)).id,)
        severity = draw(st.sampled_from(["error", "warning", "note"]))
        flags.append(
            flag(n, kind, severity, said=draw(_VALUES), computed=draw(_VALUES), refs=refs, why=f"Why {n}.")
        )
    return make_record(statements=statements, flags=tuple(flags))


@given(records())
def test_each_flag_and_each_statement_comes_once(record: Record) -> None:
    told = [
        f.id for f in record.flags
        if f.severity != "note" and None not in (f.said, f.computed) and f.said != f.computed
    ]  # fmt: skip
    for items in (disagreements(record), on_air(record)):
        found = [f.id for item in items for f in item.flags]
        assert len(found) == len(set(found))
        assert set(told) <= set(found)
        of_scores = [s.id for item in items if item.flag.kind != "final_score" for s in item.statements]
        assert len(of_scores) == len(set(of_scores))
    shown = [s.id for item in on_air(record) for s in item.statements]
    assert set(shown) == {s.id for s in record.statements}
    lines = disagreement_lines(record, "a.srt")
    assert len(lines) == len(disagreements(record))
    sheet = fact_sheet(record)
    assert len(sheet.wrong) == sum(item.verdict == "wrong" for item in on_air(record))


@pytest.mark.parametrize("name", NAMES)
def test_every_flag_of_a_sample_is_told_once_everywhere(name: str) -> None:
    _, _, record = sample(name)
    told = [f for f in record.flags if f.severity != "note" and f.said is not None and f.computed is not None]
    lines, sheet = disagreement_lines(record, name), fact_sheet(record)
    for each in told:
        assert sum(line.startswith(f"{name}:{each.cue}:") and each.why in line for line in lines) == 1
        assert sum(fact.why == each.why for fact in sheet.wrong) == 1
    assert len(sheet.wrong) == len(told)


def test_rows_are_the_same_in_both_forms() -> None:
    record = make_record()
    rows = list(said_rows(on_air(record), record, "=match.srt", "match", None))
    objects = [json.loads(json_line(row)) for row in rows]
    assert [list(each) for each in objects] == [list(COLUMNS)] * len(rows)
    read = list(csv.DictReader(io.StringIO(csv_text(COLUMNS, rows))))
    assert read[0]["file"] == "'=match.srt"
    for mine, other in zip(objects, read, strict=True):
        assert {k: "" if v is None else str(v) for k, v in mine.items() if k != "file"} == (
            {k: v for k, v in other.items() if k != "file"}
        )


def test_the_line_and_who_said_it() -> None:
    cues = (
        Cue(24, 110.0, 112.0, "That was", "Marla"),
        Cue(25, 112.0, 114.0, "so it is three", "Oswin"),
        Cue(26, 114.0, 116.0, "to one, they say.", "Oswin"),
    )
    transcript = Transcript("match.srt", "srt", "0" * 64, cues)
    record = make_record()
    item = next(item for item in on_air(record) if "f1" in item.id)
    found = spoken(item.flag, transcript)
    assert (found.speaker, found.before, found.words, found.after) == (
        "Oswin", "so it is ", "three to one", ", they say.",
    )  # fmt: skip
    assert spoken(item.flag, None).before == ""
