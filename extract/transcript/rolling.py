"""Rolling captions: each repeats the last line of the one before it, or that line as far as it had got.

A repetition may also be said twice. Three things tell which it is: the word times, which only a new line has; what
stands under the repeated line; and whether the whole file rolls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

#: A caption follows another if no more than this many seconds lie between them.
_GAP_S = 0.25
#: This many words are not repeated by chance in the line above something new, or at the head of a line that has
#: grown. Fewer may be: "Two" and then "Two more for red" are two things said.
_TELLING_WORDS = 3
#: In a file that rolls, a caption may show the same again after a pause of no more than this many seconds.
_PAUSE_S = 10.0
#: A file rolls if this share of its captions go on from the one before. If none has anything new under what it
#: repeats, this many must follow at once, because people do say the same twice.
_ROLLING_SHARE, _SAME = 0.3, 3
#: Recognisers give no time before a line's first word. A new line of this many words has a time for another word.
_TIMED_WORDS = 2


@dataclass(frozen=True, slots=True)
class Caption:
    """A caption as it is shown, from ``start`` to ``end``, seconds; ``tags`` are its word times."""

    text: str
    start: float
    end: float
    tags: Sequence[tuple[int, float]] = ()


@dataclass(frozen=True, slots=True)
class _Repeated:
    """How a caption goes on from the one before: where its new text ``begins``, how many ``words`` the repeated last
    line has, and whether there is anything new under that line or in it."""

    begins: int
    words: int
    under: bool
    within: bool


def follows(shown_end: float, start: float) -> bool:
    """Whether a caption comes at once after one that ends at ``shown_end``, seconds."""
    return start <= shown_end + _GAP_S


class Rolling:
    """Says of each caption of one file, in order of time, what it only shows again of the one before it."""

    def __init__(self, captions: Sequence[Caption]) -> None:
        new = same = 0
        for shown, caption in pairwise(captions):
            found = _repeated(shown.text, caption)
            if found is None:
                continue
            at_once = follows(shown.end, caption.start)
            telling = found.words >= _TELLING_WORDS
            if found.under or found.within:
                new += at_once or telling
            else:
                same += at_once and telling
        least = _ROLLING_SHARE * (len(captions) - 1)
        self._rolls = new + same >= least and (new > 0 or same >= _SAME)
        self._timed = sum(bool(caption.tags) for caption in captions) >= _ROLLING_SHARE * len(captions)

    def new_from(self, shown: Caption, caption: Caption) -> int:
        """Where the new text of a caption begins: the position after everything that it shows again of ``shown``, the
        caption before it. It is 0 if all of it is new.

        >>> Rolling([]).new_from(Caption("so here we go", 1, 4), Caption("so here we go\\nfirst period", 4, 5))
        13
        """
        found = _repeated(shown.text, caption)
        return found.begins if found is not None and self._shows_again(found, shown, caption) else 0

    def _shows_again(self, found: _Repeated, shown: Caption, caption: Caption) -> bool:
        pause = caption.start - shown.end
        new = found.under or found.within
        if found.words >= _TIMED_WORDS and (caption.tags if new else self._timed and not caption.tags):
            # Only what is new has word times.
            return True
        if self._rolls:
            return found.under or pause <= _PAUSE_S
        return new and found.words >= _TELLING_WORDS and follows(shown.end, caption.start)


def _repeated(shown: str, caption: Caption) -> _Repeated | None:
    """What ``caption`` repeats of the text ``shown`` before it. None if it repeats nothing."""
    text = caption.text
    last = shown.rstrip().rpartition("\n")[2].strip()
    if not last or last not in text:
        return None
    words = len(last.split())
    # If the first word has a time within this caption, the words are new.
    said = min((position for position, time in caption.tags if time >= caption.start), default=len(text))
    old = [line.strip() for line in shown.split("\n") if line.strip()]
    new: list[tuple[str, int]] = []
    at = 0
    for line in text.split("\n"):
        if line.strip():
            new.append((line.strip(), at + len(line) - len(line.lstrip())))
        at += len(line) + 1
    for count in range(min(len(old), len(new)), 0, -1):
        if any(old[i - count] != new[i][0] for i in range(count - 1)):
            continue
        line, at = new[count - 1]
        begins = at + len(last)
        grown = line.startswith(last + " ") and words >= _TELLING_WORDS
        if begins <= said and (line == last or grown):
            return _Repeated(begins, words, line == last and count < len(new), grown)
    return None
