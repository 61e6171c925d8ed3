"""Loads the lexicon files and checks their form."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, cast

from extract.errors import InputError
from extract.lexicon.data import load_toml

#: The files of the shipped lexicon, in the order in which they are read.
FILES = ("calls", "scores", "clock", "review", "stance")
#: Roles an entry may have; what each means stands at the head of its file.
ROLES = frozenset(
    """
    kind not_kind sheet_mark position not_position split_verb points_word more gives concedes fingers action
    level tied lead not_lead trail score_cue final_cue margin_noun margin_by
    record elsewhere counts_holds not_score tie_up criteria
    remain elapsed other_clock bound minute second half
    period_start period_word ending ordinal overtime period_end bout_end winner won_by
    challenge_ask challenge_won challenge_lost challenge_withdrawn challenge_word not_challenge outcome_good outcome_bad
    wave_off repair authority stance might_come not_stance stance_end style
    """.split()  # noqa: SIM905
)
_STRENGTHS = frozenset({"call", "verb", "hold", "loose"})
_SCOPES = frozenset({"after", "before"})
_STYLES = frozenset({"freestyle", "greco", "collegiate", "scholastic"})
_STANCES = frozenset({"asked", "negated", "hoped", "hypothetical", "recalled"})
#: The values that a role may have, where they are few.
_VALUES = {
    "stance": _STANCES,
    "bound": frozenset({"under", "over", "about"}),
    "other_clock": frozenset({"activity", "riding", "rest"}),
    "wave_off": frozenset({"waved off", "taken back", "nothing given", "nothing there"}),
    "won_by": frozenset({"superiority", "injury", "disqualification", "forfeit"}),
    "style": _STYLES,
}
_KEYS = frozenset({"role", "value", "forms", "strength", "scope", "styles", "particles"})


@dataclass(frozen=True, slots=True)
class Entry:
    """A group of forms with one meaning.

    ``role`` is what the words do in a sentence, ``value`` which of its kind (the event kind for ``kind``, the
    bound for ``bound``, the stance for ``stance``). ``strength`` is ``call``, ``verb`` or ``hold`` for kinds, and
    ``loose`` for marks that are part of any talk too; ``scope`` is ``after`` or ``before`` for stance triggers and where
    the winner is named after the word. ``styles`` limits an entry to some rulesets; empty
    means all. ``particles`` are the small words that
    make a kind of a split verb ("takes ... down").
    """

    role: str
    value: str
    forms: tuple[str, ...]
    strength: str = ""
    scope: str = ""
    styles: tuple[str, ...] = ()
    particles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Lexicon:
    """All entries that hold for one style."""

    style: str
    entries: tuple[Entry, ...]

    def forms(self, role: str, value: str | None = None) -> Iterator[str]:
        """The forms of one role, and of one value of it where given."""
        for entry in self.entries:
            if entry.role == role and value in (None, entry.value):
                yield from entry.forms


def _check(raw: dict[str, Any], file: str, number: int) -> Entry:
    place = f"entry {number}"
    unknown = set(raw) - _KEYS
    if unknown:
        raise InputError(
            file, f"{place}: unknown key {sorted(unknown)[0]!r}", f"use {', '.join(sorted(_KEYS))}"
        )
    role = raw.get("role")
    if role not in ROLES:
        raise InputError(file, f"{place}: unknown role {role!r}", f"use one of {', '.join(sorted(ROLES))}")
    value = str(raw.get("value", ""))
    for key, known in (("value", _VALUES.get(str(role))), ("strength", _STRENGTHS), ("scope", _SCOPES)):
        given = str(raw.get(key, ""))
        if known is not None and given and given not in known:
            remedy = f"use one of {', '.join(sorted(known))}"
            raise InputError(file, f"{place}: unknown {key} {given!r}", remedy)
    styles = raw.get("styles", [])
    if not isinstance(styles, list) or not set(styles) <= _STYLES:
        raise InputError(
            file, f"{place}: unknown styles {styles!r}", f"write a list of {', '.join(sorted(_STYLES))}"
        )
    forms = raw.get("forms")
    if not isinstance(forms, list) or not forms or not all(isinstance(f, str) and f.strip() for f in forms):
        raise InputError(file, f"{place}: forms must be a list of words or phrases", 'write forms = ["..."]')
    return Entry(
        role,
        value,
        tuple(dict.fromkeys(forms)),
        str(raw.get("strength", "")),
        str(raw.get("scope", "")),
        tuple(styles),
        tuple(raw.get("particles", ())),
    )


def _entries(names: Iterable[str]) -> Iterator[Entry]:
    for name in names:
        try:
            raw = load_toml(name)
        except tomllib.TOMLDecodeError as error:
            raise InputError(
                f"lexicons/{name}.toml", f"not valid TOML: {error}", "mend the line named"
            ) from None
        table = raw.get("entry", [])
        if not isinstance(table, list):
            raise InputError(f"lexicons/{name}.toml", "entry is no list of tables", "write [[entry]]")
        for number, entry in enumerate(table, 1):
            yield _check(entry, f"lexicons/{name}.toml", number)


@lru_cache(maxsize=32)
def small_words(name: str) -> frozenset[str]:
    """One of the sets of small words (see ``lexicons/small_words.toml``). Raises KeyError for an unknown name."""
    return frozenset(cast("list[str]", load_toml("small_words")[name]))


@lru_cache(maxsize=1)
def style_words() -> dict[str, tuple[str, ...]]:
    """The words that tell each style."""
    return {entry.value: entry.forms for entry in _entries(("styles",))}


@lru_cache(maxsize=8)
def load_lexicon(style: str) -> Lexicon:
    """The shipped lexicon for a style (``freestyle``, ``greco``, ``collegiate``, ``scholastic``).

    Raises InputError when a file is malformed.
    """
    kept = (entry for entry in _entries(FILES) if not entry.styles or style in entry.styles)
    return Lexicon(style, tuple(kept))
