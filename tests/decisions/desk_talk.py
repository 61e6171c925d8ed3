"""Bouts of the samples with decisions on them, for these tests."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from extract import extract_bout, read_bout_file, read_transcript
from extract.decisions import Decision
from extract.decisions.make import Request, make
from extract.record import Event, Record
from extract.rules.base import BOUNDS
from extract.transcript import BoutFile, Transcript, transcript_files
from tests.samples import FOLDER

SAMPLES = tuple(path.name for path in transcript_files(FOLDER))


@cache
def sample(name: str) -> tuple[Transcript, BoutFile | None, Record]:
    """A sample's transcript, its bout file and its record."""
    path = FOLDER / name
    beside = path.with_suffix("").with_suffix(".bout.toml")
    transcript = read_transcript(path)
    bout = read_bout_file(beside) if beside.exists() else None
    return transcript, bout, extract_bout(transcript, bout)


def listed(record: Record) -> list[Event]:
    """The events that are no bounds of periods."""
    return [event for event in record.events if event.kind not in BOUNDS]


def decide(name: str, *requests: Request, made: Sequence[Decision] = ()) -> tuple[Record, list[Decision]]:
    """The record of a sample after one decision and another, each made looking at what came of those before."""
    transcript, bout, record = sample(name)
    decisions = list(made)
    for request in requests:
        decisions.append(make(request, record, transcript, decisions, "wren"))
        record = extract_bout(transcript, bout, decisions=decisions)
    return record, decisions


def nature(event: Any) -> tuple[object, ...]:
    """What an event is, its time left aside."""
    return event.kind, event.corner, event.against, event.points, event.status
