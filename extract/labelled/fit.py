"""Fits the model's parameters on labelled bouts.

What a mention is (a score of this bout, an award) is a logistic function of its signs, fitted with a prior on its
weights. One of the signs is the row of the lexicon that it was found by: its weight is what the row is worth more or less
than its form, and a narrow prior keeps it near 0 until many mentions have told. All else is a share, counted with a prior
that stands for a few cases of what is usual. Numbers that no label tells (how the beam is cut, how the clock is laid out)
are taken over from the file that one starts from.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from extract import __version__
from extract.labelled.count_read import count_read
from extract.labelled.counts import Counts, count
from extract.labelled.fit_stretches import fit_stretches
from extract.labelled.shares import logistic, share, shares
from extract.labelled.truth import LabelledBout
from extract.log.parameters import Parameters, prior_parameters

#: The weight of a word is kept where it is so great, of the words that show when something was given.
_LEAST_TOLD = 0.1
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
        out += [count_read(bouts[k], parameters, lexicons) for k in fold]
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
            loose[what] = share(counts.loose[stance, what], cases, loose[what])
    # How far off a plainly wrong score is, drawn bouts do not tell: their slips are small by making.
    tables["score"]["ahead"] = shares(counts.ahead, tables["score"]["ahead"])
    tables["score"]["verdict"] = shares(counts.verdicts, tables["score"]["verdict"])
    for name, table in (("score", tables["score"]["tie"]), ("call", tables["tie"])):
        for tie in ("attached", "clause", "near"):
            right, wrong = counts.ties[name, tie, True], counts.ties[name, tie, False]
            table[tie] = share(right, right + wrong, table[tie])
    _fit_repeats(counts, tables["call"]["repeat"])
    late = tables["call"]["late"]
    late["share"] = share(counts.late[True], sum(counts.late.values()), late["share"])
    asked = tables["review"]["ask"]
    own, theirs = counts.asked[True], counts.asked[False]
    asked["own_score"] = share(own, own + theirs, asked["own_score"])
    for path, key in {(path, key) for path, key, _ in counts.words}:
        table = _table(tables, path)
        right, wrong = counts.words[path, key, True], counts.words[path, key, False]
        table[key] = share(right, right + wrong, table[key])
    for name in ("order", "near_fall"):
        prior = {str(n): p for n, p in enumerate(tables["call"]["points"][name])}
        seen = {str(n): counts.values[name, n] for n in range(len(prior))}
        tables["call"]["points"][name] = list(shares(seen, prior).values())
    uncalled = tables["uncalled"]
    rate = (counts.uncalled + 1) / (counts.seconds + 1 / uncalled["rate_per_s"])
    uncalled["rate_per_s"] = max(round(rate, 5), 0.00001)
    uncalled["burst"] = share(counts.flurries, counts.events, uncalled["burst"])
    uncalled["kind"] = shares(counts.kinds, uncalled["kind"], fixed=("least",))
    _fit_read(tables, counts)
    return Parameters(tables)


def with_read(parameters: Parameters, counts: Counts) -> Parameters:
    """The parameters, fitted without it, with what is counted on bouts that were read (``count_read``): how far a log may
    be believed, and how kinds of talk look."""
    tables = copy.deepcopy(parameters.tables)
    _fit_read(tables, counts)
    return Parameters(tables)


def _fit_read(tables: dict[str, Any], counts: Counts) -> None:
    _fit_trust(tables["confidence"], counts.trust)
    fit_stretches(counts, tables["stretch"])


def _fit_trust(tables: dict[str, Any], trust: Sequence[tuple[str, tuple[str, ...], bool]]) -> None:
    for what, table in tables.items():
        cases = [(signs, right) for name, signs, right in trust if name == what]
        table["sign"] = logistic(cases, table["sign"])


def _table(tables: dict[str, Any], path: str) -> dict[str, Any]:
    for key in path.split("."):
        tables = tables[key]
    return tables


def _fit_repeats(counts: Counts, table: dict[str, Any]) -> None:
    """How often a call that fits an earlier event repeats it, by the seconds in between."""
    low = 0.0
    for n, within in enumerate(table["within"]):
        inside = [again for gap, more, again in counts.repeats if low <= gap <= within and not more]
        table["share"][n] = share(sum(inside), len(inside), table["share"][n])
        low = within
    # The factor is how often calls with "more" are repetitions, divided by how often plain calls at the same
    # distances are.
    more = [(gap, again) for gap, m, again in counts.repeats if m]
    expected = sum(_repeat_share(table, gap) for gap, _ in more)
    table["more"] = share(sum(again for _, again in more), expected, table["more"])


def _repeat_share(table: Mapping[str, Any], gap: float) -> float:
    return next((float(s) for w, s in zip(table["within"], table["share"], strict=True) if gap <= w), 0.0)
