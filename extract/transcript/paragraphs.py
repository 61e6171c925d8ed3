"""Paragraph-time text: paragraphs of talk, each after the time at which it begins."""

from __future__ import annotations

import re

from extract.transcript.cue import Transcript
from extract.transcript.decode import Source
from extract.transcript.draft import Draft, assemble
from extract.transcript.plain import GAP, PLAIN
from extract.transcript.times import TIME_REMEDY, clock_seconds, time_problem

_TIME = r"[-−]?[0-9]+(?::[0-9]+){1,2}(?:[.,][0-9]+)?"
#: The ways to write a stamp. A file keeps to one: another at the start of a line is talk.
_STAMPS = {
    "[": re.compile(rf"{GAP}\[{GAP}({_TIME}){GAP}\]:?[ \t]*"),
    "(": re.compile(rf"{GAP}\({GAP}({_TIME}){GAP}\):?[ \t]*"),
    "": re.compile(rf"{GAP}([-−]?[0-9]+(?::[0-9]{{2}}){{1,2}}(?:[.,][0-9]+)?)(?:[ \t]+|$)"),
}
#: At most so many lines, none longer than that, may stand above the first stamp: a title, a date, who speaks.
_TITLE_LINES, _TITLE_WIDTH = 5, 120
#: A stamp with a slip of the hand in it: a letter among the digits, another mark for the colon.
_SLIPS = {
    "[": re.compile(rf"{GAP}\[{GAP}([-−]?[0-9OoIl]+[:;][0-9A-Za-z:;.,]*){GAP}\]"),
    "(": re.compile(rf"{GAP}\({GAP}([-−]?[0-9OoIl]+[:;][0-9A-Za-z:;.,]*){GAP}\)"),
}
#: Slower, characters a second, nobody talks for a whole paragraph: the rest of the time until the next is silence.
_SLOWEST = 8.0


def stamp_style(line: str) -> str | None:
    """Which way of writing stamps a line begins with: ``[``, ``(``, ``""`` (bare), or None."""
    return next((style for style, pattern in _STAMPS.items() if pattern.match(line.translate(PLAIN))), None)


def read_paragraphs(source: Source) -> Transcript:
    """The cues of paragraph-time text: one for each stamp, lasting to the next or as
    long as slow talk takes, or several of the same index
    where the paragraph has labels of several speakers. The last one's length is estimated from its characters at
    the median rate of the others. A cue's text in the source is what stands between its stamp and the next,
    white space at both ends left out. A few lines of title above the first stamp are passed over."""
    lines = source.text.split("\n")
    style = next((found for found in map(stamp_style, lines) if found is not None), None)
    if style is None:
        raise source.error("no time at the start of a line", TIME_REMEDY)
    found = [
        (i, match) for i, line in enumerate(lines) if (match := _STAMPS[style].match(line.translate(PLAIN)))
    ]
    _check_stamps(source, lines, style)
    _check_title(source, lines[: found[0][0]])
    drafts = []
    stops = [i for i, _ in found[1:]] + [len(lines)]
    for n, ((i, match), stop) in enumerate(zip(found, stops, strict=True)):
        start = clock_seconds(match[1])
        if start is None:
            raise source.error(time_problem(match[1]), TIME_REMEDY, i + 1)
        text = "\n".join([lines[i][match.end() :], *lines[i + 1 : stop]]).strip()
        drafts.append(Draft(n + 1, i + 1, start, None, text))
    return assemble(source, "block", drafts, labels="typed", slowest=_SLOWEST)


def _check_stamps(source: Source, lines: list[str], style: str) -> None:
    if style not in _SLIPS:
        return
    for number, line in enumerate(lines, 1):
        shown = line.translate(PLAIN)
        slip = _SLIPS[style].match(shown)
        if slip is not None and not _STAMPS[style].match(shown):
            raise source.error(time_problem(slip[1]), TIME_REMEDY, number)


def _check_title(source: Source, lines: list[str]) -> None:
    written = [(i, line) for i, line in enumerate(lines) if line.strip()]
    too_much = len(written) > _TITLE_LINES or any(len(line) > _TITLE_WIDTH for _, line in written)
    if too_much:
        problem = "talk before the first time"
        raise source.error(problem, "put the time at which it begins before it", written[0][0] + 1)
