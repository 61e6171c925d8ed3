"""Forms with two meanings in one style, and drops that take nothing out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from extract.errors import InputError
from extract.lexicon.entries import FileEntry, rivals
from extract.lexicon.spelling import found_as
from extract.lexicon.styles import Style


class Clash(NamedTuple):
    """``form`` of an entry is found where ``other_form`` of an earlier one is, which means something else."""

    placed: FileEntry
    form: str
    other: FileEntry
    other_form: str
    style: str


def clashes(entries: Sequence[FileEntry], styles: Iterable[Style]) -> Iterator[Clash]:
    """The forms of a role that are the same as an earlier one as they are found, and mean something else in a style: each
    with the first such other."""
    reported: set[tuple[int, str]] = set()
    for style in styles:
        found: defaultdict[tuple[str, str], list[tuple[int, str]]] = defaultdict(list)
        for number, placed in enumerate(entries):
            entry = placed.entry
            if not style.holds(entry.styles):
                continue
            for form in entry.forms:
                for spelling in sorted(found_as(entry.role, form)):
                    for k, other_form in found[entry.role, spelling]:
                        if (number, form) in reported:
                            break
                        if rivals(entry.meaning, entries[k].entry.meaning):
                            reported.add((number, form))
                            yield Clash(placed, form, entries[k], other_form, style.name)
                    found[entry.role, spelling].append((number, form))


def clash_fault(clash: Clash) -> InputError:
    """The error about a clash, which names the other place."""
    line = clash.other.line("forms", clash.other_form)
    problem = (
        f"{clash.form!r} is {clash.placed.entry.meaning} here and {clash.other.entry.meaning} in "
        f"{clash.other.source.file}:{line}, for {clash.style}"
    )
    return clash.placed.fault(problem, "take one of them out, or limit one with styles", "forms", clash.form)


def idle_drops(
    own: Iterable[FileEntry], shipped: Sequence[FileEntry], styles: Sequence[Style]
) -> Iterator[tuple[FileEntry, str]]:
    """The forms that an own entry drops and no shipped entry of its role, value and styles has."""
    for placed in own:
        role, value = placed.entry.role, placed.entry.value
        there: set[str] = set()
        for other in shipped if placed.drop else ():
            entry = other.entry
            if (entry.role, entry.value) == (role, value) and any(
                style.holds(entry.styles) and style.holds(placed.entry.styles) for style in styles
            ):
                there.update(spelling for form in entry.forms for spelling in found_as(role, form))
        for form in placed.drop:
            if there.isdisjoint(found_as(role, form)):
                yield placed, form
