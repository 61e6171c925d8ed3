"""One spaCy document for a whole transcript, and the way back from its tokens to cues, offsets and times."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from extract.transcript.cue import Cue, Transcript

if TYPE_CHECKING:
    from collections.abc import Callable

    from spacy.language import Language
    from spacy.tokens import Doc

# Typographic marks that the tokenizer and the lexicons know in their plain form; each is one character wide, so
# offsets are kept.
PLAIN = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "‑": "-", "–": "-", "—": "-", " ": " "})
#: "3-1", "five-oh", "5-oh": a hyphen between letters or figures always parts two tokens; so does a slash.
_INFIXES = (
    r"(?<=[0-9A-Za-z])[-/+&](?=[0-9A-Za-z])",
    r"(?<=[A-Za-z0-9])(?:\.\.+|…|--+|!|\?|,)(?=[A-Za-z0-9])",
)
#: A cue longer than this, in seconds, is a paragraph, not a caption.
_PARAGRAPH_S = 9.0
#: Ends a sentence for certain.
_HARD = frozenset({".", "!", "?", "...", "…", ";", "....", "?!", "!!", "!?"})


@lru_cache(maxsize=1)
def blank_english() -> Language:
    """The blank English pipeline that all stages share, its tokenizer made for scores and times."""
    import spacy
    from spacy.tokenizer import Tokenizer
    from spacy.util import compile_infix_regex, compile_prefix_regex, compile_suffix_regex, registry

    def make() -> Callable[[Language], Tokenizer]:
        def build(nlp: Language) -> Tokenizer:
            defaults = nlp.Defaults
            return Tokenizer(
                nlp.vocab,
                rules=defaults.tokenizer_exceptions,
                prefix_search=compile_prefix_regex(defaults.prefixes or ()).search,
                suffix_search=compile_suffix_regex(defaults.suffixes or ()).search,
                infix_finditer=compile_infix_regex([*_INFIXES, *(defaults.infixes or ())]).finditer,
            )

        return build

    registry.tokenizers.register("saidscore.commentary.v1", func=make)
    nlp = spacy.blank("en", config={"nlp": {"tokenizer": {"@tokenizers": "saidscore.commentary.v1"}}})
    nlp.max_length = 20_000_000
    return nlp


@dataclass(frozen=True, slots=True)
class Place:
    """Where something is said: cue (its index in the source), offsets into that cue's text in the source, words."""

    cue: int
    start: int
    end: int
    text: str


class TalkDocument:
    """A transcript as one spaCy ``Doc``.

    ``doc`` is the cue texts joined by newlines. ``words`` is the same without the tokens of white space: all
    positions of mentions are positions in it, so that a phrase may run over the end of a caption line; ``at`` gives
    the position in ``doc`` of each. ``clause[i]`` numbers the clause of word ``i``: a clause ends at a full stop,
    question or exclamation mark, where the speaker changes, and with each typed note. ``cue_of[i]`` is the place
    of its cue in ``cues``, ``time[i]`` the second at which the word begins. ``punctuated`` is false for captions that come
    without sentence marks.
    """

    def __init__(self, transcript: Transcript) -> None:
        from spacy.tokens import Doc

        self.cues: tuple[Cue, ...] = transcript.cues
        self.notes = transcript.format == "csv"
        self.interpolated = transcript.format == "block"
        text = "\n".join(cue.text for cue in self.cues).translate(PLAIN)
        self.doc: Doc = blank_english()(text)
        self._starts: list[int] = []
        at = 0
        for cue in self.cues:
            self._starts.append(at)
            at += len(cue.text) + 1
        self.at = [token.i for token in self.doc if not token.is_space]
        self.words: Doc = Doc(self.doc.vocab, words=[self.doc[i].text for i in self.at])
        self.lower = [token.lower_ for token in self.words]
        self.cue_of: list[int] = []
        self.time: list[float] = []
        for i in self.at:
            idx = self.doc[i].idx
            k = max(bisect_right(self._starts, idx) - 1, 0)
            self.cue_of.append(k)
            self.time.append(self.cues[k].time_at(idx - self._starts[k]))
        marks = sum(w in _HARD or w == "," for w in self.lower)
        self.punctuated = marks > len(self.lower) / 60
        self.hard = self._hard_ends()
        self.clause = self._clauses()

    def _hard_ends(self) -> list[bool]:
        """Whether a sentence ends at each word. In text with capitals a full stop before a small letter, and in
        typed notes before a figure, only shortens a word ("Pass. blue", "Rev. 1 red")."""
        cased = sum(token.text[:1].isupper() for token in self.words) > len(self.lower) / 40
        out = []
        for i, word in enumerate(self.lower):
            hard = word in _HARD or re.fullmatch(r"[.!?…]{2,}", word) is not None
            if hard and word == "." and cased and i and i + 1 < len(self.lower):
                following = self.words[i + 1].text
                figure = self.notes and following[:1].isdigit()
                hard = not (figure or (following[:1].islower() and len(self.lower[i - 1]) <= 6))
            out.append(hard)
        return out

    def _clauses(self) -> list[int]:
        out, number = [], 0
        previous: Cue | None = None
        for i in range(len(self.lower)):
            cue = self.cues[self.cue_of[i]]
            if previous is not None and cue is not previous:
                changed = cue.speaker is not None and cue.speaker != previous.speaker
                if changed or self.notes or cue.start - previous.end > 4.0:
                    number += 1
            previous = cue
            out.append(number)
            number += self.hard[i]
        return out

    def __len__(self) -> int:
        return len(self.lower)

    def position(self, doc_position: int) -> int:
        """The position in ``words`` of the first word at or after a position in ``doc``."""
        return bisect_left(self.at, doc_position)

    def place(self, start: int, end: int) -> Place:
        """The place of words ``start`` to ``end`` (exclusive); what runs on into a later cue is cut at the first."""
        first = self.cue_of[start]
        last = end - 1
        while last > start and self.cue_of[last] != first:
            last -= 1
        cue, base = self.cues[first], self._starts[first]
        a = self.doc[self.at[start]].idx - base
        closing = self.doc[self.at[last]]
        b = min(closing.idx + len(closing) - base, len(cue.text))
        return Place(cue.index, cue.source_position(a), cue.source_position(b), cue.text[a:b])

    def said_at(self, i: int) -> float:
        """The time to give for word ``i``: that of its caption, which is what a caption file really knows and where
        a player should start; inside a cue as long as a paragraph, or with word times, the word's own."""
        cue = self.cues[self.cue_of[i]]
        if cue.anchors or cue.end - cue.start > _PARAGRAPH_S or self.interpolated:
            return self.time[i]
        return cue.start

    def hard_end(self, i: int) -> bool:
        """Whether a sentence ends at word ``i``."""
        return self.hard[i]
