"""Finds whistles, horns, challenges, awards taken back, criteria, results, and the motion on the mat."""

from __future__ import annotations

from typing import cast

from extract.mentions.model import (
    ActionMention,
    CriteriaMention,
    MarkMention,
    ResultMention,
    Review,
    ReviewMention,
    StartPosition,
    Tie,
    WaveOffMention,
)
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.terms import Term
from extract.rules.base import Corner

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
    "p1": 1,
    "p2": 2,
    "p3": 3,
}
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
        "time",
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
    for role, loose in (
        ("period_start", _LOOSE_STARTS),
        ("period_end", _LOOSE_ENDS),
        ("bout_end", _LOOSE_FINALS),
    ):
        for term in talk.terms.all(role):
            stance = stance_of(talk, term.start, term.end)
            word = talk.between(term.start, term.end)
            grade = "loose" if word in loose or stance != "asserted" else "plain"
            out.append(
                MarkMention(
                    term.start, term.end, talk.time(term.start), stance, grade, role, _period(talk, term)
                )
            )  # type: ignore[arg-type]
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
    return sorted(out, key=lambda m: m.start)


def _period(talk: Talk, term: Term) -> int | None:
    lo, hi = talk.segment(term.start)
    for i in range(max(lo, term.start - 4), min(hi, term.end + 5)):
        if talk.words[i] in _ORDINALS:
            near = talk.between(i + 1, i + 3).split()[:1]
            if (
                talk.words[i] in ("p1", "p2", "p3")
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


def find_reviews(talk: Talk) -> list[ReviewMention]:
    """Challenges asked for, won, lost and withdrawn."""
    out: list[ReviewMention] = []
    for what in ("won", "lost", "withdrawn"):
        for term in talk.terms.all(f"challenge_{what}"):
            stance = stance_of(talk, term.start, term.end)
            corner, tie = _asker(talk, term)
            named = "challenge" in talk.between(term.start, term.end) or "brick" in talk.between(
                term.start, term.end
            )
            near = talk.terms.any("challenge_ask", term.start - 12, term.end + 12)
            grade = "named" if named else "near" if near else "plain"
            out.append(
                ReviewMention(
                    term.start,
                    term.end,
                    talk.time(term.start),
                    stance,
                    grade,
                    cast(Review, what),
                    corner,
                    tie,
                )
            )
    covered = {i for m in out for i in range(m.start, m.end)}
    for term in talk.terms.all("challenge_ask"):
        if term.start in covered:
            continue
        stance = stance_of(talk, term.start, term.end)
        corner, tie = _asker(talk, term)
        word = talk.between(term.start, term.end)
        grade = (
            "loose"
            if word in ("review", "the block", "cube", "sponge", "under review", "brick", "block")
            else "plain"
        )
        out.append(
            ReviewMention(term.start, term.end, talk.time(term.start), stance, grade, "ask", corner, tie)
        )
    return sorted(out, key=lambda m: m.start)


def _asker(talk: Talk, term: Term) -> tuple[Corner | None, Tie]:
    lo, hi = talk.segment(term.start)
    best: tuple[int, Corner] | None = None
    for ref in talk.refs_within(max(lo, term.start - 14), min(hi, term.end + 9)):
        gap = ref.start - term.end if ref.start >= term.end else term.start - ref.end
        if ref.about == "bench":
            gap -= 3
        if best is None or gap < best[0]:
            best = (gap, ref.corner)
    if best is not None:
        return best[1], "attached" if best[0] <= 2 else "clause"
    for ref in talk.refs_within(max(term.start - 25, 0), min(term.end + 20, len(talk))):
        if ref.about == "bench":
            return ref.corner, "near"
    return None, "none"


def find_wave_offs(talk: Talk) -> list[WaveOffMention]:
    """Words that take back the award just called, or say that nothing was given."""
    out = []
    for term in talk.terms.all("wave_off"):
        word = talk.between(term.start, term.end)
        grade = "taken back" if "wave" in word or "hand" in word or "count" in word else "nothing given"
        stance = "asked" if talk.asked(term.start) else "asserted"
        out.append(WaveOffMention(term.start, term.end, talk.time(term.start), stance, grade))  # type: ignore[arg-type]
    return out


def find_criteria(talk: Talk) -> list[CriteriaMention]:
    """Who is ahead on criteria, as said."""
    out = []
    for term in talk.terms.all("criteria"):
        lo, hi = talk.segment(term.start)
        refs = [
            r for r in talk.refs_within(max(lo, term.start - 12), min(hi, term.end + 6)) if r.about != "bench"
        ]
        leader: Corner | None = (
            min(refs, key=lambda r: min(abs(r.end - term.start), abs(r.start - term.end))).corner
            if refs
            else None
        )
        grade = "named" if "crit" in talk.between(term.start, term.end) else "loose"
        out.append(
            CriteriaMention(
                term.start,
                term.end,
                talk.time(term.start),
                stance_of(talk, term.start, term.end),
                grade,
                leader,
            )
        )
    return out


def find_results(talk: Talk) -> list[ResultMention]:
    """Who won, and by what, as said."""
    out = []
    for term in talk.terms.all("winner"):
        lo, hi = talk.segment(term.start)
        word = talk.between(term.start, term.end)
        before = talk.ref_before(term.start, 3, links_only=False)
        after = talk.ref_after(term.end, 6, links_only=False)
        passive = word in (
            "winner",
            "winner by",
            "is your winner",
            "your winner",
            "the winner",
            "victory for",
            "the victory",
            "win by",
        )
        ref = (after or before) if passive else (before or after)
        if ref is None:
            refs = list(talk.refs_within(lo, hi))
            ref = refs[0] if refs else None
        grade = "loose" if word in ("over", "the win", "hangs on", "holds on") else "plain"
        out.append(
            ResultMention(
                term.start,
                term.end,
                talk.time(term.start),
                stance_of(talk, term.start, term.end),
                grade,
                ref.corner if ref else None,
                None,
            )
        )
    for term in talk.terms.all("won_by"):
        stance = stance_of(talk, term.start, term.end)
        out.append(
            ResultMention(term.start, term.end, talk.time(term.start), stance, "by", None, term.entry.value)
        )
    return sorted(out, key=lambda m: m.start)


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
            top = ref.corner if word == "top" else ("blue" if ref.corner == "red" else "red")
            out.append(StartPosition(i, i + 1, talk.time(i), "asserted", "chosen", cast(Corner, top)))
    return out


def find_actions(talk: Talk) -> list[ActionMention]:
    """Motion on the mat: what an award that nobody called may come from."""
    holds = [t for t in talk.terms.all("kind") if t.entry.strength in ("hold", "verb")]
    terms = sorted([*talk.terms.all("action"), *holds], key=lambda t: t.start)
    return [
        ActionMention(t.start, t.end, talk.time(t.start), "asserted", t.entry.value or "motion")
        for t in terms
    ]
