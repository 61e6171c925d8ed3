"""JSON Lines as they come: a segment of a recogniser a line."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, ClassVar

from extract.live.captions.model import Kind, Piece, Splitter
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.json_lines import segment_in
from extract.transcript.recogniser import read_recogniser
from extract.transcript.times import number_seconds


class Objects(Splitter):
    """A line is a caption. A line that is no segment with ``start``, ``end`` and ``text`` is left out."""

    kind: ClassVar[Kind] = "json"

    def take(self, line: str) -> list[Piece]:
        if not line.strip():
            return []
        segment = segment_in(line)
        if segment is None:
            self.broken("A line that is no caption (an object with start, end and text) is left out.")
            return []
        raw = line.strip() + "\n"
        shown = self.shown(raw)
        start, end = number_seconds(segment["start"]), number_seconds(segment.get("end"))
        if shown is None or start is None:
            return []
        self.serial += 1
        final = segment.get("final")
        return [
            Piece(
                self.serial - 1,
                start,
                end,
                *shown,
                raw,
                _name(segment.get("id")),
                final if isinstance(final, bool) else None,
            )
        ]

    def end(self) -> list[Piece]:
        return []

    def anew(self) -> list[Piece]:
        self.resumed = True
        return []

    def moved(self, piece: Piece, by: float) -> Piece:
        segment = json.loads(piece.raw, strict=False)
        words = segment.get("words")
        for item in [segment, *(words if isinstance(words, list) else ())]:
            if isinstance(item, dict):
                _move(item, by)
        end = None if piece.end is None else piece.end + by
        raw = json.dumps(segment, ensure_ascii=False) + "\n"
        return replace(piece, start=piece.start + by, end=end, raw=raw)

    def read(self, source: SourceText) -> Transcript:
        return read_recogniser(source)


def _name(value: Any) -> str | None:
    return str(value) if isinstance(value, str | int) and not isinstance(value, bool) else None


def _move(item: dict[str, Any], by: float) -> None:
    for key in ("start", "end"):
        seconds = number_seconds(item.get(key))
        if seconds is not None:
            item[key] = round(max(seconds + by, 0.0), 3)
