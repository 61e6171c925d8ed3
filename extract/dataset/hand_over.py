"""Hands the most doubtful bouts of a dataset to the correction desk, each with its transcript."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from extract.dataset.item import Item, Loaded, load
from extract.dataset.settings import AtHand, Settings, at_hand
from extract.dataset.source import SourceOf, desk_name
from extract.dataset.work import RecordingPart, parts_of, read_item, record_of
from extract.decisions import read_decisions
from extract.errors import InputError
from extract.paths import DESK_MARK, write_whole
from extract.record import write_record
from extract.session import part_transcript
from extract.transcript import read_transcript


@dataclass(frozen=True, slots=True)
class Handed:
    """A bout in the folder for the desk: the ``name`` it has there, or the ``fault`` why it is not there."""

    bout_id: str
    name: str
    fault: InputError | None = None


def _outdated(bout_id: str, problem: str) -> Handed:
    return Handed(bout_id, "", InputError(bout_id, problem, "make the dataset anew from this source"))


def hand_over(
    wanted: Mapping[str, str], source: SourceOf, settings: Settings, folder: Path
) -> Iterator[Handed]:
    """Put bouts into a folder for the correction desk. ``wanted`` has the SHA-256 of the transcript of each by its id.
    Each bout has its transcript, its bout file and its record there. Decisions that are there already are kept to.
    Raises InputError if the folder cannot be written."""
    hand = at_hand(settings.packed())
    of_input: dict[str, dict[str, str]] = {}
    for bout_id, digest in wanted.items():
        key, mark, number = bout_id.rpartition("#")
        of_input.setdefault(key if mark and number.isdigit() else bout_id, {})[bout_id] = digest
    _make(folder)
    for item in source.items():
        if item.key in of_input:
            left = of_input.pop(item.key)
            yield from _of_input(item, left, hand, folder)
            for bout_id in left:
                yield _outdated(bout_id, "is not in its transcript any more")
        if not of_input:
            return
    for lost in of_input.values():
        for bout_id in lost:
            yield _outdated(bout_id, "is not in the source any more")


def _make(folder: Path) -> None:
    """Make the folder, or check that it is one of a review. Raises InputError."""
    try:
        if (
            folder.exists()
            and not (folder / DESK_MARK).exists()
            and (not folder.is_dir() or any(folder.iterdir()))
        ):
            raise InputError(
                folder, "holds other things", "give a new folder, or one of a review, with --out"
            )
        folder.mkdir(parents=True, exist_ok=True)
        (folder / DESK_MARK).touch()
    except OSError as error:
        problem = f"cannot be written ({error.strerror})"
        raise InputError(folder, problem, "give a folder that can be written with --out") from None


def _of_input(item: Item, left: dict[str, str], hand: AtHand, folder: Path) -> Iterator[Handed]:
    """The bouts of one input that are ``left`` to be handed over. Each is taken out of ``left``."""
    try:
        loaded = load(item)
        transcript = read_item(loaded)
        if changed := [bout_id for bout_id, digest in left.items() if digest != transcript.sha256]:
            for bout_id in changed:
                del left[bout_id]
                yield _outdated(bout_id, "its transcript has changed since")
            return
        for found in parts_of(loaded, transcript, hand):
            bout_id = found.bout_id(item.key)
            if found.part.kind == "bout" and bout_id in left:
                name = _put(loaded, found, hand, folder)
                del left[bout_id]
                yield Handed(bout_id, name)
    except InputError as error:
        for bout_id in list(left):
            del left[bout_id]
            problem = f"{error.place}: {error.problem}"
            yield Handed(bout_id, "", InputError(bout_id, problem, error.remedy))


def _put(item: Loaded, found: RecordingPart, hand: AtHand, folder: Path) -> str:
    """Put one bout into the folder. Returns its name there."""
    name, recording = desk_name(item.key, found.decided), desk_name(item.key)
    # The bouts of a session share its transcript. Each record says which part it is.
    path = folder / f"{recording}{PurePosixPath(item.name).suffix}"
    write_whole(path, item.content.transcript, "--out")
    if item.content.bout is not None:
        write_whole(folder / f"{recording}.bout.toml", item.content.bout, "--out")
    made = folder / f"{name}.decisions.jsonl"
    for of_bout, content in item.content.decisions:
        if of_bout == found.decided and not made.exists():
            write_whole(made, content, "--out")
    whole = read_transcript(path)
    talk = part_transcript(whole, found.part) if found.many else whole
    record = record_of(talk, found.bout, hand, read_decisions(made).decisions)
    write_record(record, folder, name)
    return name
