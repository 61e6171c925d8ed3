"""A record's facts as short words: times, scores, names. Used by every view of the record."""

from __future__ import annotations

import re
import unicodedata

from extract.checks.words import score_text
from extract.record.model import Event, Pair, Record, StretchKind
from extract.rules.base import Corner

#: Unicode general categories that must not reach a terminal, and what stands in their place.
_SHOWN_AS = {"Cc": " ", "Zl": " ", "Zp": " ", "Cf": "", "Cs": ""}
#: JSON itself escapes the controls below these.
_BEYOND_ASCII = re.compile("[\x7f-\U0010ffff]")
#: What the signs of ``Search.lost`` mean for a reader.
_GUESSED = {
    "much guessed": "few of the awards were called",
    "much unexplained": "many of the scores said do not fit",
    "much dropped": "the talk can be read in too many ways to weigh all of them",
}
#: What a reader is told of talk that is not live.
_NOT_LIVE: dict[StretchKind, str] = {
    "recounted": "told again",
    "another bout": "another bout",
    "supposed": "supposed",
    "debated": "debated",
    "other": "not of the bout",
}
#: Below this confidence of the result any of the signs tells of a guess; from it on only "much guessed" does.
_DOUBTED = 0.5


def printable(text: str) -> str:
    """``text`` on one line and safe for a terminal: controls become spaces, invisible marks are dropped.

    A transcript may hold escape sequences. None of them may reach the terminal.

    >>> printable("two\\x1b[2J points")
    'two [2J points'
    """
    shown = (_SHOWN_AS.get(unicodedata.category(c), c) for c in text)
    return " ".join("".join(shown).split())


def seen_json(text: str) -> str:
    """JSON text with escapes for every character that must not reach a terminal, and for every half of a surrogate
    pair, which cannot be written as UTF-8."""
    return _BEYOND_ASCII.sub(_escaped, text)


def _escaped(found: re.Match[str]) -> str:
    if unicodedata.category(found[0]) not in _SHOWN_AS:
        return found[0]
    units = found[0].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[n : n + 4]}" for n in range(0, len(units), 4))


def guess_warning(record: Record) -> str:
    """One sentence that says that the log is mostly guessed, and why; empty where it is not."""
    signs = [sign for sign in _GUESSED if sign in record.search.lost]
    if "much guessed" not in signs and record.result.confidence >= _DOUBTED:
        return ""
    why = ", and ".join(_GUESSED[sign] for sign in signs)
    return f"Mostly guessed: {why}; check before use." if why else ""


def talk_text(kind: StretchKind) -> str:
    """What a stretch of the talk was taken for, in plain words; empty for live talk.

    >>> talk_text("recounted"), talk_text("live")
    ('told again', '')
    """
    return _NOT_LIVE.get(kind, "")


def side(record: Record, corner: Corner | None) -> str:
    """The corner with the name of who is in it, if that is known. Empty for no corner."""
    if corner is None:
        return ""
    name = getattr(record.bout, corner).name
    return f"{corner} {printable(name)}" if name else corner


def stated(pair: Pair | None, margin: int | None, leader: Corner | None) -> str:
    """What a statement says: the score, or the margin and who leads.

    >>> stated(None, 2, "blue"), stated(None, 0, None), stated((4, 2), None, None)
    ('blue ahead by 2', 'level', '4-2')
    """
    if pair is not None:
        return score_text(pair)
    if margin == 0:
        return "level"
    lead = "ahead" if margin is None else f"ahead by {margin}"
    return f"{leader} {lead}" if leader else f"one side {lead}"


def score_or_words(value: Pair | str | None) -> str:
    """A flag's ``said`` or ``computed``; empty for None.

    >>> score_or_words((3, 1)), score_or_words("red"), score_or_words(None)
    ('3-1', 'red', '')
    """
    if value is None:
        return ""
    return printable(value) if isinstance(value, str) else score_text(value)


def basis_text(event: Event) -> str:
    """The basis of an event and what became of it, in words: "called, overturned"."""
    overturned = ", overturned" if event.status == "overturned" else ""
    return f"{event.basis}{overturned}" + (", decided" if event.decided else "")
