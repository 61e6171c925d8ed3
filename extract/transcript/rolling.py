"""Rolling captions: each repeats the last line of the one before it, or the line as far as it had got."""

from __future__ import annotations

#: A caption follows on another where at most this much time, seconds, lies between them.
_GAP_S = 0.25
#: A line that goes on from a shorter one repeats it only where that had as many words as this: "Two" and then
#: "Two more for red" are two things said.
_GROWN_WORDS = 3


def new_from(shown: str, shown_end: float, text: str, start: float) -> int:
    """Where what is new in a caption begins: the position in ``text`` after all that it repeats of ``shown``,
    the caption before it, which ends at ``shown_end``; 0 where it repeats nothing or does not follow on it.

    >>> new_from("so here we go", 4.0, "so here we go\\nfirst period", 4.0)
    13
    """
    if start > shown_end + _GAP_S:
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
        if line == old[-1] or (line.startswith(old[-1] + " ") and len(old[-1].split()) >= _GROWN_WORDS):
            return at + len(old[-1])
    return 0
