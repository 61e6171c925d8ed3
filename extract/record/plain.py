"""A record's facts as short words: times, scores, names. Used by every view of the record."""

from __future__ import annotations

import re
import unicodedata

from extract.checks.sides import Sides, lead_text, leading
from extract.record.model import Event, Record, Statement, StretchKind
from extract.rules.base import Corner

#: Right-to-left blocks of the Basic Multilingual Plane, and those of the plane above it (from memory).
_RIGHT_TO_LEFT = (
    ("\u0590", "\u08ff"),
    ("\ufb1d", "\ufdff"),
    ("\ufe70", "\ufeff"),
    ("\U00010800", "\U00010fff"),
)
#: FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE: text between them does not change the direction of text beside
#: it.
_ISOLATE = ("\u2068", "\u2069")
#: Unicode general categories that must not reach a terminal, and what stands in their place.
_SHOWN_AS = {"Cc": " ", "Zl": " ", "Zp": " ", "Cf": "", "Cs": ""}
#: JSON itself escapes the controls below these.
_BEYOND_ASCII = re.compile("[\x7f-\U0010ffff]")
#: What the signs of ``Search.lost`` mean for a reader.
_GUESSED = {
    "much guessed": "few of the points were mentioned",
    "much unexplained": "many of the scores said do not fit",
    "much dropped": "the transcript can be read in too many ways to weigh all of them",
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


def stated(statement: Statement, sides: Sides) -> str:
    """What a statement says: the score with who leads, or the lead alone."""
    if statement.said is not None:
        return leading(sides, statement.said)
    return lead_text(sides, statement.leader, statement.margin)


def capital(text: str) -> str:
    """``text`` with a capital at its beginning.

    >>> capital("old score"), capital("")
    ('Old score', '')
    """
    return text[:1].upper() + text[1:]


def percent(share: float) -> str:
    """A confidence in per cent. It is 100 only where a person has decided.

    >>> percent(0.974), percent(0.9991), percent(1.0)
    ('97 %', '99 %', '100 %')
    """
    return f"{100 if share >= 1 else min(round(share * 100), 99)} %"


def source_text(event: Event) -> str:
    """Where an event comes from and what became of it: "said, overturned"."""
    source = "said" if event.basis == "called" else "inferred"
    overturned = ", overturned" if event.status == "overturned" else ""
    return f"{source}{overturned}" + (", corrected" if event.decided else "")


def isolated(words: str) -> str:
    """Words of right-to-left letters between isolates, so that the score beside them keeps its order (explicit
    directional isolates of Unicode Standard Annex 9, from memory)."""
    if any(low <= letter <= high for letter in words for low, high in _RIGHT_TO_LEFT):
        return words.join(_ISOLATE)
    return words
