"""Checks of the talk itself: is it English commentary on wrestling, and is it about the two who were given."""

from __future__ import annotations

from collections.abc import Iterator

from rapidfuzz import fuzz

from extract.cast.find import introduced
from extract.checks.model import BoutRead, Finding
from extract.checks.words import moment_text
from extract.lexicon import small_words
from extract.mentions.model import CallMention, ScoreMention
from extract.rules.base import CORNERS

#: A talk of fewer words tells too little of itself.
_ENOUGH_WORDS = 30
#: In a talk of so many words the names should come.
_NAMES_COME = 120
#: English talk has about one of its commonest words in three (common practice); notes have fewer.
_ENGLISH_SHARE = 0.12
#: So many words of talk for one call or score are as good as none.
_WORDS_A_SIGN = 250
#: Likeness (0 to 100) from which on two names are the same.
_SAME_NAME = 85


def check_lead_in(bout: BoutRead) -> Iterator[Finding]:
    """A note where the talk of the bout begins long after that of its recording."""
    talk = bout.talk
    before = len(bout.recording.cues) - len(talk.cues)
    if before and bout.understood:
        begins = talk.first_word
        many = "1 cue" if before == 1 else f"{before} cues"
        at = moment_text(begins, talk.order)
        why = f"The bout is taken to begin at {at}: what is said before it, in {many}, is no part of it."
        yield Finding("lead_in", "note", begins, None, None, None, why)


def check_language(bout: BoutRead) -> Iterator[Finding]:
    """Whether the talk is English, and about a bout."""
    heard, begins = bout.heard, bout.recording.begins
    words = [w for w in heard.document.lower if w.isalpha()]
    if len(words) < _ENOUGH_WORDS or heard.document.notes:
        return
    common = small_words("english")
    if sum(w in common for w in words) / len(words) < _ENGLISH_SHARE:
        why = "Little of this transcript is English, and only English is understood: the log may be empty or wrong."
        yield Finding("language", "warning", begins, None, None, None, why)
        return
    signs = sum(isinstance(m, CallMention | ScoreMention) and m.stance == "asserted" for m in heard.mentions)
    if signs * _WORDS_A_SIGN < len(words):
        why = "Little of this transcript reads like commentary on a wrestling bout: it has few points or scores."
        yield Finding("talk", "warning", begins, None, None, None, why)


def check_names(bout: BoutRead) -> Iterator[Finding]:
    """Names from outside the talk that nobody says in it, or that it puts into the other corner."""
    if not bout.named:
        return
    heard, begins = bout.heard, bout.recording.begins
    red, blue = heard.cast.red.name, heard.cast.blue.name
    if not red or not blue:
        return
    own = introduced(heard.document.words, heard.cast.words)
    own_red, own_blue = (own[corner].name if corner in own else "" for corner in CORNERS)
    across = _like(own_red, blue) or _like(own_blue, red)
    straight = _like(own_red, red) or _like(own_blue, blue)
    if across and not straight:
        why = f"The commentary introduces them the other way round: {blue} in red, {red} in blue."
        yield Finding("corners", "error", begins, None, f"{blue} in red", f"{red} in red", why)
    elif len(heard.document) >= _NAMES_COME and not any(
        ref.how in ("name", "nickname") for ref in heard.refs
    ):
        why = f"Neither {red} nor {blue} is named in the transcript: these may be the names of another bout."
        yield Finding("names", "warning", begins, None, None, None, why)


def check_sides(bout: BoutRead) -> Iterator[Finding]:
    """That nothing but an order says who is red."""
    cast, begins = bout.heard.cast, bout.recording.begins
    if cast.supposed == "order":
        why = f"Nobody says who is in red: {cast.red.name}, named first, is taken for red."
    elif cast.supposed == "colours":
        worn = {corner: colour for colour, corner in cast.words.colours}
        why = f"Nobody is said to be in red or blue: {worn['red']} is taken for red, and {worn['blue']} for blue."
    else:
        return
    yield Finding("corners", "note", begins, None, None, None, why)


def _like(heard: str, given: str) -> bool:
    return bool(heard) and fuzz.partial_ratio(heard.lower(), given.lower()) >= _SAME_NAME
