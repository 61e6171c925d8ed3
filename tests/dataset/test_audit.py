"""Intervals against reference libraries, and the audit against populations whose truth is known.

Wilson's interval: scipy.stats (binomtest(...).proportion_ci, method "wilson"); the sizes of samples: Cochran, Sampling
Techniques, 3rd ed. 1977, section 4.4, whose formula the tests work out again, and its textbook value of 385 (384.16 rounded
up) for a share of one half to five points (common practice).
"""

from __future__ import annotations

import csv
import random
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.dataset.audit import COLUMNS, estimate, plan
from extract.dataset.intervals import sample_for, wilson
from extract.dataset.sentences import sentence_around
from extract.dataset.store import Store
from extract.transcript.cue import Cue, Transcript
from tests.dataset.corpus import write_corpus


@given(st.integers(1, 5000), st.data(), st.sampled_from([0.8, 0.95, 0.99]))
def test_wilson_is_that_of_scipy(of: int, data: st.DataObject, level: float) -> None:
    found = data.draw(st.integers(0, of))
    interval = binomtest(found, of).proportion_ci(level, "wilson")
    assert wilson(found, of, level) == pytest.approx((interval.low, interval.high), abs=1e-9)


def test_how_many_to_look_at() -> None:
    assert sample_for(0.5, 0.05, 10**9) == 385
    # 385 / (1 + 384/1000) = 278.2, W. G. Cochran's correction for a finite population.
    assert sample_for(0.5, 0.05, 1000) == 278
    assert sample_for(0.1, 0.01, 50) == 50
    assert sample_for(0.5, 0.05, 0) == 0


def test_one_stratum_is_a_plain_sample() -> None:
    found = estimate({"all": (10**9, 200, 20)})
    low, high = wilson(20, 200)
    assert found.share == pytest.approx(0.1)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.003)


def test_looking_at_everything_leaves_no_doubt() -> None:
    found = estimate({"a": (10, 10, 1), "b": (30, 30, 0)})
    assert found.low == found.share == found.high == pytest.approx(0.025)


@pytest.mark.parametrize("rates", [(0.4, 0.15, 0.05, 0.01), (0.02, 0.02, 0.02, 0.02), (0.9, 0.5, 0.2, 0.1)])
def test_the_interval_holds_the_truth_as_often_as_it_says(rates: tuple[float, ...]) -> None:
    rng = random.Random(7)
    sizes, looked = (50, 400, 3000, 6000), (10, 40, 80, 70)
    inside = 0
    for _ in range(1000):
        truth = [[rng.random() < rate for _ in range(size)] for rate, size in zip(rates, sizes, strict=True)]
        strata = {
            str(k): (sizes[k], looked[k], sum(rng.sample(some, looked[k]))) for k, some in enumerate(truth)
        }
        found = estimate(strata)
        inside += found.low <= sum(map(sum, truth)) / sum(sizes) <= found.high
    assert 0.92 <= inside / 1000 <= 1.0


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("audit")
    write_corpus(folder / "talk", 40)
    args = ["dataset", str(folder / "talk"), "--out", str(folder / "out"), "--recordings", "bout", "-q"]
    assert CliRunner().invoke(app, args).exit_code == 0
    return folder / "out"


def test_a_sample_is_drawn_at_random_and_the_same_each_time(built: Path) -> None:
    store = Store(built)
    rows = plan(store, 60, 1)
    assert len(rows) == 60
    assert plan(store, 60, 1) == rows
    other = {(row["bout_id"], row["table"], row["id"]) for row in plan(store, 60, 2)}
    mine = {(row["bout_id"], row["table"], row["id"]) for row in rows}
    assert mine != other
    assert {row["table"] for row in rows} == {"events", "statements"}
    everything = plan(store, 10**6, 1)
    assert mine < {(row["bout_id"], row["table"], row["id"]) for row in everything}
    sizes = {row["stratum"]: row["stratum_size"] for row in everything}
    assert sum(sizes.values()) == len(everything)


def test_the_sample_goes_out_and_its_answers_come_back(built: Path, tmp_path: Path) -> None:
    path = tmp_path / "plan.csv"
    result = CliRunner().invoke(app, ["dataset", "audit", str(built), "--out", str(path), "--size", "50"])
    assert result.exit_code == 0, result.output
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert tuple(rows[0]) == COLUMNS
    assert not any(row["right"] for row in rows)
    again = CliRunner().invoke(app, ["dataset", "audit", str(built), "--out", str(path)])
    assert again.exit_code == 2
    assert "may hold answers" in again.output
    unanswered = CliRunner().invoke(app, ["dataset", "audit", "--answers", str(path)])
    assert unanswered.exit_code == 2
    assert "holds no answers" in unanswered.output
    for n, row in enumerate(rows):
        row["right"] = "no" if n % 5 == 0 else "Yes"
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    told = CliRunner().invoke(app, ["dataset", "audit", "--answers", str(path)])
    assert told.exit_code == 0, told.output
    assert "by 50 that were looked at" in told.output
    path.write_text(path.read_text().replace(",no,", ",perhaps,", 1))
    odd = CliRunner().invoke(app, ["dataset", "audit", "--answers", str(path)])
    assert odd.exit_code == 2
    assert "the answer 'perhaps' is neither yes nor no" in odd.output
    assert f"{path}:2:" in odd.output


def test_the_sample_has_the_sentences_of_the_source(built: Path, tmp_path: Path) -> None:
    talk = shutil.copytree(built.parent / "talk", tmp_path / "talk")
    (gone, changed, *_) = sorted(talk.rglob("*.srt"))
    gone.unlink()
    changed.write_text(changed.read_text().replace("Here we go", "Off we go"))
    path = tmp_path / "plan.csv"
    args = ["dataset", "audit", str(built), "--out", str(path), "--size", "5000", "--source", str(talk)]
    done = CliRunner().invoke(app, args)
    assert done.exit_code == 0, done.output
    told = sorted(done.stderr.splitlines())
    assert len(told) == 2
    assert "has changed since" in "".join(told)
    assert "is not in the source any more" in "".join(told)
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    without = {str(each.relative_to(talk)) for each in (gone, changed)}
    for row in rows:
        words = row["words"].strip("\u201c\u201d").split(" | ")[0]
        if row["bout_id"] in without:
            assert row["sentence"] == ""
        elif words:
            assert words in row["sentence"]
            assert row["sentence"].endswith((".", "?", "!"))
    assert list(rows[0])[-2:] == ["right", "note"]


@pytest.mark.parametrize(
    ("texts", "index", "said"),
    [
        (("One. Two for", "red. And on.", "Three."), 1, "One. Two for red."),
        (("One. Two for", "red. And on.", "Three."), 2, "Two for red. And on."),
        (("Is it two?", "Yes!", "Two."), 2, "Yes!"),
        (("no end", "in sight", "here"), 2, "no end in sight here"),
        (("one", "two"), 9, ""),
    ],
)
def test_the_sentence_goes_over_cues(texts: tuple[str, ...], index: int, said: str) -> None:
    cues = tuple(Cue(n, 10.0 * n, 10.0 * n + 5, text) for n, text in enumerate(texts, 1))
    talk = Transcript("a.srt", "srt", "0" * 64, cues)
    assert sentence_around(talk, index, 10.0 * index + 1) == said
