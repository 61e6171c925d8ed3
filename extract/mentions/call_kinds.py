"""Finds kinds of award and warning that are named, and whom they credit."""

from __future__ import annotations

from collections.abc import Iterator

from extract.mentions.call_parts import CallPart, sort_of
from extract.mentions.decide import decide
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.rules.base import Corner, other
from extract.talk.terms import Term, style_kinds


def kind_parts(talk: Talk) -> Iterator[CallPart]:
    """Kinds named, with the corner that they credit."""
    for term in talk.terms.all("kind"):
        entry = term.entry
        sort = sort_of(entry.value, entry.strength)
        if _is_none(talk, term, sort):
            continue
        owner = whose(talk, sort, term.start, term.end)
        done = owner is not None and owner.given
        if entry.value == "fall" and not done and talk.rows.first("fall", talk, term.start, term.end) is None:
            continue
        yield CallPart(
            term.start,
            term.end,
            (entry.value,),
            None,
            entry.strength,
            owner.corner if owner is not None else None,
            owner.tie if owner is not None else "none",
            given_to=done,
            row=owner.row.id if owner is not None else "",
            sort=sort,
        )
    yield from _told(talk)
    yield from _split_verbs(talk)


def _told(talk: Talk) -> Iterator[CallPart]:
    """Kinds that are told by what happens ("his foot is on the wood"), with the corner that they credit."""
    known = style_kinds(talk.lexicon.style)
    for hit in talk.rows.apart("told kind", talk):
        value, sort = hit.row.text("kind"), hit.row.text("sort") or "award"
        if value not in known or decide(talk, "no kind", hit.start, hit.end, {"of": sort}) is not None:
            continue
        named = talk.ref_at(hit.parts["c"][0]) if "c" in hit.parts else None
        if named is not None:
            corner: Corner | None = other(named.corner) if hit.row.more.get("turned") else named.corner
            tie: Tie = "attached"
        else:
            owner = whose(talk, sort, hit.start, hit.end)
            corner, tie = (owner.corner, owner.tie) if owner is not None else (None, "none")
        yield CallPart(
            hit.start,
            hit.end,
            (value,),
            None,
            hit.row.form,
            corner,
            tie,
            given_to=named is not None,
            row=hit.row.id,
            sort=sort,
        )


def _is_none(talk: Talk, term: Term, sort: str) -> bool:
    """Whether a term of a kind names none: a longer term of another kind covers it ("stalling" in "stalling point"), or
    it is what the kind is not, or a row says so."""
    value = term.entry.value
    around = (t for t in talk.terms.all_at("kind", term.start) if t.entry.value != value)
    if any(
        t.start <= term.start and term.end <= t.end and t.end - t.start > term.end - term.start
        for t in around
    ):
        return True
    if any(t.entry.value == value for t in talk.terms.within("not_kind", term.start, term.end)):
        return True
    return decide(talk, "no kind", term.start, term.end, {"of": sort}) is not None


def _split_verbs(talk: Talk) -> Iterator[CallPart]:
    """A verb, the one it is done to, and a small word that make a kind: "takes him down", "pushes blue out"."""
    for hit in talk.rows.find("split verb", talk):
        verbs = (t for t in talk.terms.all_at("split_verb", hit.start) if t.start == hit.start)
        for entry in (verb.entry for verb in verbs):
            lengths = {particle: len(particle.split()) for particle in entry.particles}
            ends = (hit.end + n for p, n in lengths.items() if talk.between(hit.end, hit.end + n) == p)
            end, owner = next(ends, None), whose(talk, "split verb", hit.start, hit.end)
            if end is not None and owner is not None:
                yield CallPart(
                    hit.start,
                    end,
                    (entry.value,),
                    None,
                    "call",
                    owner.corner,
                    "attached",
                    given_to=True,
                )
