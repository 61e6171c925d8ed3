"""Where a path really leads, and how to write to one."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from extract.errors import InputError

#: A file that marks a folder of ``dataset doubtful``. The transcripts in such a folder are copies.
DESK_MARK = ".saidscore-review"


def real(path: Path) -> Path:
    """The path with its links followed as far as they lead. A loop of links leads nowhere and stays as it is written;
    ``Path.resolve`` would raise an error."""
    return Path(os.path.realpath(path))


def beside(transcript: Path, ending: str, folder: Path | None = None) -> Path | None:
    """What lies beside a transcript, or in a folder, under the same name with another ending, such as
    NAME.bout.toml."""
    path = (folder or transcript.parent) / f"{transcript.stem}.{ending}"
    # Whatever has that name is taken. Its reader says if it is something else.
    return path if os.path.lexists(path) else None


def write_whole(path: Path, content: bytes, option: str = "") -> None:
    """Write ``content`` to ``path``, whole or not at all. Raises InputError if it cannot be written. ``option`` is
    the one that names the file."""
    draft = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        draft.write_bytes(content)
        os.replace(draft, path)
    except OSError as error:
        problem = f"cannot be written ({error.strerror})"
        remedy = "name a file in a folder that can be written"
        raise InputError(path, problem, f"{remedy} with {option}" if option else remedy) from None
    finally:
        with contextlib.suppress(OSError):
            draft.unlink()
