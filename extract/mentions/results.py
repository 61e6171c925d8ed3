"""Finds who is ahead on criteria, who won, and by what, as said."""

from __future__ import annotations

from extract.mentions.model import CriteriaMention, ResultMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import Corner, other


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
        if leader is not None and talk.terms.any("trail", max(lo, term.start - 4), term.start):
            leader = other(leader)
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
        before = talk.ref_before(term.start, 3, links_only=False)
        after = talk.ref_after(term.end, 6, links_only=False)
        passive = term.entry.scope == "after"
        ref = (after or before) if passive else (before or after)
        if ref is None:
            refs = list(talk.refs_within(lo, hi))
            ref = refs[0] if refs else None
        grade = "loose" if term.entry.strength == "loose" else "plain"
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
