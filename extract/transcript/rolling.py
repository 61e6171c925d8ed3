"""Rolling captions: each repeats the last line of the one before it, or the line as far as it had got."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

#: A caption follows on another where at most this much time, seconds, lies between them.
_GAP_S = 0.25
#: A line that goes on from a shorter one repeats it only where that had as many words as this: "Two" and then
#: "Two more for red" are two things said.
_GROWN_WORDS = 3
#: In a file that rolls, a caption may come back after a pause of so many seconds.
_PAUSE_S = 10.0
#: A file rolls where at least so many captions, and this share of them, go on from the one before. Twice the same
#: exclamation does not count: it must follow at once, or bring something new under the line that it repeats.
_ROLLS, _ROLLING_SHARE = 3, 0.3


def follows(shown_end: float, start: float) -> bool:
    """Whether a caption comes at once after one that ends at ``shown_end``, seconds."""
    return start <= shown_end + _GAP_S


def pause_of(captions: Sequence[tuple[str, float, float]]) -> float:
    """The longest pause, seconds, after which a caption still goes on from the one before it: long where the
    captions, ``(text, start, end)`` in order of time, show that the file rolls."""
    count = 0
    for (shown, _, shown_end), (text, start, _) in pairwise(captions):
        begin = new_from(shown, shown_end, text, start, _PAUSE_S)
        count += bool(begin and (follows(shown_end, start) or text[begin:].strip()))
    return _PAUSE_S if count >= max(_ROLLS, _ROLLING_SHARE * (len(captions) - 1)) else 0.0


def new_from(shown: str, shown_end: float, text: str, start: float, pause: float = 0.0) -> int:
    """Where what is new in a caption begins: the position in ``text`` after all that it repeats of ``shown``,
    the caption before it, which ends at ``shown_end``; 0 where it repeats nothing or follows neither at once nor
    within ``pause`` seconds.

    >>> new_from("so here we go", 4.0, "so here we go\\nfirst period", 4.0)
    13
    """
    if not follows(shown_end + pause, start):
        return 0
    last = shown.rstrip().rpartition("\n")[2].strip()
    if not last or last not in text:
        return 0
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
        if line == last or (line.startswith(last + " ") and len(last.split()) >= _GROWN_WORDS):
            return at + len(last)
    return 0
