"""Hears the example sentences of rows: a row must be found in what it says, and not in what it says not.

A sentence is heard in a small bout of our own, a new line in it as a new caption: as captions, and where it is not
found so, as typed notes. A row of a kind whose mentions carry its id must be that of a mention; any other row must have
been found, or have fitted where it was asked (``Talk.fitted``). All sentences of a row are heard in one style.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields
from functools import lru_cache
from typing import Literal

from extract.errors import InputError
from extract.lexicon import Lexicon, load_styles
from extract.lexicon.kinds import ROW_KINDS
from extract.lexicon.rows import PlacedRow
from extract.mentions import Heard, Mention, hear
from extract.mentions.whose import whose
from extract.phrases import Row
from extract.transcript.bout_file import BoutFile, Side
from extract.transcript.cue import Cue, Transcript

#: The bout of all example sentences.
BOUT = BoutFile(red=Side("Okomfo", "Harbour Lights"), blue=Side("Umarike", "Saltmarsh"))
#: The style in which the sentences of a row are heard, where it holds in it.
STYLE = "freestyle"
#: A caption begins each so many seconds, and lasts so long.
_EVERY_S, _LASTS_S = 5.0, 4.0
#: How a sentence may be written down: captions, typed notes.
_Format = Literal["srt", "csv"]
_FORMATS: tuple[_Format, ...] = ("srt", "csv")


def sentence_faults(rows: Iterable[PlacedRow], lexicon: Callable[[str], Lexicon]) -> Iterator[InputError]:
    """The example sentences that are not heard as they should be; ``lexicon`` makes that of a style."""
    words = lru_cache(maxsize=None)(lexicon)
    for placed in rows:
        row = placed.row
        style = words(style_of(row, words))
        for n, sentence in enumerate(row.says):
            if not _is_found_in(row, sentence, style):
                heard = hear_sentence(sentence, style)
                problem = f"{row.id!r} is not found in {sentence!r}: {_instead(row, heard)}"
                yield placed.fault(problem, "mend its words, or the sentence", "says", n)
        for n, sentence in enumerate(row.says_not):
            if _is_found_in(row, sentence, style):
                problem = f"{row.id!r} is found in {sentence!r}, which it says not"
                yield placed.fault(problem, "mend its words, or take the sentence out", "says_not", n)


def style_of(row: Row, lexicon: Callable[[str], Lexicon]) -> str:
    """The style in which the sentences of a row are heard: the first that it holds in and in which its first sentence is
    found. A mark of a score sheet, say, may be of one style only."""
    styles = [name for name, style in load_styles().items() if style.holds(row.styles)]
    styles.sort(key=lambda name: name != STYLE)
    found = (name for name in styles for first in row.says[:1] if _is_found_in(row, first, lexicon(name)))
    return next(found, next(iter(styles), STYLE))


def _is_found_in(row: Row, sentence: str, lexicon: Lexicon) -> bool:
    """Whether a row is found in a sentence, written down in one way or the other."""
    return any(is_found(row, hear_sentence(sentence, lexicon, how)) for how in _FORMATS)


def hear_sentence(sentence: str, lexicon: Lexicon, how: _Format = "srt") -> Heard:
    """What is heard in a sentence said over the bout of the examples."""
    cues = tuple(
        Cue(n, _EVERY_S * n, _EVERY_S * n + _LASTS_S, line) for n, line in enumerate(sentence.split("\n"), 1)
    )
    return hear(Transcript(f"says.{how}", how, "", cues), lexicon.style, BOUT, lexicon=lexicon)


def mention_text(mention: Mention) -> str:
    """A mention in words: its sort, what it says, and its row."""
    said = [type(mention).__name__.removesuffix("Mention").lower(), mention.stance, mention.grade]
    for slot in fields(mention):
        value = getattr(mention, slot.name)
        if slot.name not in _PLACE and value not in (None, "", (), False):
            said.append(f"{slot.name} {value if isinstance(value, str | int) else _listed(value)}")
    return f"{', '.join(said)}; row {mention.row or 'none'}"


#: Fields of a mention that are told first, or last, or not at all.
_PLACE = frozenset({"start", "end", "t", "stance", "grade", "row", "signs", "repair", "context"})


def _listed(values: tuple[object, ...]) -> str:
    return "-".join(map(str, values))


def is_found(row: Row, heard: Heard) -> bool:
    """Whether a row was found in what was heard."""
    if ROW_KINDS[row.gives].mention:
        return any(mention.row == row.id for mention in heard.mentions)
    if row.gives == "whose" and row.id not in heard.talk.fitted:
        _ask_whose(row, heard)
    return row.id in heard.talk.fitted


def _ask_whose(row: Row, heard: Heard) -> None:
    """Asks whose the numbers and the mentions of a talk are, as a finder would that looks for what the row is about."""
    stretches = [(n.start, n.end) for n in heard.talk.numbers] + [(m.start, m.end) for m in heard.mentions]
    for start, end in stretches:
        for of in row.texts("of"):
            whose(heard.talk, of, start, end)


def _instead(row: Row, heard: Heard) -> str:
    """What was heard in a sentence, and by which rows."""
    if row.id in heard.talk.fitted:
        return "it fits there, and another row goes first"
    told = [
        f"{heard.place(m).text!r} as {m.row or type(m).__name__.removesuffix('Mention').lower()}"
        for m in heard.mentions
    ]
    if not told:
        return "nothing is heard there"
    return f"heard is {', '.join(told)}"
