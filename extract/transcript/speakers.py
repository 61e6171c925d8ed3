"""Speaker labels in running text: ``ANNA: ...`` at the start of a line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Container, Sequence
from typing import TYPE_CHECKING, Literal

from extract.transcript.names import names

if TYPE_CHECKING:
    from extract.transcript.draft import Draft

#: The texts in which labels are looked for: captions and segments, or typed paragraphs.
LabelStyle = Literal["captions", "typed"]

_LABEL = re.compile(
    r"^[ \t]*([^\W\d_][\w.'’-]*(?:[ \t][\w.'’-]+){0,3})(?:[ \t]*\([^()\n]{1,30}\))?[:：](?=[ \t]|$)[ \t]*",
    re.MULTILINE,
)
_NUMBERED = re.compile(r"(?:speaker|commentator|announcer|voice)[ _]?[0-9A-Z]{1,2}", re.IGNORECASE)


#: Captions whose lines have fewer words than this in the median are a list of what was scored and by whom, not talk.
_TALK_WORDS = 4
#: If this share of the captions begin with labels, a label in small letters counts too.
_COVERED = 0.5


class Labels:
    """Which labels of some texts are speakers.

    A numbered label ("Speaker 1") counts. A label that tells of the bout ("Red:") never does. In typed paragraphs a
    label in capitals counts if the text is not in capitals, and a capitalised one counts at the start of two lines.
    In ``captions`` a name and a colon may be talk. If most of them begin with labels, each capitalised one counts.
    Else only one in capitals at the start of two lines does.
    """

    def __init__(self, texts: Sequence[str], *, captions: bool = False) -> None:
        labels = Counter(match[1] for text in texts for match in _LABEL.finditer(text))
        known = {label for label in labels if not _tells_of_bout(label)}
        plain = [_LABEL.sub("", text) for text in texts]
        letters = [letter for text in plain for letter in text if letter.isalpha()]
        shouted = sum(map(str.isupper, letters)) > len(letters) / 2
        self._speakers = {label for label in known if _NUMBERED.fullmatch(label)}
        covered = captions and _covered(texts, known)
        if covered and not _talks(plain):
            return
        often = {label for label in known if covered or labels[label] > 1}
        if not shouted:
            self._speakers |= {label for label in (often if captions else known) if _in_capitals(label)}
        if covered or not captions:
            self._speakers |= {label for label in often if _capitalised(label)}

    def __bool__(self) -> bool:
        return bool(self._speakers)

    def runs(self, text: str) -> list[tuple[int, int, str | None]]:
        """The parts of a text by speaker, ``(from, to, speaker)``, without the labels."""
        out: list[tuple[int, int, str | None]] = []
        since, speaker = 0, None
        for match in _LABEL.finditer(text):
            if match[1] in self._speakers:
                out.append((since, match.start(), speaker))
                since, speaker = match.end(), " ".join(match[1].split())
        out.append((since, len(text), speaker))
        return out


def label(drafts: Sequence[Draft], style: LabelStyle) -> None:
    """Take the labels out of the texts and note who speaks. Captions and segments whose format itself says who speaks
    are left alone."""
    captions = style == "captions"
    if captions and any(speaker for draft in drafts for _, _, speaker in draft.runs or ()):
        return
    labels = Labels([draft.text for draft in drafts], captions=captions)
    if labels or not captions:
        for draft in drafts:
            draft.runs = labels.runs(draft.text)


def _tells_of_bout(label: str) -> bool:
    return any(word.lower() in names("labels", "no_speaker") for word in label.split())


def _in_capitals(label: str) -> bool:
    return label.isupper() and len(label) > 1


def _capitalised(label: str) -> bool:
    return all(word[:1].isupper() or word[:1].isdigit() for word in label.split())


def _covered(texts: Sequence[str], labels: Container[str]) -> bool:
    """Whether most of the texts begin with one of the labels."""
    begins = [_LABEL.match(text) for text in texts if text.strip()]
    return sum(match is not None and match[1] in labels for match in begins) >= _COVERED * len(begins)


def _talks(texts: Sequence[str]) -> bool:
    words = sorted(len(line.split()) for text in texts for line in text.split("\n") if line.strip())
    return bool(words) and words[len(words) // 2] >= _TALK_WORDS
