"""The words of a whole transcript, and the way back from them to cues, offsets and times."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from extract.talk.capitals import plain_capitals
from extract.talk.tokens import HARD, is_hard, tokenize
from extract.talk.words import TalkWords
from extract.transcript.cue import Cue, Transcript
from extract.transcript.plain import PLAIN

#: A cue longer than this, in seconds, is a paragraph, not a caption.
_PARAGRAPH_S = 9.0
_COUNTED = HARD | {","}


@dataclass(frozen=True, slots=True)
class Place:
    """Where something is said: cue (its index in the source), offsets into that cue's text in the source, words."""

    cue: int
    start: int
    end: int
    text: str


class TalkDocument:
    """A transcript as one row of words.

    ``words`` are those of the cue texts joined by newlines, ``lower`` the same in small letters. All positions are
    positions among them, so that a phrase may run over the end of a caption line. ``clause[i]`` numbers the clause of
    word ``i``: a clause ends at a full stop, question or exclamation mark, where the speaker changes, and with each typed
    note. ``turns`` are the words at which another speaker begins, by a label or by a sign. ``cue_of[i]`` is the place of
    its cue in ``cues``. ``punctuated`` is false for captions that come without sentence marks.
    """

    def __init__(self, transcript: Transcript) -> None:
        self.cues: tuple[Cue, ...] = transcript.cues
        self.interpolated = transcript.interpolated
        typed = transcript.typed or transcript.format == "csv"
        talk = "\n".join(plain_capitals([cue.text for cue in self.cues], typed=typed))
        forms, begins = tokenize(talk.translate(PLAIN))
        self.words = TalkWords(forms)
        self._begins = [begin for form, begin in zip(forms, begins, strict=True) if not form.space]
        if transcript.format == "csv" and (transcript.typed or self.words.terse):
            # The words that stand for the heads of columns are none that anybody typed; who types in haste has no capitals.
            self.words.notes = True
        # Captions in short lines are no notes: people who type leave out the function words.
        self.notes = transcript.format == "csv" or (transcript.typed and self.words.notes)
        self.lower = self.words.lower
        self._starts: list[int] = []
        self.cue_of: list[int] = []
        self._place_words()
        self._times: list[float | None] = [None] * len(self.lower)
        marks = sum(map(_COUNTED.__contains__, self.lower))
        self.punctuated = marks > len(self.lower) / 60
        self.hard = self._hard_ends()
        self.turns = frozenset(self._turns())
        self.clause = self._clauses()

    def since(self, first: int) -> TalkDocument:
        """The words from ``first`` on, which begins a cue, as a document of their own. What is told by the whole talk,
        whether it has sentence marks, say, stays as it is."""
        out = object.__new__(TalkDocument)
        cue = self.cue_of[first]
        out.cues, out.interpolated, out.notes, out.punctuated = (
            self.cues[cue:], self.interpolated, self.notes, self.punctuated,
        )  # fmt: skip
        out.words = self.words.since(first)
        out.lower = out.words.lower
        base, clause = self._starts[cue], self.clause[first]
        out._begins = [begin - base for begin in self._begins[first:]]
        out._starts = [start - base for start in self._starts[cue:]]
        out.cue_of = [k - cue for k in self.cue_of[first:]]
        out._times = self._times[first:]
        out.hard = self.hard[first:]
        out.turns = frozenset(i - first for i in self.turns if i > first)
        out.clause = [number - clause for number in self.clause[first:]]
        return out

    def first_word(self, cue: int) -> int:
        """The position of the first word of the cue at that place, or of the next one that has any."""
        return bisect_left(self.cue_of, cue)

    def same_words(self, other: TalkDocument) -> int:
        """How many words from the beginning on are the same in both, with the cues that they stand in."""
        if (self.punctuated, self.notes) != (other.punctuated, other.notes):
            return 0
        cues = next((k for k, (a, b) in enumerate(zip(self.cues, other.cues, strict=False)) if a != b), None)
        limit = min(len(self.cues), len(other.cues)) if cues is None else cues
        words = min(self.first_word(limit), other.first_word(limit))
        if self.lower[:words] == other.lower[:words] and self.hard[:words] == other.hard[:words]:
            return words
        rows = zip(self.lower, self.hard, other.lower, other.hard, strict=False)
        return next((i for i, (a, hard, b, harder) in enumerate(rows) if (a, hard) != (b, harder)), words)

    def _place_words(self) -> None:
        """Which cue each word is in."""
        first = base = 0
        for k, cue in enumerate(self.cues):
            self._starts.append(base)
            following = base + len(cue.text) + 1
            end = bisect_left(self._begins, following, first)
            self.cue_of += [k] * (end - first)
            first, base = end, following

    def _hard_ends(self) -> list[bool]:
        """Whether a sentence ends at each word. In text with capitals a full stop before a small letter, and in
        typed notes before a figure, only shortens a word ("Pass. blue", "Rev. 1 red")."""
        lower, text = self.lower, self.words.text
        hard = [is_hard(word) for word in lower]
        cased = self.words.capitals > len(lower) / 40
        for i in [i for i, word in enumerate(lower) if word == "."] if cased else ():
            if 0 < i < len(lower) - 1:
                following = text[i + 1]
                figure = self.notes and following[:1].isdigit()
                hard[i] = not (figure or (following[:1].islower() and len(lower[i - 1]) <= 6))
        return hard

    def _turns(self) -> Iterator[int]:
        for i in range(1, len(self.cue_of)):
            k, last = self.cue_of[i], self.cue_of[i - 1]
            if k != last:
                cue, previous = self.cues[k], self.cues[last]
                if cue.turn or (cue.speaker is not None and cue.speaker != previous.speaker):
                    yield i

    def _clauses(self) -> list[int]:
        out, number, last = [], 0, -1
        for i, (k, hard) in enumerate(zip(self.cue_of, self.hard, strict=True)):
            if k != last and last >= 0:
                silent = self.cues[k].start - self.cues[last].end > 4.0
                if i in self.turns or self.notes or silent:
                    number += 1
            last = k
            out.append(number)
            number += hard
        return out

    def __len__(self) -> int:
        return len(self.lower)

    def place(self, start: int, end: int) -> Place:
        """The place of words ``start`` to ``end`` (exclusive); what runs on into a later cue is cut at the first."""
        first = self.cue_of[start]
        last = end - 1
        while last > start and self.cue_of[last] != first:
            last -= 1
        cue, base = self.cues[first], self._starts[first]
        a = self._begins[start] - base
        b = min(self._begins[last] + len(self.words.text[last]) - base, len(cue.text))
        return Place(cue.index, cue.source_position(a), cue.source_position(b), cue.text[a:b])

    def time(self, i: int) -> float:
        """The second of the recording at which word ``i`` begins."""
        found = self._times[i]
        if found is None:
            k = self.cue_of[i]
            found = self._times[i] = self.cues[k].time_at(self._begins[i] - self._starts[k])
        return found

    def silences(self, seconds: float) -> Iterator[int]:
        """The words before which more than so many seconds pass since the word before them began."""
        last = -1
        for i, k in enumerate(self.cue_of):
            # No word is said before its cue begins or after it ends: between cues as near as that nothing is looked at.
            since = self.cues[last if k != last and last >= 0 else k]
            if i and self.cues[k].end - since.start > seconds and self.time(i) - self.time(i - 1) > seconds:
                yield i
            last = k

    def said_at(self, i: int) -> float:
        """The time to give for word ``i``: that of its caption, which is what a caption file really knows and where
        a player should start; inside a cue as long as a paragraph, or with word times, the word's own."""
        cue = self.cues[self.cue_of[i]]
        if cue.anchors or cue.end - cue.start > _PARAGRAPH_S or self.interpolated:
            return self.time(i)
        return cue.start

    def hard_end(self, i: int) -> bool:
        """Whether a sentence ends at word ``i``."""
        return self.hard[i]
