"""The sample session with its truth, and how far found parts are from it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from extract.record import Record
from extract.session import Session, Sheet, extract_session, read_sheet
from extract.transcript import Transcript, read_transcript
from tests.samples import FOLDER

PEBBLE = FOLDER / "session" / "pebble-cup.srt"
#: A boundary is right within so many seconds.
NEAR_S = 20.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What was found in the sample session."""

    session: Session
    records: list[Record]


@lru_cache(maxsize=1)
def pebble() -> Transcript:
    return read_transcript(PEBBLE)


@lru_cache(maxsize=1)
def pebble_sheet() -> Sheet:
    return read_sheet(PEBBLE.with_suffix(".sheet.csv"))


@lru_cache(maxsize=1)
def pebble_truth() -> list[dict[str, Any]]:
    bouts: list[dict[str, Any]] = json.loads(PEBBLE.with_suffix(".session.json").read_text(encoding="utf-8"))[
        "bouts"
    ]
    return bouts


@lru_cache(maxsize=2)
def found(*, sheet: bool) -> Outcome:
    """The parts and records of the sample session, with the sheet or without."""
    session, records = extract_session(pebble(), sheet=pebble_sheet() if sheet else None)
    return Outcome(session, records)
