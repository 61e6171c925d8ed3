"""Reading labelled bouts, and what is wrong with label files."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from extract.errors import InputError
from extract.labelled import LabelledBout, read_labelled
from extract.labelled.labels import TrueDistractor
from tests.labelled.hand_made import SAMPLES


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one labelled bout."""
    for ending in (".csv", ".truth.json"):
        shutil.copy(SAMPLES / f"shed-notes{ending}", tmp_path)
    return tmp_path


def change(folder: Path, edit: Callable[[dict[str, Any]], object]) -> None:
    path = folder / "shed-notes.truth.json"
    data = json.loads(path.read_text())
    edit(data)
    path.write_text(json.dumps(data))


def test_samples_are_read_with_their_bout_files(samples: list[LabelledBout]) -> None:
    assert [b.truth.id for b in samples] == [
        "lantern-final", "pellingham-dual", "ropewalk-greco", "saltpan-foil", "shed-notes", "tallow-quarter",
    ]  # fmt: skip
    assert [b.bout is not None for b in samples] == [True, True, True, True, False, True]
    assert [b.truth.coarse for b in samples] == [False, True, False, False, False, False]
    first = samples[0].truth
    assert first.events[1].called == "full call"
    assert first.board[0].t == 0.0
    assert first.seconds == 496.4


def test_a_folder_is_read_once(folder: Path) -> None:
    assert len(read_labelled(folder, folder / ".")) == 1


def test_what_may_be_left_out(folder: Path) -> None:
    def drop(data: dict[str, Any]) -> None:
        for key in ("seconds", "near_s", "format", "margins", "criteria"):
            data.pop(key, None)

    change(folder, drop)
    [bout] = read_labelled(folder)
    assert (bout.truth.near_s, bout.truth.seconds, bout.truth.format) == (12.0, None, "")


def test_distractors_are_notes(folder: Path) -> None:
    """Words that are no score or call of the bout may be listed, in whatever form."""
    for noted in ([{"t": 3.0, "words": "the two seed", "why": "seeds"}], {"of": "another form"}, None):
        change(folder, lambda data, noted=noted: data.update(distractors=noted))  # type: ignore[misc]
        [bout] = read_labelled(folder)
        assert bout.truth.scores


def test_distractors_may_say_which_kind_of_talk_they_are(folder: Path) -> None:
    noted = [
        {"t": 3.0, "words": "the two seed", "why": "seeds"},
        {"t": 9.5, "words": "Two!", "stretch": "recounted"},
    ]
    change(folder, lambda data: data.update(distractors=noted))
    [bout] = read_labelled(folder)
    assert bout.truth.distractors == (TrueDistractor(9.5, "Two!", "recounted"),)


@pytest.mark.parametrize(
    ("entry", "problem"),
    [
        (
            {"t": 1.0, "words": "two", "stretch": "replay"},
            r"distractors\[1\]\.stretch: expected one of live, recounted, another bout, .* found 'replay'",
        ),
        ({"t": 1.0, "words": "two", "stretch": None}, r"distractors\[1\]\.stretch: expected one of"),
        ({"t": 1.0, "stretch": "other"}, r"distractors\[1\]\.words: missing"),
        ({"t": "1:00", "words": "two", "stretch": "other"}, r"distractors\[1\]\.t: expected a number"),
    ],
)
def test_a_kind_of_talk_that_is_none_is_told(folder: Path, entry: dict[str, Any], problem: str) -> None:
    change(folder, lambda data: data.update(distractors=["a note", entry]))
    with pytest.raises(InputError, match=problem):
        read_labelled(folder)


def test_folder_without_labels(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no label file"):
        read_labelled(tmp_path)
    with pytest.raises(InputError, match="no label file"):
        read_labelled(tmp_path / "absent")


def test_truth_without_transcript(folder: Path) -> None:
    (folder / "shed-notes.csv").unlink()
    with pytest.raises(
        InputError, match=r"shed-notes\.truth\.json: no transcript beside it; put shed-notes\.srt"
    ):
        read_labelled(folder)


def test_id_of_two_bouts(folder: Path) -> None:
    for ending in (".csv", ".truth.json"):
        shutil.copy(folder / f"shed-notes{ending}", folder / f"again{ending}")
    with pytest.raises(InputError, match=r"its id is that of .*again"):
        read_labelled(folder)


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b'{\n "id": "x",\n}', r"shed-notes\.truth\.json:3: is not JSON"),
        (b"[]", "is no JSON object"),
        (b"\xff\xfe", "is not JSON in UTF-8"),
        (b'{"id": NaN}', "NaN is no number"),
        (b"[" * 100_000, "is not JSON"),
        (b'{"id": "x"}', "rules: missing"),
    ],
)
def test_no_label_file(content: bytes, problem: str, folder: Path) -> None:
    (folder / "shed-notes.truth.json").write_bytes(content)
    with pytest.raises(InputError, match=problem):
        read_labelled(folder)


@pytest.mark.parametrize(
    ("edit", "problem"),
    [
        (lambda d: d.pop("result"), "result: missing"),
        (lambda d: d.update(rules="sumo"), "rules: unknown ruleset 'sumo'; use one of collegiate, "),
        (lambda d: d["events"][3].pop("t"), r"events\[3\].t: missing"),
        (lambda d: d["events"][3].update(t="soon"), r"events\[3\].t: expected a number, found 'soon'"),
        (lambda d: d["events"][3].update(t=10**400), "too large"),
        (lambda d: d["events"][0].update(kind="takedwon"), r"events\[0\].kind: expected one of"),
        (lambda d: d["events"][0].update(points=2), r"events\[0\].corner: missing, though there are points"),
        (
            lambda d: d["events"][0].update(points=2, corner="red"),
            r"events\[0\].called: missing, though there are points",
        ),
        (lambda d: d["scores"][0].update(said=[1]), r"scores\[0\].said: expected a list of 2"),
        (lambda d: d["scores"][0].pop("slip"), r"scores\[0\].slip: missing"),
        (lambda d: d.update(challenges={}), "challenges: expected a list"),
        (lambda d: d["result"].update(winner="green"), "result.winner: "),
        (lambda d: d.update(near_s=None), "near_s: expected a number"),
    ],
)
def test_malformed_label_file(edit: Any, problem: str, folder: Path) -> None:
    change(folder, edit)
    with pytest.raises(InputError, match=problem) as caught:
        read_labelled(folder)
    assert "shed-notes.truth.json" in str(caught.value)
    assert "docs/labelled-bouts.md" in str(caught.value)
