"""The command, from the outside: what it reads, what it writes, how it ends."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from typer.testing import CliRunner, Result

from extract.cli.app import app
from extract.dataset.store import DRAFT
from tests.dataset.corpus import talk, tree, write_corpus
from tests.foreground import foreground


def run(*args: str | Path) -> Result:
    return CliRunner().invoke(app, ["dataset", *map(str, args)])


def build(source: str | Path, out: Path, *args: str) -> Result:
    return run(source, "--out", out, "--jobs", "1", "--recordings", "bout", *args)


@pytest.mark.processes
def test_the_tables_are_the_same_bytes_with_one_worker_and_with_three(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 30)
    one, three = tmp_path / "one", tmp_path / "three"
    assert build(tmp_path / "talk", one).exit_code == 0
    assert build(tmp_path / "talk", three, "--jobs", "3").exit_code == 0
    assert tree(one) == tree(three)
    assert len(pd.read_parquet(one / "bouts")) == 30


def test_a_second_run_reads_only_what_is_new_or_changed_and_takes_out_what_is_gone(tmp_path: Path) -> None:
    paths = write_corpus(tmp_path / "talk", 8)
    out = tmp_path / "out"
    assert "8 inputs: 8 read now" in build(tmp_path / "talk", out).output
    assert "8 inputs: 0 read now, 8 stood from before" in build(tmp_path / "talk", out).output
    paths[0].write_text(talk(77))
    paths[1].unlink()
    write_corpus(tmp_path / "talk", 1, first=8)
    told = build(tmp_path / "talk", out).output
    assert "8 inputs: 2 read now, 6 stood from before, 1 gone from the source and taken out" in told
    fresh = tmp_path / "fresh"
    build(tmp_path / "talk", fresh)
    assert tree(out) == tree(fresh)


def test_a_bout_file_that_comes_later_changes_its_input(tmp_path: Path) -> None:
    (path,) = write_corpus(tmp_path / "talk", 1)
    out = tmp_path / "out"
    build(tmp_path / "talk", out)
    path.with_name(f"{path.stem}.bout.toml").write_text('rules = "greco"\n')
    assert "1 read now" in build(tmp_path / "talk", out).output
    assert list(pd.read_parquet(out / "bouts")["rules"]) == ["greco"]


def wait_for_results(process: subprocess.Popen[Any], out: Path) -> None:
    """Until a run has put first results on the disk, whole."""
    until = time.monotonic() + 120
    while process.poll() is None and time.monotonic() < until:
        staged = (out / ".work" / "staged").glob("*")
        if any(not path.name.startswith(DRAFT) for path in staged):
            return
        time.sleep(0.01)


@pytest.fixture(scope="module")
def straight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with transcripts, and with the dataset that a run without a stop makes of them."""
    folder = tmp_path_factory.mktemp("straight")
    write_corpus(folder / "talk", 120)
    assert run(folder / "talk", "--out", folder / "out", "--jobs", "2").exit_code == 0
    return folder


@pytest.mark.parametrize("delay", [0.0, 1.0, 2.0])
def test_killed_and_started_again_it_is_as_if_it_had_never_stopped(
    tmp_path: Path, straight: Path, delay: float
) -> None:
    talks, out = straight / "talk", tmp_path / "out"
    command = [
        sys.executable,
        "-m",
        "extract",
        "dataset",
        str(talks),
        "--out",
        str(out),
        "--jobs",
        "2",
    ]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    wait_for_results(process, out)
    time.sleep(delay * 0.2)
    os.kill(process.pid, signal.SIGKILL)
    process.wait()
    assert not (out / "datapackage.json").exists()
    unfinished = run("check", out)
    assert unfinished.exit_code == 2
    assert "not finished" in unfinished.output
    told = run(talks, "--out", out, "--jobs", "2").output
    assert "stood from before" in told
    assert tree(out) == tree(straight / "out")


def test_bad_files_are_listed_and_the_others_done(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 3)
    (tmp_path / "talk" / "empty.srt").write_text("")
    (tmp_path / "talk" / "binary.vtt").write_bytes(b"\x00\x01\x02" * 99)
    (tmp_path / "talk" / "late.srt").write_text("1\n00:00:09,000 --> 00:00:01,000\nhello\n")
    (tmp_path / "talk" / "odd.srt").write_text(talk(5))
    (tmp_path / "talk" / "odd.bout.toml").write_text('rules = "sumo"\n')
    (tmp_path / "talk" / "gone.srt").symlink_to(tmp_path / "nowhere")
    with (tmp_path / "talk" / "huge.srt").open("wb") as file:
        file.truncate(500 * 2**20)
    result = build(tmp_path / "talk", tmp_path / "out")
    assert result.exit_code == 3
    failures = pd.read_parquet(tmp_path / "out" / "failures").set_index("input")
    assert set(failures.index) == {"empty.srt", "binary.vtt", "late.srt", "odd.srt", "gone.srt", "huge.srt"}
    assert failures.loc["late.srt", "line"] == 2
    assert "sumo" in failures.loc["odd.srt", "problem"]
    assert "500 MB" in failures.loc["huge.srt", "problem"]
    assert len(pd.read_parquet(tmp_path / "out" / "bouts")) == 3
    assert run("check", tmp_path / "out").exit_code == 0
    assert result.output.count("saidscore: ") == 6
    # What failed is told again, and nothing is written again.
    before = tree(tmp_path / "out")
    again = build(tmp_path / "talk", tmp_path / "out")
    assert again.exit_code == 3
    assert tree(tmp_path / "out") == before


@pytest.mark.processes
def test_an_input_that_ends_its_process_is_a_failure(tmp_path: Path) -> None:
    from extract.dataset.engine import LocalEngine
    from extract.dataset.item import Content, Loaded
    from extract.dataset.settings import Settings
    from extract.dataset.work import Task
    from tests.dataset.deadly import DEADLY, deadly

    items = [Loaded(f"{n}", f"{n}", f"{n}.srt", "p", None, Content(talk(n).encode()), "x") for n in range(6)]
    items[3] = Loaded("3", "3", DEADLY, "p", None, Content(b"x"), "x")
    packed = Settings().packed()
    tasks = [
        Task(0, tuple(items[:2]), packed),
        Task(1, tuple(items[2:4]), packed),
        Task(2, tuple(items[4:]), packed),
    ]
    done = list(LocalEngine(2, deadly).run(tasks))
    lost = [[item.key for item in each.task.items] for each in done if each.packed is None]
    assert lost == [["3"]]
    assert sorted(item.key for each in done for item in each.task.items) == list("012345")


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("list.csv", "transcript,transcript\na,b\n", "has the column 'transcript' twice"),
        ("list.csv", "transcript,red_aliasses\na.srt,b\n", "did you mean 'red_aliases'?"),
        ("list.csv", "transcript,blue.name\na.srt,b\n", "did you mean 'blue'?"),
        ("list.csv", "transcript\na.srt,b\n", "list.csv:2: a row of 2 cells under 1 columns"),
        ("talk.jsonl", '{"id": "a"}\n', "has no column 'text'"),
        ("talk.jsonl", '{"id": "a", "text": "x"}\n{"id"\n', "talk.jsonl:2: is no JSON"),
        ("talk.jsonl", "[1]\n", "talk.jsonl:1: a line that is no object"),
        ("talk.parquet", "PAR?", "talk.parquet: cannot be read as Parquet"),
        ("talk.mp4", "x", "is none of the things a dataset is made from"),
        ("talk.jsonl", "\n", "no transcript in it"),
    ],
)
def test_a_source_that_is_none_is_told_in_one_line(
    tmp_path: Path, name: str, content: str, told: str
) -> None:
    (tmp_path / name).write_text(content)
    result = build(tmp_path / name, tmp_path / "out")
    assert result.exit_code == 2
    assert told in result.output
    assert len(result.output.splitlines()) == 1
    assert not (tmp_path / "out").exists()


def test_other_wrong_calls_are_told_in_one_line(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 1)
    (tmp_path / "empty").mkdir()
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("Dear all")
    for args, told in (
        ([tmp_path / "nowhere", "--out", tmp_path / "out"], "no such file or folder"),
        ([tmp_path / "empty", "--out", tmp_path / "out"], "no transcript in it"),
        ([tmp_path / "talk", "--out", tmp_path / "full"], "is no dataset of this program"),
        ([tmp_path / "talk", "--out", tmp_path / "full" / "letter.txt"], "is no folder"),
        ([tmp_path / "talk", "--out", tmp_path / "out", "--rules", "sumo"], "unknown ruleset 'sumo'"),
        ([tmp_path / "talk", "--out", tmp_path / "out", "--scheduler", "tcp://x:1"], "add --engine dask"),
        (["check", tmp_path / "full"], "holds no dataset"),
        (["check", tmp_path / "nowhere"], "holds no dataset"),
        (["audit"], "needs DIR and --out"),
    ):
        result = run(*args)
        assert result.exit_code == 2, result.output
        assert told in result.output
        assert len(result.output.splitlines()) == 1
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["letter.txt"]


def test_another_way_of_making_it_is_refused_unless_all_is_done_anew(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 2)
    out = tmp_path / "out"
    build(tmp_path / "talk", out, "--rules", "freestyle")
    before = tree(out)
    refused = build(tmp_path / "talk", out, "--rules", "greco")
    assert refused.exit_code == 2
    assert "rules was 'freestyle', now 'greco'" in refused.output
    assert tree(out) == before
    assert build(tmp_path / "talk", out, "--rules", "greco", "--redo").exit_code == 0
    assert set(pd.read_parquet(out / "bouts")["rules"]) == {"greco"}


def test_two_runs_do_not_work_on_one_dataset(tmp_path: Path) -> None:
    from extract.dataset.store import Store

    write_corpus(tmp_path / "talk", 1)
    build(tmp_path / "talk", tmp_path / "out")
    with Store(tmp_path / "out").locked():
        result = build(tmp_path / "talk", tmp_path / "out")
    assert result.exit_code == 2
    assert "another run is at work on it" in result.output


def test_every_kind_of_source_gives_the_same_bouts(tmp_path: Path) -> None:
    paths = write_corpus(tmp_path / "talk", 4)
    keys = [path.relative_to(tmp_path / "talk").as_posix() for path in paths]
    (tmp_path / "talk" / ".hidden.srt").write_text(talk(50))
    (tmp_path / "talk" / "notes.md").write_text("no transcript")
    listed = "transcript;rules;red_team;programme\n" + "".join(
        f"talk/{k};freestyle;Harbour;finals\n" for k in keys
    )
    (tmp_path / "list.csv").write_text(listed)
    rows = [
        {"id": key, "text": path.read_text(), "name": path.name}
        for key, path in zip(keys, paths, strict=True)
    ]
    (tmp_path / "rows.jsonl").write_text("".join(json.dumps(row) + "\n" for row in rows))
    pd.DataFrame(rows).to_parquet(tmp_path / "rows.parquet")
    sources = {
        "folder": tmp_path / "talk",
        "pattern": f"{tmp_path}/talk/**/*.srt",
        "list": tmp_path / "list.csv",
        "lines": tmp_path / "rows.jsonl",
        "parquet": tmp_path / "rows.parquet",
    }
    found = {}
    for name, source in sources.items():
        result = build(source, tmp_path / f"out-{name}")
        assert result.exit_code == 0, result.output
        events = pd.read_parquet(tmp_path / f"out-{name}" / "events")
        found[name] = events.sort_values(["t", "points"])[["t", "kind", "corner", "points"]].values.tolist()
        if name == "folder":
            assert "Files left out, as no transcripts by their names: 1 ending in .md" in result.output
    first = sorted(map(str, found["folder"]))
    assert all(sorted(map(str, each)) == first for each in found.values())
    bouts = pd.read_parquet(tmp_path / "out-list" / "bouts")
    assert set(bouts["red_team"]) == {"Harbour"}
    assert set(bouts["programme"]) == {"finals"}
    assert set(bouts["rules_from"]) == {"given"}
    folder = pd.read_parquet(tmp_path / "out-folder" / "bouts")
    assert set(folder["programme"]) == {"morning", "evening"}


def test_captions_a_row_are_put_together_by_id(tmp_path: Path) -> None:
    rows = [
        {
            "id": "one",
            "start": 0.0,
            "end": 4.0,
            "text": "Haverly in red, Fenwick in blue. First period.",
            "rules": "greco",
        },
        {"id": "one", "start": 10.0, "end": 14.0, "text": "Takedown Haverly, two nothing.", "speaker": "Ada"},
        {"id": "two", "start": 0.0, "end": 4.0, "text": "Marlow in red, Corven in blue. First period."},
        {"id": "two", "start": 8.0, "end": 12.0, "text": "Step out, Corven. One nothing Corven."},
    ]
    pd.DataFrame(rows).to_parquet(tmp_path / "captions.parquet")
    result = build(tmp_path / "captions.parquet", tmp_path / "out")
    assert result.exit_code == 0, result.output
    bouts = pd.read_parquet(tmp_path / "out" / "bouts").set_index("bout_id")
    assert [bouts.loc["one", "score_red"], bouts.loc["one", "score_blue"]] == [2, 0]
    assert [bouts.loc["two", "score_red"], bouts.loc["two", "score_blue"]] == [0, 1]
    assert list(bouts["rules"]) == ["greco", "freestyle"]


def test_captions_that_are_not_together_or_disagree_are_failures(tmp_path: Path) -> None:
    rows = [
        {"id": "one", "start": 0.0, "end": 4.0, "text": "First period.", "rules": "greco"},
        {"id": "two", "start": 0.0, "end": 4.0, "text": "First period.", "rules": "greco"},
        {"id": "two", "start": 8.0, "end": 12.0, "text": "Step out.", "rules": "freestyle"},
        {"id": "one", "start": 10.0, "end": 14.0, "text": "Takedown.", "rules": "greco"},
        {"id": "", "start": 10.0, "end": 14.0, "text": "Takedown.", "rules": "greco"},
    ]
    pd.DataFrame(rows).to_parquet(tmp_path / "captions.parquet")
    assert build(tmp_path / "captions.parquet", tmp_path / "out").exit_code == 3
    failures = pd.read_parquet(tmp_path / "out" / "failures").sort_values("line")
    assert list(failures["line"]) == [3, 4, 5]
    for problem, told in zip(
        failures["problem"],
        ("rules is 'freestyle', in row 2", "stands in row 1", "without an id"),
        strict=True,
    ):
        assert told in problem
    assert list(pd.read_parquet(tmp_path / "out" / "bouts")["bout_id"]) == ["one"]


def test_what_stands_twice_in_a_list_or_table_is_a_failure(tmp_path: Path) -> None:
    write_corpus(tmp_path, 2)
    paths = ["morning/bout-0000.srt", "morning/./bout-0000.srt", "", "evening/bout-0001.srt"]
    (tmp_path / "list.csv").write_text("transcript,red\n" + "".join(f"{path},Orla\n" for path in paths))
    assert build(tmp_path / "list.csv", tmp_path / "out").exit_code == 3
    failures = pd.read_parquet(tmp_path / "out" / "failures").sort_values("line")
    assert list(failures["line"]) == [3, 4]
    assert list(failures["file"]) == [str(tmp_path / "list.csv")] * 2
    assert len(pd.read_parquet(tmp_path / "out" / "bouts")) == 2
    lines = [json.dumps({"id": "a", "text": talk(1)}), json.dumps({"id": "a", "text": talk(2)})]
    (tmp_path / "talk.jsonl").write_text("\n".join(lines))
    assert build(tmp_path / "talk.jsonl", tmp_path / "lines").exit_code == 3
    (failure,) = pd.read_parquet(tmp_path / "lines" / "failures").to_dict("records")
    assert (failure["input"], failure["line"]) == ("a (row 2)", 2)


def test_failures_say_where_the_fault_is(tmp_path: Path) -> None:
    talks = tmp_path / "talk"
    (talks / "deep").mkdir(parents=True)
    (talks / "deep" / "empty.srt").write_text("")
    for name, known in (("rules", 'rules = "sumo"'), ("edition", 'rules = "greco"\nedition = "1950"')):
        (talks / f"{name}.srt").write_text(talk(1))
        (talks / f"{name}.bout.toml").write_text(known)
    (tmp_path / "rows.jsonl").write_text(
        json.dumps({"id": "a", "text": talk(1).replace("-->", "->", 1)}) + "\n"
    )
    (tmp_path / "list.csv").write_text("transcript,date\n\ntalk/rules.srt,2024-02-30\n")
    for source, told in (
        (talks, ["deep/empty.srt", None, "empty"]),
        (talks, ["rules.bout.toml", 1, "sumo"]),
        (talks, ["edition.bout.toml", 2, "1950"]),
        (tmp_path / "rows.jsonl", ["rows.jsonl", 1, "line 2 of its text"]),
        (tmp_path / "list.csv", ["list.csv", 3, "2024-02-30"]),
    ):
        out = tmp_path / f"out-{source.name}"
        assert build(source, out).exit_code == 3
        found = [
            [row["file"], None if pd.isna(row["line"]) else row["line"], row["problem"]]
            for row in pd.read_parquet(out / "failures").to_dict("records")
        ]
        assert any(f.endswith(told[0]) and line == told[1] and told[2] in why for f, line, why in found), (
            found
        )
    for recordings in ("auto", "session"):
        result = run(talks, "--out", tmp_path / recordings, "--jobs", "1", "--recordings", recordings)
        assert "unknown" in result.output
        assert "a fault of saidscore" not in result.output


def test_what_the_program_has_made_is_no_source(tmp_path: Path) -> None:
    talks = tmp_path / "talk"
    write_corpus(talks, 3)
    (talks / "README.txt").write_text("About these files")
    os.mkfifo(talks / "pipe.srt")
    inside, review = talks / "dataset", talks / "to-review"
    assert "3 inputs: 3 read now" in build(talks, inside).output
    assert run("doubtful", inside, talks, "--out", review, "--top", "2").exit_code == 0
    assert "3 inputs: 0 read now, 3 stood" in build(talks, inside).output
    assert "3 inputs: 3 read now" in build(talks, tmp_path / "out").output
    assert "3 inputs: 3 read now" in build(f"{talks}/**/*.srt", tmp_path / "other").output
    refused = run("doubtful", inside, talks, "--out", talks)
    assert refused.exit_code == 2
    assert "holds other things" in refused.output


def test_the_decisions_of_a_review_do_not_get_lost_unsaid(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 2)
    (tmp_path / "desk").mkdir()
    out = tmp_path / "out"
    build(tmp_path / "talk", out)
    assert build(tmp_path / "talk", out, "--decisions", str(tmp_path / "desk")).exit_code == 0
    refused = build(tmp_path / "talk", out)
    assert refused.exit_code == 2
    assert f"give --decisions {tmp_path / 'desk'}" in refused.output
    assert build(tmp_path / "talk", out, "--redo").exit_code == 0
    assert build(tmp_path / "talk", out).exit_code == 0


@pytest.mark.parametrize("damage", ["cut", "gone"])
def test_a_damaged_part_is_done_again(tmp_path: Path, damage: str) -> None:
    write_corpus(tmp_path / "talk", 4)
    out = tmp_path / "out"
    build(tmp_path / "talk", out)
    before = tree(out)
    (events,) = (out / "events").iterdir()
    if damage == "cut":
        events.write_bytes(events.read_bytes()[:500])
    else:
        events.unlink()
    assert "4 read now" in build(tmp_path / "talk", out).output
    assert tree(out) == before


def test_ctrl_c_stops_it_and_says_that_nothing_is_lost(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 150)
    out = tmp_path / "out"
    command = [
        sys.executable,
        "-m",
        "extract",
        "dataset",
        str(tmp_path / "talk"),
        "--out",
        str(out),
        "--jobs",
        "2",
    ]
    process = subprocess.Popen(foreground(command), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    wait_for_results(process, out)
    process.send_signal(signal.SIGINT)
    time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate(timeout=120)
    assert process.returncode == 130
    assert errors == "saidscore: stopped; the same command goes on from here\n"


def test_a_row_of_a_list_that_is_wrong_is_named_by_its_line(tmp_path: Path) -> None:
    write_corpus(tmp_path, 2)
    (tmp_path / "list.csv").write_text(
        "transcript,red,blue\nmorning/bout-0000.srt,Orla,Bruno\nevening/bout-0001.srt,Orla,orla\n"
    )
    result = build(tmp_path / "list.csv", tmp_path / "out")
    assert result.exit_code == 3
    (failure,) = pd.read_parquet(tmp_path / "out" / "failures").to_dict("records")
    assert failure["line"] == 3
    assert "the same name on both sides" in failure["problem"]


def test_help_says_what_a_computed_score_is() -> None:
    for args in (
        ["build", "--help"],
        ["--help"],
        ["check", "--help"],
        ["doubtful", "--help"],
        ["audit", "--help"],
    ):
        assert run(*args).exit_code == 0
    assert "not an official result" in run("build", "--help").output
