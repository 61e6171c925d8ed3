"""Shares and logistic weights, each with a prior, from what was counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from extract.errors import InputError
from extract.mentions.model import BESIDE_SIGN, ROW_SIGN, SAID_SIGN

#: How many cases the prior of a share is worth.
_PRIOR = 6.0
#: Standard deviation of the prior on the weight of a sign.
_SPREAD = 1.0
#: The same of the weight of a row, beside that of its form: a few mentions move it by next to nothing. And of the weight
#: of a word around, of which there are many beside each mention.
_ROW_SPREAD, _WORD_SPREAD = 0.3, 0.2
#: A word around is a sign where so many mentions have it; and its weight is kept where it is so great.
_WORD_CASES, _LEAST_WEIGHT = 40, 0.02
#: What the signs begin with that are words around.
_WORDS = (SAID_SIGN, BESIDE_SIGN)


def share(hits: float, cases: float, prior: float) -> float:
    """A share of cases, with a prior that counts as a few of them."""
    return round((hits + _PRIOR * prior) / (cases + _PRIOR), 4)


def shares(
    counts: Mapping[str, int], prior: Mapping[str, float], fixed: Iterable[str] = ()
) -> dict[str, float]:
    """Shares of the keys of ``prior``. The prior itself counts as a few cases. ``fixed`` keys keep their value."""
    kept = {key: prior[key] for key in fixed}
    free = {key: p for key, p in prior.items() if key not in kept}
    weight = 2 * _PRIOR / sum(free.values())
    total = sum(counts.get(key, 0) for key in free) + 2 * _PRIOR
    return {**{key: round((counts.get(key, 0) + weight * p) / total, 4) for key, p in free.items()}, **kept}


def logistic(
    samples: Sequence[tuple[tuple[str, ...], bool]],
    prior: Mapping[str, float],
    *,
    least: float = _LEAST_WEIGHT,
    cases: int = _WORD_CASES,
    spread: float = _WORD_SPREAD,
) -> dict[str, float]:
    """Weights of signs, and ``bias``: the most probable ones under a normal prior round ``prior`` (0 for signs that it
    does not name), which is narrower for rows and for words around (there ``spread``), from samples of signs with the
    answer. Words around that fewer than ``cases`` samples have are left out, and those that weigh less than ``least``.

    >>> logistic([(("a",), True)] * 50 + [(("b",), False)] * 50, {"bias": 0.0})["a"] > 1
    True
    """
    try:
        import numpy as np
        from scipy.optimize import minimize
        from scipy.sparse import csr_array
        from scipy.special import expit
    except ImportError:
        raise InputError("saidscore fit", "scipy is not installed", "pip install 'saidscore[fit]'") from None
    counted = Counter(sign for signs, _ in samples for sign in signs)
    seen = {sign for sign, n in counted.items() if n >= cases or not sign.startswith(_WORDS)}
    names = ["bias", *sorted(seen | set(prior) - {"bias"})]
    place = {name: k for k, name in enumerate(names)}
    rows = [[0, *{place[sign] for sign in signs if sign in place}] for signs, _ in samples]
    ends = np.cumsum([0, *map(len, rows)])
    columns = np.array([column for row in rows for column in row])
    matrix = csr_array((np.ones(len(columns)), columns, ends), shape=(len(samples), len(names)))
    answers = np.array([answer for _, answer in samples], dtype=float)
    centre = np.array([float(prior.get(name, 0.0)) for name in names])

    spreads = np.array([_spread(name, spread) for name in names])

    def loss(weights: Any) -> tuple[float, Any]:
        z = matrix @ weights
        away = weights - centre
        value = float(np.sum(np.logaddexp(0.0, z) - answers * z) + away @ (away / spreads**2) / 2)
        return value, matrix.T @ (expit(z) - answers) + away / spreads**2

    found = minimize(loss, centre, jac=True, method="L-BFGS-B").x
    weights = {name: round(float(w), 3) for name, w in zip(names, found, strict=True)}
    return {
        name: weight
        for name, weight in weights.items()
        if abs(weight) >= least or not name.startswith(_WORDS)
    }


def _spread(sign: str, of_words: float) -> float:
    """Standard deviation of the prior on the weight of a sign."""
    if sign.startswith(ROW_SIGN):
        return _ROW_SPREAD
    return of_words if sign.startswith(_WORDS) else _SPREAD
