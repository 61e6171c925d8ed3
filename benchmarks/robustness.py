#!/usr/bin/env python3
"""How accuracy falls as the talk gets worse: drawn bouts told with ever more of one sort of noise.

    python benchmarks/robustness.py [--bouts 40] [--csv curves.csv]

Prints one row for each sort and level of noise: the share of bouts with the right final score, the F1 of awards found
(same corner and points, within 12 s) and the F1 of slips flagged (wrong scores said to disagree). Everything else stays
at a middling noise, which the first row of each sort has too.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.drawn.compare import call_counts, record_of, right_final, told_bout
from tests.drawn.voice import Noise

#: How people usually talk (common practice).
USUAL = Noise(
    points_only=0.2, kind_only=0.2, uncalled=0.05, call_delay=0.2, replays=0.15, slips=0.08, distractors=0.15
)  # fmt: skip
LEVELS = {
    "word_errors": (0.0, 0.05, 0.1, 0.2, 0.3, 0.4),
    "uncalled": (0.0, 0.1, 0.2, 0.3, 0.5, 0.7),
    "slips": (0.0, 0.05, 0.1, 0.2, 0.3, 0.5),
}
COLUMNS = ("noise", "level", "bouts", "final_right", "calls_f1", "flags_f1")


def f1(counts: Counter[str], what: str) -> float | None:
    """Harmonic mean of precision and recall; None where nothing was drawn."""
    if not counts[f"{what}_drawn"]:
        return None
    return 2 * counts[f"{what}_hit"] / (counts[f"{what}_drawn"] + counts[f"{what}_found"])


def curves(bouts: int) -> Iterator[tuple[str, float, int, float, float | None, float | None]]:
    """The rows of the table."""
    for name, levels in LEVELS.items():
        for level in levels:
            noise = replace(USUAL, **{name: level})
            counts: Counter[str] = Counter()
            right = 0
            for number in range(bouts):
                _, told = told_bout(number, noise)
                record = record_of(told)
                right += right_final(told.truth, record)
                counts += call_counts(told.truth, record)
            yield name, level, bouts, right / bouts, f1(counts, "calls"), f1(counts, "flags")


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--bouts", type=int, default=40, help="bouts for each row")
    parser.add_argument("--csv", type=Path, help="write the table there too")
    options = parser.parse_args()
    print(" ".join(f"{name:>12}" for name in COLUMNS))
    rows = []
    for row in curves(options.bouts):
        rows.append(row)
        cells = [row[0], f"{row[1]:g}", str(row[2]), *("-" if v is None else f"{v:.3f}" for v in row[3:])]
        print(" ".join(f"{cell:>12}" for cell in cells), flush=True)
    if options.csv is not None:
        with options.csv.open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(COLUMNS)
            writer.writerows(rows)


if __name__ == "__main__":
    main()
