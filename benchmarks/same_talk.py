#!/usr/bin/env python3
"""Whether the same talk gives the same log when what does not matter in it is changed.

    python benchmarks/same_talk.py [FOLDER ...] [--every N] [--rows TEXT] [--show] [--jobs N] [--csv FILE]

Each labelled bout of the folders (benchmarks/bouts unless given) is read as it is and then changed in each way of
``benchmarks/talk_changes.py``: other times, talk of something else before it, characters that nobody sees, another
format, other cues, other names. A row says in how many bouts the record stayed the same: the awards (corner and
points, in order, within 12 s), the scores said (value and verdict, in order), the bout clock (at each award within 5 s),
the result (winner, how, score), and all of the log (kinds, warnings and challenges too). The last column says what is
wanted: all of the log in every bout, or awards and result in 95 of 100.
``--show`` names the bouts that differ, and in what.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from benchmarks.talk_changes import Changed, Told, Wanted, rows
from extract.bout import extract_bout
from extract.errors import InputError
from extract.labelled.truth import read_labelled
from extract.record.model import Record
from extract.transcript import BoutFile
from extract.transcript.decode import decode

BOUTS = Path(__file__).parent / "bouts"
PARTS = ("awards", "scores", "clock", "result", "log")
#: An award is the same within so many seconds, and a clock within so many.
NEAR_S, CLOCK_S = 12.0, 5.0
SHARE = 0.95
_OTHER = {"red": "blue", "blue": "red", None: None}


def told(path: Path) -> list[Told]:
    """The labelled bouts of a folder, with the text of their files."""
    out = []
    for bout in read_labelled(path):
        file = path / bout.transcript.file
        text = decode(file.read_bytes(), str(file))
        out.append(Told(file.name, text, bout.transcript, bout.bout or BoutFile(bout.truth.rules)))
    return out


class Facts:
    """What is compared of a record, its times and corners as they were before the change."""

    def __init__(self, record: Record, later: float = 0.0, mirrored: bool = False) -> None:
        def corner(name: str | None) -> str | None:
            return _OTHER[name] if mirrored else name

        def pair(score: tuple[int, int] | None) -> tuple[int, int] | None:
            return (score[1], score[0]) if mirrored and score is not None else score

        stands = [e for e in record.events if e.points and e.status == "stands"]
        self.awards = [(corner(e.corner), e.points) for e in stands]
        self.times = [e.t - later for e in stands]
        self.clocks = [e.clock_s for e in stands]
        self.events = [
            (e.kind, corner(e.corner), corner(e.against), e.points, e.status)
            for e in record.events
            if not e.kind.startswith(("period_", "bout_"))
        ]
        self.scores = [(pair(s.said), s.margin, corner(s.leader), s.verdict) for s in record.statements]
        self.readings = [c.seconds_left for c in record.clock if c.about == "bout"]
        self.challenges = [(corner(c.by), c.outcome) for c in record.challenges]
        result = record.result
        self.result = (corner(result.winner), result.by, pair(result.score))

    def same(self, other: Facts) -> dict[str, bool]:
        """Which parts are the same."""
        awards = self.awards == other.awards and all(
            abs(a - b) <= NEAR_S for a, b in zip(self.times, other.times, strict=True)
        )
        clock = awards and all(
            a is b or (a is not None and b is not None and abs(a - b) <= CLOCK_S)
            for a, b in zip(self.clocks, other.clocks, strict=True)
        )
        scores, result = self.scores == other.scores, self.result == other.result
        rest = self.events == other.events and self.challenges == other.challenges
        whole = awards and clock and scores and result and rest and self.readings == other.readings
        return dict(zip(PARTS, (awards, scores, clock, result, whole), strict=True))


def one_bout(bout: Told, wanted: str) -> list[tuple[str, dict[str, bool] | str]]:
    """What stayed the same in each row; a text where the changed talk could not be read."""
    before = Facts(extract_bout(bout.transcript, bout.bout))
    out: list[tuple[str, dict[str, bool] | str]] = []
    for row in rows():
        if wanted not in row.name:
            continue
        try:
            changed: Changed | None = row.make(bout)
            if changed is None:
                continue
            record = extract_bout(changed.transcript, changed.bout)
        except InputError as error:
            out.append((row.name, str(error)))
            continue
        out.append((row.name, before.same(Facts(record, changed.later, changed.mirrored))))
    return out


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folders", nargs="*", type=Path, default=[BOUTS], help="folders of labelled bouts")
    parser.add_argument("--every", type=int, default=1, help="take each N-th bout only")
    parser.add_argument("--rows", default="", help="only the rows with this in their name")
    parser.add_argument("--show", action="store_true", help="name the bouts that differ")
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument("--csv", type=Path, help="write the table there too")
    options = parser.parse_args()
    bouts = [bout for folder in options.folders for bout in told(folder)][:: options.every]
    work = partial(one_bout, wanted=options.rows)
    if options.jobs > 1:
        with ProcessPoolExecutor(options.jobs) as pool:
            done = list(pool.map(work, bouts))
    else:
        done = [work(bout) for bout in bouts]
    table = [
        _row(row.name, row.wanted, bouts, done, options.show) for row in rows() if options.rows in row.name
    ]
    print(f"{'change':28}{'bouts':>6}" + "".join(f"{part:>8}" for part in PARTS) + "  wanted")
    for line in table:
        print(f"{line[0]:28}{line[1]:>6}" + "".join(f"{cell:>8}" for cell in line[2:7]) + f"  {line[7]}")
    if options.csv is not None:
        with options.csv.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([["change", "bouts", *PARTS, "wanted"], *table])


def _row(
    name: str,
    wanted: Wanted,
    bouts: Sequence[Told],
    done: Sequence[list[tuple[str, dict[str, bool] | str]]],
    show: bool,
) -> list[str | int]:
    counts = dict.fromkeys(PARTS, 0)
    number = 0
    for bout, found in zip(bouts, done, strict=True):
        for row, same in found:
            if row != name:
                continue
            number += 1
            if isinstance(same, str):
                if show:
                    print(f"{name}: {bout.name}: refused: {same}")
                continue
            for part in PARTS:
                counts[part] += same[part]
            lost = [part for part in PARTS if not same[part]]
            if show and (lost if wanted == "all" else set(lost) & {"awards", "result"}):
                print(f"{name}: {bout.name}: {', '.join(lost)}")
    if wanted == "shown":
        return [name, number, *counts.values(), ""]
    if wanted == "all":
        text, met = "all", counts["log"] == number
    else:
        text, met = "95 %", min(counts["awards"], counts["result"]) >= SHARE * number
    return [name, number, *counts.values(), text + ("" if met else ", missed")]


if __name__ == "__main__":
    main()
