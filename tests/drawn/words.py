"""Invented names, numbers in words, and what a recogniser does to words."""

from __future__ import annotations

import random
import re
from typing import NamedTuple

from extract.rules import Corner

_STARTS = (
    "Bra", "Kel", "Dro", "Fen", "Gol", "Hax", "Jor", "Lun", "Mer", "Nov", "Pel", "Quil", "Skel", "Tor", "Vas", "Yar",
    "Zin",
)  # fmt: skip
_MIDDLES = ("do", "ven", "ar", "imo", "amu", "elo", "und", "isa", "oru")
_ENDS = (
    "wick",
    "vara",
    "ketter",
    "lund",
    "gorse",
    "thane",
    "dovic",
    "shaw",
    "bourne",
    "quist",
    "mond",
    "zelle",
)
_GIVEN = (
    "Talin", "Miroveck", "Odesha", "Brundan", "Casmir", "Elvona", "Ruvek", "Ysolde", "Garrow", "Nadrik", "Perrin",
    "Junivar",
)  # fmt: skip
_PLACES = ("Ferry", "Hollow", "Quay", "Mills", "Ridge", "Sands")
_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ["_", "_", "twenty", "thirty", "forty", "fifty"]
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
HOMOPHONES = {
    "two": ("to", "too"), "to": ("two",), "four": ("for",), "for": ("four",), "one": ("won",), "won": ("one",),
    "eight": ("ate",), "takedown": ("take down",), "red": ("read",), "blue": ("blew",), "exposure": ("exposer",),
    "throw": ("through",), "reversal": ("rehearsal",), "point": ("points",), "points": ("point",),
    "passivity": ("passive", "captivity"), "caution": ("cushion",), "escape": ("a scape",), "fall": ("full",),
    "near": ("nearer",), "all": ("awl",), "leads": ("leeds",), "gut": ("got",), "wrench": ("ranch",),
    "stalling": ("stolen",), "left": ("lift",), "period": ("periods",), "challenge": ("challenges",),
}  # fmt: skip


class Person(NamedTuple):
    """One athlete: given and family name, and team."""

    given: str
    family: str
    team: str

    @property
    def name(self) -> str:
        return f"{self.given} {self.family}"


def people(rng: random.Random) -> dict[Corner, Person]:
    """Two people whose names differ in every part."""
    starts, middles, ends = rng.sample(_STARTS, 4), rng.sample(_MIDDLES, 4), rng.sample(_ENDS, 4)
    given, places = rng.sample(_GIVEN, 2), rng.sample(_PLACES, 2)
    names = [a + m + e for a, m, e in zip(starts, middles, ends, strict=True)]
    return {
        "red": Person(given[0], names[0], f"{names[2]} {places[0]}"),
        "blue": Person(given[1], names[1], f"{names[3]} {places[1]}"),
    }


def invented_names(rng: random.Random, count: int) -> list[str]:
    """So many family names, no two alike in their beginning as long as there are beginnings enough."""
    starts = [start for _ in range(count // len(_STARTS) + 1) for start in rng.sample(_STARTS, len(_STARTS))]
    return [start + rng.choice(_MIDDLES) + rng.choice(_ENDS) for start in starts[:count]]


def in_words(number: int) -> str:
    """A number below sixty in words.

    >>> in_words(21), in_words(40)
    ('twenty one', 'forty')
    """
    if number < 20:
        return _ONES[number]
    return _TENS[number // 10] + (f" {_ONES[number % 10]}" if number % 10 else "")


def time_in_words(seconds: int) -> str:
    """A time left in words.

    >>> time_in_words(80), time_in_words(45), time_in_words(120)
    ('one minute twenty', 'forty five seconds', 'two minutes')
    """
    minutes, rest = divmod(seconds, 60)
    if not minutes:
        return f"{in_words(rest)} second{'s' if rest != 1 else ''}"
    head = f"{in_words(minutes)} minute{'s' if minutes > 1 else ''}"
    return f"{head} {in_words(rest)}" if rest >= 10 else f"{head} {in_words(rest)} seconds" if rest else head


def misheard(text: str, rate: float, rng: random.Random, names: tuple[str, ...]) -> str:
    """A text with a share of its words dropped, taken for others or, names, mangled."""
    if not rate:
        return text
    known = {part.casefold() for name in names for part in name.split()}
    out: list[str] = []
    for word in text.split():
        if rng.random() >= rate:
            out.append(word)
            continue
        match = re.match(r"\W*(\w[\w'-]*\w|\w)", word)
        core = match[1] if match else word
        if core.casefold() in known:
            out.append(word.replace(core, _mangled(core, rng)))
        elif core.casefold() in HOMOPHONES and rng.random() < 0.7:
            out.append(word.replace(core, rng.choice(HOMOPHONES[core.casefold()])))
        # What is left is dropped.
    return " ".join(out) or "uh"


def _mangled(name: str, rng: random.Random) -> str:
    """A name as a recogniser may spell it: another vowel, a consonant doubled, or split in two."""
    way = rng.randrange(3)
    at = rng.randrange(1, len(name) - 1)
    if way == 0:
        vowels = [k for k, c in enumerate(name) if k and c in "aeiou"] or [at]
        k = rng.choice(vowels)
        return name[:k] + rng.choice("aeiou") + name[k + 1 :]
    if way == 1:
        return name[:at] + name[at] + name[at:]
    return f"{name[:at]} {name[at:]}"
