"""The list of misses: what the measures count, one by one."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.labelled import LabelledBout
from extract.labelled.measures import MEASURES, measure
from extract.labelled.misses import misses
from extract.record import Record
from tests.labelled.hand_made import SAMPLES


def run(*args: object) -> Any:
    return CliRunner().invoke(app, ["measure", *map(str, args)])


def harmed(record: Record) -> Record:
    """A record with faults of every sort: things dropped, moved to the other corner, made up, and a wrong end."""
    swap = {"red": "blue", "blue": "red", None: None}
    events = tuple(
        replace(event, corner=swap[event.corner]) if n % 5 == 0 else event
        for n, event in enumerate(record.events)
        if n % 7
    )
    statements = tuple(
        replace(s, verdict="disagrees" if s.verdict == "agrees" else "agrees") if n % 4 == 0 else s
        for n, s in enumerate(record.statements)
        if n % 6 and s.said is not None
    )
    return replace(
        record,
        events=events,
        statements=statements,
        clock=tuple(
            replace(c, seconds_left=c.seconds_left + 7) if n % 3 == 0 else c
            for n, c in enumerate(record.clock)
        ),
        challenges=tuple(replace(c, by=swap[c.by]) for c in record.challenges),
        board=record.board[: len(record.board) // 2],
        result=replace(record.result, by="fall"),
    )


@pytest.mark.parametrize("harm", [False, True])
def test_they_are_as_many_as_the_tallies_count(
    samples: list[LabelledBout], sample_records: list[Record], harm: bool
) -> None:
    seen = set()
    for bout, record in zip(samples, sample_records, strict=True):
        record = harmed(record) if harm else record
        tallies, listed = measure(bout.truth, record), misses(bout.truth, record)
        assert list(dict.fromkeys(miss.measure for miss in listed)) == [
            name for name in MEASURES if name in {miss.measure for miss in listed}
        ]
        for name, tally in tallies.items():
            of_name = [miss for miss in listed if miss.measure == name]
            assert sum(miss.missed for miss in of_name) == tally.labelled - tally.found
            if tally.given is not None and tally.right is not None:
                assert sum(miss.wrong for miss in of_name) == tally.given - tally.right
            seen |= {name for _ in of_name}
        for miss in listed:
            assert miss.truth is not None or miss.wrong
            assert miss.truth is not None or miss.record is not None
    assert not harm or seen == set(MEASURES)


def test_a_label_stands_with_the_wrong_entry_beside_it(
    samples: list[LabelledBout], sample_records: list[Record]
) -> None:
    (bout, record) = samples[0], sample_records[0]
    assert bout.truth.id == "lantern-final"
    swapped = replace(
        record,
        events=tuple(
            replace(e, corner="blue") if e.kind == "step_out" and e.corner == "red" else e
            for e in record.events
        ),
    )
    (miss,) = [m for m in misses(bout.truth, swapped) if m.measure == "calls" and m.truth]
    assert miss.truth == "step out red 1"
    assert miss.record == "step out blue 1"
    assert miss.missed
    assert miss.wrong


def test_the_command_lists_them_and_puts_them_into_the_json(tmp_path: Path) -> None:
    without = json.loads(run(SAMPLES, "--resamples", "0", "--json").stdout)
    assert all("misses" not in bout for bout in without["bouts"].values())
    told = json.loads(run(SAMPLES, "--resamples", "0", "--misses", "--json").stdout)
    listed = [(name, miss) for name, bout in told["bouts"].items() for miss in bout["misses"]]
    assert listed
    text = run(SAMPLES, "--resamples", "0", "--misses").stdout
    table = text.split("\nMisses: ")[1].splitlines()
    assert table[0].startswith(f"{len(listed)}, each")
    assert table[1].split() == ["bout", "time", "measure", "truth", "record"]
    for (name, miss), line in zip(listed, table[2:], strict=False):
        assert line.startswith(name)
        assert f" {miss['measure']} " in line
        assert line.endswith(miss["record"] or "-")
    assert "Misses" not in run(SAMPLES, "--resamples", "0").stdout
    assert run(SAMPLES, "--misses", "--phrases").exit_code == 2


def test_no_column_of_intervals_where_there_are_none() -> None:
    assert "95 %" not in run(SAMPLES, "--resamples", "0").stdout
    assert "95 %" in run(SAMPLES, "--resamples", "20").stdout
