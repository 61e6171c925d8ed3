"""Finds the transcript that a record was made from, and checks where output may be written."""

from __future__ import annotations

import contextlib
from pathlib import Path

from extract.errors import InputError
from extract.record.model import Record
from extract.transcript import Transcript, read_transcript

_SHOWN = 12


def source_transcript(record: Record, record_path: Path, given: Path | None) -> tuple[Path, Transcript]:
    """The transcript that the record was made from (of a session, the bout's part), with the path of the whole. It is
    ``given``, or the file of its name beside the record or in the current folder. Raises InputError if there is none,
    or if its SHA-256 differs: the times and places of the record would be wrong for it."""
    if given is not None:
        return _checked(given, record, record_path)
    # The name comes from a file, so only its last part counts.
    name = Path(record.source.file).name
    found = [path for path in (record_path.parent / name, Path(name)) if name and path.is_file()]
    for path in found[:-1]:
        with contextlib.suppress(InputError):
            return _checked(path, record, record_path)
    if found:
        return _checked(found[-1], record, record_path)
    problem = f"its transcript {name!r} is neither beside it nor in the current folder"
    raise InputError(record_path, problem, "give it with --transcript")


def _checked(path: Path, record: Record, record_path: Path) -> tuple[Path, Transcript]:
    transcript = read_transcript(path)
    if transcript.sha256 != record.source.sha256:
        problem = (
            f"is not the transcript that {record_path} was made from (SHA-256 {transcript.sha256[:_SHOWN]}..., "
            f"in the record {record.source.sha256[:_SHOWN]}...)"
        )
        raise InputError(
            path, problem, "give that one with --transcript, or make the record anew with saidscore log"
        )
    part = record.source.part
    return path, transcript if part is None else transcript.cut(part)


def check_out(path: Path, read: tuple[Path, ...]) -> None:
    """Check before any work that ``path`` can be written and is none of the files that are read."""
    if not path.parent.is_dir():
        raise InputError(path, "its folder does not exist", "name a file in a folder that exists with --out")
    if path.exists() and not path.is_file():
        raise InputError(path, "is no file", "name a file with --out, or leave it out to print")
    if path.exists() and any(other.exists() and path.samefile(other) for other in read):
        raise InputError(path, "would be overwritten, and it is read", "name another file with --out")
