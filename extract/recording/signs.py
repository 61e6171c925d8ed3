"""What speaks for a bout or against it, cue by cue, without knowing who wrestles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from extract.cast.find import Cast, Person, corner_refs, corner_words
from extract.lexicon import Lexicon
from extract.mentions import Heard, TalkDocument, mentions_of
from extract.mentions.model import (
    ActionMention,
    CallMention,
    ClockMention,
    CriteriaMention,
    MarginMention,
    MarkMention,
    Mention,
    PositionMention,
    ResultMention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)
from extract.mentions.talk import Talk
from extract.transcript import Transcript

#: How many cues are read together. References are to something near, and so the time stays linear.
_BLOCK, _LOOK = 250, 60
#: The sorts of sign.
SIGNS = (
    "call", "score", "level", "final", "score_past", "clock", "first", "start", "later", "horn", "over", "over_loose",
    "won", "won_loose", "forfeit", "action", "lead", "review", "past",
    "said_next", "said_intro", "said_class", "said_past", "said_desk",
)  # fmt: skip


@dataclass(slots=True)
class CueSigns:
    """What is heard in one cue: how often each sign comes, the scores said as (higher, lower) and the seconds on the
    bout clock, both in order, how many words it has, and whether it has a whistle that may be one to stop."""

    counts: dict[str, int] = field(default_factory=dict)
    scores: list[tuple[int, int]] = field(default_factory=list)
    clocks: list[int] = field(default_factory=list)
    words: int = 0
    whistle: bool = False

    def add(self, sign: str) -> None:
        self.counts[sign] = self.counts.get(sign, 0) + 1


def cue_signs(transcript: Transcript, style: str, lexicon: Lexicon) -> list[CueSigns]:
    """The signs in each cue of a transcript, with the words of one style and nobody in the cast."""
    nobody = Cast(Person(), Person(), words=corner_words(style))
    out = [CueSigns() for _ in transcript.cues]
    for first, last in _blocks(transcript):
        document = TalkDocument(replace(transcript, cues=transcript.cues[first:last]))
        if not len(document):
            continue
        talk = Talk(document, lexicon, corner_refs(document.words, nobody))
        _note(out[first:last], talk, mentions_of(talk))
    return out


def heard_signs(heard: Heard) -> list[CueSigns]:
    """The signs in each cue of a talk that has been read already, with the athletes in the cast."""
    out = [CueSigns() for _ in heard.document.cues]
    _note(out, heard.talk, heard.mentions)
    return out


def _note(out: Sequence[CueSigns], talk: Talk, mentions: Sequence[Mention]) -> None:
    """Notes the signs of each cue of a talk in ``out``."""
    document = talk.document
    for mention in mentions:
        cue = out[document.cue_of[mention.start]]
        for sign in _signs_of(mention, cue):
            cue.add(sign)
    for term in talk.terms.all("session"):
        out[document.cue_of[term.start]].add(f"said_{term.entry.value}")
    for at, word in zip(document.cue_of, document.lower, strict=True):
        out[at].words += word[:1].isalnum()
    for cue in out:
        if "horn" in cue.counts:
            # "End of period one" names a period and starts none.
            for sign in ("first", "start", "later"):
                cue.counts.pop(sign, None)


def _blocks(transcript: Transcript) -> Iterator[tuple[int, int]]:
    """Stretches of cues of about one length, each cut at the longest silence near its end."""
    cues = transcript.cues
    first = 0
    while first < len(cues):
        last = len(cues)
        if last - first > _BLOCK + _LOOK:
            near = range(first + _BLOCK, first + _BLOCK + _LOOK)
            last = max(near, key=lambda k: cues[k].start - cues[k - 1].end)
        yield first, last
        first = last


def _signs_of(mention: Mention, cue: CueSigns) -> Sequence[str]:
    """The signs that a mention is. Scores and times left are noted in ``cue`` too."""
    asserted = mention.stance == "asserted"
    match mention:
        case ScoreMention():
            return (_score(mention, cue),)
        case CallMention():
            if asserted and "fall" in mention.kinds:
                return "call", "over" if mention.grade == "kind called" else "over_loose"
            return ("call",) if asserted else ("past",) if mention.stance == "recalled" else ()
        case ClockMention(clock="bout"):
            cue.clocks.append(mention.seconds)
            return ("clock",)
        case MarkMention():
            cue.whistle |= asserted and mention.what == "period_start" and mention.grade == "loose"
            return _mark(mention)
        case ResultMention():
            if mention.by == "forfeit":
                return ("forfeit",)
            return () if not asserted else ("won_loose",) if mention.grade == "loose" else ("won",)
        case ReviewMention() | WaveOffMention():
            return ("review",)
        case MarginMention() | CriteriaMention():
            return ("lead",)
        case ActionMention() | PositionMention():
            return ("action",)
    return ()


def _score(mention: ScoreMention, cue: CueSigns) -> str:
    if mention.stance != "asserted":
        return "score_past"
    if not {"words of a record", "words of another bout"}.isdisjoint(mention.signs):
        return "score_past"
    cue.scores.append((max(mention.pair), min(mention.pair)))
    if mention.final:
        return "final"
    return "level" if sum(mention.pair) == 0 else "score"


def _mark(mention: MarkMention) -> Sequence[str]:
    if mention.stance != "asserted":
        return ()
    match mention.what:
        case "period_start":
            if mention.period is not None and mention.period > 1:
                return ("later",)
            return ("first",) if mention.period == 1 else ("start",) if mention.grade != "loose" else ()
        case "period_end":
            return ("horn",) if mention.grade != "loose" else ()
        case "bout_end":
            return ("over",) if mention.grade != "loose" else ("over_loose",)
