"""One cue as a reader found it, whose text may be changed without losing the places in the source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

#: A change of a text: the start and the end (exclusive) of a stretch, and the text that takes its place.
Edit = tuple[int, int, str]
#: The most characters that one cue may have in the source. They are nearly two hours of talk at the rate below. In
#: longer talk without a time nobody could tell when anything was said.
LONGEST = 100_000


@dataclass(slots=True)
class Draft:
    """One cue as a reader found it.

    ``line`` is where the source gives its time. ``end`` is None if the source gives none. ``origin`` has one source
    position for each character of ``text``, or is None if they are the same. ``wide`` has the length in the source of
    characters that stand for more than one. ``runs`` are the parts of ``text`` by speaker, ``(from, to, speaker)``.
    What is in none of them is not speech. None means all of it, by nobody known. ``anchors`` are word times by
    position. ``words`` are words of the text in order, with their times if they have any. ``turns`` are the
    positions, ascending, at which a sign says that another speaker begins.
    """

    index: int
    line: int
    start: float
    end: float | None
    text: str
    origin: list[int] | None = None
    wide: dict[int, int] = field(default_factory=dict)
    anchors: list[tuple[int, float]] = field(default_factory=list)
    runs: list[tuple[int, int, str | None]] | None = None
    words: list[tuple[str, float | None]] = field(default_factory=list)
    turns: list[int] = field(default_factory=list)

    def rewrite(self, edits: Sequence[Edit]) -> None:
        """Put other text in the place of stretches of the text, which come in order, and move all positions along.
        The place of new text in the source is where its stretch began."""
        old = range(len(self.text)) if self.origin is None else self.origin
        parts: list[str] = []
        origin: list[int] = []
        wide: dict[int, int] = {}
        # Where each of the old positions, and the end, has gone.
        new: list[int] = []
        at = 0
        for start, stop, text in [*edits, (len(self.text), len(self.text), "")]:
            here = len(origin)
            wide.update((here + p - at, self.wide[p]) for p in range(at, start) if p in self.wide)
            new += range(here, here + start - at)
            origin += old[at:start]
            new += [len(origin)] * (stop - start)
            if text:
                length = old[stop - 1] + self.wide.get(stop - 1, 1) - old[start]
                wide.update(dict.fromkeys(range(len(origin), len(origin) + len(text)), length))
                origin += [old[start]] * len(text)
            parts += (self.text[at:start], text)
            at = stop
        new.append(len(origin))
        self.text, self.origin, self.wide = "".join(parts), origin, wide
        self.anchors = [(new[p], t) for p, t in self.anchors]
        self.turns = [new[p] for p in self.turns]
        if self.runs is not None:
            self.runs = [(new[a], new[b], speaker) for a, b, speaker in self.runs]
