"""What a live desk keeps of itself on the disk, so that one that was killed goes on where it was."""

from __future__ import annotations

import contextlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path

from extract.errors import InputError
from extract.live.model import LiveCall, LiveFlag
from extract.paths import write_whole
from extract.record.decode import Mismatch, decode

SCHEMA = "saidscore.desk/1"


@dataclass(frozen=True, slots=True)
class DeskState:
    """The running bout: its ``number``, where it ``begins`` (seconds of recording), the ``row`` of the sheet, and what was
    shown of it; how the bouts before it ended; and how many captions were read."""

    schema: str
    number: int
    begins: float
    row: int | None
    calls: tuple[LiveCall, ...]
    flags: tuple[LiveFlag, ...]
    bouts: tuple[str, ...]
    captions: int


def write_state(path: Path, state: DeskState) -> None:
    """Keep the state, whole or not at all. Raises InputError if it cannot be written."""
    write_whole(path, json.dumps(asdict(state), ensure_ascii=True).encode(), "--keep")


def read_state(path: Path) -> DeskState | None:
    """The state in a file; None if there is none. Raises InputError if it is another sort of file."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(path, f"cannot be read ({error})", "move it away to begin anew") from None
    with contextlib.suppress(ValueError, RecursionError, Mismatch):
        state: DeskState = decode(DeskState, json.loads(text))
        if state.schema == SCHEMA:
            return state
    raise InputError(path, "is not the state of a live desk", "move it away to begin anew")
