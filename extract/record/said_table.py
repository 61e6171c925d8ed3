"""What was said on air as a table: a row for each thing, as JSON Lines or as CSV."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from extract.checks.words import moment_text
from extract.record.disagreements import OnAir, sentence, values
from extract.record.model import Flag, Record
from extract.record.plain import printable, seen_json
from extract.record.tables import Cell
from extract.transcript.cue import Cue, Transcript

#: ``t`` is in seconds of the recording, ``time`` the same in words; an account without times has only its line there.
COLUMNS = (
    "file", "bout", "id", "verdict", "kind", "head", "t", "time", "cue", "period", "clock_s", "speaker", "text", "said",
    "should_be", "confidence", "why", "correction",
)  # fmt: skip
#: So many cues may hold one statement.
_CUES = 3


@dataclass(frozen=True, slots=True)
class Spoken:
    """Who said something, and the whole line of transcript it stands in: what comes ``before`` the ``words``, and
    ``after`` them."""

    speaker: str
    before: str
    words: str
    after: str

    def short(self, most: int = 36) -> Spoken:
        """The same with no more than so many characters before the words and after them, cut between words.

        >>> Spoken("", "And so it is still ", "two-one", " with a minute to go.").short(12)
        Spoken(speaker='', before='…\\xa0is still ', words='two-one', after=' with a\\xa0…')
        """
        before, after = self.before, self.after
        if len(before) > most:
            before = f"…\xa0{before[-most:].partition(' ')[2]}"
        if len(after) > most:
            after = f"{after[:most].rpartition(' ')[0]}\xa0…"
        return Spoken(self.speaker, before, self.words, after)


def spoken(flag: Flag, transcript: Transcript | None) -> Spoken:
    """The words of a flag with the line around them, each on one line and safe to show. The words alone where the
    transcript is not at hand or does not have them."""
    words = printable(flag.text)
    cues = _cues(flag, transcript)
    for n in range(len(cues)):
        # What runs on over the end of a cue stands in both.
        for more in range(1, _CUES + 1):
            line = printable(" ".join(cue.text for cue in cues[n : n + more]))
            if words and words in line:
                before, _, after = line.partition(words)
                return Spoken(printable(cues[n].speaker or ""), before, words, after)
    speaker = next((cue.speaker for cue in cues if cue.index == flag.cue and cue.speaker), None)
    return Spoken(printable(speaker or ""), "", words, "")


def _cues(flag: Flag, transcript: Transcript | None) -> list[Cue]:
    """The cues that the words may begin in, and those that they may run on into."""
    if transcript is None or flag.cue is None:
        return []
    return [cue for cue in transcript.cues if 0 <= cue.index - flag.cue < _CUES]


def said_rows(
    items: Iterable[OnAir], record: Record, file: str, bout: str, transcript: Transcript | None
) -> Iterator[tuple[Cell, ...]]:
    """A row of ``COLUMNS`` for each thing. ``file`` is the transcript's, ``bout`` the name of the record."""
    order = record.source.order
    for item in items:
        flag = item.flag
        said, should_be = values(item, record)
        yield (
            file,
            bout,
            item.id,
            item.verdict,
            item.kind,
            item.head(record),
            _rounded(flag.t) if order is None else None,
            moment_text(flag.t, order),
            flag.cue,
            flag.period,
            _rounded(flag.clock_s),
            spoken(flag, transcript).speaker or None,
            flag.text,
            said or None,
            should_be or None,
            _rounded(flag.confidence),
            flag.why,
            sentence(flag, record) or None,
        )


def json_line(row: tuple[Cell, ...]) -> str:
    """A row as one line of JSON, with escapes for what must not reach a terminal."""
    return seen_json(json.dumps(dict(zip(COLUMNS, row, strict=True)), ensure_ascii=False)) + "\n"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2) + 0.0
