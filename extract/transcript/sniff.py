"""Which format a text is in, by what it says and not by what its file is called."""

from __future__ import annotations

import re

from extract.transcript.captions import is_slip
from extract.transcript.cue import Format
from extract.transcript.json_lines import is_json_lines
from extract.transcript.notes import looks_like_notes
from extract.transcript.paragraphs import stamp_style
from extract.transcript.plain import UNSEEN, plain

#: A format shows in this many lines that are not empty.
_HEAD_LINES = 10
_HEAD = 65536
# It asks for both times in full: a note may begin with a time and have an arrow in it.
_ARROW = re.compile(r"\s*[-−+]?[0-9]+:[0-9:.,]*[0-9]\s*-->\s*[-−+]?[0-9]+:")
_TTML_ROOT = re.compile(r"<(?:[\w.-]+:)?tt[\s>]")
_RECOGNISER = re.compile(r'"(?:segments|words)"\s*:\s*\[')
_FRONT = re.compile(rf"\A(?:\s|[{UNSEEN}])+")
_SEGMENT_START = re.compile(r'"start"\s*:')


def sniff(text: str) -> Format | None:
    """The format of a transcript. None if it is not a known one.

    >>> sniff("[0:04] Here we go.")
    'block'
    """
    stripped = _FRONT.sub("", text)
    head = stripped[:_HEAD]
    if not stripped:
        return None
    if re.match(r"WEBVTT(?:\s|$)", head):
        return "vtt"
    if head.startswith("<"):
        return "ttml" if _TTML_ROOT.search(head) else None
    if head.startswith("{"):
        return "asr" if _RECOGNISER.search(stripped) or is_json_lines(stripped) else None
    if re.match(r"\[\s*[{\]]", head):
        return "asr" if _SEGMENT_START.search(stripped) else None
    lines = [line for line in head.split("\n") if line.strip()][:_HEAD_LINES]
    if any(_ARROW.match(plain(line)) or is_slip(line) for line in lines):
        return "srt"
    # A comma and a number in talk do not make it a table.
    if stamp_style(lines[0]) in ("[", "("):
        return "block"
    if looks_like_notes(head):
        return "csv"
    return "block" if any(stamp_style(line) is not None for line in lines) else None
