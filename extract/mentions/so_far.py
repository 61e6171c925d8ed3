"""What of a talk that goes on was heard already, so that only its end is gone through again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from extract.mentions.model import Mention, Passage

if TYPE_CHECKING:
    from extract.cast.model import CornerRef
    from extract.mentions import Heard
    from extract.talk.document import TalkDocument

#: So many cues and so many segments back what was heard may change with what comes next; and so many more are gone
#: through again for the words around.
_OPEN, _AROUND = 2, 3


def heard_before(before: Heard, document: TalkDocument, refs: Sequence[CornerRef]) -> tuple[int, int]:
    """The word from which on the talk has to be gone through again, and the word before which what was heard holds:
    both begin a cue and a segment. ``document`` and ``refs`` are those of the talk as it now is."""
    changed = before.document.same_words(document)
    for old, new in zip(before.refs, refs, strict=False):
        if old != new:
            changed = min(changed, old.start, new.start)
            break
    else:
        more = [*before.refs[len(refs) :], *refs[len(before.refs) :]]
        changed = min([changed, *(ref.start for ref in more)])
    kept = _back(document, changed, _OPEN)
    return _back(document, kept, _AROUND), kept


def _back(document: TalkDocument, at: int, count: int) -> int:
    """The first word of a cue that is so many cues and so many segments before a word."""
    cues, clauses = document.cue_of, document.clause
    if at <= 0:
        return 0
    at = min(at, len(cues) - 1)
    first = cues[at] - count
    if document.punctuated:
        clause = clauses[at] - count
        while first > 0 and clauses[document.first_word(first)] > clause:
            first -= 1
    return document.first_word(first) if first > 0 else 0


def moved_mentions(
    before: Iterable[Mention], again: Iterable[Mention], since: int, kept: int
) -> tuple[Mention, ...]:
    """What was heard before the word ``kept``, and from there on what was heard again in the words from ``since`` on."""
    held = [m for m in before if m.start < kept]
    later = (replace(m, start=m.start + since, end=m.end + since) for m in again)
    return (*held, *(m for m in later if m.start >= kept))


def moved_passages(
    before: Iterable[Passage], again: Iterable[Passage], since: int, kept: int
) -> tuple[Passage, ...]:
    """The same for the passages of a talk."""
    later = [replace(p, start=p.start + since, end=p.end + since) for p in again]
    later = [p for p in later if p.start >= kept]
    until = later[0].start if later else kept
    return (*(p for p in before if p.start < until), *later)
