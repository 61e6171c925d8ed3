"""Checks lexicons as they are used: the kinds they name against the rules, their forms against a text, their rows
against the sentences that these say."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from extract.errors import InputError
from extract.lexicon import Lexicon, load_lexicon, load_styles, small_words
from extract.lexicon.clashes import clash_fault, clashes
from extract.lexicon.data import read_lexicon
from extract.lexicon.entries import ROLES, FileEntry, nearest, read_entries
from extract.lexicon.load import (
    merged,
    own_faults,
    read_shipped,
    read_shipped_rows,
    row_faults,
    rows_of,
    shipped_entries,
    shipped_rows,
)
from extract.lexicon.rows import PlacedRow, read_rows
from extract.lexicon.styles import style_fault, style_faults, style_files
from extract.mentions.row_check import sentence_faults
from extract.phrases import Rows
from extract.rules import UnknownRules, edition_names
from extract.rules.base import CORNERS
from extract.talk.document import TalkDocument
from extract.talk.numbers import find_numbers
from extract.talk.style import plain_text
from extract.talk.terms import LONGEST, Terms, style_kinds
from extract.talk.tokens import tokenize
from extract.transcript.cue import Cue, Transcript
from extract.transcript.decode import SourceText
from extract.transcript.plain import PLAIN

#: Roles whose words alone may make an event.
_NAMING = frozenset({"kind", "challenge_ask", "challenge_won", "challenge_lost"})
#: Stands round a form that is tried; no form has it.
_FENCE = "zzz"


class Report(NamedTuple):
    """What a check found: ``notes`` are no problems. ``entries``, ``forms`` and ``rows`` count what was checked."""

    problems: tuple[InputError, ...]
    notes: tuple[InputError, ...]
    entries: int
    forms: int
    rows: int = 0


def own_lexicon(style: str, files: Sequence[str | Path]) -> Lexicon:
    """The lexicon of a style with a user's files over it. Raises InputError for the first fault in their structure or
    kinds."""
    check_own(files)
    return load_lexicon(style, tuple(files))


def check_own(files: Iterable[str | Path]) -> None:
    """Raises InputError for the first fault in the structure or the kinds of a user's files."""
    _check_own(tuple(dict.fromkeys(map(read_lexicon, files))))


@lru_cache(maxsize=8)
def _check_own(files: tuple[SourceText, ...]) -> None:
    for fault in _in_order(_read_own(files).faults):
        raise fault


class _Own(NamedTuple):
    """The sound entries and rows of a user's files, and what is wrong with the structure and the kinds of all."""

    entries: list[FileEntry]
    rows: list[PlacedRow]
    faults: list[InputError]


def _read_own(files: Iterable[SourceText]) -> _Own:
    files = tuple(files)
    read = [read_entries(file, style_files(), own=True) for file in files]
    own = [entry for file in read for entry in file.entries]
    rows = [read_rows(file, style_files()) for file in files]
    faults = [*(fault for file in read for fault in file.faults), *own_faults(own), *kind_faults(own)]
    mine = [row for file in rows for row in file.rows]
    return _Own(own, mine, [*faults, *row_faults(rows), *told_kind_faults(mine)])


def check_shipped() -> Report:
    """Checks the shipped lexicons."""
    files = list(read_shipped())
    placed = [entry for file in files for entry in file.entries]
    problems = [fault for file in files for fault in file.faults]
    read_rows = list(read_shipped_rows())
    rows = [row for file in read_rows for row in file.rows]
    problems += row_faults(read_rows)
    of_styles = list(style_faults())
    problems += of_styles
    if not of_styles:
        problems += _tell_faults()
        problems += kind_faults(placed)
        problems += told_kind_faults(rows)
        problems += map(clash_fault, clashes(placed, tuple(load_styles().values())))
        problems += unfound(placed, [])
    if not problems:
        problems += sentence_faults(rows, lambda style: _lexicon(style, placed, [], rows, []))
    return _report(problems, [], placed, rows)


def check_files(paths: Iterable[Path]) -> Report:
    """Checks a user's files, merged over the shipped lexicons. Raises InputError for one that cannot be read."""
    own, rows, problems = _read_own(dict.fromkeys(map(read_lexicon, paths)))
    shipped = shipped_entries()
    if own:
        problems += unfound(shipped, own)
        problems += everywhere(own)
    problems += sentence_faults(rows, lambda style: _lexicon(style, shipped, own, shipped_rows(), rows))
    return _report(problems, [*_replaced(own), *_replaced_rows(rows)], own, rows)


def _lexicon(
    style: str,
    shipped: Sequence[FileEntry],
    own: Sequence[FileEntry],
    shipped_rows: Sequence[PlacedRow],
    own_rows: Sequence[PlacedRow],
) -> Lexicon:
    return Lexicon(style, merged(style, shipped, own), rows=Rows(rows_of(style, shipped_rows, own_rows)))


def _report(
    problems: Iterable[InputError],
    notes: Iterable[InputError],
    placed: Sequence[FileEntry],
    rows: Sequence[PlacedRow],
) -> Report:
    forms = sum(len(entry.entry.forms) for entry in placed)
    return Report(_in_order(problems), _in_order(notes), len(placed), forms, len(rows))


def _in_order(found: Iterable[InputError]) -> tuple[InputError, ...]:
    """Each error once, by file and line."""
    unique = {str(error): error for error in found}
    return tuple(sorted(unique.values(), key=lambda error: (error.file, error.line or 0)))


def _replaced(own: Sequence[FileEntry]) -> Iterator[InputError]:
    """The own forms that a shipped entry gives another meaning, which gives way."""
    shipped = shipped_entries()
    mine = {id(placed) for placed in own}
    for clash in clashes([*shipped, *own], tuple(load_styles().values())):
        if id(clash.placed) in mine and id(clash.other) not in mine:
            meaning = clash.other.entry.meaning
            place = f"{clash.other.source.file}:{clash.other.line('forms', clash.other_form)}"
            problem = f"note: {clash.form!r} takes the place of {clash.other_form!r}, {meaning}, in {place}"
            yield clash.placed.fault(problem, "nothing need be done", "forms", clash.form)


def _replaced_rows(own: Iterable[PlacedRow]) -> Iterator[InputError]:
    """The own rows that take the place of a shipped one."""
    shipped = {placed.row.id: placed for placed in shipped_rows()}
    for placed in own:
        other = shipped.get(placed.row.id)
        if other is not None:
            problem = f"note: {placed.row.id!r} takes the place of the row in {other.source.file}:{other.line('id')}"
            yield placed.fault(problem, "nothing need be done", "id")


def _tell_faults() -> Iterator[InputError]:
    """Words that tell a style and never can, and styles without rules."""
    for style in load_styles().values():
        try:
            edition_names(style.name)
        except UnknownRules as error:
            yield style_fault(style.name, error.problem, "add a ruleset of this name, or rename the file")
        for n, tell in enumerate(style.tells):
            words = " ".join(tell.split())
            if not words or f" {tell} " not in plain_text(f"{_FENCE} {words} {_FENCE}"):
                problem = f"{tell!r} is never found"
                remedy = "write it in small letters with single spaces, without marks and hyphens"
                yield style_fault(style.name, problem, remedy, "tells", n)


def kind_faults(placed: Iterable[FileEntry]) -> Iterator[InputError]:
    """Entries that name a kind which the rules of a style that they name lack in every edition, or, where they name no
    style, the rules of all."""
    styles = tuple(load_styles().values())
    for each in placed:
        entry = each.entry
        lacking = [s.name for s in styles if s.holds(entry.styles) and entry.value not in style_kinds(s.name)]
        if ROLES[entry.role].values is not None or not lacking or not entry.forms:
            continue
        having = sorted(s.name for s in styles if s.holds(entry.styles) and s.name not in lacking)
        if having and not entry.styles:
            continue
        if having:
            remedy = f"write styles = [{', '.join(f'{name!r}' for name in having)}]".replace("'", '"')
        else:
            remedy = nearest(entry.value, frozenset().union(*map(style_kinds, lacking)))
        problem = f"no edition of {', '.join(lacking)} has the kind {entry.value!r}"
        yield each.fault(problem, remedy, "value")


def told_kind_faults(placed: Iterable[PlacedRow]) -> Iterator[InputError]:
    """Rows that tell of a kind which no edition of a style that they hold in has."""
    styles = tuple(load_styles().values())
    for each in placed:
        kind = each.row.text("kind")
        held = [s.name for s in styles if s.holds(each.row.styles)]
        if each.row.gives == "told kind" and not any(kind in style_kinds(name) for name in held):
            problem = f"no edition of {', '.join(held)} has the kind {kind!r}"
            yield each.fault(problem, nearest(kind, frozenset().union(*map(style_kinds, held))), "kind")


def unfound(shipped: Sequence[FileEntry], own: Sequence[FileEntry]) -> Iterator[InputError]:
    """Forms that never can be found: each is tried between two words that are no form. Of the user's own entries, if
    there are any, else of the shipped ones."""
    checked = own or shipped
    for placed in checked:
        if placed.entry.role == "sheet_mark":
            yield from _unfit_marks(placed)
    for style in load_styles().values():
        lexicon = Lexicon(style.name, merged(style.name, shipped, own))
        kinds = style_kinds(style.name)
        here = [
            p
            for p in checked
            if style.holds(p.entry.styles)
            and (ROLES[p.entry.role].values is not None or p.entry.value in kinds)
        ]
        yield from _unfound_in(lexicon, here)


def everywhere(own: Iterable[FileEntry]) -> Iterator[InputError]:
    """Words that name an event and are said all the time: marks, numbers, colours, the commonest words of English."""
    common = small_words("english") | {
        colour for style in load_styles().values() for colour, _ in style.colours
    }
    for placed in own:
        if placed.entry.role not in _NAMING:
            continue
        for form in placed.entry.forms:
            word = form.strip().casefold()
            if not any(c.isalnum() for c in word):
                problem = f"{form!r} has no letter or figure in it"
            elif word in common or word in CORNERS or (find_numbers([word]) and " " not in word):
                problem = (
                    f"{form!r} is said all the time, and would name a {placed.entry.value} wherever it is"
                )
            else:
                continue
            yield placed.fault(problem, "write more of what is said", "forms", form)


def _unfound_in(lexicon: Lexicon, placed: Sequence[FileEntry]) -> Iterator[InputError]:
    tried = [(p, form) for p in placed if p.entry.role != "sheet_mark" for form in p.entry.forms]
    if not tried:
        return
    cues = tuple(
        Cue(n + 1, 10.0 * n, 10.0 * n + 4, f"{_FENCE} {form} {_FENCE}") for n, (_, form) in enumerate(tried)
    )
    document = TalkDocument(Transcript("forms", "srt", "", cues))
    terms = Terms(document.lower, lexicon)
    words: defaultdict[int, list[int]] = defaultdict(list)
    for i, cue in enumerate(document.cue_of):
        words[cue].append(i)
    kept = {(entry.meaning, form) for entry in lexicon.entries for form in entry.forms}
    for n, (each, form) in enumerate(tried):
        start, end = words[n][0] + 1, words[n][-1]
        problem = _why_not(form, end - start)
        if problem is None and (each.entry.meaning, form) in kept:
            # Where a rival stands in its place, that is told as a clash.
            if any((t.start, t.end) == (start, end) for t in terms.within(each.entry.role, start, end)):
                continue
            problem = f"{form!r} is never found", "write it as it stands in a transcript"
        if problem is not None:
            yield each.fault(*problem, "forms", form)


def _why_not(form: str, words: int) -> tuple[str, str] | None:
    """Why a form never can be found, where its spelling says so, and the remedy."""
    if " ".join(form.split()) != form:
        return f"{form!r} has a space too many", "write one space between words, none at the ends"
    if form.translate(PLAIN) != form:
        return f"{form!r} has a mark that transcripts are read without", f"write {form.translate(PLAIN)!r}"
    if words > LONGEST:
        return f"{form!r} has {words} words, more than {LONGEST}", "write the part of it that tells"
    return None


def _unfit_marks(placed: FileEntry) -> Iterator[InputError]:
    for form in placed.entry.forms:
        if any(c.isdigit() for c in form) or len(tokenize(f"{form.lower()}2")[0]) != 1:
            problem = f"the sheet mark {form!r} is no single word without digits"
            yield placed.fault(problem, "write the letters alone", "forms", form)
