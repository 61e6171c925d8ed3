"""One bout under review: its record as it now is, and what a person decides on it."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from extract.bout import extract_bout
from extract.decisions import Decision, Journal, MovedOn, in_force, read_decisions
from extract.decisions.make import Request, make, turn
from extract.decisions.tell import decision_text
from extract.errors import InputError
from extract.record import Record, from_json, write_record
from extract.record.beforehand import bout_file_for, known_beforehand
from extract.record.bout_words import short_sides
from extract.record.source import source_transcript
from extract.report import report_page

if TYPE_CHECKING:
    from extract.decisions import Force
    from extract.log import Parameters

ENDING = ".record.json"


@dataclass(frozen=True, slots=True)
class DeskOptions:
    """What the command says beside the record: who decides, and what the record was made with."""

    by: str
    transcript: Path | None = None
    bout: Path | None = None
    parameters: Parameters | None = None
    lexicons: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class DeskState:
    """A bout at one moment: its record, the decisions, and ``revision``, the length of their file in bytes. It shows
    whether somebody has decided something since."""

    record: Record
    force: Force
    revision: int

    @property
    def undo(self) -> bool:
        """Whether there is anything to undo."""
        return bool(self.force.undoable)

    @property
    def redo(self) -> bool:
        """Whether there is anything to redo."""
        return bool(self.force.redoable)


class Outdated(Exception):
    """What the person was looking at has changed since in another window. Nothing was kept."""


class DeskBout:
    """A record, its transcript, and the decisions beside it. Whatever is decided is on the disk before it is shown."""

    def __init__(self, path: Path, given: DeskOptions) -> None:
        if not path.name.endswith(ENDING):
            raise InputError(
                path, f"is not named NAME{ENDING}", "give it the name that saidscore log gave it"
            )
        record = from_json(path)
        if record.source.order is not None:
            problem = "its account has no times, and the desk goes by those of a recording"
            raise InputError(path, problem, "put the text of the account right and run saidscore log again")
        self.name = path.name.removesuffix(ENDING)
        self._folder, self._given = path.parent, given
        self.journal_path = path.with_name(f"{self.name}.decisions.jsonl")
        talk = given.transcript
        if talk is not None and talk.is_dir():
            talk = talk / Path(record.source.file).name
        at, self.transcript = source_transcript(record, path, talk)
        self._bout = known_beforehand(record, bout_file_for(at, given.bout))
        if record.lexicons and not given.lexicons:
            words = ", ".join(each.file for each in record.lexicons)
            raise InputError(path, f"was made with words of your own ({words})", "give them with --lexicon")
        self._lock = threading.Lock()
        self._journal = Journal()
        self._state: DeskState | None = None

    def state(self) -> DeskState:
        """The bout as it now is."""
        with self._lock:
            return self._current()

    def decide(self, request: Request, revision: int) -> tuple[DeskState, str]:
        """The bout after one more decision, and what was decided, in words. Raises Outdated if ``revision`` is not
        the bout's, Refused if the request makes no decision, InputError if it cannot be kept."""
        with self._lock:
            state = self._current()
            if state.revision != revision:
                raise Outdated
            made, by = self._journal.decisions, self._given.by
            if request.do == "undo" or request.do == "redo":
                decision = turn(request.do, made, by, request.ref)
            else:
                decision = make(request, state.record, self.transcript, made, by)
            # A decision with which the bout cannot be read must not be kept.
            record = self._read((*made, decision))
            try:
                self._journal = self._journal.append(self.journal_path, [decision])
            except MovedOn:
                raise Outdated from None
            self._state = DeskState(record, in_force(self._journal.decisions), self._journal.length)
            trouble = self._written(record)
            while not trouble and read_decisions(self.journal_path).length != self._journal.length:
                # Another desk has decided something meanwhile. The record on the disk must have that too.
                trouble = self._written(self._current().record)
            return self._state, self._text_of(decision) + trouble

    def _text_of(self, decision: Decision) -> str:
        sides = short_sides(self._current().record)
        if decision.target is None:
            return f"Saved: {decision_text(decision, sides)}"
        about = next(each for each in self._journal.decisions if each.id == decision.target)
        return f"{'Undone' if decision.do == 'undo' else 'Redone'}: {decision_text(about, sides)}"

    def _current(self) -> DeskState:
        found = read_decisions(self.journal_path)
        if self._state is None or found != self._journal:
            self._journal = found
            record = self._read(found.decisions)
            self._state = DeskState(record, in_force(found.decisions), found.length)
        return self._state

    def _read(self, decisions: Sequence[Decision]) -> Record:
        return extract_bout(
            self.transcript,
            self._bout,
            parameters=self._given.parameters,
            lexicons=self._given.lexicons,
            decisions=decisions,
        )

    def _written(self, record: Record) -> str:
        """Puts the record and its tables on the disk, and the page if there is one. Returns what went wrong. The
        decision is kept in any case."""
        page = self._folder / f"{self.name}.report.html"
        try:
            write_record(
                record,
                self._folder,
                self.name,
                report_page(record, self.transcript) if page.is_file() else None,
            )
        except InputError as error:
            return f"; but the record was not written ({error})"
        return ""


def open_bout(path: Path, given: DeskOptions) -> DeskBout:
    """A bout for review. Raises InputError if its record, its transcript or its decisions cannot be used."""
    bout = DeskBout(path, given)
    bout.state()
    return bout
