"""Which bouts come first: those most in doubt, copies of a transcript after others; speakers over all programmes."""

from __future__ import annotations

import json
import random
from pathlib import Path

import pandas as pd
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from extract.cli.app import app
from extract.dataset.foremost import Foremost
from tests.dataset.corpus import talk, write_corpus


def run(*args: object) -> Result:
    return CliRunner().invoke(app, ["dataset", *map(str, args)])


@given(st.lists(st.tuples(st.integers(0, 30), st.sampled_from("abcdef"))), st.integers(1, 8), st.randoms())
def test_it_is_the_same_as_sorting_all_of_them(
    pairs: list[tuple[int, str]], top: int, rng: random.Random
) -> None:
    rows = [((value, n), mark) for n, (value, mark) in enumerate(pairs)]
    best: dict[str, tuple[int, int]] = {}
    for row, mark in sorted(rows, reverse=True):
        best.setdefault(mark, row)
    copies = sorted((row for row, mark in rows if best[mark] != row), reverse=True)
    foremost: Foremost[tuple[int, int]] = Foremost(top)
    while rows:
        some = rng.randint(1, len(rows))
        foremost.add(rows[:some])
        rows = rows[some:]
    assert foremost.rows() == [*sorted(best.values(), reverse=True), *copies][:top]


def test_copies_of_one_transcript_come_after_others(tmp_path: Path) -> None:
    source, out = tmp_path / "talk", tmp_path / "out"
    write_corpus(source, 4)
    assert run(source, "--out", out, "--recordings", "bout", "--jobs", "1").exit_code == 0
    bouts = pd.read_parquet(out / "bouts").sort_values(["gain", "unsure", "bout_id"], ascending=False)
    most = source / bouts["bout_id"].iloc[0]
    for n in range(5):
        (source / f"copy-{n}.srt").write_bytes(most.read_bytes())
    assert run(source, "--out", out, "--recordings", "bout", "--jobs", "1").exit_code == 0
    done = run("doubtful", out, source, "--out", tmp_path / "desk", "--top", "4")
    assert done.exit_code == 0, done.output
    texts = {path.read_bytes() for path in (tmp_path / "desk").glob("*.srt")}
    assert len(texts) == 4
    listed = [row["bout_id"] for row in json.loads((out / "quality.json").read_text())["review_first"]]
    first = [(source / bout_id).read_bytes() for bout_id in listed[:4]]
    assert len(set(first)) == 4
    # Where there are no others left, the copies are handed over, too.
    assert len(listed) == 9
    assert "| bout | likely fixes | expected errors |" in (out / "quality.md").read_text()


def test_speakers_are_counted_over_all_programmes_too(tmp_path: Path) -> None:
    for programme, seeds in {"spring": (3, 4, 5), "autumn": (6, 7)}.items():
        for seed in seeds:
            path = tmp_path / "talk" / programme / f"bout-{seed}.vtt"
            path.parent.mkdir(parents=True, exist_ok=True)
            blocks = talk(seed).replace(",", ".").strip().split("\n\n")
            cues = []
            for n, block in enumerate(blocks):
                _, times, text = block.split("\n")
                cues.append(f"{times}\n<v {('Wren', 'Dace')[n % 2]}>{text}</v>")
            path.write_text("WEBVTT\n\n" + "\n\n".join(cues) + "\n")
    out = tmp_path / "out"
    assert run(tmp_path / "talk", "--out", out, "--recordings", "bout", "--jobs", "1").exit_code == 0
    tree = json.loads((out / "quality.json").read_text())["stated_scores"]
    overall = {row["speaker"]: (row["of"], row["found"]) for row in tree["by_speaker_overall"]}
    assert set(overall) <= {"Wren", "Dace"}
    assert overall
    for speaker, counts in overall.items():
        within = [row for row in tree["by_speaker"] if row["speaker"] == speaker]
        assert len({row["programme"] for row in within}) == len(within)
        assert counts == (sum(row["of"] for row in within), sum(row["found"] for row in within))
    assert any(len([row for row in tree["by_speaker"] if row["speaker"] == who]) == 2 for who in overall)
    page = (out / "quality.md").read_text()
    assert "Speakers over all programmes" in page
    assert "| speaker | stated | wrong | interval |" in page
