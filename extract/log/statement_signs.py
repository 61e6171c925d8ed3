"""What speaks for and against the verdict on a stated score: how plainly it was said, whether the scores said before and
after it fit the board, how certain the board itself is there.

Each is a sign by name; ``[confidence.agrees.sign]`` and ``[confidence.slip.sign]`` in the parameters say what it weighs.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

from extract.log.hypothesis import ReadingEvent, Said
from extract.log.model import Model
from extract.mentions.model import Mention, ScoreMention


class StatementSigns:
    """The signs of each stated score of a log. ``awards`` are its awards in the order of their time, each with it."""

    def __init__(
        self,
        said: Sequence[Said],
        mentions: Sequence[Mention],
        awards: Sequence[tuple[float, ReadingEvent]],
        model: Model,
    ) -> None:
        self._said, self._mentions, self._model = said, mentions, model
        self._uncalled = [t for t, entry in awards if entry.basis == "inferred"]
        self._given = [t for t, _ in awards]
        table = model.parameters.table("score.doubt")
        self._near_s, self._over_again_s = float(table["near_s"]), float(table["over_again_s"])
        self._steps = (float(table["unlikely"]), float(table["likely"]), float(table["plain"]))

    def of(self, n: int) -> tuple[str, ...]:
        """The signs of the stated score at position ``n``."""
        return tuple(self._signs(n))

    def _signs(self, n: int) -> Iterator[str]:
        said, mention = self._said[n], self._mentions[self._said[n].mention]
        assert isinstance(mention, ScoreMention)
        if said.verdict != "agrees":
            yield f"slip {said.verdict}"
            if said.verdict in ("ahead", "wrong"):
                ahead = (said.said[0] - said.board[0], said.said[1] - said.board[1])
                yield f"off by {self._model.difference(*ahead)}"
        yield f"holder {mention.tie}"
        if mention.stance != "asserted":
            yield f"stance {mention.stance}"
        yield self._said_how(mention)
        if mention.t >= self._model.end:
            yield "after the end"
        before, after = self._neighbour(n, -1), self._neighbour(n, 1)
        yield _fitting(before, "none before", "fits before", "differs before")
        yield _fitting(after, "none after", "fits after", "differs after")
        low = before.t if before is not None else self._model.begins
        if _between(self._uncalled, low, said.t):
            yield "uncalled award before"
        if after is not None and _between(self._uncalled, said.t, after.t):
            yield "uncalled award after"
        if _between(self._given, said.t - self._near_s, said.t + self._near_s):
            yield "award near"
        if any(self._is_again(n, step) for step in (-1, 1)):
            yield "said again"

    def _said_how(self, mention: ScoreMention) -> str:
        p = self._model.score_genuine(mention)
        unlikely, likely, plain = self._steps
        if p < likely:
            return "said hardly likely" if p < unlikely else "said not plainly"
        return "said plainly" if p >= plain else "said likely"

    def _neighbour(self, n: int, step: int) -> Said | None:
        """The next other score on one side."""
        own = self._said[n]
        k = n + step
        while 0 <= k < len(self._said):
            if self._said[k].said != own.said:
                return self._said[k]
            k += step
        return None

    def _is_again(self, n: int, step: int) -> bool:
        own, k = self._said[n], n + step
        return (
            0 <= k < len(self._said)
            and self._said[k].said == own.said
            and abs(self._said[k].t - own.t) <= self._over_again_s
        )


def _fitting(said: Said | None, none: str, fits: str, differs: str) -> str:
    if said is None:
        return none
    return fits if said.verdict == "agrees" else differs


def _between(times: Sequence[float], low: float, high: float) -> bool:
    return bisect_left(times, low) < bisect_right(times, high)
