"""Cross-validation and the intervals of the totals."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from scipy import stats

from extract.errors import InputError
from extract.labelled import LabelledBout, counts, validate
from extract.labelled.counts import Counts, count
from extract.labelled.fit import fit
from extract.labelled.measures import MEASURES, Tally
from extract.labelled.validate import MeasuredBout, bootstrap, cross_validate, groups, pooled, totals


def without_provenance(tables: Mapping[str, Any]) -> dict[str, Any]:
    return {key: table for key, table in tables.items() if key != "provenance"}


def test_merged_counts_are_those_of_all_bouts(samples: list[LabelledBout]) -> None:
    parts = [count([bout]) for bout in samples]
    first = parts[0].seconds, list(parts[0].calls)
    merged = Counts.merged(parts)
    assert merged == count(samples)
    assert merged.events == sum(len([e for e in b.truth.events if e.points]) for b in samples)
    assert (parts[0].seconds, parts[0].calls) == first, "merging must leave the parts as they are"
    assert Counts.merged([]) == Counts()


def without_trust(tables: dict[str, Any]) -> dict[str, Any]:
    return {key: table for key, table in without_provenance(tables).items() if key != "confidence"}


def test_each_bout_is_measured_with_parameters_fitted_on_all_the_others(
    samples: list[LabelledBout], monkeypatch: pytest.MonkeyPatch
) -> None:
    bouts = samples[1:4]
    heard: list[str] = []
    used: dict[str, Any] = {}
    hear, extract_bout = counts.hear, validate.extract_bout

    def listening(transcript: Any, *args: Any, **rest: Any) -> Any:
        heard.append(transcript.file)
        return hear(transcript, *args, **rest)

    def watching(transcript: Any, bout: Any, *, parameters: Any, **rest: Any) -> Any:
        used[transcript.file] = (bout, parameters)
        return extract_bout(transcript, bout, parameters=parameters, **rest)

    monkeypatch.setattr(counts, "hear", listening)
    monkeypatch.setattr(validate, "extract_bout", watching)
    measured = cross_validate(bouts)
    assert [b.id for b in measured] == [b.truth.id for b in bouts]
    assert sorted(heard) == sorted(b.transcript.file for b in bouts), "each transcript is counted once"
    monkeypatch.undo()
    for bout in bouts:
        others = [other for other in bouts if other is not bout]
        file, parameters = used[bout.transcript.file]
        assert file is bout.bout
        assert parameters.fitted_on == tuple(other.truth.id for other in others)
        # How far it may be believed is counted otherwise: on bouts that the parameters do not know either.
        assert without_trust(parameters.tables) == without_trust(fit(others).tables)


def test_without_bout_files_the_program_gets_the_transcript_alone(
    samples: list[LabelledBout], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []
    extract_bout = validate.extract_bout
    monkeypatch.setattr(
        validate,
        "extract_bout",
        lambda transcript, bout, **rest: seen.append(bout) or extract_bout(transcript, bout, **rest),
    )
    validate.measure_bouts(samples[:1], bout_files=False)
    validate.measure_bouts(samples[:1])
    assert samples[0].bout is not None
    assert seen == [None, samples[0].bout]


def test_one_bout_cannot_be_cross_validated(samples: list[LabelledBout]) -> None:
    with pytest.raises(InputError, match="one labelled bout only"):
        cross_validate(samples[:1])


HALF = Tally(1, 2)


def measured(id: str, rules: str, format: str, tally: Tally = HALF) -> MeasuredBout:
    graded = {"events": [(0.5, True)], "verdicts": [], "results": [(0.9, False)]}
    return MeasuredBout(id, rules, format, dict.fromkeys(MEASURES, tally), graded)


def test_groups_are_all_then_rules_then_formats() -> None:
    bouts = [measured("a", "greco", "srt"), measured("b", "freestyle", "csv"), measured("c", "greco", "")]
    got = groups(bouts)
    assert {name: [b.id for b in inside] for name, inside in got.items()} == {
        "all": ["a", "b", "c"], "freestyle": ["b"], "greco": ["a", "c"], "csv": ["b"], "srt": ["a"],
    }  # fmt: skip
    assert list(got) == ["all", "freestyle", "greco", "csv", "srt"]


def test_confidences_of_all_bouts_are_pooled() -> None:
    assert pooled([measured("a", "greco", "srt")] * 2) == {
        "events": [(0.5, True)] * 2, "verdicts": [], "results": [(0.9, False)] * 2,
    }  # fmt: skip


def test_intervals_agree_with_scipy() -> None:
    """The independent computation is scipy.stats.bootstrap, method "percentile", paired, over the same bouts; both draw
    at random, so they agree to two places."""
    chance = np.random.default_rng(3)
    labelled = chance.integers(5, 20, 30)
    found = chance.binomial(labelled, 0.8)
    given = found + chance.binomial(6, 0.3, 30)
    names = dict.fromkeys(MEASURES, Tally(0, 1))
    rows = zip(found.tolist(), labelled.tolist(), given.tolist(), strict=True)
    tallies = [{**names, "kinds": Tally(f, n), "scores": Tally(f, n, f, g)} for f, n, g in rows]
    got = bootstrap(tallies, 20_000)

    def recall(f: Any, n: Any, axis: int) -> Any:
        return f.sum(axis) / n.sum(axis)

    def f1(f: Any, n: Any, g: Any, axis: int) -> Any:
        p, r = f.sum(axis) / g.sum(axis), f.sum(axis) / n.sum(axis)
        return 2 * p * r / (p + r)

    for name, data, statistic in (
        ("kinds", (found, labelled), recall),
        ("scores", (found, labelled, given), f1),
    ):
        wanted = stats.bootstrap(
            data, statistic, paired=True, vectorized=True, method="percentile", n_resamples=20_000,
            random_state=np.random.default_rng(4),
        ).confidence_interval  # fmt: skip
        assert got[name] == pytest.approx((wanted.low, wanted.high), abs=0.005)


def test_same_bouts_give_the_same_intervals() -> None:
    bouts = [{name: Tally(k % 3, 3) for name in MEASURES} for k in range(8)]
    assert bootstrap(bouts, 300) == bootstrap(bouts, 300)


@pytest.mark.parametrize(
    ("tallies", "resamples"),
    [([Tally(1, 2)], 100), ([Tally(1, 2), Tally(2, 2)], 0), ([Tally(0, 0), Tally(0, 0)], 100)],
)
def test_no_interval(tallies: list[Tally], resamples: int) -> None:
    assert bootstrap([dict.fromkeys(MEASURES, t) for t in tallies], resamples)["kinds"] is None


def test_draws_without_a_label_or_an_entry() -> None:
    # Half the draws hold the bout with labels; the others say nothing of recall.
    assert bootstrap([dict.fromkeys(MEASURES, t) for t in (Tally(1, 1), Tally(0, 0))], 200)["kinds"] == (
        1.0,
        1.0,
    )
    nothing_found = [dict.fromkeys(MEASURES, Tally(0, 3, 0, 0))] * 2
    assert bootstrap(nothing_found, 200)["scores"] == (0.0, 0.0)


def test_totals_add_up_and_lie_in_their_intervals() -> None:
    bouts = [measured(str(k), "greco", "srt", Tally(k, 10, k, 10)) for k in range(10)]
    got = totals(bouts, 500)["scores"]
    assert got.tally == Tally(45, 100, 45, 100)
    assert got.interval is not None
    assert got.interval[0] < 0.45 < got.interval[1]
