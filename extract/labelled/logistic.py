"""Fits logistic functions of signs under a normal prior on their weights."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from extract.errors import InputError
from extract.mentions.model import BESIDE_SIGN, ROW_SIGN, SAID_SIGN

#: Standard deviation of the prior on the weight of a sign.
_SPREAD = 1.0
#: The same of the weight of a row, beside that of its form: a few mentions move it by next to nothing. And of the weight
#: of a word around, of which there are many beside each mention.
_ROW_SPREAD, _WORD_SPREAD = 0.3, 0.2
#: A word around is a sign where so many mentions have it; and its weight is kept where it is so great.
_WORD_CASES, _LEAST_WEIGHT = 40, 0.02
#: What the signs begin with that are words around.
_WORDS = (SAID_SIGN, BESIDE_SIGN)
#: The same for the signs of who gets something: the prior, how many cases a sign needs, and the least weight that is kept.
_SIDE_SPREAD, _SIDE_CASES, _LEAST_SIDE = 0.25, 12, 0.05
#: Between a sign and the kind that it is of.
_OF = " of "


def logistic(
    samples: Sequence[tuple[tuple[str, ...], bool]],
    prior: Mapping[str, float],
    *,
    least: float = _LEAST_WEIGHT,
) -> dict[str, float]:
    """Weights of signs, and ``bias``: the most probable ones under a normal prior round ``prior`` (0 for signs that it
    does not name), which is narrower for rows and for words around, from samples of signs with the answer. Words
    around that few samples have are left out, and those that weigh less than ``least``.

    >>> logistic([(("a",), True)] * 50 + [(("b",), False)] * 50, {"bias": 0.0})["a"] > 1
    True
    """
    cases = Counter(sign for signs, _ in samples for sign in signs)
    seen = {sign for sign, n in cases.items() if n >= _WORD_CASES or not sign.startswith(_WORDS)}
    names = ["bias", *sorted(seen | set(prior) - {"bias"})]
    rows = [{"bias": 1.0, **dict.fromkeys(signs, 1.0)} for signs, _ in samples]
    answers = [answer for _, answer in samples]
    weights = _weights(rows, answers, {name: (prior.get(name, 0.0), _spread(name)) for name in names})
    return {
        name: weight
        for name, weight in weights.items()
        if abs(weight) >= least or not name.startswith(_WORDS)
    }


def _spread(sign: str) -> float:
    """Standard deviation of the prior on the weight of a sign."""
    if sign.startswith(ROW_SIGN):
        return _ROW_SPREAD
    return _WORD_SPREAD if sign.startswith(_WORDS) else _SPREAD


def sides(samples: Iterable[tuple[str, Mapping[str, float], bool]], kinds: Sequence[str]) -> dict[str, Any]:
    """The table of weights of who gets something: of signs that stand beside the one corner (1) or the other (-1), from
    samples of the kind, the signs and whether the one corner got it. ``sign`` has what holds for every kind, the other
    keys what holds for one besides. There is no bias, so that neither corner is favoured."""
    rows, answers = [], []
    for kind, signs, answer in samples:
        rows.append({**signs, **{sign + _OF + kind: value for sign, value in signs.items()}})
        answers.append(answer)
    cases = Counter(sign for row in rows for sign, value in row.items() if value)
    names = sorted(sign for sign, n in cases.items() if n >= _SIDE_CASES)
    weights = _weights(rows, answers, dict.fromkeys(names, (0.0, _SIDE_SPREAD)))
    out: dict[str, Any] = {"sign": {}, **{kind: {"sign": {}} for kind in kinds}}
    for name, weight in weights.items():
        sign, _, kind = name.rpartition(_OF)
        if abs(weight) >= _LEAST_SIDE:
            table = out[kind]["sign"] if sign and kind in out else out["sign"]
            table[sign if sign and kind in out else name] = weight
    return out


def _weights(
    rows: Sequence[Mapping[str, float]], answers: Sequence[bool], priors: Mapping[str, tuple[float, float]]
) -> dict[str, float]:
    """The most probable weight of each name in ``priors``, which has the mean and the standard deviation of each."""
    try:
        import numpy as np
        from scipy.optimize import minimize
        from scipy.sparse import csr_array
        from scipy.special import expit
    except ImportError:
        raise InputError("saidscore fit", "scipy is not installed", "pip install 'saidscore[fit]'") from None
    place = {name: k for k, name in enumerate(priors)}
    known = [[(place[name], value) for name, value in row.items() if name in place] for row in rows]
    ends = np.cumsum([0, *map(len, known)])
    columns = np.array([column for row in known for column, _ in row], dtype=int)
    values = np.array([value for row in known for _, value in row], dtype=float)
    matrix = csr_array((values, columns, ends), shape=(len(known), len(place)))
    truth = np.array(answers, dtype=float)
    centre = np.array([mean for mean, _ in priors.values()], dtype=float)
    spread = np.array([deviation for _, deviation in priors.values()])

    def loss(weights: Any) -> tuple[float, Any]:
        z = matrix @ weights
        away = weights - centre
        value = float(np.sum(np.logaddexp(0.0, z) - truth * z) + away @ (away / spread**2) / 2)
        return value, matrix.T @ (expit(z) - truth) + away / spread**2

    found = minimize(loss, centre, jac=True, method="L-BFGS-B").x
    return {name: round(float(w), 3) for name, w in zip(priors, found, strict=True)}
