"""Who speaks over a drawn bout: the words of the templates in ``grammar.toml``, and how they come out."""

from __future__ import annotations

import random
import re
import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

from extract.rules import Corner, other
from tests.drawn.drawn_bout import DrawnBout
from tests.drawn.words import Person, in_words, misheard

Register = Literal["cased", "lower", "notes"]
REGISTERS: tuple[Register, ...] = ("cased", "lower", "notes")


@dataclass(frozen=True, slots=True)
class Noise:
    """How people talk and are heard; every value is from 0 to 1.

    ``points_only``, ``kind_only`` and ``uncalled`` are shares of the awards, the rest is called fully.
    ``call_delay`` 1 lets a call come up to eight seconds late. ``replays`` is the share of awards told again.
    ``statements`` and ``clocks`` are the chances of a score and of a time left after an award; ``slips`` the share
    of the scores said that are ``stale``, ``swapped``, ``ahead`` or ``wrong``, shared evenly among these.
    ``distractors`` is the share of the filling talk that sounds like a score or an award. ``word_errors`` is the
    share of words dropped or misheard.
    """

    points_only: float = 0.0
    kind_only: float = 0.0
    uncalled: float = 0.0
    call_delay: float = 0.0
    replays: float = 0.0
    statements: float = 0.6
    clocks: float = 0.3
    slips: float = 0.0
    distractors: float = 0.0
    word_errors: float = 0.0


@cache
def grammar() -> dict[str, Any]:
    """The templates."""
    return tomllib.loads(Path(__file__).with_name("grammar.toml").read_text(encoding="utf-8"))


@dataclass(slots=True)
class Voice:
    """Who speaks: register, names, choice of words."""

    bout: DrawnBout
    register: Register
    noise: Noise
    rng: random.Random
    cast: dict[Corner, Person]
    digits: bool = False
    truth: dict[str, list[dict[str, Any]]] = field(default_factory=dict)

    def templates(self, *path: str) -> Any:
        """The templates at a path, in this register."""
        node: Any = grammar()["notes"] if self.register == "notes" else grammar()
        for key in path:
            node = node[key]
        return node

    def who(self, corner: Corner) -> str:
        """A way to name a corner."""
        person, chance = self.cast[corner], self.rng.random()
        if self.register == "notes":
            return corner if chance < 0.6 else person.family
        if chance < 0.6:
            return person.family
        return corner if chance < 0.85 else person.name

    def number(self, value: int) -> str:
        return str(value) if self.digits else in_words(value)

    def say(self, options: list[str], credited: Corner | None = None, **more: str) -> str:
        """One of the templates, filled in."""
        words = dict(more)
        if credited is not None:
            words["w"], words["l"] = self.who(credited), self.who(other(credited))
        if "k" in words:
            words["k"] = words["k"].format(**words)
        words.update(
            {key.upper(): value[:1].upper() + value[1:] for key, value in words.items() if len(key) == 1}
        )
        words["Pts"] = more.get("pts", "").capitalize()
        words["Time"] = more.get("time", "").capitalize()
        return self.rng.choice(options).format(**words)

    def worth(self, points: int) -> dict[str, str]:
        return {"n": self.number(points), "pts": f"{self.number(points)} point{'s' if points != 1 else ''}"}

    def heard(self, text: str) -> str:
        """The text as it comes out: register, then errors."""
        if self.register == "lower":
            text = re.sub(r"(?<=\w)-(?=\w)", " ", text).lower()
            text = re.sub(r"[^\w' ]", "", text)
        names = tuple(part for p in self.cast.values() for part in (p.name, p.team))
        return misheard(text, self.noise.word_errors, self.rng, names)
