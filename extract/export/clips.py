"""A list of clips to cut, one around each scoring event and challenge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from extract.export.board import end_of
from extract.export.phrases import challenge_name, event_name, event_state, outcome_text
from extract.export.sides import score_line
from extract.export.timecode import FrameRate, frame_at, label
from extract.record.bout_words import short_sides
from extract.record.files import csv_text
from extract.record.model import Event, Record
from extract.rules.kinds import kinds_that

HEADER = ("start", "end", "start_timecode", "end_timecode", "label")
_ENDS = kinds_that("end")


@dataclass(frozen=True, slots=True)
class Clip:
    """From ``start`` to ``end``, seconds of the recording."""

    start: float
    end: float
    label: str


def clips_csv(record: Record, rate: FrameRate, start: int, before: float, after: float) -> str:
    """CSV (RFC 4180, no byte order mark): start and end of each clip in seconds and in time code, and its label. The
    end is the first frame that is not in the clip. ``start`` is the recording's first frame in time code."""
    rows = (
        (
            round(clip.start, 3),
            round(clip.end, 3),
            label(start + frame_at(clip.start, rate), rate),
            label(start + frame_at(clip.end, rate), rate),
            clip.label,
        )
        for clip in clips(record, before, after)
    )
    return csv_text(HEADER, rows)


def clips(record: Record, before: float, after: float) -> tuple[Clip, ...]:
    """The clips in order. Each reaches from ``before`` seconds before to ``after`` seconds after what it shows,
    within the recording. Clips that overlap are one, and its label names all."""
    close = end_of(record)
    merged: list[Clip] = []
    for found in sorted(_moments(record), key=lambda clip: (clip.start, clip.end)):
        clip = replace(found, start=max(found.start - before, 0.0), end=min(found.end + after, close))
        if merged and clip.start < merged[-1].end:
            last = merged.pop()
            clip = Clip(last.start, max(last.end, clip.end), f"{last.label}; {clip.label}")
        merged.append(clip)
    return tuple(merged)


def _moments(record: Record) -> Iterator[Clip]:
    """What is to be seen. If nobody called it, from the earliest to the latest it can have been."""
    sides = short_sides(record)
    for event in record.events:
        if event.points or event.kind in _ENDS:
            state = event_state(event)
            text = f"{event_name(event, sides)} ({score_line(sides, event.score_after)})"
            yield Clip(*_when(event), f"{text}, {state}" if state else text)
    for challenge in record.challenges:
        text = f"{challenge_name(challenge, sides)}, {outcome_text(challenge)}"
        yield Clip(challenge.t, challenge.t, text)


def _when(event: Event) -> tuple[float, float]:
    return (event.t, event.t) if event.basis == "called" else event.t_range
