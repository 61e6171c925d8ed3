"""What was known of a bout before its record was made: the bout file, and what an option or another file said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from extract.paths import beside
from extract.record.model import Record
from extract.transcript import BoutFile, read_bout_file


def bout_file_for(transcript: Path, given: Path | None) -> Path | None:
    """The bout file of a transcript: the one that is ``given``, or NAME.bout.toml beside it. None if there is none."""
    return given or beside(transcript, "bout.toml")


def known_beforehand(record: Record, path: Path | None) -> BoutFile:
    """The bout file at ``path`` (None: there is none), completed by what the record says was given by an option or
    another file. Raises InputError as ``read_bout_file``."""
    bout = read_bout_file(path) if path is not None else BoutFile()
    info = record.bout
    sides = {}
    for corner in ("red", "blue"):
        side, known = getattr(bout, corner), getattr(info, corner)
        if side.name is None and known.name_from == "given":
            team = known.team if known.team_from == "given" else None
            side = replace(side, name=known.name, team=side.team or team)
        sides[corner] = side
    edition = info.edition if info.from_.get("edition") == "given" and bout.date is None else None
    return replace(
        bout,
        rules=bout.rules or (info.rules if info.from_.get("rules") == "given" else None),
        edition=bout.edition or edition,
        age_group=bout.age_group or info.age_group,
        **sides,
    )
