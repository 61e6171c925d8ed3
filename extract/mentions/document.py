"""One spaCy document for a whole transcript, and the way back from its tokens to cues, offsets and times."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from extract.transcript.cue import Cue, Transcript

if TYPE_CHECKING:
    from spacy.language import Language
    from spacy.tokens import Doc

# Typographic marks that the tokenizer and the lexicons know in their plain form; each is one character wide, so
# offsets are kept.
_PLAIN = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "‑": "-", "–": "-", "—": "-", " ": " "})
#: "3-1", "five-oh", "5-oh": a hyphen between letters or figures always parts two tokens; so does a slash.
_INFIXES = (r"(?<=[0-9A-Za-z])[-/+&](?=[0-9A-Za-z])", r"(?<=[A-Za-z0-9])(?:\.\.+|…|--+|!|\?|,)(?=[A-Za-z0-9])")
#: Ends a sentence for certain.
_HARD = frozenset({".", "!", "?", "...", "…", ";", "....", "?!", "!!", "!?"})


@lru_cache(maxsize=1)
def blank_english() -> Language:
    """The blank English pipeline that all stages share, its tokenizer set up for scores and times."""
    import spacy
    from spacy.util import compile_infix_regex

    nlp = spacy.blank("en")
    nlp.max_length = 20_000_000
    infixes = [*_INFIXES, *(nlp.Defaults.infixes or [])]
    nlp.tokenizer.infix_finditer = compile_infix_regex(infixes).finditer
    # "2:46." and "sec." must lose their full stop, and "a.m."-like exceptions do not occur in commentary.
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

    ``doc.text`` is the cue texts joined by newlines. ``clause[i]`` numbers the clause of token ``i``: a clause
    ends at a full stop, question or exclamation mark, or where the speaker changes. ``cue_of[i]`` is the position
    of its cue in ``cues``, ``time[i]`` the second at which the token begins. ``punctuated`` is false for captions
    that come without sentence marks.
    """

    def __init__(self, transcript: Transcript) -> None:
        self.cues: tuple[Cue, ...] = transcript.cues
        text = "\n".join(cue.text for cue in self.cues).translate(_PLAIN)
        self.doc: Doc = blank_english()(text)
        starts, at = [], 0
        for cue in self.cues:
            starts.append(at)
            at += len(cue.text) + 1
        self._starts = starts
        self.cue_of: list[int] = []
        self.time: list[float] = []
        self.lower: list[str] = []
        self.space: list[bool] = []
        for token in self.doc:
            k = max(bisect_right(starts, token.idx) - 1, 0)
            self.cue_of.append(k)
            self.time.append(self.cues[k].time_at(token.idx - starts[k]) if self.cues else 0.0)
            self.lower.append(token.lower_)
            self.space.append(token.is_space)
        marks = sum(w in _HARD or w == "," for w in self.lower)
        self.punctuated = marks > len(self.lower) / 60
        self.clause = self._clauses()

    def _clauses(self) -> list[int]:
        out, number = [], 0
        previous: Cue | None = None
        for i, word in enumerate(self.lower):
            cue = self.cues[self.cue_of[i]]
            if previous is not None and cue is not previous:
                changed = cue.speaker is not None and cue.speaker != previous.speaker
                if changed or cue.start - previous.end > 4.0:
                    number += 1
            previous = cue
            out.append(number)
            if word in _HARD or re.fullmatch(r"[.!?…]{2,}", word):
                number += 1
        return out

    def __len__(self) -> int:
        return len(self.lower)

    def place(self, start: int, end: int) -> Place:
        """The place of tokens ``start`` to ``end`` (exclusive); what runs on into a later cue is cut at the first."""
        first = self.cue_of[start]
        last = end - 1
        while last > start and (self.cue_of[last] != first or self.space[last]):
            last -= 1
        cue, base = self.cues[first], self._starts[first]
        a = self.doc[start].idx - base
        b = min(self.doc[last].idx + len(self.doc[last]) - base, len(cue.text))
        return Place(cue.index, cue.source_position(a), cue.source_position(b), cue.text[a:b])

    def hard_end(self, i: int) -> bool:
        """Whether a sentence mark stands at token ``i``."""
        return self.lower[i] in _HARD

    def same_clause(self, i: int, j: int) -> bool:
        """Whether two tokens stand in one clause."""
        return self.clause[i] == self.clause[j]
