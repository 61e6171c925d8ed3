"""How far a record is from the truth about a drawn bout."""

from __future__ import annotations

from collections import Counter
from typing import Any

from extract.bout import extract_bout
from extract.record.model import Record
from tests.drawn.draw_bout import STYLES, draw_bout
from tests.drawn.drawn_bout import DrawnBout
from tests.drawn.say_bout import WARNINGS, Told, say_bout
from tests.drawn.voice import REGISTERS, Noise


def told_bout(number: int, noise: Noise | None = None) -> tuple[DrawnBout, Told]:
    """The bout of a number, and what is said over it: styles and registers take turns."""
    style, register = STYLES[number % len(STYLES)], REGISTERS[number // len(STYLES) % len(REGISTERS)]
    bout = draw_bout(style, number)
    return bout, say_bout(bout, register, noise)


def record_of(told: Told) -> Record:
    """What the program makes of it."""
    return extract_bout(told.transcript, told.bout)


def differences(truth: dict[str, Any], record: Record) -> list[str]:
    """What differs, one line each: the standing awards in order, the warnings, the boards in order, the challenges and
    the result. The kind counts where it was called. Empty where all is as it was drawn."""
    out = []
    stands = [e for e in truth["events"] if e["points"] and e.get("status") != "overturned"]
    found = [e for e in record.events if e.points and e.status == "stands"]
    if [(e["corner"], e["points"]) for e in stands] != [(e.corner, e.points) for e in found]:
        drawn = [(e["t"], e["kind"], e["corner"], e["points"]) for e in stands]
        out.append(f"awards: drawn {drawn}, found {[(e.t, e.kind, e.corner, e.points) for e in found]}")
    else:
        for drawn_event, e in zip(stands, found, strict=True):
            if drawn_event["called"] in ("full call", "kind only") and drawn_event["kind"] != e.kind:
                out.append(f"kind at {drawn_event['t']}: drawn {drawn_event['kind']}, found {e.kind}")
    warned = [(e["kind"], e["against"]) for e in truth["events"] if e["kind"] in WARNINGS]
    heard = [(e.kind, e.against) for e in record.events if e.kind in WARNINGS]
    if warned != heard:
        out.append(f"warnings: drawn {warned}, found {heard}")
    boards = [[b["red"], b["blue"]] for b in truth["board"]]
    shown = [[b.red, b.blue] for b in record.board]
    if boards != shown:
        out.append(f"board: drawn {boards}, found {shown}")
    asked = [(c["by"], c["outcome"]) for c in truth["challenges"]]
    reviewed = [(c.by, c.outcome) for c in record.challenges]
    if asked != reviewed:
        out.append(f"challenges: drawn {asked}, found {reviewed}")
    result = truth["result"]
    end = (result["winner"], result["by"], (result["red"], result["blue"]))
    got = record.result
    if end != (got.winner, got.by, tuple(got.score)):
        out.append(f"result: drawn {end}, found {(got.winner, got.by, tuple(got.score))}")
    return out


def right_final(truth: dict[str, Any], record: Record) -> bool:
    """Whether the final score is right."""
    return tuple(record.result.score) == (truth["result"]["red"], truth["result"]["blue"])


def call_counts(truth: dict[str, Any], record: Record) -> Counter[str]:
    """Hits, drawn and found: awards, nearest first, of the same corner and points within the truth's ``near_s``; and
    slips of the tongue, within 6 s of a score said to disagree with the same numbers."""
    stands = [e for e in truth["events"] if e["points"] and e.get("status") != "overturned"]
    found = [e for e in record.events if e.points and e.status == "stands"]
    near = truth["near_s"]
    hits = _matches(
        [(e["t"], (e["corner"], e["points"])) for e in stands], [(e.t, (e.corner, e.points)) for e in found], near
    )  # fmt: skip
    bad = [(s["t"], tuple(s["said"])) for s in truth["scores"] if s["slip"]]
    flagged = [(s.t, tuple(s.said)) for s in record.statements if s.said and s.verdict == "disagrees"]
    return Counter(
        calls_hit=hits, calls_drawn=len(stands), calls_found=len(found),
        flags_hit=_matches(bad, flagged, 6.0), flags_drawn=len(bad), flags_found=len(flagged),
    )  # fmt: skip


def _matches(drawn: list[tuple[float, Any]], found: list[tuple[float, Any]], near: float) -> int:
    pairs = sorted(
        (abs(a - b), i, j)
        for i, (a, what) in enumerate(drawn)
        for j, (b, same) in enumerate(found)
        if what == same and abs(a - b) <= near
    )
    left: set[int] = set()
    right: set[int] = set()
    for _, i, j in pairs:
        if i not in left and j not in right:
            left.add(i)
            right.add(j)
    return len(left)
