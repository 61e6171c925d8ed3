#!/usr/bin/env python3
"""Whether the confidence in the record can be believed under drawn noise: reliability tables over drawn bouts.

    python benchmarks/calibration.py [--bouts 150] [--first 5000]

Prints for each level of noise the expected calibration error of events, verdicts and results, and the table behind it.
The parameters are the shipped ones, which no drawn bout has a part in.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from benchmarks.robustness import USUAL
from extract.labelled.calibration import KINDS, Graded, calibration_error, grade, reliability
from extract.labelled.labels import Truth
from extract.record.decode import decode
from tests.drawn.compare import record_of, told_bout
from tests.drawn.voice import Noise

HEAVY = Noise(
    points_only=0.3, kind_only=0.3, uncalled=0.15, call_delay=0.3, replays=0.3, slips=0.15, distractors=0.3,
    word_errors=0.1,
)  # fmt: skip
LEVELS = {"none": None, "usual": USUAL, "heavy": HEAVY}


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--bouts", type=int, default=150, help="bouts for each level")
    parser.add_argument("--first", type=int, default=5000, help="number of the first")
    options = parser.parse_args()
    for level, noise in LEVELS.items():
        graded: dict[str, list[Graded]] = defaultdict(list)
        for number in range(options.first, options.first + options.bouts):
            _, told = told_bout(number, noise)
            for kind, found in grade(decode(Truth, told.truth), record_of(told)).items():
                graded[kind] += found
        for kind in KINDS:
            error = calibration_error(graded[kind])
            print(
                f"{level:>6} {kind:<9} {len(graded[kind]):>5} cases, expected calibration error {error:.3f}"
            )
            for b in reliability(graded[kind]):
                print(f"       {b.low:.1f}-{b.high:.1f} {b.cases:>5} {b.confidence:.2f} {b.right:.2f}")


if __name__ == "__main__":
    main()
