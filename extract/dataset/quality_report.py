"""The quality report as data: sections of paragraphs and tables, which the Markdown and the page are both made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from extract.dataset.intervals import sample_for, wilson
from extract.dataset.quality import Quality, Shares, counted
from extract.record.model import NOTE
from extract.record.plain import printable
from extract.rules.styles import style_name

#: How many programmes and speakers a table has. The JSON has all of them.
_SHOWN = 25
#: What the report calls what the JSON counts under its own names.
_HAVING: Mapping[str, str] = MappingProxyType(
    {"an award": "points", "a review by a person": "a correction by hand"}
)


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate with its interval, as shares of one. ``text`` is the interval in words; the rate stands in a column of its
    own."""

    text: str
    share: float
    low: float
    high: float


#: Text on one line, or ids, or a rate.
Cell = str | tuple[str, ...] | Rate


@dataclass(frozen=True, slots=True)
class Figures:
    """A table: its heads, the positions of the columns that hold numbers, its rows, and what stands in its place if there
    are none."""

    head: tuple[str, ...]
    numbers: tuple[int, ...]
    rows: tuple[tuple[Cell, ...], ...]
    none: str = "None."

    @property
    def bars(self) -> int | None:
        """The position of the column that holds rates, if there is one."""
        if not self.rows:
            return None
        return next((n for n, cell in enumerate(self.rows[0]) if isinstance(cell, Rate)), None)


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report under a heading: paragraphs (names of files and commands in backticks) and tables."""

    heading: str
    parts: tuple[str | Figures, ...]


@dataclass(frozen=True, slots=True)
class QualityReport:
    """The whole report. ``note`` says what its figures are."""

    title: str
    note: str
    sections: tuple[Section, ...]


def quality_report(quality: Quality) -> QualityReport:
    """The report on a dataset."""
    note = (
        f"{NOTE} What follows is reckoned from the program's own confidence; only an audit by hand says how often it is "
        "right (last section)."
    )
    sections = (
        Section("Coverage", tuple(_coverage(quality))),
        Section("Points that nobody mentioned", tuple(_inferred(quality))),
        Section("Stated scores that are wrong", tuple(_wrong(quality))),
        Section("Values that cannot be, or hardly", tuple(_impossible(quality))),
        Section("To correct first", tuple(_first(quality))),
        Section("Audit by hand", tuple(_audit(quality))),
    )
    return QualityReport("Quality of this dataset", note, sections)


def worst_first(by: Mapping[Any, Shares]) -> list[tuple[Any, Shares]]:
    """Sorted by the lower end of the interval, so those who certainly disagree most come first."""
    return sorted(by.items(), key=lambda pair: (-wilson(pair[1].found, pair[1].of)[0], -pair[1].of, pair[0]))


def _coverage(quality: Quality) -> Iterator[str | Figures]:
    hours, in_bouts = quality.seconds / 3600, quality.bout_seconds / 3600
    yield (
        f"{counted(quality.inputs, 'input')}, of which {quality.inputs_failed:,} could not be used (table `failures`); "
        f"{counted(quality.bouts, 'bout')}; {hours:,.1f} hours of recordings, {in_bouts:,.1f} of them in bouts."
    )
    having = (
        (_HAVING.get(name, name), f"{n:,}", _percent(n, quality.bouts)) for name, n in quality.has.items()
    )
    yield Figures(("bouts with", "number", "share"), (1, 2), tuple(having))
    yield f"Formats: {', '.join(f'{name} {n:,}' for name, n in sorted(quality.formats.items())) or 'none'}."


def _inferred(quality: Quality) -> Iterator[str | Figures]:
    points = Shares(quality.awards, sum(s.found for s in quality.inferred.values()))
    yield (
        f"{_percent(points.found, points.of)} of {counted(points.of, 'event')} with points are inferred: only the stated "
        "scores show them."
    )
    rows = (
        (printable(style_name(name)), f"{s.of:,}", f"{s.found:,}", _percent(s.found, s.of))
        for name, s in sorted(quality.inferred.items())
    )
    yield Figures(("style", "events with points", "inferred", "share"), (1, 2, 3), tuple(rows))


def _wrong(quality: Quality) -> Iterator[str | Figures]:
    yield (
        f"Of {counted(quality.all_said.of, 'stated score')} that are clear, {_rate(quality.all_said)} are not the computed "
        "score. The interval (95 %) takes the scores as independent of each other; whose rate is surely high stands first."
        if quality.all_said.of
        else "No stated score is clear."
    )
    columns = ("stated", "wrong", "interval")
    yield Figures(("programme", *columns), (1, 2, 3), tuple(_rates(quality.by_programme)))
    yield Figures(
        ("programme", "speaker", *columns),
        (2, 3, 4),
        tuple(_rates(quality.by_speaker)),
        "No speaker is named.",
    )
    yield "Speakers over all programmes, by their names:"
    yield Figures(("speaker", *columns), (1, 2, 3), tuple(_rates(quality.by_name)), "No speaker is named.")


def _impossible(quality: Quality) -> Iterator[str | Figures]:
    rows = (
        (f"{i.name}: {i.about}", f"{i.rows:,}", tuple(map(printable, i.examples)))
        for i in quality.impossible
        if i.rows
    )
    yield Figures(("what", "rows", "first bouts"), (1,), tuple(rows))
    yield f"Looked for and not found: {', '.join(i.name for i in quality.impossible if not i.rows) or 'none'}."


def _first(quality: Quality) -> Iterator[str | Figures]:
    yield (
        "Bouts on which an answer is expected to put most right. Likely fixes is how many entries a look is expected to "
        "put right, expected errors how many are expected to be wrong. `saidscore dataset doubtful` hands them to the "
        "correction desk."
    )
    rows = (
        ((printable(d.bout_id),), f"{d.gain:.2f}", f"{d.unsure:.2f}", str(d.disagreements), str(d.flagged))
        for d in quality.doubtful[:_SHOWN]
    )
    head = ("bout", "likely fixes", "expected errors", "wrong scores", "flags")
    yield Figures(head, (1, 2, 3, 4), tuple(rows))


def _audit(quality: Quality) -> Iterator[str]:
    entries = quality.awards + quality.statements
    wrong = quality.wrong_awards + quality.wrong_statements
    if not entries:
        yield "There is nothing to audit."
        return
    yield (
        f"By the confidence of each, {wrong:,.0f} of {counted(entries, 'entry', 'entries')} (events with points, and "
        f"stated scores) are expected to be wrong ({_percent(wrong, entries)})."
    )
    sizes = ", ".join(
        f"{sample_for(max(wrong / entries, 0.02), half, entries):,} for an interval of {_in_hundred(half, 0)} either way"
        for half in (0.05, 0.02, 0.01)
    )
    yield (
        f"To learn the true share, look at a random sample: {sizes}. `saidscore dataset audit` draws one, more of it where "
        "confidence is low, and reckons the interval from the answers."
    )


def _rates(by: Mapping[Any, Shares]) -> Iterator[tuple[Cell, ...]]:
    for name, s in worst_first(by)[:_SHOWN]:
        low, high = wilson(s.found, s.of)
        names = name if isinstance(name, tuple) else (name,)
        yield (
            *map(printable, names),
            f"{s.of:,}",
            _percent(s.found, s.of),
            Rate(f"{_in_hundred(low)} to {_in_hundred(high)}", s.share, low, high),
        )


def _rate(s: Shares) -> str:
    low, high = wilson(s.found, s.of)
    return f"{_percent(s.found, s.of)} ({_in_hundred(low)} to {_in_hundred(high)})"


def _percent(found: float, of: float) -> str:
    return _in_hundred(found / of) if of else "-"


def _in_hundred(share: float, places: int = 1) -> str:
    return f"{share * 100:.{places}f} %"
