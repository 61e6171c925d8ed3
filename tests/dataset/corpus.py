"""Small corpora to make datasets from, and engines that need no processes. All people in them are invented."""

from __future__ import annotations

import hashlib
import random
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path

from extract.dataset.engine import Done
from extract.dataset.item import Content, Item
from extract.dataset.pack import pack_rows
from extract.dataset.source import SourceOf
from extract.dataset.work import Task, perform

_NAMES = ("Orla Fenwick", "Tamsin Quill", "Bruno Haverly", "Ilse Dorrance", "Piet Marlow", "Nadia Corven")


def talk(seed: int) -> str:
    """A short bout as SubRip."""
    rng = random.Random(seed)
    red, blue = rng.sample(_NAMES, 2)
    score = [0, 0]
    lines = [f"{red} in red, {blue} in blue. Here we go, first period."]
    for _ in range(rng.randint(2, 5)):
        side = rng.randrange(2)
        name = (red, blue)[side].split()[1]
        if rng.random() < 0.6:
            score[side] += 2
            lines.append(f"Takedown {name}, two points.")
        else:
            score[side] += 1
            lines.append(f"Step out, one for {name}.")
        slip = rng.random() < 0.2
        lines.append(f"{score[0] + slip} to {score[1]}.")
    lines.append(f"That is the end. {red if score[0] >= score[1] else blue} takes it.")
    return "".join(
        f"{n}\n00:{n // 6:02}:{n % 6 * 10:02},000 --> 00:{n // 6:02}:{n % 6 * 10 + 4:02},000\n{line}\n\n"
        for n, line in enumerate(lines, 1)
    )


def write_corpus(folder: Path, bouts: int, *, first: int = 0) -> list[Path]:
    """So many transcripts in a folder, in two folders of programmes."""
    paths = []
    for seed in range(first, first + bouts):
        path = folder / ("evening" if seed % 3 else "morning") / f"bout-{seed:04}.srt"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(talk(seed), encoding="utf-8")
        paths.append(path)
    return paths


def source_of(contents: Mapping[str, str]) -> SourceOf:
    """A source of texts by their keys."""

    def items() -> Iterator[Item]:
        for key, text in sorted(contents.items()):
            yield Item(key, key, key, "programme", partial(Content, text.encode()))

    return SourceOf("folder", "contents", len(contents), items, Counter())


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a dataset by its path, but for the lock."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != "lock"
    }


class Here:
    """Does tasks in this process, as they come."""

    def __init__(self) -> None:
        self.keys: list[str] = []

    def run(self, tasks: Iterable[Task]) -> Iterator[Done]:
        for task in tasks:
            self.keys += [item.key for item in task.items]
            yield Done(task, self.perform(task))

    def perform(self, task: Task) -> bytes:
        return perform(task)


class Pretend(Here):
    """Makes rows without reading anything: a bout, and as many events as its text has letters. So many
    tasks are held, and come back the last first."""

    def __init__(self, hold: int = 3) -> None:
        super().__init__()
        self._hold = hold

    def run(self, tasks: Iterable[Task]) -> Iterator[Done]:
        held: list[Task] = []
        for task in tasks:
            self.keys += [item.key for item in task.items]
            held.append(task)
            if len(held) == self._hold:
                yield from (Done(each, self.perform(each)) for each in reversed(held))
                held = []
        yield from (Done(each, self.perform(each)) for each in reversed(held))

    def perform(self, task: Task) -> bytes:
        rows: dict[str, list[dict[str, str | int | float | None]]] = {"inputs": [], "bouts": [], "events": []}
        for item in task.items:
            how = {"program": "p", "lexicon": "l", "parameters": "q", "input_sha256": item.sha256}
            named = {"input": item.key, "bout_id": item.key, **how}
            rows["inputs"].append(
                {**how, "input": item.key, "programme": "x", "status": "done", "bytes": 1, "bouts": 1, "cues": 1,
                 "seconds": 1.0}
            )  # fmt: skip
            rows["bouts"].append(
                {
                    **named,
                    **dict.fromkeys(("programme", "file", "format", "rules", "edition"), "x"),
                    **dict.fromkeys(("number", "cues"), 1),
                    **dict.fromkeys(
                        ("score_red", "score_blue", "awards", "inferred", "stated", "disagreements", "unclear",
                         "flagged", "decided"), 0
                    ),
                    **dict.fromkeys(("start", "end", "result_confidence", "gain", "unsure", "dropped"), 0.0),
                    "transcript_sha256": hashlib.sha256(item.content.transcript).hexdigest(),
                    "rules_from": "given",
                    "by": "unknown",
                }
            )  # fmt: skip
            for n, letter in enumerate(item.content.transcript.decode()):
                rows["events"].append(
                    {
                        **named,
                        "id": f"e{n}",
                        **dict.fromkeys(("t", "t_earliest", "t_latest"), float(n)),
                        "period": 1,
                        "kind": "takedown",
                        "points": 2,
                        "status": "stands",
                        "basis": "called",
                        "confidence": 1.0,
                        **dict.fromkeys(("after_red", "after_blue"), 0),
                        "why": letter,
                    }
                )
        return pack_rows(rows)
