#!/usr/bin/env python3
"""How the time of one bout grows with the length of its talk, for each sort of talk that could make it grow.

    python benchmarks/growth_of_text.py [--sorts times ordinary] [--sizes 1000 4000] [--most 60] [--csv growth.csv]

Prints the CPU time of reading a transcript and making its record at each size, and the exponent that the time grows with
(least squares on the logarithms, over all sizes). What grows by more than 1.15 is named at the end. Each measurement
has a process of its own, which has read a short talk before. A size is the number of captions, or of scores or tens of
marks where all of them stand in one caption. A sort of talk is let be after the first size that took longer than
``--most`` seconds.
"""

from __future__ import annotations

import argparse
import csv
import json
import math
import multiprocessing
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from itertools import cycle, islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.bout import extract_bout
from extract.transcript import read_transcript

SIZES = (1000, 2000, 4000, 8000, 16_000)
#: From here on a sort of talk grows too fast.
TOO_FAST = 1.15
SAMPLE = Path(__file__).resolve().parent.parent / "sample_transcripts" / "lantern-final.srt"
#: Seconds from one made-up caption to the next.
STEP_S = 3.0
Cues = list[tuple[float, float, str]]


def _said(*texts: str) -> Callable[[int], Cues]:
    """Captions with these texts in turn."""
    return lambda size: _timed(islice(cycle(texts), size))


def _timed(texts: Sequence[str] | islice[str]) -> Cues:
    return [(k * STEP_S, k * STEP_S + 2.5, text) for k, text in enumerate(texts)]


def _sample() -> Cues:
    return [(cue.start, cue.end, cue.text) for cue in read_transcript(SAMPLE).cues]


def _ordinary(size: int) -> Cues:
    """A sample over and over, each time later."""
    cues = _sample()
    length = cues[-1][1] + 5.0
    rounds = -(-size // len(cues))
    return [(start + n * length, end + n * length, text) for n in range(rounds) for start, end, text in cues][
        :size
    ]


def _without_numbers(size: int) -> Cues:
    """The captions of the same sample in which nothing is counted."""
    counted = [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "nothing",
        "zip",
        "all",
    ]
    plain = [
        text
        for _, _, text in _sample()
        if not any(c.isdigit() for c in text) and not any(word in text.lower() for word in counted)
    ]
    return _timed(islice(cycle(plain), size))


def _scores(size: int) -> list[str]:
    return [f"{k % 14}-{k * 5 % 11}" for k in range(size)]


def _names(size: int) -> Cues:
    heads, tails = (
        ["Bel", "Cor", "Dun", "Fel", "Gar", "Hol", "Mar", "Nor", "Pel", "Ros", "Tal", "Ver", "Wil", "Yar"],
        ["by", "do", "ga", "lin", "mar", "nock", "ra"],
    )
    names = [f"{head}{middle}{tail}" for head in heads for middle in tails for tail in tails]
    return _timed([f"{names[k % len(names)]} shoots on {names[k * 7 % len(names)]}." for k in range(size)])


SRT_SORTS: dict[str, Callable[[int], Cues]] = {
    "ordinary": _ordinary,
    "no_numbers": _without_numbers,
    "times": _said("One minute twenty left."),
    "whistles": _said("Whistle, and we go.", "One minute twenty left."),
    "falling_clock": lambda size: _timed([f"{1 + k % 2}:{59 - k % 60:02} left." for k in range(size)]),
    "one_word": _said("Yes."),
    "bare_words": _said("seven"),
    "bare_numbers": lambda size: _timed([str(k % 30) for k in range(size)]),
    "digits": lambda size: _timed([f"{k * 7919 % 10**9:09}" for k in range(size)]),
    "scores": lambda size: _timed([f"{score} red." for score in _scores(size)]),
    "many_scores": lambda size: _timed([" ".join(_scores(6)) for _ in range(size)]),
    "scores_in_one": lambda size: [(0.0, 300.0, " ".join(_scores(size)))],
    "joined_in_one": lambda size: [(0.0, 300.0, "-".join("32"[k % 2] for k in range(2 * size)))],
    "calls": _said("Takedown, two for red.", "Step out, one, blue.", "Two for exposure, red."),
    "names": _names,
    "challenges": _said("Blue are challenging that.", "The challenge is lost.", "Takedown, two for red."),
    "corrections": _said("Two-one red.", "No, sorry, three-one.", "No, take that back."),
    "winners": _said("And red wins it.", "That's the bout!", "Red is the winner on criteria."),
    "marks_in_one": lambda size: [(0.0, 300.0, '"' * (10 * size))],
}  # fmt: skip


def _going_back(size: int) -> str:
    """A recogniser's segments of two people at once: every other one begins a little before the one before it."""
    starts = [k * STEP_S - (0.5 + STEP_S if k % 2 else 0.0) for k in range(2, size + 2)]
    segments = [
        {"start": start, "end": start + 2.5, "text": text}
        for start, text in zip(starts, cycle(["Nice shot there.", "Two for red."]), strict=False)
    ]
    return json.dumps({"segments": segments})


def written(sort: str, size: int, folder: Path) -> Path:
    """A transcript of this sort and size, in a file."""
    if sort == "going_back":
        path = folder / "talk.json"
        path.write_text(_going_back(size), encoding="utf-8")
        return path
    path = folder / "talk.srt"
    captions = [
        f"{n}\n{_clock(start)} --> {_clock(end)}\n{text}\n"
        for n, (start, end, text) in enumerate(SRT_SORTS[sort](size), 1)
    ]
    path.write_text("\n".join(captions), encoding="utf-8")
    return path


def _clock(seconds: float) -> str:
    ms = round(seconds * 1000)
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02},{ms % 1000:03}"


def measured(sort: str, size: int) -> float:
    """CPU seconds of one bout."""
    with tempfile.TemporaryDirectory() as folder:
        path = written(sort, size, Path(folder))
        extract_bout(read_transcript(SAMPLE))
        began = time.process_time()
        extract_bout(read_transcript(path))
        return time.process_time() - began


def exponent(sizes: Sequence[int], seconds: Sequence[float]) -> float | None:
    """By what power of the size the time grows; None where one size alone was measured."""
    if len(seconds) < 2:
        return None
    logs = [[math.log(x) for x in row] for row in (sizes[: len(seconds)], seconds)]
    return statistics.linear_regression(*logs).slope


def curve(sort: str, sizes: Sequence[int], most: float) -> list[float]:
    """CPU seconds at each size, as far as the first that takes longer than ``most``."""
    out: list[float] = []
    for size in sizes:
        with multiprocessing.get_context("spawn").Pool(1) as alone:
            out.append(alone.apply(measured, (sort, size)))
        if out[-1] > most:
            break
    return out


def main() -> None:
    """The command line."""
    every = (*SRT_SORTS, "going_back")
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--sorts", nargs="+", choices=every, default=every, metavar="SORT", help=", ".join(every)
    )
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES, help="captions, the fewest first")
    parser.add_argument("--most", type=float, default=120.0, help="seconds after which a sort is let be")
    parser.add_argument("--csv", type=Path, help="write the table there too")
    options = parser.parse_args()
    columns = ("talk", *map(str, options.sizes), "exponent")
    print(" ".join(f"{name:>14}" for name in columns))
    rows, fast = [], []
    for sort in options.sorts:
        seconds = curve(sort, options.sizes, options.most)
        power = exponent(options.sizes, seconds)
        if power is not None and power > TOO_FAST:
            fast.append(f"{sort} ({power:.2f})")
        cells = [f"{s:.2f}" for s in seconds] + ["-"] * (len(options.sizes) - len(seconds))
        rows.append((sort, *cells, "-" if power is None else f"{power:.2f}"))
        print(" ".join(f"{cell:>14}" for cell in rows[-1]), flush=True)
    print(f"growing by more than {TOO_FAST}: {', '.join(fast) or 'none'}")
    if options.csv is not None:
        with options.csv.open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(columns)
            writer.writerows(rows)


if __name__ == "__main__":
    main()
