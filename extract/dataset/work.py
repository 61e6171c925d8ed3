"""The work on inputs, in whatever process: from their bytes to rows of the dataset's tables."""

from __future__ import annotations

import dataclasses
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePath
from threading import Lock
from typing import Any

from extract.bout import extract_bout
from extract.dataset.item import Loaded
from extract.dataset.pack import pack_rows
from extract.dataset.settings import AtHand, at_hand
from extract.dataset.tables import OF_RECORD, Row, dataset_tables
from extract.decisions import Decision
from extract.decisions.journal import decisions_in
from extract.errors import InputError
from extract.record.model import Record
from extract.recording.sheet import sheet_in
from extract.rules import UnknownRules, ruleset_named
from extract.session import Part, find_parts, part_transcript
from extract.transcript import BoutFile, Transcript
from extract.transcript.bout_file import bout_file_in
from extract.transcript.decode import source_of
from extract.transcript.read import transcript_in

#: What names a fault of the program itself among what is wrong with inputs.
FAULT = "cannot be read by this program"
_ALONE = Lock()
#: A recording up to this length, in seconds, may well be one bout (common practice).
_SHORT_S = 1200.0


@dataclass(frozen=True, slots=True)
class Task:
    """Some inputs to be worked on in one go, and the settings as ``Settings.packed`` gives them."""

    number: int
    items: tuple[Loaded, ...]
    settings: bytes


def perform(task: Task) -> bytes:
    """The rows of a task's inputs, packed. An input that cannot be used gives a row of ``failures``. Nothing in an
    input raises an error here."""
    # A Dask worker may have several threads, and the reading of a bout is made for one thread.
    with _ALONE:
        return _performed(task)


def _performed(task: Task) -> bytes:
    hand = at_hand(task.settings)
    rows: dict[str, list[Row]] = {name: [] for name in dataset_tables()}
    for item in task.items:
        for table, row in _rows_of(item, hand):
            rows[table].append(row)
    return pack_rows(rows)


def failed(item: Loaded, error: InputError, provenance: dict[str, str]) -> Iterator[tuple[str, Row]]:
    """The rows of an input that cannot be used."""
    common = {"input": item.key, "input_sha256": item.sha256, **provenance}
    yield (
        "inputs",
        {
            **common,
            "programme": item.programme,
            "status": "failed",
            "bytes": item.content.size,
            "bouts": 0,
            "cues": 0,
            "seconds": 0.0,
        },
    )
    yield (
        "failures",
        {
            **common,
            "file": error.file,
            "line": error.line,
            "problem": error.problem,
            "remedy": error.remedy,
        },
    )


def _rows_of(item: Loaded, hand: AtHand) -> Iterator[tuple[str, Row]]:
    try:
        yield from list(_read(item, hand))
    except InputError as error:
        yield from failed(item, error, hand.provenance)
    except Exception as error:  # one input must not end a run over thousands
        problem = f"{FAULT} ({type(error).__name__}: {error})"
        remedy = "a fault of saidscore, not of the file: please report it with the file"
        yield from failed(item, InputError(item.file, problem, remedy), hand.provenance)


def _read(item: Loaded, hand: AtHand) -> Iterator[tuple[str, Row]]:
    transcript = read_item(item)
    made = _decisions(item)
    bouts = 0
    common = {"input": item.key, "input_sha256": item.sha256, **hand.provenance}
    for number, found in enumerate(parts_of(item, transcript, hand), 1):
        bout_id = None
        if found.part.kind == "bout":
            bouts += 1
            bout_id = found.bout_id(item.key)
            named = {"bout_id": bout_id, **common}
            record = _record(item, found, hand, made)
            yield "bouts", {**named, **_bout_row(item, found, record)}
            yield from _record_rows(found.talk, record, named)
        yield "parts", {**common, **_part_row(number, found.part, bout_id)}
    yield (
        "inputs",
        {
            **common,
            "programme": item.programme,
            "status": "done",
            "bytes": item.content.size,
            "bouts": bouts,
            "cues": len(transcript.cues),
            "seconds": round(transcript.seconds, 2),
        },
    )


@dataclass(frozen=True, slots=True)
class RecordingPart:
    """A part of a recording. ``talk`` is what is said in it. ``many`` says whether the recording has other parts.
    ``bout`` is what is known of a bout beforehand, and ``own`` says whether that is just what the input says."""

    part: Part
    talk: Transcript
    many: bool
    bout: BoutFile | None
    own: bool

    def bout_id(self, key: str) -> str:
        """The name of a bout in the dataset. ``key`` is the name of its input."""
        return f"{key}#{self.part.number}" if self.many else key

    @property
    def decided(self) -> int:
        """The number under which an input has the decisions on a bout: 0 for the only bout of a recording."""
        return self.part.number if self.many else 0


def read_item(item: Loaded) -> Transcript:
    """The transcript of an input. Raises InputError."""
    # The format may depend on the name's ending. Messages name the place that a person knows.
    try:
        source = dataclasses.replace(source_of(item.content.transcript, item.file), name=item.name)
        transcript = transcript_in(source)
        if transcript.by_order:
            remedy = "read it with saidscore log or session, or give a transcript with times"
            raise source.error("no times in it, and the tables of a dataset are made of times", remedy, 1)
        return transcript
    except InputError as error:
        if item.row is None or item.row[0] != item.file:
            raise
        line = f"line {error.line} of its text: " if error.line is not None else ""
        raise InputError(item.file, f"{line}{error.problem}", error.remedy, item.row[1]) from None


def parts_of(item: Loaded, transcript: Transcript, hand: AtHand) -> Iterator[RecordingPart]:
    """The parts of an input, none of them read yet. Raises InputError."""
    known = _bout_file(item)
    for part in _parts(item, transcript, known, hand):
        many = (part.first, part.last) != (0, len(transcript.cues))
        talk = part_transcript(transcript, part) if many else transcript
        bout = part.bout or known
        yield RecordingPart(part, talk, many, bout, bout is known)


def record_of(talk: Transcript, bout: BoutFile | None, hand: AtHand, decisions: Sequence[Decision]) -> Record:
    """The record of a bout, read as the settings say. Raises InputError."""
    return extract_bout(
        talk,
        bout,
        rules=hand.settings.rules if bout is None or bout.rules is None else None,
        parameters=hand.settings.parameters,
        lexicons=hand.lexicons,
        decisions=decisions,
    )


def _record(
    item: Loaded, found: RecordingPart, hand: AtHand, made: Mapping[int, Sequence[Decision]]
) -> Record:
    """The record of a bout of an input, with what has been decided on it. Raises InputError."""
    try:
        return record_of(found.talk, found.bout, hand, made.get(found.decided, ()))
    except InputError as error:
        raise (_of_row(item, error) if found.own else error) from None


def _decisions(item: Loaded) -> dict[int, tuple[Decision, ...]]:
    """The decisions on each bout of an input. Raises InputError."""
    at = Path(_beside(item, "decisions.jsonl"))
    return {number: decisions_in(content, at) for number, content in item.content.decisions}


def _parts(item: Loaded, transcript: Transcript, known: BoutFile | None, hand: AtHand) -> Sequence[Part]:
    content, how = item.content, hand.settings.recordings
    sheet = sheet_in(content.sheet, _beside(item, "sheet.csv")) if content.sheet is not None else None
    named = known is not None and bool(known.red.name or known.blue.name)
    style, unknown = hand.settings.rules, False
    if known is not None and known.rules is not None:
        try:
            style = ruleset_named(known.rules)
        except UnknownRules:
            # Reading the bout will say so, and which rules there are.
            unknown = True
    # A bout file with names says that this is the only bout.
    if how == "bout" or unknown or (how == "auto" and named and sheet is None):
        end = transcript.seconds
        return [Part("bout", 0.0, end, 0, len(transcript.cues), 1, known, 1.0, "given as one bout")]
    session = find_parts(transcript, sheet=sheet, rules=style, lexicons=hand.lexicons)
    if not session.bouts and transcript.seconds <= _SHORT_S:
        why = "no bout told apart from other talk; taken for one, as the recording is no longer than a bout"
        return [Part("bout", 0.0, transcript.seconds, 0, len(transcript.cues), 1, known, 0.5, why)]
    return session.parts


def _beside(item: Loaded, ending: str) -> str:
    """Where a file that goes with an input is likely to lie, for messages."""
    path = PurePath(item.file)
    return str(path.with_name(f"{path.stem}.{ending}"))


def _bout_file(item: Loaded) -> BoutFile | None:
    """What is known of the bout."""
    if item.content.bout is None:
        return None
    try:
        return bout_file_in(item.content.bout, item.content.bout_file or item.file)
    except InputError as error:
        raise _of_row(item, error) from None


def _of_row(item: Loaded, error: InputError) -> InputError:
    """An error in what is known of the bout. If that comes from a row, the error names the row."""
    if item.content.bout_file or item.row is None:
        return error
    return InputError(item.row[0], error.problem, error.remedy, item.row[1])


def _bout_row(item: Loaded, found: RecordingPart, record: Record) -> Row:
    bout, result = record.bout, record.result
    awards = [event for event in record.events if event.points and event.status == "stands"]
    verdicts = [statement.verdict for statement in record.statements]
    sure = [event.confidence for event in awards] + [s.confidence for s in record.statements]
    said = result.said_score or (None, None)
    row: dict[str, Any] = {
        "programme": item.programme,
        "number": found.part.number,
        "start": round(found.part.start, 2),
        "end": round(found.part.end, 2),
        "file": item.name,
        "format": record.source.format,
        "transcript_sha256": record.source.sha256,
        "cues": len(found.talk.cues),
        "rules": bout.rules,
        "rules_from": bout.from_["rules"],
        "edition": bout.edition,
        "edition_from": bout.from_.get("edition"),
        "age_group": bout.age_group,
        "date": found.bout.date if found.bout is not None else None,
        "winner": result.winner,
        "by": result.by,
        "victory": result.victory.code if result.victory is not None else None,
        "score_red": result.score[0],
        "score_blue": result.score[1],
        "said_score_red": said[0],
        "said_score_blue": said[1],
        "result_confidence": round(result.confidence, 2),
        "awards": len(awards),
        "inferred": sum(event.basis == "inferred" for event in awards),
        "stated": len(verdicts),
        "disagreements": verdicts.count("disagrees"),
        "unclear": verdicts.count("unclear"),
        "flagged": len(record.flags),
        "decided": len(record.decisions),
        "gain": round(sum(doubt.gain for doubt in record.doubts), 2),
        "unsure": round(sum(1 - each for each in sure), 2) + 0.0,
        "dropped": round(record.search.dropped, 2),
    }
    for corner in ("red", "blue"):
        side = getattr(bout, corner)
        row |= {corner: side.name, f"{corner}_from": side.name_from, f"{corner}_team": side.team}
    return row


def _record_rows(talk: Transcript, record: Record, named: Row) -> Iterator[tuple[str, Row]]:
    for table in OF_RECORD:
        names = [column.name for column in table.columns]
        for entry, cells in zip(table.rows(record), table.cells(record), strict=True):
            row = {**named, **dict(zip(names, cells, strict=True))}
            if table.name == "statements":
                row["speaker"] = _speaker(talk, entry.cue, entry.start)
            yield table.name, row


def _speaker(transcript: Transcript, cue: int, position: int) -> str | None:
    """Who speaks at a position of the source's text of a cue, which may have several speakers."""
    said = [each for each in transcript.cues if each.index == cue]
    begins = [each.origin[0] if each.origin else 0 for each in said]
    if len(said) < 2:
        return said[0].speaker if said else None
    return said[max(bisect_right(begins, position) - 1, 0)].speaker


def _part_row(number: int, part: Part, bout_id: str | None) -> Row:
    return {
        "part": number,
        "kind": part.kind,
        "bout_id": bout_id,
        "start": round(part.start, 2),
        "end": round(part.end, 2),
        "cues": part.last - part.first,
        "confidence": round(part.confidence, 2),
        "why": part.why,
    }
