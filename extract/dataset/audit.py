"""An audit by hand: a sample of a dataset's entries to look at, and what the answers say about the whole.

The sample is drawn by strata of confidence, with more of it where the confidence is low (Neyman's allocation: W. G.
Cochran, Sampling Techniques, 3rd ed. 1977, section 5.5). The share of wrong entries is the stratified estimate. Its
interval is the score interval with the effective sample size (C. Franco, R. J. A. Little, T. A. Louis and E. V. Slud,
Comparative study of
confidence intervals for proportions in complex sample surveys, J. Surv. Stat. Methodol. 7 (2019) 334-364). Both from
memory.
"""

from __future__ import annotations

import csv
import hashlib
import heapq
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from typing import Any

from extract.checks.sides import CORNERS_ONLY, lead_text, leading
from extract.dataset.intervals import wilson
from extract.dataset.store import Store
from extract.errors import InputError
from extract.record.bout_words import VERDICTS
from extract.record.files import csv_text
from extract.transcript.decode import decode, delimiter_of, read_bytes

#: Upper ends of the strata of confidence.
STRATA = (0.5, 0.8, 0.95, 1.0)
COLUMNS = (
    "bout_id", "table", "id", "t", "time", "entry", "words", "confidence", "stratum", "stratum_size", "right", "note",
)  # fmt: skip
#: Answers to whether an entry is right, in the column ``right``.
_YES, _NO = frozenset({"yes", "y", "1", "true", "right"}), frozenset({"no", "n", "0", "false", "wrong"})
#: The least number of entries in each stratum, because the program's own confidence may be wrong.
_LEAST = 10
_OF_EVENTS = [
    "bout_id", "input", "id", "t", "kind", "corner", "points", "evidence", "evidence_at", "confidence", "status",
]  # fmt: skip
_OF_STATEMENTS = [
    "bout_id", "input", "id", "t", "cue", "text", "said_red", "said_blue", "margin", "leader", "computed_red",
    "computed_blue", "verdict", "confidence",
]  # fmt: skip
_REMEDY = "give the file that saidscore dataset audit --out wrote, with yes or no in the column right"


@dataclass(frozen=True, slots=True)
class Answers:
    """What an audit found. ``share`` is that of wrong entries, with its interval. ``looked`` entries were looked at,
    of the ``population`` of all strata with an answer. ``strata`` has for each by its name its size, how many were
    looked at, and how many of those were wrong."""

    share: float
    low: float
    high: float
    looked: int
    population: int
    strata: Mapping[str, tuple[int, int, int]]


def _stratum(confidence: float) -> str:
    for low, high in zip((0.0, *STRATA), STRATA, strict=False):
        if confidence <= high:
            return f"{low:g} to {high:g}"
    return f"{STRATA[-2]:g} to {STRATA[-1]:g}"


def plan(store: Store, size: int, seed: int) -> list[dict[str, Any]]:
    """A sample of ``size`` awards and stated scores, drawn by ``seed``: rows with ``COLUMNS`` in order of the
    recordings, and their ``input`` and ``cue``. ``right`` and ``note`` are blank. The same dataset and seed give the same
    sample."""
    sizes: dict[str, int] = {}
    wrong: dict[str, float] = {}
    drawn: dict[str, list[tuple[int, str, dict[str, Any]]]] = {}
    for entry in _entries(store):
        stratum = _stratum(entry["confidence"])
        sizes[stratum] = sizes.get(stratum, 0) + 1
        wrong[stratum] = wrong.get(stratum, 0.0) + 1 - entry["confidence"]
        name = f"{entry['bout_id']} {entry['table']} {entry['id']}"
        # The smallest hashes are a random sample, whatever the order and number of entries.
        rank = int.from_bytes(hashlib.sha256(f"{seed} {name}".encode()).digest()[:8])
        heap = drawn.setdefault(stratum, [])
        if len(heap) < size:
            heapq.heappush(heap, (-rank, name, entry))
        else:
            heapq.heappushpop(heap, (-rank, name, entry))
    shares = _allocated(size, {name: (n, wrong[name] / n) for name, n in sizes.items()})
    rows = []
    for stratum, heap in drawn.items():
        for _, _, entry in heapq.nlargest(shares[stratum], heap):
            rows.append({**entry, "stratum": stratum, "stratum_size": sizes[stratum]})
    return sorted(rows, key=lambda row: (row["bout_id"], row["t"], row["table"], row["id"]))


def _allocated(size: int, strata: Mapping[str, tuple[int, float]]) -> dict[str, int]:
    """How many of a sample each stratum gets: in proportion to its number of entries times the expected spread within
    it, and at least a few."""
    weight = {name: n * sqrt(max(p * (1 - p), 0.01)) for name, (n, p) in strata.items()}
    total = sum(weight.values())
    given = {}
    for name, (n, _) in strata.items():
        given[name] = min(
            n, max(round(size * weight[name] / total), min(_LEAST, size // max(len(strata), 1)))
        )
    while (over := sum(given.values()) - size) > 0:
        most = max(given, key=lambda name: given[name])
        given[most] -= min(over, max(given[most] // 10, 1))
    return given


def _entries(store: Store) -> Iterator[dict[str, Any]]:
    """The points that stand and the stated scores."""
    for part in store.parts():
        events = store.read_table("events", part, _OF_EVENTS)
        for row in events.to_pylist():
            if row["points"] and row["status"] == "stands":
                what = f"{row['corner']} {row['points']} for {row['kind'].replace('_', ' ')}"
                at = row["evidence_at"]
                cue = int(at.partition(":")[0]) if at else None
                yield _entry(row, "events", what, row["evidence"], cue)
        statements = store.read_table("statements", part, _OF_STATEMENTS)
        for row in statements.to_pylist():
            said = lead_text(CORNERS_ONLY, row["leader"], row["margin"])
            if row["said_red"] is not None:
                said = leading(CORNERS_ONLY, (row["said_red"], row["said_blue"]))
            computed = leading(CORNERS_ONLY, (row["computed_red"], row["computed_blue"]))
            what = f"said {said}, computed {computed}: {VERDICTS[row['verdict']]}"
            yield _entry(row, "statements", what, row["text"], row["cue"])


def _entry(
    row: Mapping[str, Any], table: str, what: str, words: str | None, cue: int | None
) -> dict[str, Any]:
    seconds = int(row["t"])
    return {
        "bout_id": row["bout_id"],
        "input": row["input"],
        "cue": cue,
        "table": table,
        "id": row["id"],
        "t": row["t"],
        "time": f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}",
        "entry": what,
        # A spreadsheet takes 2-0 for a date, but not in quotation marks.
        "words": f"\u201c{words}\u201d" if words else "",
        "confidence": row["confidence"],
        "right": "",
        "note": "",
    }


def plan_csv(rows: Sequence[Mapping[str, Any]]) -> bytes:
    """A plan as CSV that a spreadsheet opens. It has a column ``sentence`` after the words if the rows have it."""
    at = COLUMNS.index("words") + 1
    more = ("sentence",) if rows and "sentence" in rows[0] else ()
    columns = (*COLUMNS[:at], *more, *COLUMNS[at:])
    return csv_text(columns, ([row[key] for key in columns] for row in rows)).encode("utf-8-sig")


def read_answers(path: Path) -> Answers:
    """What the answers in a plan say. Raises InputError, with the line, if it is not a plan or an answer is neither
    yes nor no."""
    text = decode(read_bytes(path), str(path))
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter_of(text))
    missing = {"stratum", "stratum_size", "right"}.difference(reader.fieldnames or ())
    if missing:
        raise InputError(path, f"has no column {min(missing)!r}", _REMEDY, 1)
    strata: dict[str, tuple[int, int, int]] = {}
    for row in reader:
        answer = (row["right"] or "").strip().lower()
        try:
            population = int(row["stratum_size"] or "")
        except ValueError:
            raise InputError(
                path, "a row without the size of its stratum", _REMEDY, reader.line_num
            ) from None
        if answer and answer not in _YES | _NO:
            raise InputError(
                path, f"the answer {row['right']!r} is neither yes nor no", _REMEDY, reader.line_num
            )
        name = row["stratum"] or ""
        before = strata.get(name, (population, 0, 0))
        strata[name] = population, before[1] + bool(answer), before[2] + (answer in _NO)
    if not any(looked for _, looked, _ in strata.values()):
        raise InputError(path, "holds no answers", _REMEDY)
    return estimate(strata)


def estimate(strata: Mapping[str, tuple[int, int, int]]) -> Answers:
    """The share of wrong entries, from each stratum's size, how many of it were looked at, and how many of those were
    wrong. A stratum of which nothing was looked at is left out of the share."""
    seen = {name: counts for name, counts in strata.items() if counts[1]}
    population = sum(size for size, _, _ in seen.values())
    looked = sum(n for _, n, _ in seen.values())
    share, variance = 0.0, 0.0
    for size, n, bad in seen.values():
        weight = size / population
        share += weight * bad / n
        # Even a stratum in which none or all were wrong has some spread, so one half of each is added.
        p = (bad + 0.5) / (n + 1)
        variance += weight**2 * p * (1 - p) / n * max(1 - n / size, 0.0)
    p = min(max(share, 0.5 / (looked + 1)), 1 - 0.5 / (looked + 1))
    effective = p * (1 - p) / variance if variance > 0 else None
    low, high = (share, share) if effective is None else wilson(share * effective, effective)
    return Answers(share, low, high, looked, population, dict(strata))
