"""The transcript's captions with the computed score under the words of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from enum import StrEnum

from extract.export.sides import score_line
from extract.export.webvtt import TrackCue, escape, thousandths, timestamp, webvtt
from extract.record.bout_words import short_sides
from extract.record.model import Record
from extract.record.plain import printable
from extract.rules.board import board_at
from extract.transcript import Cue, Transcript

#: WORD JOINER. It has no width, and keeps the character after it from opening a tag of SubRip.
_JOINER = "\u2060"
#: Before the thousandths in SubRip.
_COMMA = ","


class When(StrEnum):
    """Which score a caption has: that at its start, that at its end, or that at its start where it is another than the
    caption before had."""

    start = "start"
    end = "end"
    change = "change"


def captions_vtt(record: Record, transcript: Transcript, when: When = When.start) -> str:
    """WebVTT: the words of each cue, the speaker as a voice, and as a last line the computed score."""
    cues = (
        TrackCue(cue.start, cue.end, _payload(cue, lines, [escape(line) for line in score]))
        for cue, lines, score in _scored(record, transcript, when)
    )
    return webvtt(cues)


def captions_srt(record: Record, transcript: Transcript, when: When = When.start) -> str:
    """SubRip: the same, with a known speaker's name before the words. SubRip has no escapes and no comments. So an
    arrow in the words is written as one character, and what looks like a tag is kept from being one."""
    blocks = []
    for number, (cue, lines, score) in enumerate(_scored(record, transcript, when), 1):
        start = thousandths(cue.start)
        end = max(thousandths(cue.end), start + 1)
        times = f"{timestamp(start, _COMMA)} --> {timestamp(end, _COMMA)}"
        said = [f"{_speaker(cue)}: {lines[0]}", *lines[1:]] if _speaker(cue) else lines
        blocks.append("\n".join((str(number), times, *map(_plain, (*said, *score)))))
    return "\n\n".join(blocks) + "\n"


def _scored(record: Record, transcript: Transcript, when: When) -> Iterator[tuple[Cue, list[str], list[str]]]:
    """Each caption that has words, in order of time, with its lines and the line for the score, if it has one. If a sign
    in a caption marks another speaker, the words stay in that caption after a dash."""
    before = None
    sides = short_sides(record)
    captions: list[list[Cue]] = []
    for cue in sorted(transcript.cues, key=lambda cue: cue.start):
        last = captions[-1][-1] if captions else None
        if last is not None and cue.turn and (cue.index, cue.speaker) == (last.index, last.speaker):
            captions[-1].append(cue)
        else:
            captions.append([cue])
    for caption in captions:
        first = caption[0]
        lines = [
            line for cue in caption for line in _dashed(text_lines(cue.text), cue.turn or len(caption) > 1)
        ]
        if lines:
            end = max(cue.end for cue in caption)
            score = board_at(record.board, end if when is When.end else first.start)
            told = [] if when is When.change and score == before else [f"[{score_line(sides, score)}]"]
            before = score
            yield replace(first, end=end), lines, told


def _dashed(lines: list[str], dash: bool) -> list[str]:
    return [f"- {lines[0]}", *lines[1:]] if dash and lines else lines


def text_lines(text: str) -> list[str]:
    """The lines of a cue's text, safe for a terminal and without blank ones, which would end the cue.

    >>> text_lines("two\\n \\nfor red")
    ['two', 'for red']
    """
    return [line for each in text.splitlines() if (line := printable(each))]


def _payload(cue: Cue, lines: list[str], score: list[str]) -> str:
    words = "\n".join(map(escape, lines))
    speaker = _speaker(cue)
    return "\n".join((f"<v {escape(speaker)}>{words}</v>" if speaker else words, *score))


def _speaker(cue: Cue) -> str:
    return printable(cue.speaker or "")


def _plain(line: str) -> str:
    line = line.replace("-->", "→")
    return line.replace("<", f"<{_JOINER}").replace("{\\", f"{{{_JOINER}\\")
