"""The command ``label``: a corrected record becomes a labelled bout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.jobs import given_lexicons
from extract.cli.labelled import BoutOption, LexiconFiles
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.checks.sides import Sides
    from extract.decisions import Decision
    from extract.record import Challenge, Event, Record, Statement

_ENDING = ".record.json"
#: So many of the entries that nobody looked at are listed, the most doubtful ones.
_LISTED = 12


def label(
    path: Annotated[
        Path,
        typer.Argument(
            metavar="RECORD", readable=False, help="A record (NAME.record.json).", show_default=False
        ),
    ],
    transcript: Annotated[
        Path | None,
        typer.Option(
            "--transcript",
            metavar="FILE",
            readable=False,
            help="The transcript; else beside the record or in the current folder.",
        ),
    ] = None,
    bout: BoutOption = None,
    lexicon: LexiconFiles = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", readable=False, help="Where to write; else the current folder."),
    ] = None,
) -> None:
    """Make a labelled bout from a corrected record.

    It is for measure and fit: NAME.truth.json with the transcript and what was known beforehand. Tells what nobody has
    looked at.
    """
    from extract.labelled.from_record import truth_of
    from extract.labelled.label_files import Sources, label_files
    from extract.mentions import hear
    from extract.mentions.lexicon_check import own_lexicon
    from extract.record import from_json
    from extract.record.beforehand import bout_file_for, known_beforehand
    from extract.record.files import write_files
    from extract.record.plain import printable
    from extract.record.source import source_transcript

    folder = out or Path()
    if folder.exists() and not folder.is_dir():
        raise InputError(folder, "is no folder", "give a folder with --out")
    if not path.name.endswith(_ENDING):
        raise InputError(path, f"is not named NAME{_ENDING}", "give it the name that saidscore log gave it")
    record = from_json(path)
    name = path.name.removesuffix(_ENDING)
    _check_usable(path, record)
    decisions = _decisions(path, name, record)
    lexicons = given_lexicons(lexicon)
    if record.lexicons and not lexicons:
        words = ", ".join(each.file for each in record.lexicons)
        raise InputError(path, f"was made with words of your own ({words})", "give them with --lexicon")
    at, talk = source_transcript(record, path, transcript)
    sheet = bout_file_for(at, bout)
    known = known_beforehand(record, sheet)
    rules = record.bout.rules
    truth = truth_of(name, record, talk, hear(talk, rules, known, lexicon=own_lexicon(rules, lexicons)))
    files = label_files(folder, truth, record, decisions, Sources(at, sheet, known))
    write_files(folder, files)
    typer.echo(printable(f"Written: {', '.join(map(str, files))}"))
    for line in _looked_at(record):
        typer.echo(printable(line) if line[0] != " " else f"  {printable(line)}")


def _check_usable(path: Path, record: Record) -> None:
    if record.source.order is not None:
        problem = "its account has no times, and labels are compared by their times"
        raise InputError(path, problem, "label a bout whose transcript has times")
    if record.source.part is not None:
        problem = "is one bout of a longer recording, and a labelled bout has a transcript of its own"
        raise InputError(path, problem, "cut the transcript to the bout and run saidscore log on that")


def _decisions(path: Path, name: str, record: Record) -> tuple[Decision, ...]:
    """The decisions in force beside a record. Raises InputError if the record was made without them or with others."""
    from extract.decisions import in_force, read_decisions

    beside = path.with_name(f"{name}.decisions.jsonl")
    found = in_force(read_decisions(beside).decisions).decisions
    if {decision.id for decision in found} != {decision.id for decision in record.decisions}:
        problem = f"was not made with the corrections in {beside.name} beside it"
        raise InputError(path, problem, f"open it with saidscore correct {path}, or run saidscore log again")
    return found


def _looked_at(record: Record) -> Iterator[str]:
    """How much of the record a person has looked at, and what of it is as the program read it."""
    from extract.labelled.from_record import result_looked_at, scores_of, sides_looked_at
    from extract.record.bout_words import short_sides
    from extract.rules.base import UNLISTED

    sides = short_sides(record)
    events = [event for event in record.events if event.kind not in UNLISTED]
    scores = list(scores_of(record))
    counts = [
        _count(events, "event", "events"),
        _count(scores, "stated score", "stated scores"),
        _count(record.challenges, "challenge", "challenges"),
    ]
    whole = [
        ("the names", sides_looked_at(record)),
        ("the result", result_looked_at(record)),
    ]
    counts += [f"{what}: {'yes' if done else 'no'}" for what, done in whole]
    yield f"Looked at by a person: {', '.join(filter(None, counts))}."
    every: list[Event | Statement | Challenge] = [*events, *scores, *record.challenges]
    rest = [entry for entry in every if entry.decided is None]
    if rest:
        yield "As the program read it, and not looked at by a person:"
        shown = sorted(rest, key=_doubt)[:_LISTED]
        yield from (f"  {_entry(entry, sides)}" for entry in sorted(shown, key=lambda entry: entry.t))
        if len(rest) > len(shown):
            more = len(rest) - len(shown)
            yield f"  and {more} with more confidence (looked_at is false in the file)"
    if record.clock:
        yield f"Times left ({len(record.clock)}) are as the program read them: the desk does not correct them."
    yield "What the program did not hear and nobody added is missing in the labels."


def _count(entries: Sequence[Event | Statement | Challenge], one: str, many: str) -> str:
    done = sum(entry.decided is not None for entry in entries)
    return f"{done} of {len(entries)} {one if len(entries) == 1 else many}" if entries else ""


def _doubt(entry: Event | Statement | Challenge) -> float:
    """The confidence of an entry. A challenge has none, and comes first."""
    return getattr(entry, "confidence", 0.0)


def _entry(entry: Event | Statement | Challenge, sides: Sides) -> str:
    from extract.checks.sides import entry_text, leading
    from extract.checks.words import clock_text
    from extract.record import Event, Statement
    from extract.record.plain import percent

    at = clock_text(entry.t)
    if isinstance(entry, Event):
        what = entry_text(sides, entry.kind, entry.corner, entry.against, entry.points)
        off = ", overturned" if entry.status == "overturned" else ""
        return f"{at} {what}{off} (confidence {percent(entry.confidence)})"
    if isinstance(entry, Statement):
        said = leading(sides, entry.said) if entry.said is not None else ""
        verdict = {"agrees": "right", "disagrees": "wrong", "unclear": "unclear"}[entry.verdict]
        return f"{at} said {said}: {verdict} (confidence {percent(entry.confidence)})"
    by = f"{sides.whose(entry.by)} challenge" if entry.by else "a challenge, side not named"
    return f"{at} {by}: {'result unknown' if entry.outcome == 'unknown' else entry.outcome}"
