"""The kind of talk of passages as labels tell it, what is fitted of it, and how it is measured."""

from __future__ import annotations

import copy
from collections import Counter
from dataclasses import replace

from extract.bout import read_bout
from extract.labelled.counts import Counts
from extract.labelled.fit_stretches import fit_stretches
from extract.labelled.labels import TrueDistractor, TrueEvent, TrueResult, TrueScore, Truth
from extract.labelled.stretch_labels import count_stretches, labelled_kinds, stretches_found
from extract.labelled.validate import MeasuredBout, stretches
from extract.log.parameters import default_parameters, prior_parameters
from extract.transcript import Cue, Transcript

TALK = (
    "Ottilie in red, Junia in blue. Here we go!",
    "Takedown, two for red!",
    "Two-nothing, red.",
    "Last year it was six four and she won that one.",
    "If she gets a step out it is two one.",
    "Nice weather today.",
)
TRUTH = Truth(
    "talk",
    "freestyle",
    (TrueEvent(5.0, "takedown", "red", 2, called="full call"),),
    (),
    (TrueScore(12.0, (2, 0), None),),
    (),
    (),
    TrueResult("red", "points", 2, 0),
    distractors=(
        TrueDistractor(18.0, "It was six-four", "another bout"),
        TrueDistractor(24.0, "a step out it is 2-1", "supposed"),
        TrueDistractor(24.0, "words that nobody says anywhere", "other"),
    ),
)


def transcript() -> Transcript:
    cues = tuple(Cue(n + 1, 6.0 * n, 6.0 * n + 5, text) for n, text in enumerate(TALK))
    return Transcript("talk.srt", "srt", "", cues)


def test_labels_tell_the_kind_of_passages() -> None:
    read, _ = read_bout(transcript(), rules="freestyle")
    kinds = dict(zip((p.t for p in read.heard.passages), labelled_kinds(TRUTH, read.heard), strict=True))
    by_cue = {n: {kind for t, kind in kinds.items() if 6.0 * n <= t < 6.0 * n + 6} for n in range(len(TALK))}
    assert by_cue == {
        0: {None}, 1: {"live"}, 2: {"live"}, 3: {"another bout"}, 4: {"supposed"}, 5: {None},
    }  # fmt: skip


def test_a_passage_of_which_labels_differ_is_left_out() -> None:
    read, _ = read_bout(transcript(), rules="freestyle")
    both = replace(TRUTH, distractors=(TrueDistractor(12.0, "Two-nothing", "recounted"),))
    assert "recounted" not in labelled_kinds(both, read.heard)


def test_without_labels_of_it_nothing_is_counted_or_fitted() -> None:
    read, record = read_bout(transcript(), rules="freestyle")
    bare, out = replace(TRUTH, distractors=()), Counts()
    count_stretches(bare, read, default_parameters(), out)
    assert out == Counts()
    assert not stretches_found(bare, read.heard, record)
    tables = copy.deepcopy(prior_parameters().tables["stretch"])
    fit_stretches(out, tables)
    assert tables == prior_parameters().tables["stretch"]


def test_words_of_a_kind_come_to_speak_for_it() -> None:
    read, _ = read_bout(transcript(), rules="freestyle")
    out = Counts()
    count_stretches(TRUTH, read, default_parameters(), out)
    assert out.kinds_of_talk["taken", "another bout", "score let go"] == 1
    assert out.kinds_of_talk["next", "another bout", "supposed"] == 1
    tables = copy.deepcopy(prior_parameters().tables["stretch"])
    fit_stretches(Counts.merged([out] * 200), tables)
    weights = tables["words"]["another bout"]["sign"]
    assert weights["said year"] > 0 >= weights.get("said takedown", 0.0)
    assert tables["stay"]["another bout"] < prior_parameters().get("stretch.stay", "another bout")
    for table in (
        tables["first"],
        *tables["next"].values(),
        *tables["taken"].values(),
        *tables["around"].values(),
    ):
        assert abs(sum(table.values()) - 1) < 0.002


def test_how_often_the_kind_is_right() -> None:
    found = Counter(
        {("live", "live"): 6, ("live", "other"): 2, ("other", "recounted"): 3, ("other", "other"): 1}
    )
    tallies = stretches([MeasuredBout("a", "freestyle", "", {}, {}, stretches=found)])
    assert {name: (tally.found, tally.labelled) for name, tally in tallies.items()} == {
        "live": (6, 8), "other": (1, 4), "kind": (7, 12), "live or not": (10, 12),
    }  # fmt: skip
    assert stretches([MeasuredBout("a", "freestyle", "", {}, {})]) == {}
