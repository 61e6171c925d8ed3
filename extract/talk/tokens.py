"""Tokens of a text, by spaCy's tokenizer; each distinct stretch between blanks is tokenized once for a process."""

from __future__ import annotations

import re
from functools import lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Literal, NamedTuple

from extract.talk.word_lists import word_list

if TYPE_CHECKING:
    from spacy.tokenizer import Tokenizer

#: "3-1", "five-oh", "5-oh": a hyphen between letters or figures always parts two tokens; so does a slash.
_INFIXES = (
    r"(?<=[0-9A-Za-z])[-/+&](?=[0-9A-Za-z])",
    r"(?<=[A-Za-z0-9])(?:\.\.+|…|--+|!|\?|,)(?=[A-Za-z0-9])",
)
#: A dash at the end of a word, where the sentence breaks off, or at the start of one. Before a figure it may be a minus.
_BROKEN_OFF, _TAKEN_UP = r"(?<=\w)-+", r"-+(?=[^\W\d])"
#: What is written on to a figure or to a word of a number parts from it: "1:20ish", "47s", "fourteenish". So does a sign
#: before a time.
_UNITS = tuple(rf"(?<=\d){unit}" for unit in sorted(word_list("spelling", "units")))
_ABOUT = r"[~≈@](?=[\d:])"
_BLANKS = re.compile(r"(\s+)")
_CLITIC = re.compile(rf"(?<=\w)['’](?:{'|'.join(sorted(word_list('spelling', 'clitics')))})$")
_SENTENCE_END = frozenset(".!?…:—–") | {"...", "!!", "?!", "!?", "..", "...."}
#: Ends a sentence for certain.
HARD = frozenset({".", "!", "?", "...", "…", ";", "....", "?!", "!!", "!?"})
_MARKS = re.compile(r"[.!?…]{2,}")
_QUOTES = frozenset({'"', "“", "'", "-"})
#: So many distinct stretches are kept, some ten megabytes; then all are let go, so that a process that reads bouts
#: without end does not grow. One with more letters is no word that would come again.
_KEPT, _LONGEST = 20_000, 40
#: The tokenizer's time grows with the square of the marks in a stretch. A longer one is no word or address of anybody's:
#: it is cut into pieces of this length, if it can be, after a mark.
_PIECE = 200
_PIECES = re.compile(rf"\S{{1,{_PIECE - 1}}}[^\w\s](?=[\w])|\S{{1,{_PIECE}}}")


class WordForm(NamedTuple):
    """What a token is wherever it stands. ``norm`` is the token in lower case without clitic, ``word`` tells words from
    marks, numbers and blanks, ``cap`` is a capital first letter, ``breaks`` a blank with a line end in it.
    ``then`` is what it does to whether a sentence may begin after it."""

    text: str
    lower: str
    norm: str
    space: bool
    word: bool
    cap: bool
    breaks: bool
    then: Literal["opens", "keeps", "closes"]


#: The forms of the tokens of a stretch, and the position in it of each.
_Stretch = tuple[tuple[WordForm, ...], tuple[int, ...]]
_known: dict[str, _Stretch] = {}
_learning = Lock()


def tokenize(text: str) -> tuple[list[WordForm], list[int]]:
    """The tokens of ``text``, and the position in it at which each begins. One blank after a token belongs to it; any
    other white space is a token by itself.

    >>> [form.text for form in tokenize("Two for red,  3-1!")[0]]
    ['Two', 'for', 'red', ',', ' ', '3', '-', '1', '!']
    """
    forms: list[WordForm] = []
    places: list[int] = []
    pieces = _BLANKS.split(text)
    if max(map(len, pieces)) > _PIECE:
        pieces = [part for piece in pieces for part in _cut(piece)]
    known = _learn(pieces)
    at = 0
    for piece in pieces:
        begin = at
        at += len(piece)
        if piece == " " and forms:
            continue
        if piece[:1] == " " and forms:
            piece = piece[1:]
            begin += 1
        if piece:
            found, offsets = known[piece]
            forms += found
            if len(offsets) == 1:
                places.append(begin)
            else:
                places += [begin + offset for offset in offsets]
    return forms, places


def _cut(piece: str) -> list[str]:
    return _PIECES.findall(piece) if len(piece) > _PIECE and not piece.isspace() else [piece]


def _learn(pieces: list[str]) -> dict[str, _Stretch]:
    """The tokens of all ``pieces``, and of those of white space without their first blank."""
    global _known
    wanted = set(pieces)
    wanted |= {piece[1:] for piece in wanted if piece[:1] == " "}
    wanted.discard("")
    with _learning:
        known = _known
        new = wanted.difference(known)
        if not new:
            return known
        if len(known) + len(new) > _KEPT:
            # Another thread may still be reading in the old ones.
            known, new = {}, wanted
            _known = known
        tokenizer = _tokenizer()
        found: dict[str, _Stretch] = {}
        # What the vocabulary learns of new words is let go again: a Vocab only ever grows.
        with tokenizer.vocab.memory_zone():
            for piece in new:
                doc = tokenizer(piece)
                found[piece] = (
                    tuple(word_form(token.text) for token in doc),
                    tuple(token.idx for token in doc),
                )
        kept = {piece: stretch for piece, stretch in found.items() if len(piece) <= _LONGEST}
        if len(known) + len(kept) > _KEPT:
            kept.clear()
        known.update(kept)
        return known if len(kept) == len(found) else {**known, **found}


def word_form(text: str) -> WordForm:
    """What a token of this text is.

    >>> word_form("She's").norm, word_form("\\n").breaks
    ('she', True)
    """
    lower = text.lower().replace("’", "'")
    norm = _CLITIC.sub("", lower) if "'" in lower else lower
    space = text.isspace()
    breaks = space and "\n" in text
    then: Literal["opens", "keeps", "closes"] = "closes"
    if breaks or lower in _SENTENCE_END:
        then = "opens"
    elif space or lower in _QUOTES:
        then = "keeps"
    return WordForm(text, lower, norm, space, text[:1].isalpha(), text[:1].isupper(), breaks, then)


@lru_cache(maxsize=4096)
def is_hard(word: str) -> bool:
    """Whether a token ends a sentence wherever it stands."""
    return word in HARD or _MARKS.fullmatch(word) is not None


@lru_cache(maxsize=1)
def _tokenizer() -> Tokenizer:
    """spaCy's tokenizer for English, made for scores and times. Its vocabulary knows of no attributes of words."""
    from spacy.lang.en import EnglishDefaults as English
    from spacy.tokenizer import Tokenizer
    from spacy.util import compile_infix_regex, compile_prefix_regex, compile_suffix_regex
    from spacy.vocab import Vocab

    return Tokenizer(
        Vocab(),
        rules=English.tokenizer_exceptions,
        prefix_search=compile_prefix_regex([*(English.prefixes or ()), _TAKEN_UP, _ABOUT]).search,
        suffix_search=compile_suffix_regex([*(English.suffixes or ()), _BROKEN_OFF, *_UNITS]).search,
        infix_finditer=compile_infix_regex([*_INFIXES, *(English.infixes or ())]).finditer,
    )
