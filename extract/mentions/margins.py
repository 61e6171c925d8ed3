"""Finds leads said in one number, and remarks that the score is level."""

from __future__ import annotations

from extract.lexicon import small_words
from extract.mentions.model import MarginMention, Tie
from extract.mentions.score_holder import trailing
from extract.mentions.score_pairs import plain
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import other

#: After a number: so far are they apart.
_APART = small_words("apart")


def find_margins(talk: Talk) -> list[MarginMention]:
    """Leads said in one number, and remarks that it is level."""
    out: list[MarginMention] = []
    for number in talk.numbers:
        if not talk.free(number) or not plain(number) or not 0 < number.value <= 15:
            continue
        a, b = number.start, number.end
        noun = talk.terms.starting("margin_noun", b + 1 if talk.words[b : b + 1] == ["-"] else b)
        by = [t for t in talk.terms.within("margin_by", a - 2, a) if t.end == a]
        if talk.terms.any("not_score", b, b + 1) or talk.words[b : b + 2] == ["o", "'"]:
            continue
        up = [
            t
            for t in talk.terms.within("lead", a - 1, a)
            if talk.between(t.start, t.end) in ("up", "ahead") and not talk.terms.at("not_lead", t.start)
        ]
        # "takes him down, two" trails nobody.
        after = talk.words[b] if b < len(talk) else ""
        if talk.terms.starting("points_word", b) is not None and b + 1 < len(talk):
            after = talk.words[b + 1]
        lead_of = talk.between(a - 2, a) == "lead of"
        down = talk.previous_word(a) == "down" and not talk.terms.any("split_verb", a - 6, a)
        if (noun is None and not by and not (up or down or lead_of or after in _APART)) or talk.terms.any(
            "minute", b, b + 1
        ):
            continue
        if (
            noun is None
            and not by
            and not (lead_of or after in _APART or talk.closes(b) or talk.terms.any("points_word", b, b + 1))
        ):
            continue
        end = noun.end if noun is not None else b
        lo, hi = talk.segment(a)
        ref = talk.ref_before(a, 4, links_only=False) or talk.ref_after(end, 3) or None
        losing = (
            down
            or after in ("adrift", "behind", "down")
            or talk.previous_word(a) == "within"
            or any(
                trailing(talk, t.start, t.end)
                for t in talk.terms.within("trail", max(lo, a - 3), min(hi, end + 2))
            )
        )
        leader = None if ref is None else other(ref.corner) if losing else ref.corner
        tie: Tie = (
            "none"
            if ref is None
            else "attached"
            if abs(ref.end - a) <= 3 or abs(ref.start - end) <= 2
            else "clause"
        )
        grade = "margin" if noun is not None or by else "up"
        out.append(
            MarginMention(a, end, talk.time(a), stance_of(talk, a, end), grade, number.value, leader, tie)
        )
        talk.take(a, b)
    for term in talk.terms.all("tied"):
        if talk.number_at(term.end) is None and talk.between(term.start, term.end).removesuffix(" at") in (
            "all square",
            "dead level",
            "dead even",
            "all tied",
            "all tied up",
            "it's a tie",
            "all even",
        ):
            stance = stance_of(talk, term.start, term.end)
            out.append(
                MarginMention(term.start, term.end, talk.time(term.start), stance, "level", 0, None, "none")
            )
    return sorted(out, key=lambda m: m.start)
