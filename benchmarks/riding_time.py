#!/usr/bin/env python3
"""Draws collegiate bouts, has them told, and prints how far the balance of riding time at the end of regulation is off.

python benchmarks/riding_time.py --bouts 300 [--first 0] [--uncalled 0.1]
"""

from __future__ import annotations

import argparse
import statistics
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.drawn.compare import record_of
from tests.drawn.draw_bout import draw_bout
from tests.drawn.ridden import ridden, signed
from tests.drawn.say_bout import say_bout
from tests.drawn.voice import REGISTERS, Noise


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--bouts", type=int, default=300, help="how many")
    parser.add_argument("--first", type=int, default=0, help="number of the first")
    parser.add_argument("--uncalled", type=float, default=0.0, help="share of the awards that nobody calls")
    options = parser.parse_args()
    off, covered, points = [], 0, 0
    for seed in range(options.first, options.first + options.bouts):
        bout = draw_bout("collegiate", seed)
        record = record_of(say_bout(bout, REGISTERS[seed % len(REGISTERS)], Noise(uncalled=options.uncalled)))
        true, (found, unsure) = ridden(bout), signed(record)
        off.append(abs(found - true))
        covered += off[-1] <= unsure
        points += (abs(found) >= 60) == (abs(true) >= 60)
    off.sort()
    n = len(off)
    print(f"{n} collegiate bouts, balance of riding time at the end of regulation")
    print(f"  off by: median {statistics.median(off):.1f} s, mean {statistics.mean(off):.1f} s,", end=" ")
    print(f"nine in ten {off[int(0.9 * n)]:.1f} s, most {off[-1]:.1f} s")
    print(f"  within 5 s: {sum(o <= 5 for o in off) / n:.3f}; within its own uncertainty: {covered / n:.3f}")
    print(f"  on the right side of a minute: {points / n:.3f}")


if __name__ == "__main__":
    main()
