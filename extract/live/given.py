"""What people decide while a bout goes on: answers to flags and corrected scores. They are kept as the corrections of a
record are."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from extract.decisions import Decision, Journal, MovedOn, read_decisions
from extract.decisions.make import Refused, Request, make, turn
from extract.decisions.tell import decision_text
from extract.live.model import Answer, LiveFlag
from extract.live.running import RunningBout
from extract.record.bout_words import short_sides
from extract.record.model import Pair

#: A flag is about a statement that was said no further from it, seconds.
_SAME_S = 2.0
_ANSWERS: dict[Answer, str] = {
    "right": "the stated score was right",
    "slip": "a slip of the speaker",
    "other_bout": "another bout's score",
}


@dataclass(frozen=True, slots=True)
class _Given:
    """An answer as it was kept: on which flag, and by which decision (None: the log does not hang on it)."""

    flag: str | None
    decision: str | None


class Given:
    """The decisions on one bout, in the file ``path`` (None: they are not kept on the disk), made by ``by``."""

    def __init__(self, path: Path | None, by: str) -> None:
        self.path, self._by = path, by
        self._journal = Journal() if path is None else read_decisions(path)
        self._answers: list[_Given] = []

    @property
    def decisions(self) -> tuple[Decision, ...]:
        """All that were made, in order."""
        return self._journal.decisions

    def answer(self, flag: LiveFlag, answer: Answer, bout: RunningBout) -> str:
        """Keep an answer. A sentence about it. Raises Refused."""
        kept = self._made(_request(flag, answer, bout), bout)
        self._answers.append(_Given(flag.id, kept.id if kept is not None else None))
        bout.flags.answered(flag.id, answer)
        return f"Saved: {flag.said}: {_ANSWERS[answer]}."

    def correct(self, score: Pair, bout: RunningBout) -> str:
        """Keep that the score is now ``(red, blue)``. A sentence about it. Raises Refused."""
        talk, record = bout.talk, bout.record
        if talk is None or record is None or not talk.cues:
            raise Refused("nothing of a bout has been heard yet")
        cue = talk.cues[-1]
        to = {"t": round(cue.start, 2), "said": list(score), "right": True}
        kept = self._made(Request("add", "score", None, to, cue.index, cue.text), bout)
        self._answers.append(_Given(None, kept.id if kept is not None else None))
        said = "" if kept is None else decision_text(kept, short_sides(record))
        return f"Saved: {said}."

    def undo(self, bout: RunningBout) -> str:
        """Undo the last answer or corrected score. A sentence about it. Raises Refused."""
        if not self._answers:
            raise Refused("there is nothing to undo")
        last = self._answers.pop()
        if last.decision is not None:
            self._append(turn("undo", self.decisions, self._by, last.decision))
        if last.flag is not None:
            bout.flags.answered(last.flag, None)
            return "Undone: the flag is open again."
        return "Undone: the score is computed again."

    def _made(self, request: Request | None, bout: RunningBout) -> Decision | None:
        if request is None:
            return None
        if bout.record is None or bout.talk is None:
            raise Refused("nothing of a bout has been heard yet")
        decision = make(request, bout.record, bout.talk, self.decisions, self._by)
        self._append(decision)
        return decision

    def _append(self, decision: Decision) -> None:
        if self.path is None:
            self._journal = Journal((*self._journal.decisions, decision), self._journal.length)
            return
        try:
            self._journal = self._journal.append(self.path, [decision])
        except MovedOn:
            self._journal = read_decisions(self.path)
            raise Refused("this bout was corrected elsewhere; look at it again") from None


def _request(flag: LiveFlag, answer: Answer, bout: RunningBout) -> Request | None:
    """The decision that an answer is; None where the log does not hang on it."""
    record = bout.record
    if record is None:
        raise Refused("nothing of a bout has been heard yet")
    near = [s for s in record.statements if abs(s.t - flag.t) <= _SAME_S and s.said is not None]
    about = min(near, key=lambda s: abs(s.t - flag.t), default=None)
    if about is None:
        return None
    if answer == "other_bout":
        return Request("remove", "score", about.id)
    right = answer == "right"
    if about.decided is None and (about.verdict == "agrees") == right and about.verdict != "unclear":
        return Request("accept", "score", about.id)
    return Request("change", "score", about.id, {"right": right})
