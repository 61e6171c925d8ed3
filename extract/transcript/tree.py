"""The folders inside a folder, for whoever reads the transcripts in all of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from extract.paths import DESK_MARK, real


@dataclass(frozen=True, slots=True)
class Branch:
    """A folder, and its path from the one at the top. Where it is not entered, ``why_not`` says why."""

    folder: Path
    below: Path
    why_not: str = ""


def branches(top: Path) -> Iterator[Branch]:
    """The folder ``top`` and all folders inside, each once, by name. Hidden ones, and those in which the desk has copies
    of transcripts, are left out. A link to a folder within ``top`` or around it is not entered: it would be read twice,
    or without end. A folder that cannot be listed is among them: whoever reads it says so."""
    home = real(top)
    seen = {home}
    left = [Branch(top, Path())]
    while left:
        branch = left.pop()
        yield branch
        if branch.why_not:
            continue
        try:
            inside = sorted(path for path in branch.folder.iterdir() if path.name[0] != "." and path.is_dir())
        except OSError:
            continue
        found = []
        for path in inside:
            leads, why_not = real(path), ""
            if path.is_symlink() and (leads.is_relative_to(home) or home.is_relative_to(leads)):
                why_not = "a link to a folder that is read anyway"
            elif leads in seen:
                why_not = "a link to a folder that another link leads to"
            elif _is_desk(path):
                continue
            seen.add(leads)
            found.append(Branch(path, branch.below / path.name, why_not))
        left += reversed(found)


def _is_desk(folder: Path) -> bool:
    try:
        return (folder / DESK_MARK).exists()
    except OSError:
        return False
