"""What is asked of a live desk, and what a desk gives to the command that runs it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from extract.live.model import Shown
from extract.log import Parameters


@dataclass(frozen=True, slots=True)
class LiveOptions:
    """How to follow a stream.

    ``source``: where the captions come from: the path of a file, "-" for standard input, or an address (http://...).
    ``follow``: a file is still being written: wait for more at its end, until ``stop``.
    ``bout``: the bout file of the one bout (None: the one beside the file, if there is one).
    ``sheet``: the running order of a session (None: bouts are cut without one).
    ``rules``: the ruleset of all bouts, by its name in ``extract.rules`` (None: the bout file's, or heard).
    ``red``, ``blue``: who is in which corner (None: the bout file's, or heard).
    ``parameters``: fitted parameters (None: the shipped ones). ``lexicons``: files of words over the shipped ones.
    ``keep``: the folder of the record, the corrections and the state; it may not be there yet.
    ``flag_at``: how sure it must be, 0 to 1, before a flag is raised (None: as the parameters have it).
    ``by``: who answers flags and corrects.
    ``keeps_state``: whether to keep anything on disk at all. Not, to look at one moment.
    """

    source: str
    follow: bool = False
    bout: Path | None = None
    sheet: Path | None = None
    rules: str | None = None
    red: str | None = None
    blue: str | None = None
    parameters: Parameters | None = None
    lexicons: tuple[Path, ...] = ()
    keep: Path = Path()
    flag_at: float | None = None
    by: str = ""
    keeps_state: bool = True

    @property
    def is_live(self) -> bool:
        """Whether the captions come as the talk does, so that a desk may fall behind."""
        return self.follow or self.source == "-" or "://" in self.source


class RunningDesk(Shown, Protocol):
    """A live desk that was opened. It reads nothing before ``run``."""

    def run(self) -> None:
        """Follow the stream until it ends or ``stop`` is called, then write what is to be written. To be run in a thread.
        Raises ``InputError`` where the stream cannot be read."""

    def stop(self) -> None:
        """Let ``run`` come to its end soon. Safe from any thread, at any time, more than once."""

    def keep_step(self) -> None:
        """Show no view before the one before it was seen by whoever waits for it, so that none is left out."""

    @property
    def written(self) -> list[Path]:
        """The files that were written in the end: the record first."""

    @property
    def resumed(self) -> bool:
        """Whether it goes on where an earlier run was broken off."""

    @property
    def told_path(self) -> Path | None:
        """Where to keep what was told, beside the desk's own state; None where nothing is kept."""
