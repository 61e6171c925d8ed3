#!/usr/bin/env python3
"""How many single sayings are understood: lines written by others with what they mean, heard one at a time.

    python benchmarks/sayings.py [--show]

Prints for each sort of saying how many of the lines in ``benchmarks/sayings`` are read as their writers meant them;
``--show`` prints the others. A saying is heard over an invented bout, with a few idle captions around it.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.log.parameters import default_parameters
from extract.mentions import hear
from extract.mentions.model import (
    CallMention,
    ClockMention,
    CriteriaMention,
    MarginMention,
    MarkMention,
    Mention,
    ResultMention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)  # fmt: skip
from tests.made_talk import bout_file, transcript

FOLDER = Path(__file__).resolve().parent / "sayings"
MARKED = ("They circle in the centre, hand fighting.", "Nothing much in it.")
UNMARKED = ("they circle in the center and look for a tie up now", "hand fighting here")
#: From this probability on a mention is taken for what it looks like; nothing is given from a higher one.
TAKEN, SURE = 0.45, 0.6
ASKED = {
    "challenge": "ask",
    "challenge_won": "won",
    "challenge_lost": "lost",
    "challenge_withdrawn": "withdrawn",
}

Row = dict[str, Any]


def mentions(row: Row) -> list[Mention]:
    """What is heard in a saying."""
    text = row["text"]
    plain = text == text.lower() and not re.search(r"[.,!?;:](?!\d)", text)
    one, two = UNMARKED if plain else MARKED
    talk = transcript(one, two, one, (60.0, text), (75.0, one), (80.0, two))
    return [m for m in hear(talk, row["style"], bout_file(row["style"])).mentions if 59 <= m.t < 75]


def chance(m: ScoreMention | CallMention) -> float:
    path = "score.sign" if isinstance(m, ScoreMention) else "call.sign"
    return default_parameters().chance(path, m.all_signs())


def score(row: Row, heard: list[Mention]) -> tuple[str, bool]:
    found = [m for m in heard if isinstance(m, ScoreMention) and chance(m) >= TAKEN]
    kind = row["kind"]
    if kind == "not_score":
        return kind, not found
    if kind == "lead":
        level = any(m.pair[0] == m.pair[1] for m in found)
        return kind, level or any(isinstance(m, MarginMention) for m in heard)
    said = row.get("said")
    told = said.get("pair") if isinstance(said, dict) else row.get("pair")
    right = (
        any(list(m.pair) == told for m in found)
        if told is not None
        else any(said in map(list, m.values()) for m in found)
    )
    return kind, right and (kind == "score" or any(m.repair for m in found))


def call(row: Row, heard: list[Mention]) -> tuple[str, bool]:
    found = [m for m in heard if isinstance(m, CallMention) and chance(m) >= TAKEN]
    kind, points, corner = row["kind"], row["points"], row["corner"]
    if kind == "none":
        return "no call", not any(m.points or chance(m) >= SURE for m in found)
    found = [m for m in found if corner is None or m.corner in (None, corner)]
    if kind == "points_only":
        return "points", any(m.points == points for m in found)
    right = any(kind in m.kinds and (points is None or m.points in (None, points)) for m in found)
    return f"call, {row['style']}", right


def rest(row: Row, heard: list[Mention]) -> tuple[str, bool]:
    what = row["what"]
    clocks = [
        m for m in heard if isinstance(m, ClockMention) and m.clock == "bout" and m.stance == "asserted"
    ]
    reviews = [m for m in heard if isinstance(m, ReviewMention)]
    if what == "clock":
        right = any(abs(m.seconds - row["seconds"]) <= 1 for m in clocks)
    elif what == "no_clock":
        right = not clocks
    elif what in ASKED:
        right = any(m.what == ASKED[what] and m.corner in (None, row["by"] or m.corner) for m in reviews)
    elif what == "no_challenge":
        right = not any(m.stance == "asserted" and m.grade != "loose" for m in reviews)
    elif what == "winner":
        right = any(isinstance(m, ResultMention) and m.winner == row["winner"] for m in heard)
    elif what == "criteria":
        right = any(isinstance(m, CriteriaMention) and m.leader == row["leader"] for m in heard)
    elif what == "waved_off":
        right = any(isinstance(m, WaveOffMention) for m in heard)
    else:
        right = any(isinstance(m, MarkMention) and m.what == what for m in heard)
    return what.replace("_", " "), right


SORTS: dict[str, Callable[[Row, list[Mention]], tuple[str, bool]]] = {
    "scores": score,
    "calls": call,
    "rest": rest,
}


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--show", action="store_true", help="print the sayings that are not understood")
    options = parser.parse_args()
    for name, judge in SORTS.items():
        lines: Counter[str] = Counter()
        right: Counter[str] = Counter()
        for line in (FOLDER / f"{name}.jsonl").read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            sort, understood = judge(row, mentions(row))
            lines[sort] += 1
            right[sort] += understood
            if options.show and not understood:
                print(f"  {sort}: {row['text']}")
        for sort, n in lines.items():
            print(f"{sort:>22} {right[sort]:>3} of {n}")


if __name__ == "__main__":
    main()
