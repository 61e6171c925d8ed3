"""What each column of a table of notes is: by its head, or by what stands in it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal, NamedTuple

from extract.transcript.bout_clock import period_number
from extract.transcript.names import names
from extract.transcript.plain import plain
from extract.transcript.times import clock_seconds

#: ``side`` and ``running`` are columns of one of the two athletes: the points given, and the points so far.
Role = Literal["period", "clock", "who", "action", "points", "side", "running", "score", "note"]
Kind = Role | Literal["time", "speaker"]
#: The order in which the cells of a row are read, whatever the order of the columns (but see ``_ordered``).
ORDER: tuple[Role, ...] = ("period", "clock", "who", "action", "points", "side", "running", "score", "note")
#: In these a row says what happened. Any of them shows that a name beside it is an athlete's.
_TELLING = frozenset({"action", "points", "score", "side"})

_SCORE = re.compile(r"[(\[]?\s*[0-9]{1,2}\s*[-–—−:]\s*[0-9]{1,2}\s*[)\]]?")
_POINTS = re.compile(r"\+?[0-9]{1,2}")
#: A code is a few letters and no more than a figure: "T3", "td2", "NF", "so 1".
_CODE = re.compile(r"[A-Za-z/]{1,5}[. ]?[0-9]?")
#: A column is what this share of its filled cells are.
_SHARE = 0.7
#: A column of athletes has no more than this many different names, in at least this many cells.
_PEOPLE, _AGAIN = 3, 3
_LONGEST_NAME = 24


class NotesColumn(NamedTuple):
    """A column that is used: its place in a row, what it is, and its head (empty where there is none)."""

    place: int
    role: Role
    head: str


class Columns(NamedTuple):
    """The columns of a table. ``time`` and ``speaker`` are places. ``text`` are the columns that make the text of a
    note. ``unused`` are the heads of the others, with the reason if it is known."""

    time: int | None
    speaker: int | None
    text: tuple[NotesColumn, ...]
    unused: tuple[str, ...] = ()


def plain_head(cell: str) -> str:
    """A head as ``names.toml`` lists it: small letters only.

    >>> plain_head("Video time (s)")
    'videotimes'
    """
    return "".join(filter(str.isalpha, cell)).lower()


def kinds_of(heads: Sequence[str]) -> list[Kind | None]:
    """What each head says that its column is; None for heads that say nothing."""
    kinds = [_kind(head) for head in heads]
    has_action = any(kind in _TELLING for kind in kinds)
    people = "who" in kinds or any(plain_head(head) in names("columns", "who_or_speaker") for head in heads)
    for place, head in enumerate(heads):
        if plain_head(head) in names("columns", "note_or_action"):
            kinds[place] = "action" if (has_action or people) and "action" not in kinds else "note"
    has_action = has_action or "action" in kinds
    for place, head in enumerate(heads):
        if plain_head(head) in names("columns", "who_or_speaker"):
            kinds[place] = "who" if has_action and "who" not in kinds else "speaker"
    return kinds


def _kind(head: str) -> Kind | None:
    plain = plain_head(head)
    kinds: tuple[Kind, ...] = (
        "time", "period", "clock", "who", "action", "points", "score", "side", "note", "speaker"
    )  # fmt: skip
    known = next((kind for kind in kinds if plain in names("columns", kind)), None)
    return "side" if known is None and side_of(head) else known


def side_of(head: str) -> str:
    """Whose column it is by a head such as "score_red", as the head has it. Empty if it belongs to neither.

    >>> side_of("Score (blue)"), side_of("location")
    ('blue', '')
    """
    words = re.findall(r"[^\W\d_]+", head)
    own = [word for word in words if word.lower() not in names("columns", "of_score")]
    return own[0] if len(own) == 1 and own[0].lower() in names("columns", "side") else ""


def columns_of(heads: Sequence[str], kinds: Sequence[Kind | None], rows: Sequence[Sequence[str]]) -> Columns:
    """The columns of a table with these heads over these rows. If a head does not say what its column is, the cells
    may. A second column of the same meaning is read too if it is text."""
    filled = [
        [cell for row in rows if len(row) > place and (cell := plain(row[place]))]
        for place in range(len(heads))
    ]
    time, speaker = (kinds.index(kind) if kind in kinds else None for kind in ("time", "speaker"))
    found: list[NotesColumn] = []
    unused: list[str] = []
    left: list[int] = []
    for place, (head, kind) in enumerate(zip(heads, kinds, strict=True)):
        if place in (time, speaker) or not filled[place]:
            continue
        role = None if kind in (None, "time", "speaker") else _settled(kind, filled[place])  # type: ignore[arg-type]
        if role is None or (role != "note" and role in {c.role for c in found if c.role != "side"}):
            left.append(place)
        else:
            found.append(NotesColumn(place, role, head))
    sides = _sides(found, filled, rows)
    found = [c for c in found if c.role != "side"] + sides
    for place in left:
        role = _by_cells(filled[place], {c.role for c in found}) if kinds[place] is None else None
        if role is not None:
            found.append(NotesColumn(place, role, heads[place]))
    named = _by_names(left, heads, filled, rows, found)
    found += named
    known = {c.place for c in found}
    if not known - {c.place for c in found if c.role in ("period", "clock")}:
        best = max(
            (p for p in left if p not in known),
            key=lambda p: sum(map(str.isalpha, "".join(filled[p]))),
            default=None,
        )
        if best is not None and any(map(str.isalpha, "".join(filled[best]))):
            found.append(NotesColumn(best, "note", heads[best]))
    known = {c.place for c in found}
    unused += [heads[p].strip() or f"column {p + 1}" for p in left if p not in known]
    return Columns(time, speaker, _ordered(found), tuple(unused))


def _ordered(found: Sequence[NotesColumn]) -> tuple[NotesColumn, ...]:
    """Columns in the order in which they are read. Where only notes tell what happened, they come before the score."""
    has_action = {c.role for c in found} & {"action", "points", "side"}
    order = ORDER if has_action else (*ORDER[: ORDER.index("running")], "note", "running", "score")
    return tuple(
        sorted(found, key=lambda c: (order.index(c.role), c.place if c.role == "note" else 0, c.head.lower()))
    )


def headless(width: int, time: int, rows: Sequence[Sequence[str]]) -> tuple[NotesColumn, ...]:
    """The columns of a table without heads, except the one of times. What stands in the cells decides; all others are
    notes."""
    found: list[NotesColumn] = []
    for place in range(width):
        cells = [cell for row in rows if len(row) > place and (cell := plain(row[place]))]
        if place == time or not cells:
            continue
        have = {c.role for c in found}
        found.append(NotesColumn(place, _by_cells(cells, have, headless=True) or "note", ""))
    return _ordered(found)


def _settled(role: Role, cells: Sequence[str]) -> Role | None:
    """What a column is whose head says ``role``. The cells may show that the head is used loosely."""
    if role == "score" and not _mostly(_SCORE, cells):
        return "points" if _mostly(_POINTS, cells) else "action"
    if role == "clock" and not sum(clock_seconds(cell) is not None for cell in cells) >= _SHARE * len(cells):
        return None
    if role == "points" and _mostly(_SCORE, cells):
        return "score"
    return role


def _by_cells(cells: Sequence[str], have: set[Role], *, headless: bool = False) -> Role | None:
    """What the cells show a column without a known head to be, if there is no such column yet."""
    if "score" not in have and not have & {"running"} and _mostly(_SCORE, cells) and not _are_times(cells):
        return "score"
    if headless and "clock" not in have and _are_times(cells):
        return "clock"
    if headless and "period" not in have and _periods(cells):
        return "period"
    few = len({cell.lower() for cell in cells}) <= _PEOPLE and len(cells) >= _AGAIN
    corners = all(cell.lower().rstrip(".") in names("cells", "corners") for cell in cells)
    named = (
        headless
        and few
        and all(len(c) <= _LONGEST_NAME and c[:1].isalpha() and not c[-1:].isdigit() for c in cells)
    )
    if "who" not in have and (corners or named):
        return "who"
    various = len(set(cells)) > 1 and not any(" " in cell for cell in cells)
    if (
        "action" not in have
        and various
        and _mostly(_CODE, cells)
        and any(cell[-1:].isdigit() for cell in cells)
    ):
        return "action"
    return None


def _are_times(cells: Sequence[str]) -> bool:
    return sum(clock_seconds(cell) is not None for cell in cells) >= _SHARE * len(cells)


def _periods(cells: Sequence[str]) -> bool:
    """Whether the cells are periods: they have a number, and it never falls."""
    numbers = [period_number(cell) for cell in cells if len(cell) <= 3]
    known = [n for n in numbers if n is not None]
    return len(known) == len(cells) and known == sorted(known) and known[0] == 1 and len(known) > 1


def _mostly(form: re.Pattern[str], cells: Sequence[str]) -> bool:
    return sum(form.fullmatch(cell) is not None for cell in cells) >= _SHARE * len(cells)


def _sides(
    found: Sequence[NotesColumn], filled: Sequence[Sequence[str]], rows: Sequence[Sequence[str]]
) -> list[NotesColumn]:
    """The columns of the two athletes. They are ``running`` if they hold the points so far."""
    sides = [c for c in found if c.role == "side"]
    running = len(sides) == 2 and all(_runs(filled[c.place], rows) for c in sides)
    return [NotesColumn(c.place, "running" if running else "side", side_of(c.head) or c.head) for c in sides]


def _runs(cells: Sequence[str], rows: Sequence[Sequence[str]]) -> bool:
    """Whether the cells of a column are the points that one has so far: in most rows, and never falling."""
    if not all(cell.isdecimal() and len(cell) < 3 for cell in cells) or len(cells) < len(rows) / 2:
        return False
    values = [int(cell) for cell in cells]
    return values == sorted(values)


def _by_names(
    left: Sequence[int],
    heads: Sequence[str],
    filled: Sequence[Sequence[str]],
    rows: Sequence[Sequence[str]],
    found: Sequence[NotesColumn],
) -> list[NotesColumn]:
    """Two columns with the names of the two for heads, where the points of each stand."""
    taken = {c.place for c in found}
    pair = [p for p in left if p not in taken and heads[p].strip() and _runs(filled[p], rows)]
    if len(pair) != 2 or any(c.role in ("score", "running", "side") for c in found):
        return []
    return [NotesColumn(p, "running", heads[p].strip()) for p in pair]
