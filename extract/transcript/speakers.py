"""Speaker labels in running text: ``ANNA: ...`` at the start of a line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from extract.transcript.names import names

_LABEL = re.compile(
    r"^[ \t]*([^\W\d_][\w.'’-]*(?:[ \t][\w.'’-]+){0,3})(?:[ \t]*\([^()\n]{1,30}\))?[:：](?=[ \t]|$)[ \t]*",
    re.MULTILINE,
)
_NUMBERED = re.compile(r"(?:speaker|commentator|announcer|voice)[ _]?[0-9A-Z]{1,2}", re.IGNORECASE)


class Labels:
    """Which labels of some paragraphs are speakers.

    A label counts where it is in capitals in a text that is not, where it is a number ("Speaker 1"), or where
    the same capitalised label stands at the start of two lines; never where it tells of the bout ("Red:").
    """

    def __init__(self, paragraphs: Sequence[str]) -> None:
        labels = Counter(match[1] for text in paragraphs for match in _LABEL.finditer(text))
        letters = [letter for text in paragraphs for letter in _LABEL.sub("", text) if letter.isalpha()]
        shouted = sum(map(str.isupper, letters)) > len(letters) / 2
        self._speakers = {label for label, count in labels.items() if _is_speaker(label, count, shouted)}

    def runs(self, text: str) -> list[tuple[int, int, str | None]]:
        """The parts of a paragraph by speaker, ``(from, to, speaker)``, without the labels."""
        out: list[tuple[int, int, str | None]] = []
        since, speaker = 0, None
        for match in _LABEL.finditer(text):
            if match[1] in self._speakers:
                out.append((since, match.start(), speaker))
                since, speaker = match.end(), " ".join(match[1].split())
        out.append((since, len(text), speaker))
        return out


def _is_speaker(label: str, count: int, shouted: bool) -> bool:
    words = label.split()
    if any(word.lower() in names("labels", "no_speaker") for word in words):
        return False
    if _NUMBERED.fullmatch(label):
        return True
    if label.isupper() and len(label) > 1 and not shouted:
        return True
    return count > 1 and all(word[:1].isupper() or word[:1].isdigit() for word in words)
