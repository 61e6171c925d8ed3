"""WebVTT tracks that are no captions: chapters for a player's menu, metadata for a score overlay."""

from __future__ import annotations

import json

from extract.checks.words import score_text
from extract.export.board import BoardStretch, board_states, stretches
from extract.export.webvtt import TrackCue, webvtt
from extract.record.model import Record


def chapters_vtt(record: Record) -> str:
    """A chapter for each period and each break, with the score (red first) as it begins and ends."""
    return webvtt(TrackCue(part.start, part.end, _title(part)) for part in stretches(record))


def _title(part: BoardStretch) -> str:
    before, after = score_text(part.before), score_text(part.after)
    if part.period is None and before == after:
        return f"{part.name}: {after}"
    return f"{part.name}: {before} to {after}"


def metadata_vtt(record: Record) -> str:
    """A cue for each state of the computed board. Its payload is a JSON object with ``red`` and ``blue`` (points),
    ``period`` (0 before the first) and ``event`` (the kind of what brought the state, or null)."""
    return webvtt(
        TrackCue(
            state.start,
            state.end,
            json.dumps(
                {"red": state.score[0], "blue": state.score[1], "period": state.period, "event": state.event}
            ),
        )
        for state in board_states(record)
    )
