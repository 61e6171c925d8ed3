"""The bouts of a stream: the running one, how those before it ended, and where one gives way to the next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from extract.checks.sides import leading
from extract.checks.words import clock_text
from extract.live.bounds import Bounds
from extract.live.given import Given
from extract.live.model import LiveCall
from extract.live.options import LiveOptions
from extract.live.parameters import live_parameters
from extract.live.running import ReadWith, RunningBout
from extract.live.state import DeskState
from extract.record.bout_words import ending_text, short_sides
from extract.recording.sheet import Sheet
from extract.transcript import BoutFile, Transcript
from extract.transcript.cue import PartOf

#: The talk of a stream since a moment.
Talk = Callable[[float], Transcript]
Tell = Callable[[float, str, str], None]


class Bouts:
    """The bouts of one stream. ``single`` says that all of it is one bout, of which ``known`` is known beforehand;
    ``decided`` gives the file of decisions on a bout by its number; ``tell`` takes notices."""

    def __init__(
        self,
        options: LiveOptions,
        known: BoutFile | None,
        sheet: Sheet | None,
        decided: Callable[[int], Path | None],
        tell: Tell,
    ) -> None:
        self._options, self._sheet, self._decided, self._tell = options, sheet, decided, tell
        self.single = known is not None and sheet is None
        self._with = ReadWith(
            options.rules, options.red, options.blue, options.parameters, options.lexicons, options.flag_at
        )
        self._bounds = self._new_bounds()
        self.running = RunningBout(1, 0.0, known, self._with)
        self.given = Given(decided(1), options.by)
        self.ended: tuple[str, ...] = ()
        self.row: int | None = None
        self._looked = 0, 0.0

    def restore(self, state: DeskState) -> None:
        """Go on where another desk was."""
        self.ended, self.row = state.bouts, state.row
        bout = self.running.bout
        if state.row is not None and self._sheet is not None and state.row < len(self._sheet.bouts):
            bout = self._sheet.bouts[state.row].bout_file(self._sheet.file)
        self.running = RunningBout(state.number, state.begins, bout, self._with)
        self.running.restored(state.calls, state.flags)
        self.given = Given(self._decided(state.number), self._options.by)
        self._looked = state.captions, state.begins

    def hear(self, talk: Talk) -> None:
        """Read the running bout again, with the talk as it now is."""
        bout = self.running
        heard = talk(bout.begins)
        if not heard.cues:
            return
        part = PartOf(bout.number, min(bout.begins, heard.first_word), heard.seconds, 0, len(heard.cues))
        bout.hear(replace(heard, part=part), self.given.decisions)
        for call in bout.gone:
            self._tell(heard.seconds, "taken_back", taken_back(call, bout))

    def look(self, talk: Talk, captions: int, now: float) -> None:
        """Look for the bounds of the running bout again, if enough has been said since the last time: so many ``captions``
        were read, and it is ``now``, seconds of recording."""
        table = live_parameters().table("bout")
        since, then = self._looked
        if 0 <= captions - since < table["look_captions"] or now - then < table["look_s"]:
            return
        self._looked = captions, now
        found = self._bounds.look(talk(self.running.begins))
        if found is None:
            return
        first, *later = zip(found.begins, found.rows, strict=True)
        if self.running.number == 1 and first[0] - self.running.begins >= table["lead_in_s"]:
            # What was said before it is about something else.
            self.running.moved(first[0])
            self.hear(talk)
        self._is_row(first[1], talk)
        for begins, row in later:
            self._next(begins, talk)
            self._is_row(row, talk)

    def _is_row(self, row: int | None, talk: Talk) -> None:
        """Take up which row of the sheet the running bout is."""
        if self._sheet is not None and row is not None and row != self.row:
            self.row = row
            self.running.known_as(self._sheet.bouts[row].bout_file(self._sheet.file))
            self.hear(talk)

    def _next(self, begins: float, talk: Talk) -> None:
        """Close the running bout and go on to the next one."""
        bout = self.running
        before = talk(bout.begins)
        cues = tuple(cue for cue in before.cues if cue.start < begins)
        if cues:
            part = PartOf(bout.number, min(bout.begins, cues[0].start), begins, 0, len(cues))
            bout.hear(replace(before, cues=cues, part=part), self.given.decisions)
        if bout.record is not None:
            sides = short_sides(bout.record)
            self.ended = (*self.ended, f"{sides.red} v {sides.blue}: {ending_text(bout.record, sides)}")
        self.running = RunningBout(bout.number + 1, begins, None, self._with)
        self.given = Given(self._decided(self.running.number), self._options.by)
        self.row = None
        self._bounds = self._new_bounds()
        self._tell(begins, "bout", f"Bout {self.running.number} begins.")
        self.hear(talk)

    def _new_bounds(self) -> Bounds:
        options = self._options
        return Bounds(single=self.single, sheet=self._sheet, rules=options.rules, lexicons=options.lexicons)


def taken_back(call: LiveCall, bout: RunningBout) -> str:
    """That points are in the log no more, and what the score is without them."""
    now = ""
    if bout.board is not None and bout.record is not None:
        now = f"; the score is {leading(short_sides(bout.record), bout.board.score)}"
    return f"at {clock_text(call.t)} taken back: {call.text}{now}"
