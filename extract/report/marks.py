"""The transcript with what was heard in it. Each cue is cut into pieces, and pieces that are evidence are marked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from extract.checks.sides import entry_text
from extract.checks.words import clock_text
from extract.record.bout_words import VERDICTS, short_sides
from extract.record.model import ClockReading, Evidence, Record
from extract.record.plain import percent, stated, talk_text
from extract.transcript.cue import Cue, Transcript


@dataclass(frozen=True, slots=True)
class Mark:
    """Words that are evidence. ``sort`` is call, challenge, clock, or the verdict on a score (agrees, disagrees,
    unclear). ``refs`` are the ids of the entries they are evidence for. ``label`` is the reading in words."""

    sort: str
    refs: tuple[str, ...]
    label: str

    @property
    def anchors(self) -> tuple[str, ...]:
        """The ids that have a place in the talk and nowhere else: those of scores and times."""
        return tuple(ref for ref in self.refs if ref.startswith(("s", "c")))


@dataclass(frozen=True, slots=True)
class Aside:
    """What words were taken for that are not of what happens now, in plain words, and the chance of it (0 to 1)."""

    label: str
    chance: float


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a cue's text, and what it was taken for, if anything. An ``aside`` that it ``opens`` begins here, or goes
    on from the cue before."""

    text: str
    mark: Mark | None = None
    aside: Aside | None = None
    opens: bool = False


@dataclass(frozen=True, slots=True)
class MarkedCue:
    """A cue to show: its anchor in the page, times in seconds, who speaks, and its pieces."""

    anchor: str
    index: int
    start: float
    end: float
    speaker: str
    pieces: tuple[Piece, ...]

    @property
    def asides(self) -> bool:
        """Whether any of it was taken for talk that is not live."""
        return any(piece.aside is not None for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class _Span:
    start: int
    end: int
    mark: Mark


@dataclass(frozen=True, slots=True)
class _AsideSpan:
    """Where an aside lies in a cue's text of the source; it may begin before that text (None) or end after it."""

    start: int | None
    end: int | None
    aside: Aside


def marked_cues(record: Record, transcript: Transcript) -> tuple[MarkedCue, ...]:
    """The cues in order. If marks overlap, the first and longest is shown with the readings of all."""
    spans: defaultdict[int, list[_Span]] = defaultdict(list)
    for index, span in _spans(record):
        spans[index].append(span)
    asides = _asides(record)
    seen: set[int] = set()
    out = []
    for number, cue in enumerate(transcript.cues):
        # If a cue of the source has several speakers, there is a cue for each. The anchor is that of the first.
        anchor = f"cue-{cue.index}" if cue.index not in seen else f"cue-{cue.index}-{number}"
        seen.add(cue.index)
        pieces = tuple(_with_asides(cue, _pieces(cue, spans[cue.index]), asides[cue.index]))
        out.append(MarkedCue(anchor, cue.index, cue.start, cue.end, cue.speaker or "", pieces))
    return tuple(out)


def _asides(record: Record) -> defaultdict[int, list[_AsideSpan]]:
    """Where talk that is not live lies, by cue."""
    out: defaultdict[int, list[_AsideSpan]] = defaultdict(list)
    for s in record.stretches:
        label = talk_text(s.kind)
        for index in range(s.cue, s.last_cue + 1) if label else ():
            start = s.start if index == s.cue else None
            end = s.end if index == s.last_cue else None
            out[index].append(_AsideSpan(start, end, Aside(label, s.confidence)))
    return out


def _with_asides(cue: Cue, pieces: Iterable[Piece], asides: Sequence[_AsideSpan]) -> Iterator[Piece]:
    """The pieces of a cue with the asides in it. Marked words are not cut: they are of the aside that they begin in."""
    places = []
    for span in asides:
        start = 0 if span.start is None else cue.plain_position(span.start)
        end = len(cue.text) if span.end is None else cue.plain_position(span.end)
        if start < end:
            places.append((start, end, span.aside))
    at, told = 0, None
    for piece in pieces:
        cuts = [at, at + len(piece.text)]
        if piece.mark is None:
            cuts += [p for start, end, _ in places for p in (start, end) if at < p < cuts[1]]
        for a, b in pairwise(sorted(set(cuts))):
            aside = next((aside for start, end, aside in places if start <= a < end), None)
            text = piece.text[a - at : b - at]
            yield Piece(text, piece.mark, aside, aside is not None and aside is not told)
            told = aside
        at += len(piece.text)


def _spans(record: Record) -> Iterator[tuple[int, _Span]]:
    sides = short_sides(record)
    for statement in record.statements:
        label = f"{stated(statement, sides)}: {VERDICTS[statement.verdict]}. {statement.why}"
        yield (
            statement.cue,
            _Span(statement.start, statement.end, Mark(statement.verdict, (statement.id,), label)),
        )
    for event in record.events:
        what = entry_text(sides, event.kind, event.corner, event.against, event.points)
        gone = ", overturned" if event.status == "overturned" else ""
        label = f"{what}{gone} (confidence {percent(event.confidence)})"
        yield from _evidence(event.evidence, Mark("call", (event.id,), label))
    for challenge in record.challenges:
        by = f"challenge by {sides.name(challenge.by)}" if challenge.by else "challenge"
        mark = Mark("challenge", (challenge.id,), f"{by}: {challenge.outcome}")
        yield from _evidence(challenge.evidence, mark)
    for reading in record.clock:
        yield reading.cue, _Span(reading.start, reading.end, _clock(reading))


def _evidence(pieces: Sequence[Evidence], mark: Mark) -> Iterator[tuple[int, _Span]]:
    for piece in pieces:
        yield piece.cue, _Span(piece.start, piece.end, mark)


def _clock(reading: ClockReading) -> Mark:
    bound = "" if reading.bound == "exact" else f"{reading.bound} "
    period = "" if reading.period is None else f" in period {reading.period}"
    return Mark("clock", (reading.id,), f"clock: {bound}{clock_text(reading.seconds_left)} left{period}")


def _pieces(cue: Cue, spans: Sequence[_Span]) -> Iterator[Piece]:
    """The cue's text in pieces; spans are positions in the source's text of the cue."""
    placed = sorted(
        (cue.plain_position(span.start), -cue.plain_position(span.end), k, span.mark)
        for k, span in enumerate(spans)
    )
    at = 0
    groups: list[tuple[int, int, list[Mark]]] = []
    for start, minus_end, _, mark in placed:
        if start >= -minus_end:
            continue
        if groups and start < groups[-1][1]:
            groups[-1][2].append(mark)
        else:
            groups.append((start, -minus_end, [mark]))
    for start, end, marks in groups:
        if at < start:
            yield Piece(cue.text[at:start])
        yield Piece(cue.text[start:end], _joined(marks))
        at = end
    if at < len(cue.text):
        yield Piece(cue.text[at:])


def _joined(marks: Sequence[Mark]) -> Mark:
    refs = tuple(dict.fromkeys(ref for mark in marks for ref in mark.refs))
    return Mark(marks[0].sort, refs, "; ".join(dict.fromkeys(mark.label for mark in marks)))
