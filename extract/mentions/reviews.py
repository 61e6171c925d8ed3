"""Finds challenges asked for and decided, and awards taken back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extract.lexicon import small_words
from extract.mentions.model import Review, ReviewMention, Stance, Tie, WaveOffMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import Corner, other
from extract.talk.terms import Term

#: How far the word challenge and its outcome may stand apart, in words.
_APART = 9
_GETTING, _GIVING = small_words("taking"), small_words("giving")
_PLAIN_SENSE = small_words("plain_challenge")


def find_reviews(talk: Talk) -> list[ReviewMention]:
    """Challenges asked for, won, lost and withdrawn."""
    out = [*_outcomes(talk)]
    covered = {i for m in out for i in range(m.start, m.end)}
    for m in _composed(talk):
        if not covered & set(range(m.start, m.end)):
            out.append(m)
            covered |= set(range(m.start, m.end))
    for term in talk.terms.all("challenge_ask"):
        if term.start not in covered and not talk.terms.any("not_challenge", term.start, term.end):
            word = talk.between(term.start, term.end)
            plain = (
                word == "challenge"
                and talk.previous_word(term.start) in _PLAIN_SENSE
                and not _wanted(talk, term)
            )
            grade = "loose" if term.entry.strength == "loose" or plain else "plain"
            if plain and talk.previous_word(term.start) != "a":
                continue
            out.append(_mention(talk, term.start, term.end, "ask", grade))
    return sorted(out, key=lambda m: m.start)


def _mention(talk: Talk, start: int, end: int, what: Review, grade: str) -> ReviewMention:
    corner, tie = _gainer(talk, end) if what == "lost" else (None, "none")
    if corner is None:
        corner, tie = _asker(talk, start, end)
    return ReviewMention(start, end, talk.time(start), stance_of(talk, start, end), grade, what, corner, tie)


def _wanted(talk: Talk, term: Term) -> bool:
    """Whether somebody wants the challenge named ("blue want a challenge")."""
    return any(
        w in ("want", "wants", "asks", "asking", "calls", "there's")
        for w in talk.words[term.start - 4 : term.start]
    )


def _outcomes(talk: Talk) -> Iterator[ReviewMention]:
    """Outcomes that the lexicon knows as a phrase."""
    outcomes: tuple[Review, ...] = ("won", "lost", "withdrawn")
    for what in outcomes:
        for term in talk.terms.all(f"challenge_{what}"):
            words = talk.between(term.start, term.end)
            named = any(word in words for word in ("challenge", "chall", "brick", "withdr"))
            near = talk.terms.any("challenge_ask", term.start - 12, term.end + 12)
            grade = "named" if named else "near" if near else "plain"
            yield _mention(talk, term.start, term.end, what, grade)


def _composed(talk: Talk) -> Iterator[ReviewMention]:
    """Outcomes told in a sentence: "the challenge of the red corner is successful"."""
    for term in talk.terms.all("challenge_word"):
        lo, hi = talk.segment(term.start)
        found: list[tuple[int, Review, Term]] = []
        roles: tuple[tuple[str, Review], ...] = (("outcome_good", "won"), ("outcome_bad", "lost"))
        for role, what in roles:
            for word in talk.terms.within(role, max(lo, term.start - 4), min(hi, term.end + _APART)):
                gap = word.start - term.end if word.start >= term.end else term.start - word.end + 2
                found.append((gap - (word.end - word.start), what, word))
        if found:
            _, what, word = min(found, key=lambda f: (f[0], f[1] == "won"))
            start, end = min(term.start, word.start), max(term.end, word.end)
            mention = _mention(talk, start, end, what, "named")
            # "the challenge she had lost" tells of one that is over.
            yield replace(mention, stance="recalled") if "had" in talk.words[start:end] else mention


def _gainer(talk: Talk, end: int) -> tuple[Corner | None, Tie]:
    """Who asked, where the words after a lost challenge say who gets a point for it: the other one."""
    _, hi = talk.segment(end - 1)
    for ref in talk.refs_within(end, min(hi, end + _APART)):
        verb = ref.end + (talk.next_word(ref.end) in ("is", "are", "'s"))
        gets = (
            talk.next_word(verb) in (*_GETTING, "given", "awarded") and talk.number_at(verb + 1) is not None
        )
        given = talk.previous_word(ref.start) in _GIVING and (
            talk.number_at(ref.start - 2) is not None or talk.words[ref.start - 2] in ("point", "pt")
        )
        if gets or given:
            return other(ref.corner), "attached"
    return None, "none"


def _asker(talk: Talk, start: int, end: int) -> tuple[Corner | None, Tie]:
    lo, hi = talk.segment(start)
    best: tuple[int, Corner] | None = None
    for ref in talk.refs_within(max(lo, start - 14), min(hi, end + 9)):
        gap = ref.start - end if ref.start >= end else start - ref.end
        if ref.about == "bench":
            gap -= 3
        if best is None or gap < best[0]:
            best = (gap, ref.corner)
    if best is not None:
        return best[1], "attached" if best[0] <= 2 else "clause"
    for ref in talk.refs_within(max(start - 25, 0), min(end + 20, len(talk))):
        if ref.about == "bench":
            return ref.corner, "near"
    return None, "none"


def find_wave_offs(talk: Talk) -> list[WaveOffMention]:
    """Words that take back the award just called, or say that nothing was given."""
    out = []
    for term in talk.terms.all("wave_off"):
        stance: Stance = "asked" if talk.asked(term.start) else "asserted"
        out.append(WaveOffMention(term.start, term.end, talk.time(term.start), stance, term.entry.value))
    return out
