"""Fits the numbers by which the kind of each passage of the talk is told (``stretch`` in the parameters)."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

from extract.labelled.counts import Counts
from extract.labelled.shares import logistic, share, shares
from extract.log.stretches import LIVE

#: A word is a sign where so many passages have it; its weight has so wide a prior, and is kept where it is so great.
_CASES, _SPREAD, _LEAST = 15, 0.4, 0.15


def fit_stretches(counts: Counts, tables: dict[str, Any]) -> None:
    """Fits the ``stretch`` tables to what was counted. Without labels that tell the kind of talk they stay as they are."""
    if not counts.talk:
        return
    for kind, table in tables["words"].items():
        samples = [(signs, of == kind) for of, signs in counts.talk if of in (kind, LIVE)]
        hits = sum(answer for _, answer in samples)
        # What weighs is the ratio of the likelihoods: how often each kind is labelled tells nothing of a passage.
        odds = math.log((hits + 1) / (len(samples) - hits + 1))
        prior = {**table["sign"], "bias": table["sign"]["bias"] + odds}
        fitted = logistic(samples, prior, least=_LEAST, cases=_CASES, spread=_SPREAD)
        table["sign"] = {**fitted, "bias": round(fitted["bias"] - odds, 3)}
    seen = counts.kinds_of_talk
    tables["first"] = shares(_of(seen, "first", ""), tables["first"])
    for kind in tables["stay"]:
        comes = _of(seen, "next", kind)
        tables["stay"][kind] = share(comes[kind], comes.total(), tables["stay"][kind])
        tables["next"][kind] = shares(comes, tables["next"][kind])
        for table in ("taken", "around"):
            tables[table][kind] = shares(_of(seen, table, kind), tables[table][kind])


def _of(seen: Counter[tuple[str, str, str]], table: str, kind: str) -> Counter[str]:
    return Counter({what: n for (of, by, what), n in seen.items() if (of, by) == (table, kind)})
