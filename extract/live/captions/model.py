"""A caption as the stream gives it, and what takes the lines of a format apart."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, Literal

from extract.errors import InputError
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText

#: ``plain`` are lines without times, which are stamped as they come.
Kind = Literal["vtt", "srt", "json", "block", "csv", "plain"]
Broken = Callable[[str], None]
#: What readers say of a source in which nothing is wrong but that it says nothing.
NO_TEXT = "no cue with text found"


@dataclass(frozen=True, slots=True)
class Piece:
    """One caption of the stream.

    ``serial`` counts the captions from 0; another piece of the same serial is the same caption with more of its text.
    ``start`` and ``end`` are seconds; there is no ``end`` where the format has none. ``text`` is what a person reads.
    ``raw`` is the caption as it stands in the stream, with its line ends. ``id`` is its name or number there. ``final`` is
    what a recogniser says of it: whether its text stays.
    """

    serial: int
    start: float
    end: float | None
    text: str
    speaker: str | None
    raw: str
    id: str | None = None
    final: bool | None = None


class Splitter(ABC):
    """Takes the lines of one format and gives captions as soon as they are whole. What cannot be read is left out, and
    ``broken`` is called with a sentence about it.

    ``header`` is what stands before the first caption, ``tail`` what stands after the last one and belongs to none.
    ``resumed`` says that the captions before these are known, so the header may be missing or come again.
    """

    kind: ClassVar[Kind]
    #: Whether the times rise from caption to caption, as those of a recording do.
    ordered = True

    def __init__(self, name: str, broken: Broken, header: str = "", *, resumed: bool = False) -> None:
        self.name = name
        self.broken = broken
        self.header = header
        self.resumed = resumed
        self.serial = 0

    @property
    def short_header(self) -> str:
        """The header of captions that are not the first."""
        return self.header

    @abstractmethod
    def take(self, line: str) -> list[Piece]:
        """The captions that a line makes whole."""

    @abstractmethod
    def end(self) -> list[Piece]:
        """The last captions, after which no line comes."""

    @property
    def tail(self) -> str:
        """What stands after the last caption."""
        return ""

    @abstractmethod
    def anew(self) -> list[Piece]:
        """The captions that were begun: the stream begins again, perhaps with its header."""

    @abstractmethod
    def moved(self, piece: Piece, by: float) -> Piece:
        """The same caption so many seconds later, also in its raw form."""

    @abstractmethod
    def read(self, source: SourceText) -> Transcript:
        """The transcript in a text of this format. Raises InputError."""

    def source(self, text: str, sha256: str = "") -> SourceText:
        """A text of this stream as a source to be read."""
        return SourceText(self.name, Path(self.name).name, text, sha256)

    def shown(self, raw: str) -> tuple[str, str | None] | None:
        """Text and speaker of a caption as a person reads it. None if it is broken, which is told."""
        try:
            cues = self.read(self.source(self.short_header + raw)).cues
        except InputError as error:
            if error.problem == NO_TEXT:
                return "", None
            self.broken(f"A caption is left out: {error.problem}.")
            return None
        return " ".join(cue.text.replace("\n", " ") for cue in cues), cues[0].speaker
