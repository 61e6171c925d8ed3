"""Drawn sessions: bouts with their transcripts put behind one another, with talk between them, and where each really
begins and ends."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from extract.session import Sheet, SheetBout
from extract.transcript import BoutFile, Cue, Transcript

Between = Literal["talk", "gap", "none"]
Half = Literal["fit", "report"]
#: Characters spoken in a second (common practice).
_RATE = 15.0


@dataclass(frozen=True, slots=True)
class ToldBout:
    """A bout to put into a session: its transcript, what is known beforehand, and its truth as in a label file."""

    transcript: Transcript
    bout: BoutFile
    truth: dict[str, Any]


@dataclass(frozen=True, slots=True)
class TrueBout:
    """Where a bout of a session really is, seconds of recording: when the talk hands over to it, the first word of its
    own talk, its first whistle, the last that happens in it, when its score is told first after that, and the last word
    of its own talk; and its cue positions."""

    told: ToldBout
    handed: float
    introduced: float
    whistle: float
    over: float
    result: float
    talked: float
    first: int
    last: int
    moved: float


@dataclass(frozen=True, slots=True)
class DrawnSession:
    """A whole recording, the sheet of its bouts, and the truth."""

    transcript: Transcript
    sheet: Sheet
    bouts: tuple[TrueBout, ...]


@lru_cache(maxsize=1)
def _templates() -> dict[str, list[str]]:
    return tomllib.loads((Path(__file__).parent / "studio.toml").read_text(encoding="utf-8"))


def draw_session(
    bouts: Sequence[ToldBout], seed: int, between: Between = "talk", half: Half = "report"
) -> DrawnSession:
    """The bouts in the order given as one recording. ``between`` is what stands between two: ``talk`` and silences,
    only a ``gap`` of some seconds, or ``none``; ``half`` which of the templates the talk is made of."""
    rng = random.Random(f"session {seed}")
    writer = _Writer(bouts, rng, half)
    true: list[TrueBout] = []
    if between == "talk":
        writer.studio(None, 0)
    for n, told in enumerate(bouts):
        true.append(writer.bout(told))
        if between == "talk":
            writer.studio(n, n + 1 if n + 1 < len(bouts) else None)
        else:
            writer.t += rng.uniform(3.0, 12.0) if between == "gap" else rng.uniform(0.2, 1.5)
    kinds = {told.transcript.format for told in bouts}
    transcript = Transcript(
        f"session-{seed}", kinds.pop() if len(kinds) == 1 else "srt", "0" * 64, tuple(writer.cues)
    )
    rows = [SheetBout(t.bout.red, t.bout.blue, t.bout.rules, t.bout.edition, t.bout.date) for t in bouts]
    return DrawnSession(transcript, Sheet(tuple(rows)), tuple(true))


class _Writer:
    def __init__(self, bouts: Sequence[ToldBout], rng: random.Random, half: Half) -> None:
        self.bouts, self.rng, self.half = bouts, rng, half
        self.cues: list[Cue] = []
        self.t = 0.0
        self.handed: float | None = None
        lower = [c.text for told in bouts for c in told.transcript.cues]
        self.plain = sum(text == text.lower() for text in lower) > 0.7 * len(lower)

    def bout(self, told: ToldBout) -> TrueBout:
        """The bout's own talk, moved to now."""
        cues = told.transcript.cues
        moved = round(self.t - cues[0].start, 2)
        first = len(self.cues)
        for cue in cues:
            anchors = tuple((at, t + moved) for at, t in cue.anchors)
            self.cues.append(
                replace(
                    cue,
                    index=len(self.cues) + 1,
                    start=round(cue.start + moved, 3),
                    end=round(cue.end + moved, 3),
                    anchors=anchors,
                )
            )
        self.t = self.cues[-1].end + 0.1
        events = [e["t"] for e in told.truth["events"]]
        starts = [e["t"] for e in told.truth["events"] if e["kind"] == "period_start"]
        over = max(events)
        told_first = min((s["t"] for s in told.truth["scores"] if s["t"] >= over), default=over)
        handed, self.handed = self.handed, None
        return TrueBout(
            told,
            self.cues[first].start if handed is None else handed,
            self.cues[first].start,
            min(starts, default=events[0]) + moved,
            over + moved,
            told_first + moved,
            self.cues[-1].end,
            first,
            len(self.cues),
            moved,
        )

    def studio(self, before: int | None, after: int | None) -> None:
        """Talk between the bout before and the one after; None where there is none."""
        rng = self.rng
        order: list[str] = []
        if before is not None:
            order += ["retold"] * rng.randint(0, 2) + ["replay"] * rng.choice((0, 0, 1, 2))
            if rng.random() < 0.25:
                order += ["interview"] * 3
            if rng.random() < 0.15:
                order += ["ceremony"] * 2
        else:
            order += ["return"]
        middle = ["chat"] * rng.randint(0, 3) + ["preview"] * rng.randint(0, 2)
        if rng.random() < 0.3:
            middle += ["advert"] * 2 + ["return"]
        rng.shuffle(middle)
        order += middle
        if after is not None and rng.random() < 0.6:
            order += ["handover"]
        self.t += rng.uniform(0.5, 8.0)
        for kind in order:
            if kind == "handover":
                self.handed = round(self.t, 2)
            if rng.random() < 0.1:
                self.t += rng.uniform(10.0, 120.0)
            self._say(kind, before, after)
        self.t += rng.choice((0.5, 3.0, 8.0, 25.0, 60.0))

    def _say(self, kind: str, before: int | None, after: int | None) -> None:
        rng = self.rng
        lines = _templates()[kind][self.half == "report" :: 2]
        other = self.bouts[rng.randrange(len(self.bouts))].bout
        words: dict[str, Any] = {
            "X": _short(other.red.name), "Y": _short(other.blue.name), "n": rng.randint(2, 29), "m": rng.randint(2, 9),
            "c": rng.randint(4, 15), "d": rng.randint(0, 3),
        }  # fmt: skip
        if before is not None:
            last = self.bouts[before]
            result = last.truth["result"]
            names = {"red": _short(last.bout.red.name), "blue": _short(last.bout.blue.name)}
            winner = result["winner"] or "red"
            loser = "blue" if winner == "red" else "red"
            words |= {"W": names[winner], "L": names[loser], "a": result[winner], "b": result[loser]}
        if after is not None:
            to = self.bouts[after].bout
            words |= {"R": _short(to.red.name), "B": _short(to.blue.name)}
            words |= {"RT": to.red.team or "the home club", "BT": to.blue.team or "the visitors"}
        fitting = [line for line in lines if _fits(line, words)]
        if not fitting:
            return
        text = rng.choice(fitting).format(**words)
        if self.plain:
            text = "".join(c for c in text.lower() if c not in ".,!?-'")
        end = self.t + max(len(text) / _RATE, 1.0)
        self.cues.append(Cue(len(self.cues) + 1, round(self.t, 2), round(end, 2), text))
        self.t = end + rng.uniform(0.1, 2.5)


def _fits(line: str, words: dict[str, Any]) -> bool:
    try:
        line.format(**words)
    except KeyError:
        return False
    return True


def _short(name: str | None) -> str:
    return (name or "somebody").split()[-1]
