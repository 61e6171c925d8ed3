"""The truth about a drawn bout and what was said over it, in the form of a label file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from extract.transcript import Transcript
from tests.drawn.voice import Voice

#: Seconds from an award to the scoreboard (common practice).
_BOARD_S = 2.0


def truth_of(voice: Voice, called: Mapping[int, str], name: str, transcript: Transcript) -> dict[str, Any]:
    """The label file."""
    bout = voice.bout
    events: list[dict[str, Any]] = []
    for k, e in enumerate(bout.events):
        row: dict[str, Any] = {
            "t": e.t, "period": e.period, "clock": round(e.clock), "kind": e.move.kind, "corner": e.move.corner,
            "points": e.move.points,
        }  # fmt: skip
        if e.move.against is not None:
            row["against"] = e.move.against
        if k in called:
            row["called"] = "full call" if e.move.kind == "challenge_point" else called[k]
        if e.off is not None:
            row["status"] = "overturned"
        events.append(row)
    board = [{"t": t + _BOARD_S if t else 0.0, "red": s[0], "blue": s[1]} for t, s in bout.board()]
    red, blue = bout.score_at(bout.end)
    return {
        "id": name,
        "rules": bout.rules.name,
        "format": transcript.format,
        "seconds": transcript.seconds,
        "near_s": 12,
        "events": events,
        "board": board,
        "scores": voice.truth.get("scores", []),
        "margins": [],
        "clocks": voice.truth.get("clocks", []),
        "challenges": [
            {"t": c.t, "by": c.by, "outcome": c.outcome, "t_outcome": c.t_outcome} for c in bout.challenges
        ],
        "criteria": [],
        "result": {"winner": bout.outcome.winner, "by": bout.outcome.by, "red": red, "blue": blue},
    }
