"""Signs of a change of speaker: the dash, the chevrons, the note of music at the start of a caption or a line.

Common practice of captions: each new speaker after a dash or after ``>>``, a new story after ``>>>``, music between notes.
In typed text a dash or a dot at the start of a line begins an item of a list, which stands alone too.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from extract.transcript.plain import PLAIN

if TYPE_CHECKING:
    from extract.transcript.draft import Draft, Edit

Kind = Literal["dash", "chevron", "bullet", "music"]

_NOTES = "♩♪♫♬🎵🎶🎼"
_DOTS = "•◦▪▫■□●○‣∙◆◇▶►➤"
#: At the start of a line, in plain characters. A number sign before a figure is one.
_SIGNS = re.compile(
    rf"^ *(?:(?:[{_NOTES}]+|#+(?= [^\W\d])|>+|-+(?![->])|[{_DOTS}]|[·*](?= )) *)+", re.MULTILINE
)
#: Within a line.
_WITHIN = re.compile(rf"(?<= )>{{2,}} *| ?[{_NOTES}]+")
_KINDS: dict[str, Kind] = {
    "-": "dash",
    ">": "chevron",
    **dict.fromkeys(_NOTES + "#", "music"),
    **dict.fromkeys(_DOTS + "·*", "bullet"),
}
#: If this share of the captions begin with a sign, it says nothing of who speaks. Nor does it within them if the same
#: share of their further lines, and at least this many, begin with it too.
_NEARLY_ALL, _LINES = 0.9, 3


@dataclass(frozen=True, slots=True)
class _Sign:
    """A sign from ``start`` to ``stop`` of a text. ``inner`` says that it does not begin the text. A dash is
    ``doubtful`` if it may as well be one within a sentence or a minus. ``splits`` says that it stands between
    figures.
    """

    start: int
    stop: int
    kinds: frozenset[Kind]
    inner: bool
    doubtful: bool = False
    splits: bool = False


def take_signs(drafts: Sequence[Draft]) -> None:
    """Take the signs out of the texts of all cues, which are clean, and note in ``turns`` where one says that another
    speaker begins. A sign that nearly every caption begins with goes out and says nothing."""
    found = [list(_signs(draft.text)) for draft in drafts]
    if not any(found):
        return
    usual = _Usual(drafts, found)
    before = ""
    for draft, signs in zip(drafts, found, strict=True):
        taken = [sign for sign in signs if usual.is_sign(sign, draft.text, before)]
        before = draft.text.rstrip() or before
        edits: list[Edit] = []
        for sign in taken:
            if usual.tells(sign):
                draft.turns.append(sign.start)
            parts = (
                draft.text[max(sign.start - 1, 0) : sign.start].strip()
                and draft.text[sign.stop : sign.stop + 1].strip()
            )
            edits.append((sign.start, sign.stop, " " if parts else ""))
        if edits:
            draft.rewrite(edits)


class _Usual:
    """What the signs of one file mean, judged by their use in it."""

    def __init__(self, drafts: Sequence[Draft], found: Sequence[Sequence[_Sign]]) -> None:
        begins: Counter[Kind] = Counter()
        inner: Counter[Kind] = Counter()
        for signs in found:
            for sign in signs:
                (inner if sign.inner else begins).update(sign.kinds)
        texts = [text for draft in drafts if (text := draft.text.strip())]
        lines = sum(text.count("\n") for text in texts)
        self._all = {kind for kind, count in begins.items() if count >= _NEARLY_ALL * len(texts)}
        # A note of music may stand at both ends of a line.
        least = max(_NEARLY_ALL * lines, _LINES)
        self._all_lines = {kind for kind in self._all if kind == "music" or inner[kind] >= least}
        self._dashes = any("dash" in sign.kinds and not sign.doubtful for signs in found for sign in signs)

    def tells(self, sign: _Sign) -> bool:
        """Whether a sign says that another speaker begins."""
        return not sign.kinds <= (self._all_lines if sign.inner else self._all)

    def is_sign(self, sign: _Sign, text: str, before: str) -> bool:
        """Whether it is a sign at all in ``text``, which comes after the text ``before``."""
        if sign.kinds != {"dash"}:
            return True
        if sign.splits and "dash" in self._all:
            return False
        if sign.doubtful and not self._dashes:
            return False
        # "He goes for—" / "—the takedown": the sentence goes on. A hyphen with a blank after it never means that.
        goes_on = before[-1:].translate(PLAIN) == "-" and text[sign.start : sign.stop] != "- "
        return sign.inner or "dash" in self._all or not goes_on


def _signs(text: str) -> Iterator[_Sign]:
    """The signs of one text, in order."""
    shown = text if text.isascii() else text.translate(PLAIN)
    heads = list(_SIGNS.finditer(shown))
    dashed = sum("-" in head[0] for head in heads)
    begin = len(shown) - len(shown.lstrip())
    at = 0
    for head in heads:
        yield from _within(shown, at, head.start())
        start, at = head.span()
        kinds = frozenset(_KINDS[character] for character in head[0] if character != " ")
        inner = start > begin
        figure = shown[at : at + 1].isdigit()
        alone = inner and dashed < 2
        minus = figure and head[0][-1] == "-"
        splits = inner and figure and shown[max(start - 2, 0) : start].strip().isdigit()
        yield _Sign(start, at, kinds, inner, "dash" in kinds and (alone or minus), splits)
    yield from _within(shown, at, len(shown))


def _within(shown: str, start: int, stop: int) -> Iterator[_Sign]:
    for match in _WITHIN.finditer(shown, start, stop):
        kind: Kind = "chevron" if ">" in match[0] else "music"
        yield _Sign(match.start(), match.end(), frozenset({kind}), inner=True)
