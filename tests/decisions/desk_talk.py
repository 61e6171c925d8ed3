"""Bouts of the samples with decisions on them, for these tests."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from extract import extract_bout
from extract.decisions import Decision
from extract.decisions.make import Request, make
from extract.record import Event, Record
from extract.rules.base import BOUNDS
from tests.samples import FOLDER, NAMES, sample

__all__ = ["FOLDER", "SAMPLES", "decide", "listed", "nature", "sample"]

SAMPLES = NAMES


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
