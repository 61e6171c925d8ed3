"""A record made by hand: an invented bout with each sort of entry in it."""

from __future__ import annotations

from extract.record import (
    Alternative,
    BoardEntry,
    BoutInfo,
    Challenge,
    ClockReading,
    Decided,
    Doubt,
    Event,
    Evidence,
    Flag,
    Guess,
    OwnLexicon,
    Record,
    Result,
    RidingTime,
    SideInfo,
    Source,
    Statement,
    Victory,
)
from extract.record.model import PassedOver, Stretch


def make_event(number: int, t: float, **changed: object) -> Event:
    values: dict[str, object] = {
        "id": f"e{number}",
        "t": t,
        "t_range": (t - 3, t + 1),
        "period": 1,
        "clock_s": 180 - t,
        "clock_uncertainty_s": 2.5,
        "kind": "takedown",
        "corner": "red",
        "against": None,
        "points": 2,
        "status": "stands",
        "basis": "called",
        "confidence": 0.93,
        "evidence": (Evidence(4, 0, 16, "two for Varnholt"),),
        "score_after": (2, 0),
        "why": "Two points were called for red.",
    }
    return Event(**{**values, **changed})  # type: ignore[arg-type]


def make_statement(number: int, t: float, **changed: object) -> Statement:
    values: dict[str, object] = {
        "id": f"s{number}",
        "t": t,
        "cue": 25,
        "start": 3,
        "end": 14,
        "text": "three to one",
        "said": (3, 1),
        "margin": None,
        "leader": None,
        "computed": (3, 0),
        "verdict": "disagrees",
        "slip": "wrong",
        "confidence": 0.88,
        "why": "No call has given blue a point.",
    }
    return Statement(**{**values, **changed})  # type: ignore[arg-type]


def make_record(**changed: object) -> Record:
    values: dict[str, object] = {
        "source": Source("match.srt", "srt", "0" * 64, 61, 402.5),
        "bout": BoutInfo(
            "freestyle",
            "2022",
            SideInfo("Ilse Varnholt", "given", "Pellam", "given"),
            SideInfo("Tamsel Brackett", "heard"),
            {"rules": "given", "edition": "assumed"},
        ),
        "events": (
            make_event(1, 10.0, kind="period_start", corner=None, points=0, score_after=(0, 0)),
            make_event(2, 40.25),
            make_event(
                3, 70.0, kind="caution", points=1, against="blue", status="overturned", score_after=(3, 0)
            ),
            make_event(
                4,
                95.0,
                kind="step_out",
                points=1,
                basis="inferred",
                evidence=(),
                clock_s=None,
                clock_uncertainty_s=None,
                score_after=(3, 0),
                why="Only the stated scores show it.",
            ),
        ),
        "board": (BoardEntry(0.0, 0, 0), BoardEntry(40.25, 2, 0), BoardEntry(95.0, 3, 0)),
        "statements": (
            make_statement(1, 60.0, said=(2, 0), computed=(2, 0), verdict="agrees", slip=None),
            make_statement(2, 112.6),
            make_statement(3, 130.0, said=None, margin=2, leader="blue", cue=30, why="Red leads."),
        ),
        "clock": (ClockReading("c1", 81.5, 19, 5, 20, "a minute to go", 60.0, "about", 1),),
        "challenges": (
            Challenge("h1", 74.0, "blue", "won", 101.0, ("e3",), (Evidence(17, 0, 9, "the brick"),)),
        ),
        "result": Result("red", "points", (3, 0), (3, 1), 0.9, Victory("VPO", "victory by points", (3, 0))),
        "flags": (
            Flag(
                "f1",
                "score",
                "error",
                112.6,
                25,
                "three to one",
                (3, 1),
                (3, 0),
                "No call has given blue a point.",
                ("s2", "e4"),
            ),
            Flag("f2", "winner", "warning", 395.0, 60, "Brackett has it", "blue", "red", "Red leads.", ()),
            Flag("f3", "clock", "note", 82.0, 19, "a minute to go", "1:00", "0:40", "It rose.", ("c1",)),
            Flag(
                "f4",
                "challenge_open",
                "warning",
                74.0,
                None,
                "",
                "blue",
                None,
                "No outcome was said.",
                ("h1",),
            ),
        ),
        "riding_time": (RidingTime(95.0, 1, 85.0, "red", 41.5, 2.4, None),),
        "alternatives": (
            Alternative(0.12, (2, 0), "red", "points", ("without step-out red, 1 at 1:35", "ends 2-0")),
            Alternative(0.0, (3, 0), None, "unknown", ("without caution red, 1 at 1:10",)),
        ),
        "lexicons": (OwnLexicon("club.toml", "f" * 64),),
        "doubts": (
            Doubt("e4", "event", 95.0, 1.4, 0.61, "step-out red, 1", (Guess(0.3, "nothing", None),)),
            Doubt(
                "s2",
                "score",
                120.5,
                0.2,
                0.8,
                "said 3-1, the board showed 3-0",
                (Guess(0.1, "it", {"right": True}),),
            ),
        ),
        "decisions": (Decided("d1", "2026-02-14T18:00:00Z", "wren", "event", "no takedown red, 2 at 2:10"),),
        "stretches": (
            Stretch(0.0, 92.5, 1, 0, 6, 12, "live", 0.91),
            Stretch(92.5, 120.0, 6, 13, 8, 20, "another bout", 0.8),
        ),
        "passed_over": (PassedOver(93.0, 6, 13, 21, "six-four", "another bout", 0.8),),
    }
    return Record(**{**values, **changed})  # type: ignore[arg-type]
