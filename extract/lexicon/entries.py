"""Entries: what one may say, and how a file of them is read."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from extract.errors import InputError
from extract.lexicon.data import tables_of
from extract.lexicon.lines import lines_of
from extract.lexicon.spelling import plain
from extract.transcript.decode import SourceText

_NONE = frozenset({""})
_LOOSE = frozenset({"", "loose"})


class Role(NamedTuple):
    """What an entry of a role may say besides its forms; "" stands for a key that is left out.

    ``values`` is None where the value is the name of a kind of event, which the rulesets know.
    """

    values: frozenset[str] | None = _NONE
    strengths: frozenset[str] = _NONE
    scopes: frozenset[str] = _NONE
    number: bool = False
    particles: bool = False


#: Roles an entry may have; what each means stands at the head of its file.
ROLES: dict[str, Role] = {
    **dict.fromkeys(
        """
        points_word more gives concedes fingers action lead not_lead not_trail score_cue final_cue margin_noun margin_by
        record counts_holds not_score tie_up minute second period_word
        beating beaten challenge_withdrawn challenge_word challenge_thing not_challenge outcome_good outcome_bad
        repair authority might_come not_stance stance_end not_position
        """.split(),  # noqa: SIM905
        Role(),
    ),
    "kind": Role(values=None, strengths=frozenset({"call", "verb", "hold"})),
    "not_kind": Role(values=None),
    "sheet_mark": Role(values=None),
    "split_verb": Role(values=None, particles=True),
    "level": Role(frozenset({"each"})),
    "trail": Role(strengths=_LOOSE),
    "criteria": Role(strengths=_LOOSE),
    "tied": Role(frozenset({"", "at", "alone"})),
    "elsewhere": Role(strengths=_LOOSE | {"mat", "verb"}),
    "remain": Role(strengths=_LOOSE),
    "elapsed": Role(strengths=_LOOSE),
    "other_clock": Role(frozenset({"activity", "riding", "rest"})),
    "bound": Role(frozenset({"under", "over", "about"}), scopes=frozenset({"", "before"})),
    "half": Role(number=True),
    "ordinal": Role(strengths=frozenset({"", "named"}), number=True),
    "session": Role(frozenset({"next", "intro", "class", "past", "desk"})),
    "overtime": Role(frozenset({"sudden_victory", "tiebreaker", "ultimate", "extra_minute"})),
    "period_start": Role(strengths=_LOOSE),
    "period_end": Role(strengths=_LOOSE),
    "bout_end": Role(strengths=_LOOSE),
    "challenge_ask": Role(strengths=frozenset({"", "loose", "noun"})),
    **dict.fromkeys(("challenge_won", "challenge_lost"), Role(strengths=frozenset({"", "open"}))),
    "ending": Role(scopes=frozenset({"before", "after"})),
    "position": Role(frozenset({"top", "bottom", "neutral"})),
    "winner": Role(strengths=_LOOSE, scopes=frozenset({"", "after"})),
    "won_by": Role(frozenset({"superiority", "injury", "disqualification", "forfeit"})),
    "wave_off": Role(frozenset({"waved off", "taken back", "nothing given", "nothing there"})),
    "stance": Role(
        frozenset({"asked", "negated", "hoped", "hypothetical", "recalled"}),
        strengths=frozenset({"", "auxiliary"}),
        scopes=frozenset({"after", "before"}),
    ),
}
_KEYS = ("role", "value", "strength", "scope", "styles", "particles", "forms")


class Meaning(NamedTuple):
    """What the forms of an entry mean: entries that agree in it are one."""

    role: str
    value: str
    strength: str
    scope: str
    particles: tuple[str, ...]

    def __str__(self) -> str:
        return " ".join(part for part in (self.role, self.value, self.strength, self.scope) if part)


@dataclass(frozen=True, slots=True)
class Entry:
    """A group of forms with one meaning.

    ``role`` is what the words do in a sentence, ``value`` which of its kind (the event kind for ``kind``, the
    bound for ``bound``, the stance for ``stance``). ``strength`` is ``call``, ``verb`` or ``hold`` for kinds, and
    ``loose`` for marks that are part of any talk too; ``scope`` is ``after`` or ``before`` for stance triggers and where
    the winner is named after the word. ``styles`` limits an entry to some styles, or to those that include a shared
    file of that name; empty means all. ``particles`` are the small words that make a kind of a split verb
    ("takes ... down").
    """

    role: str
    value: str
    forms: tuple[str, ...]
    strength: str = ""
    scope: str = ""
    styles: tuple[str, ...] = ()
    particles: tuple[str, ...] = ()

    @property
    def meaning(self) -> Meaning:
        """All but the forms and the styles."""
        return Meaning(self.role, self.value, self.strength, self.scope, self.particles)


def rivals(one: Meaning, other: Meaning) -> bool:
    """Whether a form cannot have both meanings in one style. It can where they are of different roles, where two
    triggers of stance look in different directions, and where the particles of a split verb tell them apart."""
    if one.role != other.role or one[:4] == other[:4]:
        return False
    if one.role == "stance" and one.scope != other.scope:
        return False
    return one.role != "split_verb" or bool(set(one.particles) & set(other.particles))


@dataclass(frozen=True, slots=True)
class FileEntry:
    """An entry and where it stands: the ``number``-th of its file, counted from 0. ``drop`` are the forms that it takes
    out of the shipped entries of its role and value."""

    entry: Entry
    source: SourceText
    number: int
    drop: tuple[str, ...] = ()

    def fault(self, problem: str, remedy: str, key: str = "", form: str = "") -> InputError:
        """The error about the entry, about what stands under a key of it, or about one form there."""
        return InputError(self.source.file, problem, remedy, self.line(key, form))

    def line(self, key: str = "", form: str = "") -> int:
        """The line of the entry, of a key of it, or of one form under the key."""
        listed = self.drop if key == "drop" else self.entry.forms
        path = [key, listed.index(form)] if form else [key]
        return lines_of(self.source.text).line_of("entry", self.number, *path)


class Read(NamedTuple):
    """What a file gave: the entries that are sound, and what is wrong with the others."""

    entries: tuple[FileEntry, ...]
    faults: tuple[InputError, ...]


class _EntryProblem(NamedTuple):
    path: tuple[str | int, ...]
    problem: str
    remedy: str


def read_entries(
    source: SourceText,
    names: Collection[str],
    *,
    held_by: str = "",
    own: bool = False,
    tables: Collection[str] = (),
) -> Read:
    """The entries of a lexicon file.

    ``names`` are what ``styles`` may name. ``held_by`` is the file of ``styles/`` that it is, whose entries hold for
    that; ``own`` says that it is a user's, whose entries may ``drop`` forms. ``tables`` are the tables that may stand
    beside the entries. Raises InputError where the file is no TOML.
    """
    tree = tables_of(source)
    keys = [key for key in _KEYS if key != "styles" or not held_by] + ["drop"] * own
    found: list[_EntryProblem] = [
        _EntryProblem((key,), f"unknown key {key!r}", "write [[entry]] before each group of forms")
        for key in tree
        if key not in ("entry", "phrase") and key not in tables
    ]
    listed = tree.get("entry", [])
    if not isinstance(listed, list) or not all(isinstance(raw, dict) for raw in listed):
        found.append(_EntryProblem(("entry",), "entry is no list of tables", "write [[entry]]"))
        listed = []
    entries = []
    for number, raw in enumerate(listed):
        faults = list(_faults(raw, keys, names))
        found += (fault._replace(path=("entry", number, *fault.path)) for fault in faults)
        if not faults:
            entry = _entry(raw, (held_by,) if held_by else tuple(raw.get("styles", ())))
            entries.append(FileEntry(entry, source, number, tuple(raw.get("drop", ()))))
    lines = lines_of(source.text) if found else None
    problem = (
        InputError(source.file, problem, remedy, lines.line_of(*path) if lines else None)
        for path, problem, remedy in found
    )
    return Read(tuple(entries), tuple(problem))


def _entry(raw: dict[str, Any], styles: tuple[str, ...]) -> Entry:
    return Entry(
        raw["role"],
        raw.get("value", ""),
        tuple(raw.get("forms", ())),
        raw.get("strength", ""),
        raw.get("scope", ""),
        styles,
        tuple(raw.get("particles", ())),
    )


def nearest(given: str, known: Collection[str]) -> str:
    """A remedy for a name that is not known: the nearest one that is, or all of them."""
    import difflib

    near = difflib.get_close_matches(given, known, n=1)
    return f"did you mean {near[0]!r}?" if near else f"use one of {', '.join(sorted(known))}"


def _faults(raw: dict[str, Any], keys: Collection[str], names: Collection[str]) -> Iterator[_EntryProblem]:
    for key in raw:
        if key not in keys:
            yield _EntryProblem((key,), f"unknown key {key!r}", nearest(key, keys))
    role = raw.get("role")
    if not isinstance(role, str) or role not in ROLES:
        problem = "no role" if role is None else f"unknown role {role!r}"
        yield _EntryProblem(("role",), problem, nearest(str(role or ""), ROLES))
        return
    # What only drops forms does so whatever their strength, scope and particles.
    gives = "forms" in raw or "drop" not in raw
    yield from _value_faults(raw, ROLES[role], gives)
    for style in _texts(raw.get("styles", [])) or ():
        if style not in names:
            yield _EntryProblem(("styles",), f"unknown style {style!r} in styles", nearest(style, names))
    for key in ("styles", "particles", "forms", "drop"):
        wanted = key == "forms" or (key == "particles" and ROLES[role].particles)
        if key in raw or (wanted and gives):
            yield from _list_faults(raw, key, role)
    if "particles" in raw and not ROLES[role].particles:
        yield _EntryProblem(("particles",), f"a {role} has no particles", "take them out")
    dropped = {plain(role, form) for form in _texts(raw.get("drop", [])) or ()}
    for n, form in enumerate(_texts(raw.get("forms", [])) or ()):
        if plain(role, form) in dropped:
            yield _EntryProblem(("forms", n), f"{form!r} stands in drop too", "take it out of one of them")


def _value_faults(raw: dict[str, Any], role: Role, gives: bool) -> Iterator[_EntryProblem]:
    for key, known in (("value", role.values), ("strength", role.strengths), ("scope", role.scopes)):
        if key != "value" and key not in raw and not gives:
            continue
        given = raw.get(key, "")
        if not isinstance(given, str):
            yield _EntryProblem((key,), f"{key} is no text", f'write {key} = "..." in quotation marks')
        elif key == "value" and role.number:
            if not (given.isascii() and given.isdigit()):
                yield _EntryProblem(
                    (key,), f"value {given!r} is no number", f'write {key} = "..." with a whole number'
                )
        elif known is None:
            if not given:
                yield _EntryProblem((key,), "no value", "name the kind of event that the words mean")
        elif given not in known:
            problem = f"unknown {key} {given!r}" if given else f"no {key}"
            named = known - {""}
            yield _EntryProblem((key,), problem, nearest(given, named) if named else f"take {key} out")


def _texts(value: Any) -> list[str] | None:
    """A list of words or phrases; None for what is none."""
    sound = isinstance(value, list) and all(isinstance(text, str) and text.strip() for text in value)
    return value if sound else None


def _list_faults(raw: dict[str, Any], key: str, role: str) -> Iterator[_EntryProblem]:
    value = raw.get(key)
    if not value or _texts(value) is None:
        items = value if isinstance(value, list) else []
        bad = next((n for n, x in enumerate(items) if not isinstance(x, str) or not x.strip()), None)
        path = (key,) if bad is None else (key, bad)
        yield _EntryProblem(path, f"{key} must be a list of words or phrases", f'write {key} = ["..."]')
        return
    seen: dict[str, str] = {}
    for n, form in enumerate(value):
        same = seen.get(plain(role, form))
        if same is not None:
            yield _EntryProblem(
                (key, n), f"{form!r} is the same as {same!r} in its list", "take one of them out"
            )
        seen[plain(role, form)] = form
