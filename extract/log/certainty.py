"""How far a log can be believed: what shows that it is more guessed than read, and how often it is right then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from extract.log.hypothesis import Hypothesis, Said, nodes
from extract.log.model import Model
from extract.mentions.model import Mention, ScoreMention


def lost_signs(
    best: Hypothesis, dropped: float, mentions: Sequence[Mention], model: Model
) -> tuple[str, ...]:
    """What shows that the talk was not understood well: much was let go in the search, many awards were never called,
    many scores were said that do not fit. ``dropped`` is the share of the probability that was let go."""
    table = model.parameters.table("lost")
    shares = {
        "dropped": dropped,
        "guessed": _guessed(best),
        "unexplained": _unexplained(best, mentions, model),
    }
    return tuple(sign for what, share in shares.items() for sign in _signs(what, share, table))


def _signs(what: str, share: float, table: Mapping[str, float]) -> Iterator[str]:
    if share > table[f"much_{what}"]:
        yield f"much {what}"
    elif share > table[f"some_{what}"]:
        yield f"some {what}"


def _guessed(best: Hypothesis) -> float:
    """The share of the awards that nobody called."""
    awards = [e for e in best.entries if e.move.points and e.overturned is None and e.fact is None]
    return sum(e.basis == "inferred" for e in awards) / len(awards) if awards else 0.0


def _unexplained(best: Hypothesis, mentions: Sequence[Mention], model: Model) -> float:
    """The share of the likely scores that are taken for no score of this bout, or for slips."""
    least = model.parameters.get("lost", "likely")
    likely = {
        k
        for k, m in enumerate(mentions)
        if isinstance(m, ScoreMention) and m.stance == "asserted" and model.score_genuine(m) >= least
    }
    fits = {node.item.mention for node in nodes(best.said) if node.item.verdict == "agrees"}
    return len(likely - fits) / len(likely) if likely else 0.0


def statement_sort(said: Said) -> str:
    """The table of ``confidence`` that a stated score belongs to."""
    return "agrees" if said.verdict in ("agrees", "none") else "slip"


def statement_trust(said: Said, signs: Sequence[str], model: Model) -> float:
    """How often the verdict on a score that was said with such signs is right."""
    return model.parameters.chance(f"confidence.{statement_sort(said)}.sign", signs)


def trust_by(signs: Sequence[str], model: Model) -> dict[str, float]:
    """How often what all readings agree on is right in such a log, by what it is."""
    kinds = model.parameters.table("confidence")
    return {what: model.parameters.chance(f"confidence.{what}.sign", signs) for what in kinds}
