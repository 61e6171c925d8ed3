"""Finds out from the words which style a bout is in."""

from __future__ import annotations

from collections import Counter

from extract.lexicon.load import style_words
from extract.transcript.cue import Transcript

#: What is assumed where the talk tells nothing.
ASSUMED = "freestyle"
#: So many words of a style are needed before the talk can be said to tell it.
_ENOUGH = 2


def heard_style(transcript: Transcript) -> tuple[str, bool]:
    """The style that the words point to, and whether they do so surely."""
    text = (
        " " + " ".join(cue.text for cue in transcript.cues).lower().replace("-", " ").replace("\n", " ") + " "
    )
    for mark in ",.!?;:":
        text = text.replace(mark, " ")
    counts: Counter[str] = Counter()
    for style, forms in style_words().items():
        counts[style] = sum(text.count(f" {form} ") for form in forms)
    if counts["greco"]:
        # Both olympic styles share most words; the name of the one decides.
        return "greco", True
    if counts["scholastic"] and counts["collegiate"] >= _ENOUGH:
        return "scholastic", True
    style = "collegiate" if counts["collegiate"] > counts["freestyle"] else ASSUMED
    return style, counts[style] >= _ENOUGH
