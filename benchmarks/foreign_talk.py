"""Recordings that begin with something else: talk that is no part of the bout put before it, and every time moved.

``lead_in`` and ``moved`` make a transcript over whose bout the log must stay as it is.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from extract.transcript import Cue, Transcript

Half = Literal["fit", "report"]
#: Characters spoken in a second (common practice), and the most in one caption.
_RATE, _LINE = 15.0, 80
#: A paragraph that is typed with one time goes on for so many seconds.
_PARAGRAPH_S = (15.0, 35.0)
#: A long sentence takes so many seconds.
_SENTENCE_S = 9.0


def moved(transcript: Transcript, seconds: float) -> Transcript:
    """The transcript with ``seconds`` added to every time."""
    return replace(transcript, cues=tuple(_moved(cue, seconds, 0) for cue in transcript.cues))


def lead_in(transcript: Transcript, seconds: float, seed: int, half: Half = "report") -> Transcript:
    """The transcript with ``seconds`` of foreign talk put before it, written as its own talk is (captions, paragraphs,
    with or without sentence marks); its own times move by so much. ``half`` says which half of the lines is taken."""
    if not transcript.cues or seconds <= 0:
        return transcript
    rng = random.Random(f"foreign {seed}")
    begins = transcript.cues[0].start
    plain = _is_plain(transcript)
    cues: list[Cue] = []
    paragraphs = transcript.format == "block"
    sentences = _sentences(rng, half)
    t, until = begins, begins + seconds
    while True:
        text = ""
        wanted = min(rng.uniform(*_PARAGRAPH_S), until - t - _SENTENCE_S) if paragraphs else 0.0
        for line in sentences:
            text = f"{text} {line}".strip()
            if len(text) / _RATE >= wanted:
                break
        pieces = [text] if paragraphs else list(_lines(text))
        for piece in pieces:
            end = t + max(len(piece) / _RATE, 0.8)
            if end > until - 0.3:
                return _joined(transcript, cues, seconds)
            if plain:
                piece = "".join(c for c in piece.lower() if c not in ".,!?-")
            if paragraphs:
                t = float(round(t))
            cues.append(Cue(len(cues) + 1, round(t, 3), round(end, 3), piece))
            t = end + rng.uniform(0.05, 0.3)
        t += rng.choice((0.1, 0.5, 1.0, 2.5, 6.0)) if not paragraphs else 0.0


def _joined(transcript: Transcript, cues: list[Cue], seconds: float) -> Transcript:
    own = [_moved(cue, seconds, len(cues)) for cue in transcript.cues]
    if transcript.format == "block" and cues:
        # A paragraph lasts until the next one.
        starts = [cue.start for cue in (*cues[1:], own[0])]
        cues = [replace(cue, end=start) for cue, start in zip(cues, starts, strict=True)]
    return replace(transcript, cues=(*cues, *own))


def _moved(cue: Cue, seconds: float, places: int) -> Cue:
    return replace(
        cue,
        index=cue.index + places,
        start=cue.start + seconds,
        end=cue.end + seconds,
        anchors=tuple((at, t + seconds) for at, t in cue.anchors),
    )


def _is_plain(transcript: Transcript) -> bool:
    """Whether the captions come in small letters and without sentence marks."""
    lower = sum(cue.text == cue.text.lower() for cue in transcript.cues)
    return lower > 0.7 * len(transcript.cues)


def _lines(text: str) -> Iterator[str]:
    """The text in lines that a caption has room for."""
    line = ""
    for word in text.split():
        if line and len(line) + len(word) + 1 > _LINE:
            yield line
            line = ""
        line = f"{line} {word}".strip()
    yield line


@lru_cache(maxsize=1)
def _templates() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))


def _sentences(rng: random.Random, half: Half) -> Iterator[str]:
    """Foreign talk without end. What belongs together comes together, and a few people come up again and again."""
    names, talk = _templates()["names"], _templates()["talk"]
    people = rng.sample(names["people"], 12)
    sorts = sorted(talk)
    yield from _said(rng, talk["desk"], half, people, names["clubs"], 2)
    while True:
        sort = rng.choice(sorts)
        yield from _said(rng, talk[sort], half, people, names["clubs"], rng.randint(1, 4))


def _said(
    rng: random.Random, lines: list[str], half: Half, people: list[str], clubs: list[str], number: int
) -> Iterator[str]:
    own = lines[half == "report" :: 2]
    start = rng.randrange(len(own))
    about = rng.sample(people, 3)
    for line in (own[start:] + own[:start])[:number]:
        first, second, third = about if rng.random() < 0.7 else rng.sample(people, 3)
        club, other = rng.sample(clubs, 2)
        low = rng.randint(0, 7)
        yield line.format(
            P=first, Q=second, S=third, T=club, U=other, a=low + rng.randint(1, 8), b=low,
            n=rng.randint(11, 48), m=rng.randint(2, 9), k=rng.choice((57, 61, 65, 70, 74, 79, 86, 92, 97, 125)),
        )  # fmt: skip
