"""The text of a cue without invisible characters, and with one blank where a person sees one."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

from extract.transcript.plain import UNSEEN

if TYPE_CHECKING:
    from extract.transcript.draft import Draft, Edit

_LINE_END = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
#: Single characters that print as two or three letters, from texts copied from a typeset page.
_LIGATURES = "\ufb00-\ufb06"
_ACCENTS = "\u0300-\u036f"
#: A stretch of blanks, line ends and invisible characters; a letter with separate accents; a ligature.
_STRETCH = re.compile(rf"[\s{UNSEEN}]+|[^\W\d_][{_ACCENTS}]+|[{_LIGATURES}]")
#: Finds any of these except single blanks and line ends.
_ODD = re.compile(rf"[^\S \n]|[{UNSEEN}{_ACCENTS}{_LIGATURES}]| [ \n]|\n ")


def clean(draft: Draft) -> None:
    """Clean a cue's text. Invisible characters go. Each stretch of blanks becomes one blank, and each line end a
    ``\\n`` without blanks beside it. Letters are composed with their accents. Every character keeps its place in the
    source."""
    if _ODD.search(draft.text) is None:
        return
    edits: list[Edit] = []
    for match in _STRETCH.finditer(draft.text):
        found = match[0]
        read = _read(found)
        if read != found:
            edits.append((match.start(), match.end(), read))
    draft.rewrite(edits)


def _read(found: str) -> str:
    ends = sum(1 for _ in _LINE_END.finditer(found))
    if ends:
        return "\n" * ends
    if any(map(str.isspace, found)):
        return " "
    if found[0].isalpha():
        return unicodedata.normalize("NFKC" if len(found) == 1 else "NFC", found)
    return ""
