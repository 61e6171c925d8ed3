"""Transcripts as files: the text of each caption changed where it stands, and cues written in any format."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Sequence
from xml.sax.saxutils import escape

from extract.transcript import Transcript
from extract.transcript.cue import Cue, Format
from extract.transcript.decode import source_of
from extract.transcript.read import transcript_in

Change = Callable[[str], str]
ENDINGS: dict[Format, str] = {
    "srt": ".srt", "vtt": ".vtt", "ttml": ".ttml", "asr": ".json", "block": ".txt", "csv": ".csv",
}  # fmt: skip
_STAMP = re.compile(r"(\s*[\[(]?\d+(?::\d\d){1,2}(?:[.,]\d+)?[\])]?:?[ \t]*)(.*)")
#: Heads of the columns of the benchmarks' tables that hold what is said.
_NOTES = ("note", "notes", "text", "remark", "comment")


def read(name: str, text: str | bytes) -> Transcript:
    """The transcript in a text, or in the bytes of a file, as the program reads it."""
    return transcript_in(source_of(text.encode() if isinstance(text, str) else text, name))


def changed(text: str, format: Format, change: Change, *, words: bool = False) -> str:
    """A file's text with ``change`` done to what each caption, segment, paragraph or note says, line by line. With
    ``words`` it is done to a recogniser's single words too."""
    if format == "asr":
        return _changed_json(text, change, words)
    if format == "csv":
        return _changed_table(text, change)
    if format == "block":
        return _changed_paragraphs(text, change)
    return _changed_captions(text, change)


def _lines(text: str, change: Change) -> str:
    return "\n".join(change(line) if line.strip() else line for line in text.split("\n"))


def _changed_captions(text: str, change: Change) -> str:
    out, inside = [], False
    for line in text.split("\n"):
        if "-->" in line:
            inside = True
            out.append(line)
        elif not line.strip():
            inside = False
            out.append(line)
        else:
            out.append(change(line) if inside else line)
    return "\n".join(out)


def _changed_json(text: str, change: Change, words: bool) -> str:
    tree = json.loads(text)
    for segment in tree if isinstance(tree, list) else tree.get("segments", []):
        if isinstance(segment.get("text"), str):
            segment["text"] = _lines(segment["text"], change)
        for word in segment.get("words", []) if words else []:
            for key in ("word", "text"):
                if isinstance(word.get(key), str):
                    word[key] = change(word[key])
    return json.dumps(tree, ensure_ascii=False)


def _changed_table(text: str, change: Change) -> str:
    rows = list(csv.reader(io.StringIO(text)))
    heads = [head.strip().lower() for head in rows[0]]
    column = next((heads.index(name) for name in _NOTES if name in heads), None)
    first = 0 if column is None else 1
    column = len(rows[0]) - 1 if column is None else column
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for k, row in enumerate(rows):
        if k >= first and len(row) > column:
            row = [*row[:column], _lines(row[column], change), *row[column + 1 :]]
        writer.writerow(row)
    return out.getvalue()


def _changed_paragraphs(text: str, change: Change) -> str:
    out = []
    for line in text.split("\n"):
        match = _STAMP.match(line)
        if match is not None and match[2]:
            out.append(match[1] + change(match[2]))
        else:
            out.append(change(line) if line.strip() else line)
    return "\n".join(out)


def written(cues: Sequence[Cue], format: Format) -> str:
    """The cues as a file of a format. Where a format has no place for the speaker, it stands before the text."""
    return _WRITERS[format](cues)


def _time(seconds: float, mark: str) -> str:
    ms = round(seconds * 1000)
    return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}{mark}{ms % 1000:03}"


def _labelled(cue: Cue) -> str:
    return f"{cue.speaker}: {cue.text}" if cue.speaker else cue.text


def _srt(cues: Sequence[Cue]) -> str:
    return "\n".join(
        f"{k}\n{_time(cue.start, ',')} --> {_time(cue.end, ',')}\n{_labelled(cue)}\n"
        for k, cue in enumerate(cues, 1)
    )


def _vtt(cues: Sequence[Cue]) -> str:
    def said(cue: Cue) -> str:
        text = escape(cue.text)
        return f"<v {cue.speaker}>{text}" if cue.speaker else text

    return "WEBVTT\n\n" + "\n".join(
        f"{_time(cue.start, '.')} --> {_time(cue.end, '.')}\n{said(cue)}\n" for cue in cues
    )


def _ttml(cues: Sequence[Cue]) -> str:
    speakers = sorted({cue.speaker for cue in cues if cue.speaker})
    agents = {speaker: f"a{k}" for k, speaker in enumerate(speakers)}
    head = "".join(
        f'<ttm:agent xml:id="{agents[speaker]}" type="person"><ttm:name type="full">{escape(speaker)}</ttm:name>'
        "</ttm:agent>"
        for speaker in speakers
    )

    def opened(cue: Cue) -> str:
        by = f' ttm:agent="{agents[cue.speaker]}"' if cue.speaker else ""
        return f'<p begin="{_time(cue.start, ".")}" end="{_time(cue.end, ".")}"{by}>'

    def said(cue: Cue) -> str:
        return escape(cue.text).replace("\n", "<br/>")

    lines = "\n".join(f"{opened(cue)}{said(cue)}</p>" for cue in cues)
    return (
        '<tt xmlns="http://www.w3.org/ns/ttml" xmlns:ttm="http://www.w3.org/ns/ttml#metadata">'
        f"<head><metadata>{head}</metadata></head><body><div>\n{lines}\n</div></body></tt>\n"
    )


def _json(cues: Sequence[Cue]) -> str:
    segments = [
        {
            "start": cue.start,
            "end": cue.end,
            "text": cue.text,
            **({"speaker": cue.speaker} if cue.speaker else {}),
        }
        for cue in cues
    ]
    return json.dumps({"segments": segments}, ensure_ascii=False, indent=1)


def _stamp(seconds: float) -> str:
    tenths = round(seconds * 10)
    return f"{tenths // 600}:{tenths // 10 % 60:02}.{tenths % 10}"


def _paragraphs(cues: Sequence[Cue]) -> str:
    return "\n".join(f"[{_stamp(cue.start)}] {_labelled(cue)}\n" for cue in cues)


def _table(cues: Sequence[Cue]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    spoken = any(cue.speaker for cue in cues)
    writer.writerow(["time", *(["speaker"] if spoken else []), "note"])
    for cue in cues:
        writer.writerow([_stamp(cue.start), *([cue.speaker or ""] if spoken else []), cue.text])
    return out.getvalue()


_WRITERS: dict[Format, Callable[[Sequence[Cue]], str]] = {
    "srt": _srt, "vtt": _vtt, "ttml": _ttml, "asr": _json, "block": _paragraphs, "csv": _table,
}  # fmt: skip
