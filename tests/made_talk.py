"""Small transcripts to test with: a cast of our own and a few lines of talk. All people and teams are invented."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TypeVar

from extract.bout import extract_bout
from extract.mentions import Heard, Mention, hear
from extract.record.model import Event, Record
from extract.talk.capitals import plain_capitals
from extract.talk.tokens import tokenize
from extract.talk.words import TalkWords
from extract.transcript.bout_file import BoutFile, Side
from extract.transcript.cue import Cue, Transcript

#: A line of talk, or the second at which it is said and the line.
Line = str | tuple[float, str]

RED, BLUE = Side("Doran Felmouth", "Kestrel Bay"), Side("Ivo Strandlow", "Marrowick")
M = TypeVar("M", bound=Mention)

PERIODS = frozenset({"period_start", "period_end", "bout_end"})


def unmarked(text: str) -> str:
    """A text as captions without sentence marks and capitals have it; marks inside figures stay."""
    return re.sub(r"[.,!?:;](?!\d)", "", re.sub(r"(?<!\d)[-–](?!\d)", " ", text.lower()))


def bout_file(rules: str = "freestyle") -> BoutFile:
    """The invented bout: Felmouth of Kestrel Bay in red against Strandlow of Marrowick in blue."""
    return BoutFile(rules, None, None, RED, BLUE)


def transcript(*lines: Line, every: float = 5.0) -> Transcript:
    """One cue for each line. A line without a time of its own comes ``every`` seconds after the one before it; each
    cue lasts four seconds, or until the next begins."""
    timed: list[tuple[float, str]] = []
    for line in lines:
        if isinstance(line, str):
            timed.append((timed[-1][0] + every if timed else 0.0, line))
        else:
            timed.append(line)
    nexts = [*(t for t, _ in timed[1:]), float("inf")][: len(timed)]
    cues = tuple(
        Cue(number, t, min(t + 4.0, after), text)
        for number, ((t, text), after) in enumerate(zip(timed, nexts, strict=True), 1)
    )
    return Transcript("talk.srt", "srt", "0" * 64, cues)


def heard(*lines: Line, rules: str = "freestyle") -> Heard:
    """What is heard in the lines, said over the invented bout."""
    return hear(transcript(*lines), rules, bout_file(rules))


@lru_cache(maxsize=1024)
def _heard_line(line: Line, rules: str) -> Heard:
    return heard(line, rules=rules)


def found(sort: type[M], line: Line, rules: str = "freestyle") -> list[M]:
    """The mentions of one sort in a line."""
    return [m for m in _heard_line(line, rules).mentions if isinstance(m, sort)]


def bout(*lines: Line, rules: str = "freestyle", every: float = 5.0) -> Record:
    """The record of the invented bout with these lines said over it."""
    return extract_bout(transcript(*lines, every=every), bout_file(rules))


def awards(record: Record) -> list[Event]:
    """The events that brought points, overturned ones too."""
    return [e for e in record.events if e.points and e.kind not in PERIODS]


def points(record: Record) -> list[tuple[str | None, int]]:
    """Corner and points of the awards that stand, in order."""
    return [(e.corner, e.points) for e in awards(record) if e.status == "stands"]


def final(record: Record) -> tuple[int, int]:
    """The last score on the board."""
    return record.board[-1].red, record.board[-1].blue


def check(record: Record, talk: Transcript) -> None:
    """What must hold of any record, whatever was said: its form as the package documents it."""
    text = {cue.index: cue.text for cue in talk.cues}
    ids = [x.id for part in (record.events, record.statements, record.clock, record.challenges) for x in part]
    assert len(set(ids)) == len(ids)
    for event in record.events:
        assert 0.0 <= event.confidence <= 1.0
        assert event.t_range[0] <= event.t <= event.t_range[1]
        assert event.clock_s is None or event.clock_s >= 0.0
        assert event.status == "stands" or event.points
        assert event.points >= 0
        assert min(event.score_after) >= 0
    assert [e.t for e in record.events] == sorted(e.t for e in record.events)
    cited = [e for event in record.events for e in event.evidence]
    cited += [e for challenge in record.challenges for e in challenge.evidence]
    places = [
        (x.cue, x.start, x.end, x.text) for part in (cited, record.statements, record.clock) for x in part
    ]
    for cue, start, end, words in places:
        assert text[cue][start:end] == words
        assert words
    assert all(challenge.t >= 0.0 for challenge in record.challenges)
    _check_board(record)
    for statement in record.statements:
        assert 0.0 <= statement.confidence <= 1.0
        assert (statement.said is None) != (statement.margin is None)
        assert (statement.slip is not None) <= (statement.verdict != "agrees")
        assert statement.why.endswith(".")
    ranks = [("error", "warning", "note").index(f.severity) for f in record.flags]
    assert ranks == sorted(ranks)
    for flag in record.flags:
        assert set(flag.refs) <= set(ids)
        assert flag.why.endswith(".")
        assert flag.cue is None or flag.text in text[flag.cue]
    assert 0.0 <= record.result.confidence <= 1.0
    assert record.result.score == final(record)


def _check_board(record: Record) -> None:
    """The board starts level, moves forward in time and ends at the sum of the events that stand."""
    assert (record.board[0].t, record.board[0].red, record.board[0].blue) == (0.0, 0, 0) or record.events
    times = [entry.t for entry in record.board]
    assert times == sorted(set(times))
    assert all(entry.red >= 0 and entry.blue >= 0 for entry in record.board)
    red = sum(e.points for e in record.events if e.status == "stands" and e.corner == "red")
    blue = sum(e.points for e in record.events if e.status == "stands" and e.corner == "blue")
    assert final(record) == (red, blue)


def words_of(text: str) -> TalkWords:
    """The words of a transcript in which ``text`` is all that is said, one cue a line."""
    return TalkWords(tokenize("\n".join(plain_capitals(text.split("\n"))))[0])
