"""Whether anything of the bout was understood, and what of the file was not read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.checks.flags import Finding
from extract.checks.statements import Checked
from extract.checks.words import clock_text
from extract.log import BoutLog
from extract.mentions.model import Mention, ResultMention
from extract.rules.base import BOUNDS
from extract.transcript import Transcript

NOTHING = "nothing_understood"
#: A bout may go on for so long, seconds, before anybody scores or is warned.
_SILENT_S = 120.0


def check_understood(
    transcript: Transcript, log: BoutLog, checked: Sequence[Checked], mentions: Sequence[Mention]
) -> Iterator[Finding]:
    """A flag where a talk of some length has told nothing of a bout, and one for each notice of the reader."""
    if nothing_understood(transcript, log, checked, mentions):
        length = clock_text(_length(transcript))
        why = (
            f"Nothing was understood: {len(transcript.cues)} cues over {length} were read, and no award, no warning, no "
            "score and no end of a bout was heard in them."
        )
        yield Finding(NOTHING, "error", transcript.begins, None, None, None, why)
    for notice in transcript.notices:
        why = f"{notice[:1].upper()}{notice[1:]}."
        yield Finding("reading", "note", transcript.begins, None, None, None, why)


def nothing_understood(
    transcript: Transcript, log: BoutLog, checked: Sequence[Checked], mentions: Sequence[Mention]
) -> bool:
    """Whether nothing was heard that a bout is made of, though it was talked of for long. A fall, an injury or a forfeit
    that was told is enough."""
    if _length(transcript) < _SILENT_S or checked:
        return False
    has_result = any(
        isinstance(m, ResultMention) and m.by is not None and m.stance == "asserted" for m in mentions
    )
    return not has_result and all(event.entry.move.kind in BOUNDS for event in log.events)


def _length(transcript: Transcript) -> float:
    """Seconds from the first word to the last; a difference of two times is not quite what the file says."""
    return round(transcript.seconds - transcript.first_word, 3)
