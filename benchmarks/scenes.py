#!/usr/bin/env python3
"""How scores are judged in sixty short scenes by two other writers, each with one thing of interest in it.

    python benchmarks/scenes.py [--show]

Prints how many slips were flagged, how many flags were slips, and how many scenes end with the right score; ``--show``
prints the scenes in which something was missed or wrongly flagged.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.bout import extract_bout
from tests.made_talk import bout_file, transcript

FOLDER = Path(__file__).resolve().parent / "scenes"
#: A flag is about a slip that was said so near to it, seconds.
NEAR_S = 6.0


def judge(scene: dict[str, Any]) -> tuple[list[Any], list[Any], int, bool]:
    """Slips missed, flags that are none, slips flagged, and whether the final score is right."""
    record = extract_bout(transcript(*((float(t), text) for t, text in scene["lines"])), bout_file())
    slips = [(s["t"], s["said"]) for s in scene["scores"] if s["slip"]]
    flagged = [(s.t, list(s.said)) for s in record.statements if s.said and s.verdict == "disagrees"]
    missed = []
    for t, said in slips:
        near = [f for f in flagged if f[1] == said and abs(f[0] - t) <= NEAR_S]
        if near:
            flagged.remove(near[0])
        else:
            missed.append((t, said))
    return missed, flagged, len(slips) - len(missed), list(record.result.score) == scene["final"]


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--show", action="store_true", help="print the scenes that are not understood")
    options = parser.parse_args()
    scenes = found = missed = false = finals = 0
    for path in sorted(FOLDER.glob("*.jsonl")):
        for line in path.read_text(encoding="utf-8").splitlines():
            scene = json.loads(line)
            lost, wrong, hits, final = judge(scene)
            scenes, found, missed, false = scenes + 1, found + hits, missed + len(lost), false + len(wrong)
            finals += final
            if options.show and (lost or wrong or not final):
                print(
                    f"{scene['id']}: missed {lost}, flagged wrongly {wrong}, final {'right' if final else 'wrong'}"
                )
                for t, text in scene["lines"]:
                    print(f"  {t:>5} {text}")
    print(f"slips flagged: {found} of {found + missed}; flags that were slips: {found} of {found + false}")
    print(f"final score right: {finals} of {scenes}")


if __name__ == "__main__":
    main()
