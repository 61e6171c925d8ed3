"""Reads the rows of a lexicon file: ways of saying, each a table ``[[phrase]]``."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from extract.errors import InputError
from extract.lexicon.data import tables_of
from extract.lexicon.entries import nearest
from extract.lexicon.features import sort_of
from extract.lexicon.kinds import PART_SORTS, ROW_KINDS, RowKind
from extract.lexicon.lines import lines_of
from extract.phrases import BadPattern, Near, Pattern, Row, read_items, read_pattern
from extract.transcript.decode import SourceText

#: Keys of every row, with what stands under each.
_TEXT, _TEXTS, _LIST, _NEAR = "a text", "a list of texts", "a list of texts or numbers", "a list of tables"
_KEYS: dict[str, str] = {
    **dict.fromkeys(("id", "gives", "form", "words", "before", "after"), _TEXT),
    **dict.fromkeys(("not_before", "not_after", "differ", "same", "styles", "says", "says_not"), _TEXTS),
    **dict.fromkeys(("near", "not_near"), _NEAR),
    "across": "true or false",
}
_TYPES: Mapping[type, str] = {str: _TEXT, list: _LIST, bool: "true or false", int: "a whole number"}
_NEAR_KEYS: Mapping[str, type] = {
    "is": str,
    "before": int,
    "after": int,
    "over": list,
    "across": bool,
    "seconds": int,
}


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row and where it stands: the ``number``-th of its file, counted from 0."""

    row: Row
    source: SourceText
    number: int

    def fault(self, problem: str, remedy: str, *path: str | int) -> InputError:
        """The error about the row, or about what stands at a path in it."""
        return InputError(self.source.file, problem, remedy, self.line(*path))

    def line(self, *path: str | int) -> int:
        """The line of the row, or of what stands at a path in it."""
        return lines_of(self.source.text).line_of("phrase", self.number, *path)


class RowsRead(NamedTuple):
    """What a file gave: the rows that are sound, and what is wrong with the others."""

    rows: tuple[PlacedRow, ...]
    faults: tuple[InputError, ...]


class _Wrong(Exception):
    """What is wrong at a path in a row, and what would mend it."""

    def __init__(self, problem: str, remedy: str, *path: str | int) -> None:
        super().__init__(problem)
        self.problem, self.remedy, self.path = problem, remedy, path


def read_rows(source: SourceText, styles: Collection[str]) -> RowsRead:
    """The rows of a lexicon file; ``styles`` are what they may be limited to. Raises InputError where it is no TOML."""
    listed = tables_of(source).get("phrase", [])
    faults: list[InputError] = []
    rows: list[PlacedRow] = []

    def fault(wrong: _Wrong, *path: str | int) -> None:
        line = lines_of(source.text).line_of("phrase", *path, *wrong.path)
        faults.append(InputError(source.file, wrong.problem, wrong.remedy, line))

    if not isinstance(listed, list) or not all(isinstance(raw, dict) for raw in listed):
        fault(_Wrong("phrase is no list of tables", "write [[phrase]]"))
        listed = []
    seen: set[str] = set()
    for number, raw in enumerate(listed):
        try:
            row = _row(raw, styles)
            if row.id in seen:
                raise _Wrong(f"a second row {row.id!r}", "give it another id", "id")
        except _Wrong as wrong:
            fault(wrong, number)
            continue
        seen.add(row.id)
        rows.append(PlacedRow(row, source, number))
    return RowsRead(tuple(rows), tuple(faults))


def _row(raw: Mapping[str, Any], styles: Collection[str]) -> Row:
    """The row that a table is. Raises _Wrong for the first thing that is wrong with it."""
    gives = raw.get("gives")
    if not isinstance(gives, str) or gives not in ROW_KINDS:
        problem = "no gives" if gives is None else f"unknown {gives!r} in gives"
        raise _Wrong(problem, nearest(str(gives or ""), ROW_KINDS), "gives")
    kind = ROW_KINDS[gives]
    keys = {**_KEYS, **{key: _TEXT if of is Pattern else _TYPES[of] for key, of in kind.keys.items()}}
    for key, value in raw.items():
        if key not in keys:
            raise _Wrong(f"unknown key {key!r}", nearest(key, keys), key)
        if not _is(value, keys[key]):
            raise _Wrong(f"{key} is not {keys[key]}", "write it as in another row", key)
    if not raw.get("id"):
        raise _Wrong("a row without id", 'write id = "...", a name of your own')
    for style in raw.get("styles", ()):
        if style not in styles:
            raise _Wrong(f"unknown style {style!r} in styles", nearest(style, styles), "styles")
    form = raw.get("form", "")
    if form not in (kind.forms or {""}):
        raise _Wrong(f"unknown form {form!r} of a {gives}", nearest(form, kind.forms or {""}), "form")
    words = _pattern(raw, "words")
    if kind.words and words is None:
        raise _Wrong("a row without words", 'write words = "...", what is said', "words")
    before, after = _pattern(raw, "before"), _pattern(raw, "after")
    _check_parts(raw, kind, [pattern for pattern in (words, before, after) if pattern is not None])
    _check_more(raw, kind)
    return Row(
        raw["id"],
        gives,
        form,
        words,
        before,
        after,
        _patterns(raw, "not_before"),
        _patterns(raw, "not_after"),
        _near(raw, "near"),
        _near(raw, "not_near"),
        tuple(raw.get("differ", ())),
        tuple(raw.get("same", ())),
        raw.get("across", False),
        tuple(raw.get("styles", ())),
        {
            key: _pattern(raw, key) if of is Pattern else raw[key]
            for key, of in kind.keys.items()
            if key in raw
        },
        tuple(raw.get("says", ())),
        tuple(raw.get("says_not", ())),
    )


def _check_parts(raw: Mapping[str, Any], kind: RowKind, patterns: Collection[Pattern]) -> None:
    """Raises _Wrong where the patterns lack a part that the row needs, or have one that is not what it must be."""
    parts = {name: sort for pattern in patterns for name, sort in pattern.names.items()}
    always = {name for pattern in patterns for name in pattern.always}
    needed = kind.parts if not kind.instead or kind.instead not in raw else ()
    for part in (*needed, *raw.get("differ", ()), *raw.get("same", ())):
        if part not in parts:
            raise _Wrong(f"no part {part!r} in the words", f"write <{part}=...> there", "words")
    for key in kind.named:
        if key in raw and raw[key] not in parts:
            raise _Wrong(f"no part {raw[key]!r} in the words", nearest(raw[key], parts), key)
    corners = {raw[key] for key in kind.named if key in raw}
    for part in (*needed, *corners):
        sorts = ("corner",) if part in corners else PART_SORTS.get(part, ())
        if part not in always:
            raise _Wrong(
                f"the part {part!r} may be missing", f"write <{part}=...> in every way of it", "words"
            )
        if sorts and parts[part].partition(":")[0] not in sorts:
            raise _Wrong(f"the part {part!r} is no {sorts[0]}", f"write <{part}={sorts[0]}> there", "words")


def _check_more(raw: Mapping[str, Any], kind: RowKind) -> None:
    """Raises _Wrong where a further key says what it may not."""
    for key, known in kind.values.items():
        given = raw.get(key, [])
        for value in given if isinstance(given, list) else [given]:
            if value not in known:
                raise _Wrong(f"unknown {value!r} in {key}", nearest(str(value), known), key)
    for key, size in kind.numbers.items():
        if key in raw and not (len(raw[key]) == size and all(type(n) is int for n in raw[key])):
            raise _Wrong(f"{key} is no list of {size} whole numbers", f"write {size} numbers in it", key)


def _is(value: object, wanted: str) -> bool:
    """Whether a value is what a key wants."""
    if wanted in (_TEXTS, _LIST):
        of = str if wanted == _TEXTS else (str, int)
        return isinstance(value, list) and all(isinstance(text, of) for text in value)
    if wanted == _NEAR:
        return isinstance(value, list) and all(isinstance(table, dict) for table in value)
    types: dict[str, type] = {word: of for of, word in _TYPES.items()}
    return type(value) is types[wanted]


def _pattern(raw: Mapping[str, Any], key: str) -> Pattern | None:
    return _read(raw[key], key) if key in raw else None


def _patterns(raw: Mapping[str, Any], key: str) -> tuple[Pattern, ...]:
    return tuple(_read(text, key, n) for n, text in enumerate(raw.get(key, ())))


def _read(text: str, *path: str | int) -> Pattern:
    try:
        return read_pattern(text, sort_of)
    except BadPattern as error:
        raise _Wrong(str(error), error.remedy, *path) from None


def _near(raw: Mapping[str, Any], key: str) -> tuple[Near, ...]:
    return tuple(_near_one(table, key, n) for n, table in enumerate(raw.get(key, ())))


def _near_one(table: Mapping[str, Any], *path: str | int) -> Near:
    for name, value in table.items():
        if _NEAR_KEYS.get(name) is not type(value):
            raise _Wrong(f"{name!r} cannot be so in {path[0]}", nearest(name, _NEAR_KEYS), *path)
    if "before" not in table and "after" not in table:
        raise _Wrong("it is not said how near", "write before = N, after = N, or both", *path)
    over = table.get("over", [0, 0])
    if len(over) != 2 or not all(type(n) is int for n in over):
        raise _Wrong(
            "over is not two numbers", "write over = [N, N], words before and after the segment", *path
        )
    try:
        items = read_items(table.get("is", ""), sort_of)
    except BadPattern as error:
        raise _Wrong(str(error), error.remedy, *path) from None
    return Near(
        items,
        table.get("before"),
        table.get("after"),
        (over[0], over[1]),
        table.get("across", False),
        table.get("seconds"),
    )


def own_first(shipped: Collection[PlacedRow], own: Collection[PlacedRow]) -> Iterator[PlacedRow]:
    """The rows of a user's files, and after them the shipped ones; one with the id of a shipped one takes its place."""
    mine = {placed.row.id for placed in own}
    yield from own
    yield from (placed for placed in shipped if placed.row.id not in mine)
