"""Finds out from the words which style a bout is in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from extract.lexicon import Style, load_styles

if TYPE_CHECKING:
    from extract.transcript.cue import Transcript

#: So many words of a style are needed before the talk can be said to tell it.
_ENOUGH = 2
_MARKS = str.maketrans(dict.fromkeys(",.!?;:\n-", " "))


def plain_text(text: str) -> str:
    """Text as the words that tell a style are looked for in it: small letters, without marks and hyphens."""
    return f" {text.lower().translate(_MARKS)} "


def heard_style(transcript: Transcript) -> tuple[str, bool]:
    """The style that the words point to, and whether they do so surely."""
    text = plain_text(" ".join(cue.text for cue in transcript.cues))
    # What a heading has is meant to tell it.
    heading = plain_text(" ".join(cue.text for cue in transcript.cues if cue.heading))
    styles = load_styles()
    counts = {
        name: sum(text.count(f" {tell} ") + _ENOUGH * heading.count(f" {tell} ") for tell in style.tells)
        for name, style in styles.items()
    }
    base = _most_told(styles, counts)
    for style in sorted(styles.values(), key=lambda style: (style.needs, style.name)):
        if counts[style.name] and _decides(style, styles[base], counts):
            return style.name, True
    return base, counts[base] >= _ENOUGH


def _most_told(styles: Mapping[str, Style], counts: Mapping[str, int]) -> str:
    """The style, no variant of another, with the most words; where there is no more of them, the default."""
    race = [style for style in styles.values() if not style.variant_of]
    return max(race, key=lambda style: (counts[style.name], style.default)).name


def _decides(style: Style, base: Style, counts: Mapping[str, int]) -> bool:
    """Whether a word of a variant is enough to tell it where ``base`` has the most words: there are enough of what it
    is a variant of, and ``base`` is of its own sport or has fewer than the two together."""
    if not style.variant_of or counts[style.variant_of] < style.needs:
        return False
    together = counts[style.name] + counts[style.variant_of]
    return not set(style.includes).isdisjoint(base.includes) or together > counts[base.name]
