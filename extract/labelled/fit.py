"""Fits the model's parameters on labelled bouts.

What a mention is (a score of this bout, an award) is a logistic function of its signs, fitted with a prior on its
weights. One of the signs is the row of the lexicon that it was found by: its weight is what the row is worth more or less
than its form, and a narrow prior keeps it near 0 until many mentions have told. All else is a share, counted with a prior
that stands for a few cases of what is usual. Numbers that no label tells (how the beam is cut, how the clock is laid out)
are taken over from the file that one starts from.
"""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from extract import __version__
from extract.errors import InputError
from extract.labelled.counts import Counts, count, count_trust
from extract.labelled.truth import LabelledBout
from extract.log.parameters import Parameters, prior_parameters
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
#: The same of the words that show when something was given.
_LEAST_TOLD = 0.1
#: What the signs begin with that are words around.
_WORDS = (SAID_SIGN, BESIDE_SIGN)

#: The confidence is counted in so many parts, each with parameters fitted on the others.
_TRUST_FOLDS = 4


def fit(
    bouts: Sequence[LabelledBout],
    start: Parameters | None = None,
    *,
    source: str = "",
    lexicons: Sequence[Path] = (),
) -> Parameters:
    """Parameters fitted on labelled bouts, read with the user's own ``lexicons``. ``start`` gives the priors and
    everything that is not fitted (by default the shipped priors). ``source``, the names of the folders, goes into the
    provenance, and so do the names of the lexicons."""
    ids = [bout.truth.id for bout in bouts]
    parts = [count([bout], lexicons) for bout in bouts]
    parts += trusted(bouts, parts, start, lexicons)
    fitted = fit_counts(Counts.merged(parts), ids, start, source=source)
    fitted.tables["provenance"]["command"] += "".join(f" --lexicon {file.name}" for file in lexicons)
    return fitted


def folds(count: int, most: int) -> list[range]:
    """The positions of so many bouts in at most ``most`` parts, neighbours together: they are often by one hand.

    >>> folds(5, 2)
    [range(0, 3), range(3, 5)]
    """
    size = -(-count // most) if count else 1
    return [range(at, min(at + size, count)) for at in range(0, count, size)]


def trusted(
    bouts: Sequence[LabelledBout],
    parts: Sequence[Counts],
    start: Parameters | None = None,
    lexicons: Sequence[Path] = (),
) -> list[Counts]:
    """How often the program is right when it is sure: each bout read with parameters fitted on those of the other folds.
    ``parts`` are the counts of each bout."""
    out: list[Counts] = []
    for fold in folds(len(bouts), _TRUST_FOLDS):
        others = Counts.merged(part for k, part in enumerate(parts) if k not in fold)
        parameters = fit_counts(others, (), start)
        out += [count_trust(bouts[k], parameters, lexicons) for k in fold]
    return out


def fit_counts(
    counts: Counts, ids: Sequence[str], start: Parameters | None = None, *, source: str = ""
) -> Parameters:
    """As ``fit``, from what was counted over the bouts named."""
    tables: dict[str, Any] = copy.deepcopy((start or prior_parameters()).tables)
    tables["provenance"] = {
        "source": source or "labelled bouts",
        "bouts": list(ids),
        "date": date.today().isoformat(),
        "program": f"saidscore {__version__}",
        "command": f"saidscore fit {source}".rstrip(),
    }
    tables["score"]["sign"] = logistic(counts.scores, tables["score"]["sign"])
    tables["call"]["sign"] = logistic(counts.calls, tables["call"]["sign"])
    tables["score"]["repair"]["sign"] = logistic(counts.repaired, tables["score"]["repair"]["sign"])
    for kind, table in tables["moment"].items():
        if isinstance(table, dict):
            told = [(signs, kind in kinds) for signs, kinds in counts.passages]
            table["sign"] = logistic(told, table["sign"], least=_LEAST_TOLD)
    for stance, loose in tables["score"]["loose"].items():
        cases = sum(n for (s, _), n in counts.loose.items() if s == stance)
        for what in loose:
            loose[what] = _share(counts.loose[stance, what], cases, loose[what])
    # How far off a plainly wrong score is, drawn bouts do not tell: their slips are small by making.
    tables["score"]["ahead"] = shares(counts.ahead, tables["score"]["ahead"])
    tables["score"]["verdict"] = shares(counts.verdicts, tables["score"]["verdict"])
    for name, table in (("score", tables["score"]["tie"]), ("call", tables["tie"])):
        for tie in ("attached", "clause", "near"):
            right, wrong = counts.ties[name, tie, True], counts.ties[name, tie, False]
            table[tie] = _share(right, right + wrong, table[tie])
    _fit_repeats(counts, tables["call"]["repeat"])
    late = tables["call"]["late"]
    late["share"] = _share(counts.late[True], sum(counts.late.values()), late["share"])
    asked = tables["review"]["ask"]
    own, theirs = counts.asked[True], counts.asked[False]
    asked["own_score"] = _share(own, own + theirs, asked["own_score"])
    for path, key in {(path, key) for path, key, _ in counts.words}:
        table = _table(tables, path)
        right, wrong = counts.words[path, key, True], counts.words[path, key, False]
        table[key] = _share(right, right + wrong, table[key])
    for name in ("order", "near_fall"):
        prior = {str(n): p for n, p in enumerate(tables["call"]["points"][name])}
        seen = {str(n): counts.values[name, n] for n in range(len(prior))}
        tables["call"]["points"][name] = list(shares(seen, prior).values())
    uncalled = tables["uncalled"]
    rate = (counts.uncalled + 1) / (counts.seconds + 1 / uncalled["rate_per_s"])
    uncalled["rate_per_s"] = max(round(rate, 5), 0.00001)
    uncalled["burst"] = _share(counts.flurries, counts.events, uncalled["burst"])
    uncalled["kind"] = shares(counts.kinds, uncalled["kind"], fixed=("least",))
    _fit_trust(tables["confidence"], counts.trust)
    return Parameters(tables)


def with_trust(parameters: Parameters, trust: Sequence[tuple[str, tuple[str, ...], bool]]) -> Parameters:
    """The parameters, fitted without any, with the confidence fitted on cases: what it is, the signs of the log, whether
    it was right."""
    tables = copy.deepcopy(parameters.tables)
    _fit_trust(tables["confidence"], trust)
    return Parameters(tables)


def _fit_trust(tables: dict[str, Any], trust: Sequence[tuple[str, tuple[str, ...], bool]]) -> None:
    for what, table in tables.items():
        cases = [(signs, right) for name, signs, right in trust if name == what]
        table["sign"] = logistic(cases, table["sign"])


def _table(tables: dict[str, Any], path: str) -> dict[str, Any]:
    for key in path.split("."):
        tables = tables[key]
    return tables


def _share(hits: float, cases: float, prior: float) -> float:
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
) -> dict[str, float]:
    """Weights of signs, and ``bias``: the most probable ones under a normal prior round ``prior`` (0 for signs that it
    does not name), which is narrower for rows and for words around, from samples of signs with the answer. Words
    around that few samples have are left out, and those that weigh less than ``least``.

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
    cases = Counter(sign for signs, _ in samples for sign in signs)
    seen = {sign for sign, n in cases.items() if n >= _WORD_CASES or not sign.startswith(_WORDS)}
    names = ["bias", *sorted(seen | set(prior) - {"bias"})]
    place = {name: k for k, name in enumerate(names)}
    rows = [[0, *{place[sign] for sign in signs if sign in place}] for signs, _ in samples]
    ends = np.cumsum([0, *map(len, rows)])
    columns = np.array([column for row in rows for column in row])
    matrix = csr_array((np.ones(len(columns)), columns, ends), shape=(len(samples), len(names)))
    answers = np.array([answer for _, answer in samples], dtype=float)
    centre = np.array([float(prior.get(name, 0.0)) for name in names])

    spread = np.array([_spread(name) for name in names])

    def loss(weights: Any) -> tuple[float, Any]:
        z = matrix @ weights
        away = weights - centre
        value = float(np.sum(np.logaddexp(0.0, z) - answers * z) + away @ (away / spread**2) / 2)
        return value, matrix.T @ (expit(z) - answers) + away / spread**2

    found = minimize(loss, centre, jac=True, method="L-BFGS-B").x
    weights = {name: round(float(w), 3) for name, w in zip(names, found, strict=True)}
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


def _fit_repeats(counts: Counts, table: dict[str, Any]) -> None:
    """How often a call that fits an earlier event repeats it, by the seconds in between."""
    low = 0.0
    for n, within in enumerate(table["within"]):
        inside = [again for gap, more, again in counts.repeats if low <= gap <= within and not more]
        table["share"][n] = _share(sum(inside), len(inside), table["share"][n])
        low = within
    # The factor is how often calls with "more" are repetitions, divided by how often plain calls at the same
    # distances are.
    more = [(gap, again) for gap, m, again in counts.repeats if m]
    expected = sum(_repeat_share(table, gap) for gap, _ in more)
    table["more"] = _share(sum(again for _, again in more), expected, table["more"])


def _repeat_share(table: Mapping[str, Any], gap: float) -> float:
    return next((float(s) for w, s in zip(table["within"], table["share"], strict=True) if gap <= w), 0.0)
