"""Runs the program over labelled bouts and measures how right it is, on request with parameters fitted on the
others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from extract.bout import extract_bout
from extract.errors import InputError
from extract.labelled.calibration import KINDS, Graded, grade
from extract.labelled.count_read import count_read
from extract.labelled.counts import Counts, count
from extract.labelled.fit import fit_counts, folds, with_read
from extract.labelled.measures import MEASURES, Tally, measure, total
from extract.labelled.misses import Miss, misses
from extract.labelled.row_counts import RowCounts, count_rows
from extract.labelled.stretch_labels import stretches_found
from extract.labelled.truth import LabelledBout
from extract.log.parameters import Parameters
from extract.log.stretches import LIVE
from extract.mentions import hear
from extract.mentions.lexicon_check import own_lexicon

#: Seed of the bootstrap, so that the same bouts give the same intervals.
SEED = 20_000
#: Of more bouts than these not each one is left out alone, but a fold of them.
_MOST_FITS, _FOLDS = 40, 10
#: The group of all bouts.
ALL = "all"

Interval = tuple[float, float]
#: Called with the name of the bout in work, to show it meanwhile.
Watch = Callable[[str], AbstractContextManager[None]]


@dataclass(frozen=True, slots=True)
class MeasuredBout:
    """One bout's tallies by measure, its confidences with whether they were right, by what they are about, where it was
    asked for, what each row of the lexicon did, how often passages of each kind of talk were taken for each, and the
    faults that the tallies count."""

    id: str
    rules: str
    format: str
    tallies: Mapping[str, Tally]
    graded: Mapping[str, list[Graded]]
    rows: RowCounts = field(default_factory=dict)
    stretches: Counter[tuple[str, str]] = field(default_factory=Counter)
    misses: Sequence[Miss] = ()


def measure_bouts(
    bouts: Iterable[LabelledBout],
    parameters: Parameters | None = None,
    *,
    bout_files: bool = True,
    lexicons: Sequence[Path] = (),
    watch: Watch | None = None,
    phrases: bool = False,
) -> list[MeasuredBout]:
    """Each bout held against its truth. ``parameters`` replaces the shipped ones; without ``bout_files`` the program is
    told nothing but the transcript. ``lexicons`` are the user's own; with ``phrases`` it is counted what each row of the
    lexicon did."""
    return [_measure_one(bout, parameters, bout_files, lexicons, watch, phrases) for bout in bouts]


def cross_validate(
    bouts: Sequence[LabelledBout],
    *,
    bout_files: bool = True,
    lexicons: Sequence[Path] = (),
    watch: Watch | None = None,
    phrases: bool = False,
) -> list[MeasuredBout]:
    """Each bout compared with its truth, with the parameters fitted on all the others (leave-one-out; of many bouts a
    tenth at a time is left out, neighbours together). ``bout_files`` concerns only the bout that is measured; the fit
    always has them. Raises InputError for fewer than two bouts."""
    if len(bouts) < 2:
        raise InputError(
            "--cross-validate", "there is one labelled bout only", "name folders with two bouts at least"
        )
    # Every transcript is read once. Its counts are then added up for each fit.
    parts = [count([bout], lexicons) for bout in bouts]
    groups = folds(len(bouts), len(bouts) if len(bouts) <= _MOST_FITS else _FOLDS)
    fitted: dict[int, Parameters] = {}
    for fold in groups:
        others = Counts.merged(part for k, part in enumerate(parts) if k not in fold)
        ids = [bout.truth.id for k, bout in enumerate(bouts) if k not in fold]
        fitted |= dict.fromkeys(fold, fit_counts(others, ids))
    # How far each may be believed is counted on the others, none of which was read with parameters that know it; and so is
    # of which kind the parts of its talk are.
    readings = [count_read(bout, fitted[k], lexicons) for k, bout in enumerate(bouts)]
    out = []
    for fold in groups:
        others = Counts.merged(part for k, part in enumerate(readings) if k not in fold)
        for k in fold:
            parameters = with_read(fitted[k], others)
            out.append(_measure_one(bouts[k], parameters, bout_files, lexicons, watch, phrases))
    return out


def _measure_one(
    bout: LabelledBout,
    parameters: Parameters | None,
    bout_files: bool,
    lexicons: Sequence[Path],
    watch: Watch | None,
    phrases: bool,
) -> MeasuredBout:
    truth = bout.truth
    with watch(truth.id) if watch is not None else nullcontext():
        known = bout.bout if bout_files else None
        record = extract_bout(bout.transcript, known, parameters=parameters, lexicons=lexicons)
        rows: RowCounts = {}
        stretches: Counter[tuple[str, str]] = Counter()
        if phrases or truth.distractors:
            heard = hear(bout.transcript, truth.rules, known, lexicon=own_lexicon(truth.rules, lexicons))
            rows = count_rows(bout, heard, record) if phrases else rows
            stretches = stretches_found(truth, heard, record)
        tallies, graded = measure(truth, record), grade(truth, record)
        return MeasuredBout(
            truth.id, truth.rules, truth.format, tallies, graded, rows, stretches, misses(truth, record)
        )


def groups(bouts: Sequence[MeasuredBout]) -> dict[str, list[MeasuredBout]]:
    """All bouts, then those of each ruleset, then those of each format, in order of their names."""
    out = {ALL: list(bouts)}
    for names in ((b.rules for b in bouts), (b.format for b in bouts)):
        for name in sorted(set(names) - {""}):
            out[name] = [b for b in bouts if name in (b.rules, b.format)]
    return out


@dataclass(frozen=True, slots=True)
class Total:
    """A measure over several bouts, and the 95 % interval of its figure (None without resamples, for fewer than two
    bouts, or if nothing was labelled)."""

    tally: Tally
    interval: Interval | None


def totals(bouts: Sequence[MeasuredBout], resamples: int) -> dict[str, Total]:
    """The total of each measure over one or more bouts, with intervals from ``resamples`` draws."""
    summed = total([b.tallies for b in bouts])
    intervals = bootstrap([b.tallies for b in bouts], resamples)
    return {name: Total(summed[name], intervals[name]) for name in MEASURES}


def bootstrap(tallies: Sequence[Mapping[str, Tally]], resamples: int) -> dict[str, Interval | None]:
    """The 95 % interval of each measure's figure, by the percentile bootstrap over bouts (Efron and Tibshirani, An
    Introduction to the Bootstrap, 1993, chapter 13). Whole bouts are drawn with replacement, as many as there are,
    because what is said within a bout is alike. Draws in which nothing is labelled are left out."""
    n = len(tallies)
    if resamples < 1 or n < 2:
        return dict.fromkeys(MEASURES)
    # How often each bout is drawn. One draw serves all measures.
    draws = np.random.default_rng(SEED).multinomial(n, [1 / n] * n, size=resamples)
    out: dict[str, Interval | None] = {}
    for name in MEASURES:
        figures = _figures(draws, [t[name] for t in tallies])
        low_high = np.percentile(figures, [2.5, 97.5]) if figures.size else None
        out[name] = None if low_high is None else (float(low_high[0]), float(low_high[1]))
    return out


def _figures(draws: Any, tallies: Sequence[Tally]) -> Any:
    """``Tally.figure`` of each draw, for those that have one."""
    with_precision = all(t.given is not None for t in tallies)
    found, labelled, right, given = (
        draws @ np.array([[t.found, t.labelled, t.right or 0, t.given or 0] for t in tallies])
    ).T.astype(float)
    some = labelled > 0
    recall = found[some] / labelled[some]
    if not with_precision:
        return recall
    precision = right[some] / np.maximum(given[some], 1.0)
    both = precision + recall
    return np.where(precision * recall > 0, 2 * precision * recall / np.where(both > 0, both, 1.0), 0.0)


def stretches(bouts: Iterable[MeasuredBout]) -> dict[str, Tally]:
    """Of the passages whose kind of talk labels tell, those taken for it: of each kind, of all (``kind``), and those that
    are rightly taken for live or not (``live or not``). Empty where no label tells."""
    found = [pair for b in bouts for pair in b.stretches.elements()]
    out: dict[str, Tally] = {}
    for kind in sorted({kind for kind, _ in found}, key=lambda kind: (kind != LIVE, kind)):
        got = [one == kind for of, one in found if of == kind]
        out[kind] = Tally(sum(got), len(got))
    if found:
        out["kind"] = Tally(sum(of == one for of, one in found), len(found))
        out["live or not"] = Tally(sum((of == LIVE) == (one == LIVE) for of, one in found), len(found))
    return out


def pooled(bouts: Iterable[MeasuredBout]) -> dict[str, list[Graded]]:
    """The confidences of all bouts together, by what they are about."""
    bouts = list(bouts)
    return {kind: [pair for b in bouts for pair in b.graded[kind]] for kind in KINDS}
