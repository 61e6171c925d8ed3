"""How good a dataset is: what it covers, what is inferred, who misstates scores, implausible values, what to review
first."""

from __future__ import annotations

import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from extract.dataset.foremost import Foremost
from extract.dataset.store import Store

if TYPE_CHECKING:
    import pandas as pd

#: How many bouts are listed for review, and how many rows are named for each implausible value.
_FIRST, _EXAMPLES = 50, 5
_AGAIN = "A bout whose transcript an earlier one of the dataset has, byte for byte: it counts twice."
#: What two bouts have in common if they are read from copies of one transcript.
_MARK = ["transcript_sha256", "number"]
_AWARD = "points > 0 and status == 'stands'"


@dataclass(slots=True)
class Shares:
    """A count: of ``of`` things, how many are of one kind."""

    of: int = 0
    found: int = 0

    def add(self, found: int, of: int) -> None:
        self.found += found
        self.of += of

    @property
    def share(self) -> float:
        return self.found / self.of if self.of else 0.0


@dataclass(frozen=True, slots=True, order=True)
class Doubtful:
    """A bout that is worth a review. A review is expected to correct ``gain`` entries. ``unsure`` are expected to be
    wrong."""

    gain: float
    unsure: float
    bout_id: str
    disagreements: int
    flagged: int


@dataclass(slots=True)
class Impossible:
    """Rows with an implausible value: how many, and the bouts of the first ones."""

    name: str
    about: str
    rows: int = 0
    examples: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Quality:
    """The figures of a dataset. ``has`` counts bouts that have something. ``inferred`` are shares of awards, by
    style. ``all_said``, ``by_programme``, ``by_speaker`` (within a programme) and ``by_name`` (of speakers, over all
    programmes) are shares of stated scores that disagree. ``wrong_awards`` and ``wrong_statements`` say how many are
    expected to be wrong, by the confidence of each."""

    inputs: int = 0
    inputs_failed: int = 0
    seconds: float = 0.0
    bout_seconds: float = 0.0
    bouts: int = 0
    awards: int = 0
    statements: int = 0
    wrong_awards: float = 0.0
    wrong_statements: float = 0.0
    has: Counter[str] = field(default_factory=Counter)
    formats: Counter[str] = field(default_factory=Counter)
    inferred: dict[str, Shares] = field(default_factory=lambda: defaultdict(Shares))
    all_said: Shares = field(default_factory=Shares)
    by_programme: dict[str, Shares] = field(default_factory=lambda: defaultdict(Shares))
    by_speaker: dict[tuple[str, str], Shares] = field(default_factory=lambda: defaultdict(Shares))
    by_name: dict[str, Shares] = field(default_factory=lambda: defaultdict(Shares))
    again: Impossible = field(default_factory=lambda: Impossible("the same transcript again", _AGAIN))
    impossible: list[Impossible] = field(default_factory=list)
    doubtful: list[Doubtful] = field(default_factory=list)


def measure_quality(store: Store) -> Quality:
    """The figures of a dataset, read a part at a time."""
    quality = Quality()
    text = (files("extract.dataset") / "impossible.toml").read_text(encoding="utf-8")
    checks = tomllib.loads(text)["check"]
    quality.impossible = [Impossible(check["name"], check["about"]) for check in checks]
    first: Foremost[Doubtful] = Foremost(_FIRST)
    seen: set[bytes] = set()
    for part in store.parts():
        frames = {
            name: store.read_table(name, part).to_pandas()
            for name in ("inputs", "bouts", "events", "statements", "clock")
        }
        _count_inputs(quality, frames["inputs"])
        _count_bouts(quality, frames["bouts"])
        _count_again(quality.again, frames["bouts"], seen)
        _count_entries(quality, frames)
        for check, found in zip(checks, quality.impossible, strict=True):
            rows = frames[check["table"]].query(check["where"])
            found.rows += len(rows)
            found.examples += list(dict.fromkeys(rows["bout_id"]))[: _EXAMPLES - len(found.examples)]
        rows = frames["bouts"][["gain", "unsure", "bout_id", "disagreements", "flagged"]]
        marks = frames["bouts"][_MARK].itertuples(index=False, name=None)
        doubtful = (Doubtful(*row) for row in rows.itertuples(index=False))
        first.add(zip(doubtful, marks, strict=True))
    quality.doubtful = first.rows()
    quality.impossible.append(quality.again)
    return quality


def _count_inputs(quality: Quality, inputs: pd.DataFrame) -> None:
    quality.inputs += len(inputs)
    quality.inputs_failed += int((inputs["status"] == "failed").sum())
    quality.seconds += float(inputs["seconds"].sum())


def _count_bouts(quality: Quality, bouts: pd.DataFrame) -> None:
    quality.bouts += len(bouts)
    quality.bout_seconds += float((bouts["end"] - bouts["start"]).sum())
    quality.formats.update(bouts["format"])
    for name, there in {
        "both names": bouts["red"].notna() & bouts["blue"].notna(),
        "style given or heard": bouts["rules_from"] != "assumed",
        "an award": bouts["awards"] > 0,
        "a stated score": bouts["stated"] > 0,
        "a winner": bouts["winner"].notna(),
        "a way in which it was won": bouts["by"] != "unknown",
        "a final score that was said": bouts["said_score_red"].notna(),
        "a review by a person": bouts["decided"] > 0,
    }.items():
        quality.has[name] += int(there.sum())


def _count_again(again: Impossible, bouts: pd.DataFrame, seen: set[bytes]) -> None:
    """The bouts of transcripts that were ``seen`` before. Half of a hash is enough to tell them apart."""
    for digest, some in bouts.groupby("transcript_sha256"):
        half = bytes.fromhex(str(digest))[:16]
        inputs = list(dict.fromkeys(some["input"]))
        more = some[some["input"] != inputs[0]] if half not in seen else some
        again.rows += len(more)
        again.examples += list(more["bout_id"])[: _EXAMPLES - len(again.examples)]
        seen.add(half)


def _count_entries(quality: Quality, frames: dict[str, pd.DataFrame]) -> None:
    bouts = frames["bouts"].set_index("bout_id")
    awards = frames["events"].query(_AWARD)
    quality.awards += len(awards)
    quality.wrong_awards += float((1 - awards["confidence"]).sum())
    styles = awards["bout_id"].map(bouts["rules"])
    for style, basis in awards.groupby(styles)["basis"]:
        quality.inferred[str(style)].add(int((basis == "inferred").sum()), len(basis))
    said = frames["statements"]
    quality.statements += len(said)
    quality.wrong_statements += float((1 - said["confidence"]).sum())
    # An unclear score neither agrees nor disagrees.
    clear = said[said["verdict"] != "unclear"]
    wrong = clear["verdict"] == "disagrees"
    quality.all_said.add(int(wrong.sum()), len(clear))
    programmes = clear["bout_id"].map(bouts["programme"])
    for programme, some in wrong.groupby(programmes):
        quality.by_programme[str(programme)].add(int(some.sum()), len(some))
    for (programme, speaker), some in wrong.groupby([programmes, clear["speaker"]]):
        quality.by_speaker[str(programme), str(speaker)].add(int(some.sum()), len(some))
        quality.by_name[str(speaker)].add(int(some.sum()), len(some))


def most_doubtful(store: Store, top: int) -> dict[str, str]:
    """The bouts that are most worth a review, the best first, each with the SHA-256 of its transcript. Copies of one
    transcript come after those of others."""
    first: Foremost[tuple[float, float, str, str]] = Foremost(top)
    for part in store.parts():
        table = store.read_table("bouts", part, ["gain", "unsure", "bout_id", *_MARK])
        first.add(
            ((row["gain"], row["unsure"], row["bout_id"], row[_MARK[0]]), tuple(row[key] for key in _MARK))
            for row in table.to_pylist()
        )
    return {bout_id: digest for _, _, bout_id, digest in first.rows()}


def failures(store: Store) -> Iterator[dict[str, Any]]:
    """The rows of the table ``failures``."""
    for part in store.parts():
        yield from store.read_table("failures", part).to_pylist()


def counted(number: int, name: str, names: str = "") -> str:
    """A number of things: "1 input", "2 inputs". ``names`` is the plural where it has not just an s more."""
    return f"{number:,} {name if number == 1 else names or f'{name}s'}"
