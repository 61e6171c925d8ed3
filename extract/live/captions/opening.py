"""The first lines of a stream: which format they show."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence

from extract.errors import InputError
from extract.live.captions.blocks import SubRip, WebVtt
from extract.live.captions.model import Broken, Kind, Piece, Splitter
from extract.live.captions.objects import Objects
from extract.live.captions.rows import Rows
from extract.live.captions.stamped import Arrivals, Stamped, said_on_arrival
from extract.live.lines import LONGEST_LINE
from extract.transcript.captions import is_number
from extract.transcript.json_lines import segment_in
from extract.transcript.paragraphs import stamp_style
from extract.transcript.sniff import sniff

#: A format shows in this many lines that are not empty. Lines before that are talk without times until they show it.
HEAD_LINES = 10
_DOCUMENT = re.compile(r"\s*(?:\{|\[\s*(?:[\[{\"]|$))")
_MARKUP = re.compile(r"\s*<(?:\?xml|!|[\w.-]*:?tt[\s>])")

_SPLITTERS: dict[Kind, Callable[..., Splitter]] = {
    "vtt": WebVtt,
    "srt": SubRip,
    "json": Objects,
    "block": Stamped,
}


def kind_of(name: str, lines: Sequence[str], *, ended: bool = False) -> Kind | None:
    """The kind of stream that begins with these lines; None if they do not show it yet. Raises InputError for a format
    that nobody can read before it is whole. With ``ended`` no more lines will come."""
    filled = [line for line in lines if line.strip()]
    if not filled:
        return None
    if _MARKUP.match(filled[0]):
        raise _whole(name, "is markup such as TTML")
    if any(segment_in(line) for line in filled):
        return "json"
    if _DOCUMENT.match(filled[0]):
        if len(filled) > 1 or ended or _is_document(filled[0].strip()):
            raise _whole(name, "is JSON, but not one object with start, end and text a line")
        return None
    shown = sniff("\n".join(lines))
    if shown in ("vtt", "srt", "block", "csv"):
        return shown
    return "plain" if ended or len(filled) >= HEAD_LINES else None


def _is_document(line: str) -> bool:
    """Whether a line begins a document of JSON or is one. It may also be a broken line, or a word of the producer before
    its captions."""
    if line.startswith("[") or line == "{" or len(line) >= LONGEST_LINE:
        return True
    try:
        found = json.loads(line, strict=False)
    except (ValueError, RecursionError):
        return False
    return any(key in found for key in ("segments", "words", "schema"))


def _whole(name: str, what: str) -> InputError:
    return InputError(
        name,
        f"{what}, which cannot be read before it is whole",
        "use saidscore log when it is, or send captions",
    )


def splitter_for(
    kind: Kind, name: str, broken: Broken, lines: Sequence[str], now: Callable[[], float]
) -> Splitter:
    """What takes the lines of a kind of stream apart. ``lines`` are the first ones; they are still to be given to it.
    ``now`` is the time at which a line comes, seconds from the beginning."""
    if kind == "csv":
        return Rows(name, broken, "\n".join(lines))
    if kind == "plain":
        return Arrivals(name, broken, now)
    return _SPLITTERS[kind](name, broken)


def going_on(
    before: Splitter, pieces: Sequence[Piece], line: str, broken: Broken, now: Callable[[], float]
) -> Splitter:
    """What takes apart a stream that goes on after captions that were kept, and whose first line is this one."""
    name, header = before.name, before.header
    said = [said_on_arrival(piece.raw) for piece in pieces]
    if before.kind == "block" and stamp_style(line) is None:
        known = [text for text in said if text is not None]
        if len(known) == len(said):
            return Arrivals(name, broken, now, known)
    if before.kind == "csv":
        rows = header + "".join(piece.raw for piece in pieces[:HEAD_LINES])
        return Rows(name, broken, rows, header, resumed=True)
    return _SPLITTERS[before.kind](name, broken, header, resumed=True)


def may_be_talk(lines: Sequence[str]) -> bool:
    """Whether the first lines may be shown as talk before their format is known: more than the number of a caption."""
    filled = [line for line in lines if line.strip()]
    return any(not is_number(line) for line in filled) and not _DOCUMENT.match(filled[0])
