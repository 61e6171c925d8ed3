#!/usr/bin/env python3
"""How fast a dataset is built, what each stage costs, and whether time and memory grow with the number of bouts.

    python benchmarks/dataset.py stages [--bouts 200]
    python benchmarks/dataset.py growth [--bouts 1000 10000] [--jobs 1 2] [--distinct 2000] [--keep DIR]

``stages`` reads drawn bouts in this process and prints the CPU time of each stage a bout and for ten minutes of talk, and
the ratio to a bare spaCy tokenizer over the same texts in the same run. ``growth`` draws corpora (one JSON Lines file each,
``--distinct`` different bouts in turn), builds a dataset of each with each number of workers, and prints bouts a second and
core, the ratio of the time a bout to that of the smallest corpus, the ratio of one worker's time to that of several, and
the most memory that the main process and all processes together had.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import spacy

import extract.bout
import extract.dataset.work as work
from extract.dataset.item import Content, Loaded
from extract.dataset.pack import pack_rows
from extract.dataset.settings import Settings, at_hand
from tests.drawn.compare import told_bout
from tests.drawn.voice import Noise

#: How people usually talk (common practice), as in robustness.py.
USUAL = Noise(
    points_only=0.2, kind_only=0.2, uncalled=0.05, call_delay=0.2, replays=0.15, slips=0.08, distractors=0.15
)  # fmt: skip
STAGES = {
    "read": (work, "read_item"),
    "hear": (extract.bout, "hear"),
    "log": (extract.bout, "infer"),
    "checks": (extract.bout, "find_flags"),
    "record": (extract.bout, "build_record"),
}


def drawn(number: int) -> tuple[str, float]:
    """A drawn bout as a recogniser's JSON, and how long it is in seconds."""
    _, told = told_bout(number, USUAL)
    segments = [{"start": c.start, "end": c.end, "text": c.text} for c in told.transcript.cues]
    return json.dumps({"segments": segments}), told.transcript.seconds


def stages(bouts: int) -> None:
    """Prints what each stage costs."""
    gc.set_threshold(200_000, 50, 50)
    texts = [drawn(number) for number in range(bouts)]
    items = [
        Loaded(f"{n}", f"{n}.json", f"{n}.json", "drawn", None, Content(text.encode()), "0" * 64)
        for n, (text, _) in enumerate(texts)
    ]
    hand = at_hand(Settings(recordings="bout").packed())
    spent: dict[str, float] = defaultdict(float)
    for name, (module, function) in STAGES.items():
        setattr(module, function, _timed(getattr(module, function), name, spent))

    def run() -> float:
        began = time.process_time()
        for at in range(0, bouts, 8):
            rows: dict[str, list[Any]] = defaultdict(list)
            for item in items[at : at + 8]:
                for table, row in work._rows_of(item, hand):
                    rows[table].append(row)
            packing = time.process_time()
            pack_rows(rows)
            spent["tables"] += time.process_time() - packing
        return time.process_time() - began

    run()
    spent.clear()
    whole = run()
    tokenizer = spacy.blank("en").tokenizer
    plain = [" ".join(s["text"] for s in json.loads(text)["segments"]) for text, _ in texts]
    for text in plain:
        tokenizer(text)
    began = time.process_time()
    for text in plain:
        tokenizer(text)
    bare = time.process_time() - began
    minutes = sum(seconds for _, seconds in texts) / 60
    print(f"{bouts} drawn bouts, {minutes:.0f} minutes, {sum(len(text.split()) for text in plain):,} words")
    spent["rest"] = whole - sum(spent.values())
    for name, seconds in [*spent.items(), ("whole", whole), ("bare tokenizer", bare)]:
        print(
            f"{name:15} {seconds / bouts * 1000:8.2f} ms a bout {seconds / minutes * 10_000:8.2f} ms for ten minutes"
        )
    print(f"{bouts / whole:.1f} bouts a second and core, {minutes / 10 / whole:.1f} of ten minutes")
    print(f"ratio to the tokenizer: {whole / bare:.1f}")


def _timed(function: Callable[..., Any], name: str, spent: dict[str, float]) -> Callable[..., Any]:
    def timed(*args: Any, **named: Any) -> Any:
        began = time.process_time()
        try:
            return function(*args, **named)
        finally:
            spent[name] += time.process_time() - began

    return timed


def growth(sizes: list[int], jobs: list[int], distinct: int, folder: Path) -> None:
    """Prints how time and memory grow."""
    base: dict[int, float] = {}
    for size in sizes:
        path = folder / f"bouts-{size}.jsonl"
        minutes = _corpus(path, size, distinct)
        alone = None
        for workers in jobs:
            out = folder / f"out-{size}-{workers}"
            shutil.rmtree(out, ignore_errors=True)
            command = [
                sys.executable, "-m", "extract", "dataset", str(path), "--out", str(out), "--jobs", str(workers),
                "--recordings", "bout", "-q",
            ]  # fmt: skip
            began = time.monotonic()
            process = subprocess.Popen(command)
            memory = _Memory(process.pid)
            if process.wait() not in (0, 3):
                sys.exit(f"the run of {size} bouts with {workers} workers failed")
            seconds = time.monotonic() - began
            main_mb, all_mb = memory.most()
            rate = size / seconds
            a_bout = seconds * workers / size
            base.setdefault(workers, a_bout)
            alone = alone or (seconds if workers == 1 else None)
            print(
                f"{size:7,} bouts ({minutes:,.0f} min), {workers} workers: {seconds:8.1f} s, {rate / workers:6.1f} bouts a"
                f" second and core, {minutes / 10 / seconds / workers:6.1f} of ten minutes; time a bout"
                f" {a_bout / base[workers]:.2f} of the smallest corpus's"
                + (f"; speed-up {alone / seconds:.2f}" if alone and workers > 1 else "")
                + f"; main process {main_mb:.0f} MB, all {all_mb:.0f} MB",
                flush=True,
            )


def _corpus(path: Path, size: int, distinct: int) -> float:
    """Write a corpus of drawn bouts; how long all of them are, minutes."""
    texts = [drawn(number) for number in range(min(size, distinct))]
    seconds = 0.0
    with path.open("w", encoding="utf-8") as file:
        for number in range(size):
            text, long = texts[number % len(texts)]
            seconds += long
            file.write(json.dumps({"id": f"bout-{number:07}", "text": text, "name": "talk.json"}) + "\n")
    return seconds / 60


class _Memory:
    """Watches the resident memory of a process and its children."""

    def __init__(self, pid: int) -> None:
        self._pid, self._most = pid, (0.0, 0.0)
        self._thread = threading.Thread(target=self._watch, daemon=True)
        self._thread.start()

    def _watch(self) -> None:
        while (main := _resident(self._pid)) is not None:
            together = main + sum(_resident(child) or 0.0 for child in _children(self._pid))
            self._most = max(self._most[0], main), max(self._most[1], together)
            time.sleep(0.2)

    def most(self) -> tuple[float, float]:
        """The most that the process had, and that all together had, MB."""
        self._thread.join()
        return self._most


def _resident(pid: int) -> float | None:
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (OSError, IndexError):
        return None
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20 if pages else None


def _children(pid: int) -> Iterator[int]:
    try:
        found = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return
    for child in map(int, found):
        yield child
        yield from _children(child)


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=("stages", "growth"))
    parser.add_argument("--bouts", type=int, nargs="+")
    parser.add_argument("--jobs", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--distinct", type=int, default=2000)
    parser.add_argument("--keep", type=Path, help="folder for corpora and datasets, kept")
    given = parser.parse_args()
    if given.what == "stages":
        stages((given.bouts or [200])[0])
    elif given.keep is not None:
        given.keep.mkdir(parents=True, exist_ok=True)
        growth(given.bouts or [1000, 10_000], given.jobs, given.distinct, given.keep)
    else:
        with tempfile.TemporaryDirectory() as folder:
            growth(given.bouts or [1000, 10_000], given.jobs, given.distinct, Path(folder))


if __name__ == "__main__":
    main()
