"""Finds whistles and horns, and the motion on the mat."""

from __future__ import annotations

from collections.abc import Iterator

from extract.lexicon import small_words
from extract.mentions.model import ActionMention, Mark, MarkMention
from extract.mentions.overtime import find_overtime
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.talk.terms import Term

_PERIODS, _FOLLOWS = small_words("periods"), small_words("period_follows")
_CARDINALS = small_words("period_cardinals")


def find_marks(talk: Talk) -> list[MarkMention]:
    """Starts and ends of periods and of the bout, with the period where the words name it."""
    out: list[MarkMention] = []
    roles: tuple[Mark, ...] = ("period_start", "period_end", "bout_end")
    for role in roles:
        for term in talk.terms.all(role):
            if term.start in talk.marked:
                continue
            stance = stance_of(talk, term.start, term.end)
            if role == "period_start" and stance == "recalled" and _named_behind(talk, term):
                stance = "asserted"
            grade = "loose" if term.entry.strength == "loose" or stance != "asserted" else "plain"
            out.append(
                MarkMention(
                    term.start, term.end, talk.time(term.start), stance, grade, role, _period(talk, term)
                )
            )
    for term in talk.terms.all("period_word"):
        if term.start in talk.marked:
            continue
        # "Second period, three minutes": a period named at the head of a sentence announces it.
        number = _period(talk, term)
        lo, _ = talk.segment(term.start)
        end = term.end + (talk.terms.starting("ordinal", term.end) is not None)
        begins = talk.terms.any("period_start", end, end + 3) or talk.next_word(end) == "start"
        alone = talk.closes(end) or begins
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
    out.extend(_ended(talk))
    out.extend(find_overtime(talk))
    return sorted(out, key=lambda m: m.start)


def _named_behind(talk: Talk, term: Term) -> bool:
    """Whether the period that starts stands right behind: "off we go in the first period" recalls nothing."""
    return any(
        recalled.entry.value == "recalled" and talk.terms.any("ordinal", recalled.start, recalled.end)
        for recalled in talk.terms.within("stance", term.end, term.end + 4)
        if recalled.start == term.end
    )


def _ended(talk: Talk) -> Iterator[MarkMention]:
    """A period and a word of ending beside it: "that ends the second period", "the first is over"."""
    for term in talk.terms.all("period_word"):
        if talk.terms.any("period_end", term.start - 1, term.end + 1):
            continue
        ending = talk.ending_of(term)
        if ending is None:
            continue
        start, end = min(ending.start, term.start), max(ending.end, term.end)
        stance = stance_of(talk, start, end)
        grade = "plain" if stance == "asserted" else "loose"
        yield MarkMention(start, end, talk.time(start), stance, grade, "period_end", _period(talk, term))


def _period(talk: Talk, term: Term) -> int | None:
    """Which period a mark is about, where the words around it say so."""
    lo, hi = talk.segment(term.start)
    for named in talk.terms.within("ordinal", max(lo, term.start - 4), min(hi, term.end + 5)):
        i = named.start
        before = talk.words[i - 2 : i] if i > 1 else talk.words[:i]
        inside = term.start <= i < term.end
        if (
            inside
            or talk.words[i][:1] == "p"
            or talk.next_word(i + 1) in (_PERIODS if talk.words[i] in _CARDINALS else _FOLLOWS)
            or (before[-1:] == ["number"] and before[0] in _PERIODS)
            or (before and before[-1] in _PERIODS)
        ):
            return int(named.entry.value)
    return None


def find_actions(talk: Talk) -> list[ActionMention]:
    """Motion on the mat: what an award that nobody called may come from."""
    holds = [t for t in talk.terms.all("kind") if t.entry.strength in ("hold", "verb")]
    terms = sorted([*talk.terms.all("action"), *holds], key=lambda t: t.start)
    return [
        ActionMention(t.start, t.end, talk.time(t.start), "asserted", t.entry.value or "motion")
        for t in terms
    ]
