"""A bout file as text, for what was given by other ways than such a file."""

from __future__ import annotations

import json
from collections.abc import Iterator

from extract.transcript.bout_file import BoutFile, Side
from extract.transcript.known import Known


def bout_file_text(bout: BoutFile) -> str:
    """The TOML of a bout file, from which ``read_bout_file`` reads the same."""
    parts = [list(_lines(rules=bout.rules, edition=bout.edition, date=bout.date, age_group=bout.age_group))]
    for name, side in (("red", bout.red), ("blue", bout.blue)):
        if side != Side():
            parts.append([f"[{name}]", *_side(side)])
    if bout.known is not None:
        parts.append(["[result]", *_result(bout.known)])
    return "\n".join("".join(f"{line}\n" for line in part) for part in parts if part)


def _side(side: Side) -> Iterator[str]:
    yield from _lines(name=side.name, team=side.team)
    if side.aliases:
        yield f"aliases = [{', '.join(map(_quoted, side.aliases))}]"
    yield from _lines(colour=side.colour)


def _result(known: Known) -> Iterator[str]:
    yield from _lines(winner=known.winner, by=known.by)
    if known.score is not None:
        yield f"score = {list(known.score)}"
    if known.periods:
        yield f"periods = {[list(board) for board in known.periods]}"


def _lines(**texts: str | None) -> Iterator[str]:
    return (f"{key} = {_quoted(text)}" for key, text in texts.items() if text is not None)


def _quoted(text: str) -> str:
    """A basic string of TOML. It has the escapes of JSON (TOML 1.0.0, "String"), and DEL must be escaped too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
