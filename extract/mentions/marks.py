"""Finds whistles and horns, the choice of position, and the motion on the mat."""

from __future__ import annotations

from extract.mentions.model import ActionMention, Mark, MarkMention, StartPosition
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.terms import Term
from extract.rules.base import other

_ORDINALS = {
    "first": 1,
    "opening": 1,
    "one": 1,
    "second": 2,
    "two": 2,
    "third": 3,
    "three": 3,
    "1": 1,
    "2": 2,
    "3": 3,
    "fourth": 4,
    "fifth": 5,
    "sixth": 6,
    "seventh": 7,
    "p1": 1,
    "p2": 2,
    "p3": 3,
    "p4": 4,
    "p5": 5,
    "p6": 6,
    "p7": 7,
}
#: What the period after regulation is called, whichever its number.
_OVERTIME = 4
#: Words that end a sentence's mark of a period but may be part of any talk: only worth little by themselves.
_LOOSE_STARTS = frozenset(
    {
        "here we go",
        "wrestle",
        "go go go",
        "starts",
        "begins",
        "we start",
        "back at it",
        "we're back",
        "we are back",
        "back to it",
        "whistle",
        "p1",
        "p2",
        "p3",
        "away we go",
    }
)
_LOOSE_ENDS = frozenset(
    {
        "at the break",
        "the break",
        "half time",
        "halftime",
        "at the half",
        "after one",
        "after two",
        "interval",
        "the bell",
        "that's the end of",
        "time's up",
    }
)
_LOOSE_FINALS = frozenset(
    {
        "that's it",
        "it's over",
        "takes it",
        "wins it",
        "the final",
        "winner",
        "that'll do it",
        "that'll be it",
        "handshake",
        "that's that",
        "final score",
    }
)


def find_marks(talk: Talk) -> list[MarkMention]:
    """Starts and ends of periods and of the bout, with the period where the words name it."""
    out: list[MarkMention] = []
    roles: tuple[tuple[Mark, frozenset[str]], ...] = (
        ("period_start", _LOOSE_STARTS),
        ("period_end", _LOOSE_ENDS),
        ("bout_end", _LOOSE_FINALS),
    )
    for role, loose in roles:
        for term in talk.terms.all(role):
            stance = stance_of(talk, term.start, term.end)
            word = talk.between(term.start, term.end)
            grade = "loose" if word in loose or stance != "asserted" else "plain"
            out.append(
                MarkMention(
                    term.start, term.end, talk.time(term.start), stance, grade, role, _period(talk, term)
                )
            )
    for term in talk.terms.all("period_word"):
        # "Second period, three minutes": a period named at the head of a sentence announces it.
        number = _period(talk, term)
        lo, _ = talk.segment(term.start)
        alone = talk.closes(term.end) or talk.terms.any("period_start", term.end, term.end + 3)
        if (
            number is not None
            and alone
            and term.start - lo <= 3
            and not talk.terms.any("remain", lo, term.end + 3)
        ):
            out.append(
                MarkMention(
                    term.start, term.end, talk.time(term.start), "asserted", "named", "period_start", number
                )
            )
    for term in talk.terms.all("overtime"):
        stance = stance_of(talk, term.start, term.end)
        if stance == "asserted" and talk.style in ("collegiate", "scholastic"):
            out.append(
                MarkMention(
                    term.start, term.end, talk.time(term.start), stance, "loose", "period_start", _OVERTIME
                )
            )
    return sorted(out, key=lambda m: m.start)


def _period(talk: Talk, term: Term) -> int | None:
    lo, hi = talk.segment(term.start)
    for i in range(max(lo, term.start - 4), min(hi, term.end + 5)):
        if talk.words[i] in _ORDINALS:
            near = talk.between(i + 1, i + 3).split()[:1]
            if (
                (talk.words[i][:1] == "p" and talk.words[i] in _ORDINALS)
                or term.start <= i < term.end
                or (
                    near
                    and near[0]
                    in (
                        "period",
                        "half",
                        "stanza",
                        "round",
                        "frame",
                        "three",
                        ".",
                        "and",
                        "is",
                        ",",
                        "here",
                        "under",
                    )
                )
            ):
                return _ORDINALS[talk.words[i]]
    return None


def find_start_positions(talk: Talk) -> list[StartPosition]:
    """Who begins a period on top, as said ("takes bottom", "wants top", "chosen neutral")."""
    out = []
    for i, word in enumerate(talk.words):
        if word not in ("top", "bottom", "down", "neutral", "underneath"):
            continue
        lo, hi = talk.segment(i)
        around = talk.between(max(lo, i - 6), min(hi, i + 4)).split()
        if not {
            "takes",
            "wants",
            "chooses",
            "chosen",
            "choice",
            "chose",
            "choosing",
            "pick",
            "picks",
            "picked",
            "go",
            "defers",
            "take",
            "starts",
            "start",
            "asking",
            "elects",
        } & set(around):
            continue
        ref = talk.ref_before(i, 8, links_only=False)
        if word == "neutral":
            out.append(StartPosition(i, i + 1, talk.time(i), "asserted", "chosen", None))
        elif ref is not None:
            top = ref.corner if word == "top" else other(ref.corner)
            out.append(StartPosition(i, i + 1, talk.time(i), "asserted", "chosen", top))
    return out


def find_actions(talk: Talk) -> list[ActionMention]:
    """Motion on the mat: what an award that nobody called may come from."""
    holds = [t for t in talk.terms.all("kind") if t.entry.strength in ("hold", "verb")]
    terms = sorted([*talk.terms.all("action"), *holds], key=lambda t: t.start)
    return [
        ActionMention(t.start, t.end, talk.time(t.start), "asserted", t.entry.value or "motion")
        for t in terms
    ]
