"""WebVTT (W3C). Read by hand: pysubs2 gives neither positions, lines, voices nor the times inside a cue."""

from __future__ import annotations

from extract.transcript.assemble import assemble
from extract.transcript.captions import check_slips, is_number, is_timing, read_timing
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.markup import mark_up


def read_webvtt(source: SourceText) -> Transcript:
    """The cues of a WebVTT file. A cue's text in the source is its payload: the lines after the timing line to the
    next empty one, joined by ``\\n``. Blocks without a timing line (NOTE, STYLE, REGION) are ignored, as the standard
    has it. A broken timing line, which the standard ignores too, is an error here."""
    lines = source.text.split("\n")
    drafts: list[Draft] = []
    i = 0
    # The header ends at the first empty line, or where a cue begins without one.
    while i < len(lines) and lines[i] and not is_timing(lines[i]):
        i += 1
    while i < len(lines):
        if not lines[i].strip():
            i += 1
            continue
        timing = _timing(lines, i)
        if timing is None:
            note, first = _is_note(lines[i]), i
            while i < len(lines) and lines[i] and not is_timing(lines[i]):
                i += 1
            if not note:
                check_slips(source, lines, first, i)
            continue
        start, end = read_timing(source, lines[timing], timing + 1)
        number = int(lines[i]) if i < timing and is_number(lines[i]) else None
        i = stop = _payload_end(lines, timing + 1, number)
        check_slips(source, lines, timing + 1, stop)
        draft = Draft(len(drafts) + 1, timing + 1, start, end, "\n".join(lines[timing + 1 : stop]))
        drafts.append(mark_up(draft, standard=True))
    return assemble(source, "vtt", drafts, labels="captions", rolling=True)


def _timing(lines: list[str], i: int) -> int | None:
    """The timing line of the block that begins at line ``i``. It is the block's first line, or its second under an
    identifier."""
    if _is_note(lines[i]):
        return None
    if "-->" in lines[i]:
        return i
    return i + 1 if i + 1 < len(lines) and "-->" in lines[i + 1] else None


def _is_note(line: str) -> bool:
    return line.split()[0] in ("NOTE", "STYLE", "REGION")


def _payload_end(lines: list[str], i: int, number: int | None) -> int:
    """The line after the payload that begins at line ``i``, of the cue that has this number."""
    while i < len(lines) and lines[i] and not is_timing(lines[i]):
        # A line of blanks belongs to the payload unless the next cue follows it. Rolling captions have such lines.
        if not lines[i].strip() and _begins(lines[i + 1 : i + 3], number):
            return i
        i += 1
    return i


def _begins(lines: list[str], number: int | None) -> bool:
    """Whether a cue begins with these lines: a timing line, or one under the next number."""
    if lines and is_timing(lines[0]):
        return True
    counted = number is not None and len(lines) > 1 and is_number(lines[0]) and int(lines[0]) == number + 1
    return counted and is_timing(lines[1])
