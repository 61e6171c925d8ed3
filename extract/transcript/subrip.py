"""SubRip. Read by hand: pysubs2 gives neither positions nor lines, and drops a last line that is a bare number."""

from __future__ import annotations

from extract.transcript.assemble import assemble
from extract.transcript.captions import check_slips, is_number, is_timing, read_timing
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.markup import mark_up
from extract.transcript.plain import plain


def read_subrip(source: SourceText) -> Transcript:
    """The cues of a SubRip file. A cue's text in the source is what stands between its timing line and the next cue,
    with lines joined by ``\\n`` and without the blank lines after it. Numbers may be missing or wrong. Blank lines
    may be missing, or stand in a caption or under its number."""
    lines = source.text.split("\n")
    timings = [i for i, line in enumerate(lines) if is_timing(line) or _opens(lines, i)]
    for before, after in zip([-1, *timings], [*timings, len(lines)], strict=True):
        check_slips(source, lines, before + 1, after)
    drafts = []
    number, _ = number_above(lines, timings[0], -1, None) if timings else (None, 0)
    for n, i in enumerate(timings):
        start, end = read_timing(source, lines[i], i + 1)
        stop = len(lines)
        if n + 1 < len(timings):
            number, stop = number_above(lines, timings[n + 1], i, number)
        while stop > i + 1 and not lines[stop - 1].strip():
            stop -= 1
        drafts.append(mark_up(Draft(n + 1, i + 1, start, end, "\n".join(lines[i + 1 : stop]))))
    return assemble(source, "srt", drafts, labels="captions", rolling=True)


def _opens(lines: list[str], i: int) -> bool:
    """Whether line ``i`` has an arrow and stands where a timing line must. Its times are broken then."""
    if "-->" not in lines[i]:
        return False
    if i == 0 or not lines[i - 1].strip():
        return True
    return is_number(lines[i - 1]) and (i == 1 or not lines[i - 2].strip())


def number_above(lines: list[str], timing: int, before: int, last: int | None) -> tuple[int | None, int]:
    """The number above the timing line ``timing``, and its line. It must not be taken for the last line of the caption
    before it, whose timing line is ``before`` (-1: there is none) and whose number is ``last``. If there is no number,
    None and the timing line."""
    i = timing - 1
    while i > before and not lines[i].strip():
        i -= 1
    if i <= before or not is_number(lines[i]):
        return None, timing
    number = int(plain(lines[i]))
    apart = i - 1 <= before or not lines[i - 1].strip()
    follows = last is not None and number == last + 1
    # A number between blank lines may be a score.
    counts = follows or (apart and (i == timing - 1 or before < 0))
    return (number, i) if counts else (None, timing)
