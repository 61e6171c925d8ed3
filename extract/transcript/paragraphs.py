"""Paragraph-time text: paragraphs of talk, each after the time at which it begins."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from extract.transcript.assemble import assemble
from extract.transcript.bout_clock import NOTICE, Countdown, counted_down
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.headings import is_heading
from extract.transcript.names import wording
from extract.transcript.notes import NOTE_LEAST_S, NOTE_RATE
from extract.transcript.plain import GAP, PLAIN
from extract.transcript.times import TIME_REMEDY, clock_seconds, time_problem

_TIME = r"[-−]?[0-9]+(?::[0-9]+){1,2}(?:[.,][0-9]+)?"
#: A mark of a list before a stamp, and a dash between a bare stamp and what is said.
_BULLET, _DASH = (
    rf"{GAP}(?:(?:[*•·‣◦▪+-]|[0-9]{{1,3}}[.)])[ \t]+{GAP})?",
    r"(?:[ \t]*[|-]+[ \t]+|[ \t]*:[ \t]+|[ \t]+|$)",
)
#: The ways to write a stamp. A file keeps to one: another at the start of a line is talk.
_STAMPS = {
    "[": re.compile(rf"{_BULLET}\[{GAP}({_TIME}){GAP}\]:?[ \t]*"),
    "(": re.compile(rf"{_BULLET}\({GAP}({_TIME}){GAP}\):?[ \t]*"),
    "": re.compile(rf"{_BULLET}([-−]?[0-9]+(?::[0-9]{{2}}){{1,2}}(?:[.,][0-9]+)?){_DASH}"),
}
#: No more than this many lines, none longer than this, may stand above the first stamp: a title, a date, who speaks.
_TITLE_LINES, _TITLE_WIDTH = 6, 120
#: A stamp with a slip of the hand in it: a letter among the digits, another mark for the colon.
_SLIPS = {
    "[": re.compile(rf"{GAP}\[{GAP}([-−]?[0-9OoIl]+[:;][0-9A-Za-z:;.,]*){GAP}\]"),
    "(": re.compile(rf"{GAP}\({GAP}([-−]?[0-9OoIl]+[:;][0-9A-Za-z:;.,]*){GAP}\)"),
}
#: Typed notes: half of the lines are no longer than this, this share of them stand alone with their time, and there
#: are at least this many.
_NOTE_WIDTH, _ALONE, _NOTES = 48, 0.8, 3
#: Nobody talks more slowly for a whole paragraph, in characters a second. The rest of the time until the next is
#: silence.
_SLOWEST = 8.0


def stamp_style(line: str) -> str | None:
    """Which way of writing stamps a line begins with: ``[``, ``(``, ``""`` (bare), or None."""
    return next((style for style, pattern in _STAMPS.items() if pattern.match(line.translate(PLAIN))), None)


def stamp_match(line: str, style: str) -> re.Match[str] | None:
    """The stamp of this style with which a line begins. Its group 1 is the time, and what is said begins at its end."""
    return _STAMPS[style].match(line.translate(PLAIN))


def read_paragraphs(source: SourceText) -> Transcript:
    """The cues of paragraph-time text, one for each stamp. A cue lasts to the next or as long as slow talk takes. If
    a paragraph has labels of several speakers, there are several cues of the same index. The last one's length is
    estimated from its characters at the median rate of the others. A cue's text in the source is what stands between
    its stamp and the next, without white space at both ends. A few lines above the first stamp are a heading; the
    text of the first cue then begins with them and a line end.

    Short lines are typed notes. If their times count down in each period, they are those of the bout clock (see
    ``bout_clock``). A cue's text then begins with its stamp and the word "left". Lines right above the first stamp of
    a period are a cue of the same index at the period's start, and a line end separates the two."""
    lines = source.text.split("\n")
    style = next((found for found in map(stamp_style, lines) if found is not None), None)
    if style is None:
        raise source.error("no time at the start of a line", TIME_REMEDY)
    found = [(i, match) for i, line in enumerate(lines) if (match := stamp_match(line, style))]
    _check_stamps(source, lines, style)
    title = title_of(source, lines[: found[0][0]])
    stops = [i for i, _ in found[1:]] + [len(lines)]
    paragraphs = []
    for (i, match), stop in zip(found, stops, strict=True):
        start = clock_seconds(match[1])
        if start is None:
            raise source.error(time_problem(match[1]), TIME_REMEDY, i + 1)
        paragraphs.append(_Paragraph(i + 1, start, match[1], [lines[i][match.end() :], *lines[i + 1 : stop]]))
    typed = _are_notes(paragraphs)
    countdown = _countdown(title, paragraphs) if typed else None
    if countdown is not None:
        headed = [line for line in title if is_heading(line)]
        title = [line for line in title if not is_heading(line)]
        drafts = list(_by_the_clock(paragraphs, countdown, headed))
    else:
        drafts = [Draft(n, p.line, p.start, None, p.text) for n, p in enumerate(paragraphs, 1)]
    slowest, least = (NOTE_RATE, NOTE_LEAST_S) if typed else (_SLOWEST, 0.0)
    notices = [NOTICE] if countdown is not None else []
    return assemble(
        source,
        "block",
        drafts,
        labels="typed",
        slowest=slowest,
        least=least,
        heading="\n".join(title),
        notices=notices,
        typed=typed,
    )


@dataclass(slots=True)
class _Paragraph:
    """A stamp as it is written, with its line and its seconds, and the lines from behind it to the next."""

    line: int
    start: float
    stamp: str
    lines: list[str]

    @property
    def text(self) -> str:
        return "\n".join(self.lines).strip()

    @property
    def under(self) -> list[str]:
        """The lines under the stamp's own, without those that are the heading of a period."""
        headed = next((n for n, line in enumerate(self.lines) if n and is_heading(line)), len(self.lines))
        return self.lines[1:headed]


def _are_notes(paragraphs: Sequence[_Paragraph]) -> bool:
    """Whether the paragraphs are short lines, as typed notes are."""
    widths = sorted(len(p.text) for p in paragraphs if p.text)
    alone = sum(bool(p.lines[0].strip()) and not any(map(str.strip, p.under)) for p in paragraphs)
    short = len(widths) >= _NOTES and widths[len(widths) // 2] <= _NOTE_WIDTH
    return short and alone >= _ALONE * len(widths)


def _countdown(title: Sequence[str], paragraphs: Sequence[_Paragraph]) -> Countdown | None:
    """The times of the recording if those of the notes are of the bout clock, else None."""
    headed = {n for n, p in enumerate(paragraphs, 1) if any(map(is_heading, p.lines[1:]))} - {len(paragraphs)}
    return counted_down([p.start for p in paragraphs], frozenset(headed))


def _by_the_clock(
    paragraphs: Sequence[_Paragraph], countdown: Countdown, headed: Sequence[str]
) -> Iterator[Draft]:
    """The drafts of notes with times of the bout clock; ``headed`` are the lines that head the first period."""
    over = list(headed)
    left = wording("say", "clock").partition("{value}")[2]
    for n, p in enumerate(paragraphs):
        own = list(p.lines)
        moved: list[str] = []
        if n + 1 in countdown.first:
            # What stands under the last note of a period heads the next.
            moved, own = [line for line in own[1:] if line.strip()], own[:1]
        note = "\n".join(own).strip()
        begin = 0
        if over:
            head = "\n".join(over).strip()
            begin = len(head) + 1
            at = countdown.starts[countdown.first.index(n)]
            yield Draft(n + 1, p.line, at, None, head)
        over = moved
        said = f"{p.stamp}{left}; "
        origin = [*range(len(p.stamp)), *[len(p.stamp)] * (len(left) + 2)]
        origin += range(len(p.stamp) + 1, len(p.stamp) + 1 + len(note))
        if not note:
            said, origin = said[:-2], origin[:-2]
        yield Draft(n + 1, p.line, countdown.times[n], None, said + note, [begin + at for at in origin])


def _check_stamps(source: SourceText, lines: list[str], style: str) -> None:
    if style not in _SLIPS:
        return
    for number, line in enumerate(lines, 1):
        shown = line.translate(PLAIN)
        slip = _SLIPS[style].match(shown)
        if slip is not None and not stamp_match(line, style):
            raise source.error(time_problem(slip[1]), TIME_REMEDY, number)


def title_of(source: SourceText, lines: list[str]) -> list[str]:
    """The lines above the first stamp. Raises InputError if they are too many or too long for a title."""
    written = [(i, line) for i, line in enumerate(lines) if line.strip()]
    too_much = len(written) > _TITLE_LINES or any(len(line) > _TITLE_WIDTH for _, line in written)
    if too_much:
        problem = "talk before the first time"
        raise source.error(problem, "put the time at which it begins before it", written[0][0] + 1)
    return [line.strip() for _, line in written]
