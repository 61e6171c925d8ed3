#!/usr/bin/env python3
"""Draws bouts, has them told without noise, and prints how many the program recovers exactly.

    python benchmarks/recovery.py --bouts 1000 [--first 0] [--show 10]

Exactly means: awards, kinds, warnings, boards, challenges and result, all as drawn (see ``tests/drawn/compare.py``).
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.drawn.compare import differences, record_of, told_bout


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--bouts", type=int, default=1000, help="how many")
    parser.add_argument("--first", type=int, default=0, help="number of the first")
    parser.add_argument("--show", type=int, default=10, help="how many failures to print")
    parser.add_argument("--talk", action="store_true", help="print the talk of the failures too")
    options = parser.parse_args()
    exact, shown = 0, 0
    parts: Counter[str] = Counter()
    groups: Counter[str] = Counter()
    for number in range(options.first, options.first + options.bouts):
        bout, told = told_bout(number)
        differing = differences(told.truth, record_of(told))
        group = f"{bout.rules.name} {told.transcript.format}"
        groups[f"{group} drawn"] += 1
        if not differing:
            exact += 1
            groups[f"{group} exact"] += 1
            continue
        parts.update({line.split(":")[0].split(" at ")[0] for line in differing})
        if shown < options.show:
            shown += 1
            print(f"bout {number} ({group}, {len(bout.spans)} periods)")
            for line in differing:
                print(f"  {line}")
            if options.talk:
                for cue in told.transcript.cues:
                    print(f"    {cue.start:7.2f} {cue.text}")
    print(f"{exact} of {options.bouts} exact")
    for name in sorted({key.rsplit(" ", 1)[0] for key in groups}):
        print(f"  {name}: {groups[f'{name} exact']} of {groups[f'{name} drawn']}")
    print("  what differs: " + (", ".join(f"{k} {n}" for k, n in parts.most_common()) or "nothing"))


if __name__ == "__main__":
    main()
