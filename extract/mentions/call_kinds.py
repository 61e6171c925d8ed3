"""Finds kinds of award and warning that are named, and whom they credit."""

from __future__ import annotations

from collections.abc import Iterator

from extract.cast.model import CornerRef
from extract.lexicon import small_words
from extract.mentions.call_parts import Part, around
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.rules.base import PENALTIES, WARNINGS, Corner, other
from extract.talk.terms import Term

#: Kinds whose named corner is the one warned or penalised, not the one credited.
AGAINST = WARNINGS | PENALTIES
_TAKING = small_words("taking")
_PASSIVE, _AUXILIARIES = small_words("passive"), small_words("auxiliaries")


def kind_parts(talk: Talk) -> Iterator[Part]:
    """Kinds named, with the corner that they credit."""
    for term in talk.terms.all("kind"):
        entry = term.entry
        if any(talk.terms.at(role, term.start) for role in ("challenge_ask", "wave_off", "criteria")):
            continue
        if _undone(talk, term) or _inside_another(talk, term):
            continue
        if any(t.entry.value == entry.value for t in talk.terms.within("not_kind", term.start, term.end)):
            continue
        if entry.value == "fall" and not _fall(talk, term):
            continue
        lo, hi = talk.segment(term.start)
        if entry.value in AGAINST:
            corner, tie = _penalised(talk, term, lo, hi)
        elif entry.strength == "verb":
            corner, tie = _goes_out(talk, term, lo, hi)
        else:
            corner, tie = _credited(talk, term, lo, hi)
        acts = entry.value not in AGAINST and _doer(talk, term) is not None
        yield Part(term.start, term.end, (entry.value,), None, entry.strength, corner, tie, given_to=acts)
    yield from _split_verbs(talk)


def _doer(talk: Talk, term: Term) -> CornerRef | None:
    """Who does it, where the term is a verb with that one before it and the one it is done to after it."""
    start = term.start
    while talk.previous_word(start) in _AUXILIARIES:
        start -= 1
    subject, done_to = talk.ref_before(start, 0), talk.ref_after(term.end, 0)
    verb = talk.words[term.end - 1].endswith(("s", "ed")) or talk.words[term.end - 1] == "threw"
    if verb and subject is not None and done_to is not None and subject.corner != done_to.corner:
        return subject
    return None


def _split_verbs(talk: Talk) -> Iterator[Part]:
    """ "takes him down", "pushes blue out": a verb, the one it is done to, and a small word that make a kind."""
    for verb in talk.terms.all("split_verb"):
        entry = verb.entry
        done_to = talk.ref_after(verb.end, 0)
        end = done_to.end if done_to is not None else verb.end + 1
        if talk.words[end : end + 1] == ["'s"] or end >= len(talk):
            continue
        particle = next((p for p in entry.particles if talk.between(end, end + p.count(" ") + 1) == p), None)
        if particle is None:
            continue
        end += particle.count(" ") + 1
        subject = talk.ref_before(verb.start, 2)
        credited: Corner
        if subject is not None and (done_to is None or subject.corner != done_to.corner):
            credited = subject.corner
        elif done_to is not None and done_to.how not in ("pronoun", "home"):
            credited = other(done_to.corner)
        else:
            continue
        yield Part(verb.start, end, (entry.value,), None, "call", credited, "attached", given_to=True)


def _inside_another(talk: Talk, term: Term) -> bool:
    """Whether a longer term of another kind covers this one ("stalling" in "stalling point")."""
    return any(
        t.start <= term.start and term.end <= t.end and t.end - t.start > term.end - term.start
        for t in talk.terms.all_at("kind", term.start)
        if t.entry.value != term.entry.value
    )


def _undone(talk: Talk, term: Term) -> bool:
    """Whether the words around take the award away ("the caution comes off", "takedown off the board")."""
    lo, hi = talk.segment(term.start)
    a, b = max(lo, term.start - 3), min(hi, term.end + 4)
    if talk.terms.any("challenge_won", a, b):
        return True
    # "a warning, no points" is what a warning is.
    return term.entry.value not in WARNINGS and talk.terms.any("wave_off", a, b)


def _fall(talk: Talk, term: Term) -> bool:
    """ "fall" is the end of the bout only where it stands as a noun: alone, shouted, or after that's/by/the."""
    if _doer(talk, term) is not None:
        return True
    before = talk.terms.at("kind", term.start - 1)
    if before is not None and before.entry.value == "fall":
        return True
    if term.end - term.start > 1 or talk.words[term.start] in ("pinned", "pinfall"):
        return True
    ends = (
        talk.closes(term.end)
        or talk.next_word(term.end) in ("at", "in", ".")
        or talk.number_at(term.end) is not None
        or talk.ref_after(term.end, 1) is not None
    )
    return talk.previous_word(term.start) in ("", "a", "the", "by", "'s", "s", ",") and ends


def _credited(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    after = talk.ref_after(term.end, 2)
    before = talk.ref_before(term.start, 1)
    given_up = list(talk.terms.within("concedes", max(lo, term.start - 4), term.start))
    if given_up:
        loser = talk.ref_before(given_up[0].start, 2)
        if loser is not None:
            return other(loser.corner), "attached"
    against = talk.ref_after(term.end + 2, 1) if "against" in talk.words[term.end : term.end + 2] else None
    if against is not None:
        return other(against.corner), "attached"
    doer = _doer(talk, term)
    if doer is not None:
        return doer.corner, "attached"
    if after is not None and after.about != "bench":
        return after.corner, "attached"
    sufferer = _suffers(talk, term)
    if sufferer is not None:
        return other(sufferer), "attached"
    if before is not None and before.about != "bench":
        return before.corner, "attached"
    verb = talk.terms.at("gives", term.start - 1) or talk.terms.at("gives", term.start - 2)
    if verb is not None:
        subject = talk.ref_before(verb.start, 1)
        if subject is not None:
            return subject.corner, "attached"
    return around(talk, term.start, term.end, lo, hi)


def _suffers(talk: Talk, term: Term) -> Corner | None:
    """Whom something was done to, where the verb says so: "Strandlow has been pinned", "red gets turned"."""
    if talk.previous_word(term.start) not in _PASSIVE or not talk.words[term.end - 1].endswith(
        ("ed", "n", "w")
    ):
        return None
    subject = talk.ref_before(term.start - 1, 3)
    return subject.corner if subject is not None and subject.about == "athlete" else None


def _penalised(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    """The corner credited by a call that names the offender."""
    for i in range(term.end, min(hi, term.end + 6)):
        named = talk.ref_after(i + 1, 1) if talk.words[i] in ("against", "on") else None
        if named is not None:
            return other(named.corner), "attached"
    after = talk.ref_after(term.end, 2)
    before = talk.ref_before(term.start, 1)
    if after is not None and "point" in talk.words[term.start : term.end]:
        # "Passivity point, blue": the point is blue's.
        return after.corner, "attached"
    ref = after if after is not None else before
    if ref is not None:
        return other(ref.corner), "attached"
    around_it = list(talk.refs_within(max(lo, term.start - 10), min(hi, term.end + 8)))
    if around_it:
        near = min(around_it, key=lambda r: min(abs(r.start - term.end), abs(term.start - r.end)))
        return other(near.corner), "clause"
    corner, tie = around(talk, term.start, term.end, lo, hi)
    return (other(corner) if corner else None), tie


def _goes_out(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    """The corner credited when the one who goes out is the subject."""
    gets = [
        t
        for t in talk.terms.within("gives", term.end, min(hi, term.end + 6))
        if talk.between(t.start, t.end) in _TAKING
    ]
    if gets:
        taker = talk.ref_before(gets[0].start, 1)
        if taker is not None:
            return taker.corner, "attached"
    named = [r for r in talk.refs_within(max(lo, term.start - 10), term.start + 1) if r.start <= term.start]
    if named:
        gap = term.start - named[-1].end
        return other(named[-1].corner), "attached" if gap <= 1 else "clause"
    corner, tie = around(talk, term.start, term.end, lo, hi)
    return (other(corner) if corner else None), ("near" if tie != "none" else "none")
