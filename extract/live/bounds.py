"""Where in a stream its running bout begins: the bounds of bouts as a session has them, looked for as the talk goes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from extract.live.parameters import live_parameters
from extract.mentions.lexicon_check import own_lexicon
from extract.recording.search import CueSpan
from extract.recording.sheet import Sheet
from extract.recording.signs import CueSigns, cue_signs
from extract.session.find import find_spans
from extract.talk.style import heard_style
from extract.transcript import Transcript

#: The signs of the last cues may change with what comes next, and so many before them are read for the words around.
_OPEN, _AROUND = 2, 6


@dataclass(frozen=True, slots=True)
class Bound:
    """Where bouts begin in a talk, seconds of recording, in order; the last is the running one, and ``row`` is its row of
    the sheet, if any."""

    begins: tuple[float, ...]
    row: int | None


class Bounds:
    """The bounds in the talk since the last one."""

    def __init__(
        self, *, single: bool, sheet: Sheet | None, rules: str | None, lexicons: Sequence[Path]
    ) -> None:
        """``single`` says that there is one bout only; the other arguments are as for ``find_parts``."""
        self._single, self._sheet, self._rules, self._lexicons = single, sheet, rules, lexicons
        self._signs: dict[float, CueSigns] = {}
        self._style = ""
        self._last: Bound | None = None

    def look(self, talk: Transcript) -> Bound | None:
        """The bound that this look and the one before it agree on, in the talk so far. None where they do not, and
        before anything like a bout is heard."""
        if not talk.cues:
            return None
        style = self._rules or heard_style(talk)[0]
        lexicon = own_lexicon(style, self._lexicons)
        found, rows = find_spans(talk, self._signs_of(talk, style), lexicon, self._sheet)
        bouts = [n for n, span in enumerate(found) if span.bout]
        while bouts and not self._is_under_way(found[bouts[-1]], talk):
            bouts.pop()
        if not bouts:
            return None
        bouts = bouts[:1] if self._single else bouts
        now = Bound(tuple(talk.cues[found[n].first].start for n in bouts), rows.get(bouts[-1]))
        last, self._last = self._last, now
        return now if last is not None and self._is_same(last, now, talk) else None

    def _is_same(self, last: Bound, now: Bound, talk: Transcript) -> bool:
        moved = live_parameters().get("bout", "moved_captions")
        places = [[_place(talk, t) for t in bound.begins] for bound in (last, now)]
        return len(places[0]) == len(places[1]) and all(
            abs(a - b) <= moved for a, b in zip(*places, strict=True)
        )

    def _is_under_way(self, span: CueSpan, talk: Transcript) -> bool:
        """Whether a part is a bout that has gone on for a while: two captions of a preview are none."""
        if span.run is None or span.run[0] >= span.last:
            return False
        since = talk.cues[span.first].start
        return talk.seconds - since >= live_parameters().get("bout", "new_s")

    def _signs_of(self, talk: Transcript, style: str) -> list[CueSigns]:
        """The signs of each cue; those of cues that are over were found before."""
        if style != self._style:
            self._signs, self._style = {}, style
        cues = talk.cues
        known = 0
        while known < len(cues) and cues[known].start in self._signs:
            known += 1
        since = max(known - _AROUND, 0)
        fresh = cue_signs(replace(talk, cues=cues[since:]), style, own_lexicon(style, self._lexicons))
        held = [self._signs[cue.start] for cue in cues[:known]]
        signs = [*held, *fresh[known - since :]]
        self._signs = {cue.start: sign for cue, sign in zip(cues[:-_OPEN], signs, strict=False)}
        return signs


def _place(talk: Transcript, t: float) -> int:
    """The position of the cue that begins at a moment, or of the first after it."""
    return next((k for k, cue in enumerate(talk.cues) if cue.start >= t), len(talk.cues))
