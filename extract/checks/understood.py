"""Whether anything of the bout was understood, and what of the file was not read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.checks.model import BoutRead, Finding
from extract.checks.statements import StatementCheck
from extract.checks.words import clock_text
from extract.log import BoutLog
from extract.mentions.model import Mention, ResultMention
from extract.rules.base import BOUNDS
from extract.transcript import Transcript

NOTHING = "nothing_understood"
#: Several bouts in an account that was read as one.
SEVERAL = "several_bouts"
#: A bout may go on for so long, seconds, before anybody scores or is warned.
_SILENT_S = 120.0


def check_understood(bout: BoutRead) -> Iterator[Finding]:
    """A flag where a talk of some length has told nothing of a bout, and one for each notice of the reader."""
    transcript = bout.recording
    if not bout.understood:
        length = "" if transcript.by_order else f" over {clock_text(_length(transcript))}"
        pieces = "entries" if transcript.by_order else "cues"
        why = (
            f"Nothing was understood: {len(transcript.cues)} {pieces}{length} were read, and no points, no warning, no "
            "score and no end of a bout was heard in them."
        )
        yield Finding(NOTHING, "error", transcript.begins, None, None, None, why)
    order = transcript.order
    if order is not None and len(order.bouts) > 1 and transcript.part is None:
        why = (
            f"This page heads {len(order.bouts)} bouts, and it was read as one: saidscore session gives each its own "
            "record."
        )
        yield Finding(SEVERAL, "error", transcript.begins, None, None, None, why)
    for notice in transcript.notices:
        why = f"{notice[:1].upper()}{notice[1:]}."
        yield Finding("reading", "note", transcript.begins, None, None, None, why)


def is_understood(
    transcript: Transcript, log: BoutLog, statements: Sequence[StatementCheck], mentions: Sequence[Mention]
) -> bool:
    """Whether anything was heard that a bout is made of. A fall, an injury or a forfeit that was told is enough. A short
    talk may have none of it; an account without times is whole, however short."""
    if statements or (_length(transcript) < _SILENT_S and not transcript.by_order):
        return True
    has_result = any(
        isinstance(m, ResultMention) and m.by is not None and m.stance == "asserted" for m in mentions
    )
    return has_result or any(event.entry.move.kind not in BOUNDS for event in log.events)


def _length(transcript: Transcript) -> float:
    """Seconds from the first word to the last; a difference of two times is not quite what the file says."""
    return round(transcript.seconds - transcript.first_word, 3)
