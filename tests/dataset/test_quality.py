"""The quality report: its figures are those of the tables, its order puts first what is worth a look."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path

import pandas as pd
import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.dataset.intervals import wilson
from extract.dataset.quality import Doubtful, Quality, measure_quality
from extract.dataset.quality_page import quality_html, quality_markdown
from extract.dataset.quality_report import Rate, quality_report
from extract.dataset.store import Store
from extract.record import from_json
from tests.dataset.corpus import write_corpus


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("quality")
    write_corpus(folder / "talk", 30)
    (folder / "talk" / "bad.srt").write_text("nothing")
    args = ["dataset", str(folder / "talk"), "--out", str(folder / "out"), "--recordings", "bout", "-q"]
    assert CliRunner().invoke(app, args).exit_code == 3
    return folder / "out"


def test_the_figures_are_those_of_the_tables(built: Path) -> None:
    tree = json.loads((built / "quality.json").read_text())
    bouts, said = pd.read_parquet(built / "bouts"), pd.read_parquet(built / "statements")
    events = pd.read_parquet(built / "events")
    awards = events[(events["points"] > 0) & (events["status"] == "stands")]
    assert tree["inputs"] == {"all": 31, "failed": 1}
    assert tree["bouts"] == len(bouts) == 30
    assert tree["awards"]["all"] == len(awards) == bouts["awards"].sum()
    assert tree["awards"]["inferred_by_style"]["freestyle"]["found"] == (awards["basis"] == "inferred").sum()
    assert tree["stated_scores"]["all"] == len(said) == bouts["stated"].sum()
    clear = said[said["verdict"] != "unclear"]
    assert tree["stated_scores"]["disagree"]["of"] == len(clear)
    assert tree["stated_scores"]["disagree"]["found"] == (clear["verdict"] == "disagrees").sum() > 0
    rates = {row["programme"]: row for row in tree["stated_scores"]["by_programme"]}
    of_bout = said["bout_id"].map(bouts.set_index("bout_id")["programme"])
    assert {name: row["of"] for name, row in rates.items()} == clear.groupby(of_bout).size().to_dict()
    assert all(row["low"] <= row["share"] <= row["high"] for row in rates.values())
    assert tree["stated_scores"]["by_speaker"] == []
    first = [row["gain"] for row in tree["review_first"]]
    assert first == sorted(first, reverse=True) == sorted(bouts["gain"], reverse=True)[: len(first)]


def test_the_pages_say_what_a_computed_score_is(built: Path) -> None:
    for name in ("quality.md", "quality.html"):
        page = (built / name).read_text()
        assert "not an official result" in page
        assert "31 inputs, of which 1 could not be used" in page


def test_both_pages_have_all_of_the_report(built: Path) -> None:
    report = quality_report(measure_quality(Store(built)))
    markdown, page = (built / "quality.md").read_text(), (built / "quality.html").read_text()
    shown = " ".join(html.unescape(re.sub(r"<[^>]*>", "", page)).split())
    for section in report.sections:
        assert f"\n## {section.heading}\n" in markdown
        assert page.count(section.heading) >= 2
        for part in section.parts:
            if isinstance(part, str):
                assert f"\n{part}\n" in markdown
                assert part.replace("`", "") in shown
                continue
            for row in part.rows:
                cells = [c.text if isinstance(c, Rate) else c for c in row]
                cells = [", ".join(f"`{each}`" for each in c) if isinstance(c, tuple) else c for c in cells]
                assert f"\n| {' | '.join(cells)} |\n" in markdown
                assert "".join(cells).replace("`", "") in shown
    assert (
        markdown.count("\n|---|")
        == page.count("<table>")
        == sum(
            not isinstance(part, str) and bool(part.rows)
            for section in report.sections
            for part in section.parts
        )
    )


def test_a_bar_shows_each_rate_and_its_interval() -> None:
    """At the numbers that stand beside it, of a hundred; the ends of the track included."""
    quality = Quality(inputs=1, bouts=1)
    for name, wrong, of in (("evening", 30, 90), ("morning", 0, 3), ("night", 5, 5)):
        quality.by_programme[name].add(wrong, of)
    page = quality_html(quality_report(quality))
    bars = dict(re.findall(r"<bdi>(\w+)</bdi>.*?<svg class=\"bar\"(.*?)</svg>", page))
    assert set(bars) == {"evening", "morning", "night"}
    for name, wrong, of in (("evening", 30, 90), ("morning", 0, 3), ("night", 5, 5)):
        low, high = wilson(wrong, of)
        x, width = map(float, re.findall(r'class="between" x="([\d.]+)" width="([\d.]+)"', bars[name])[0])
        (at,) = map(float, re.findall(r'class="rate" x1="([\d.]+)"', bars[name]))
        assert (x, x + width) == pytest.approx((low * 100, high * 100), abs=0.02)
        assert at == pytest.approx(wrong / of * 100, abs=0.02)
    assert "<svg" not in quality_markdown(quality_report(quality))


def test_no_rate_is_given_of_nothing() -> None:
    text = quality_markdown(quality_report(Quality(inputs=1)))
    assert "No stated score is clear." in text
    assert "to 100.0 %" not in text


def test_hostile_names_show_as_text() -> None:
    hostile = "<script>a</script>|`x`\x1b[2J\n&"
    quality = Quality(inputs=1, bouts=1, awards=1)
    quality.by_programme[hostile].add(1, 2)
    quality.by_speaker[hostile, hostile].add(1, 2)
    quality.doubtful = [Doubtful(1.0, 1.0, hostile, 1, 1)]
    report = quality_report(quality)
    markdown, page = quality_markdown(report), quality_html(report)
    assert page.count("&lt;script&gt;a&lt;/script&gt;|`x` [2J &amp;") == 4
    assert "<script>" not in page
    assert "default-src 'none'" in page
    assert "\x1b" not in markdown + page
    (row,) = (line for line in markdown.splitlines() if line.startswith("| `"))
    assert row.count("|") == 6


def test_what_cannot_be_is_counted(built: Path, tmp_path: Path) -> None:
    import shutil

    import pyarrow as pa
    import pyarrow.parquet as pq

    out = tmp_path / "out"
    shutil.copytree(built, out)
    (path,) = (out / "bouts").iterdir()
    table = pq.read_table(path)
    rows = table.to_pylist()
    rows[0] |= {"score_red": 44, "end": 9999.0}
    rows[1] |= {"by": "points", "winner": "red", "score_red": 0, "score_blue": 3}
    rows[2] |= {"red": "Orla Fenwick", "blue": "Orla Fenwick", "awards": 0, "stated": 0}
    pq.write_table(pa.Table.from_pylist(rows, table.schema), path)
    found = {each.name: each for each in measure_quality(Store(out)).impossible}
    for name, n in (
        ("score out of reach", 0),
        ("bout too long", 0),
        ("winner behind on points", 1),
        ("same name in both corners", 2),
        ("bout without events", 2),
    ):
        assert rows[n]["bout_id"] in found[name].examples
        assert found[name].rows >= 1
    assert all(each.rows == 0 for each in measure_quality(Store(built)).impossible)
    rows = table.to_pylist()
    rows[3]["transcript_sha256"] = rows[4]["transcript_sha256"] = rows[0]["transcript_sha256"]
    pq.write_table(pa.Table.from_pylist(rows, table.schema), path)
    again = measure_quality(Store(out)).again
    assert (again.rows, again.examples) == (2, [rows[3]["bout_id"], rows[4]["bout_id"]])


def test_doubtful_bouts_go_to_the_desk_and_decisions_come_back(built: Path, tmp_path: Path) -> None:
    talk, desk, out = built.parent / "talk", tmp_path / "desk", tmp_path / "out"
    result = CliRunner().invoke(
        app, ["dataset", "doubtful", str(built), str(talk), "--out", str(desk), "--top", "3"]
    )
    assert result.exit_code == 0, result.output
    bouts = pd.read_parquet(built / "bouts")
    top = list(bouts.sort_values(["gain", "unsure"], ascending=False)["bout_id"][:3])
    names = [bout_id.replace("/", "__") for bout_id in top]
    assert {path.name for path in desk.glob("*.record.json")} == {f"{name}.record.json" for name in names}
    record = from_json(desk / f"{names[0]}.record.json")
    events = pd.read_parquet(built / "events")
    assert [e.t for e in record.events] == pytest.approx(list(events[events["bout_id"] == top[0]]["t"]))
    from extract.decisions.make import Request
    from extract.desk import DeskOptions, open_bout

    bout = open_bout(desk / f"{names[0]}.record.json", DeskOptions("wren"))
    state = bout.state()
    award = next(event for event in state.record.events if event.points and event.status == "stands")
    bout.decide(Request("remove", "event", award.id), state.revision)
    args = ["dataset", str(talk), "--out", str(out), "--recordings", "bout", "-q", "--decisions", str(desk)]
    assert CliRunner().invoke(app, args).exit_code == 3
    after = pd.read_parquet(out / "bouts").set_index("bout_id")
    assert after.loc[top[0], "decided"] == 1
    assert after["decided"].sum() == 1


def test_a_transcript_that_has_changed_is_not_handed_over(built: Path, tmp_path: Path) -> None:
    import shutil

    talk = tmp_path / "talk"
    shutil.copytree(built.parent / "talk", talk)
    for path in talk.rglob("bout-*.srt"):
        path.write_text(path.read_text().replace("first period", "the first"))
    result = CliRunner().invoke(
        app, ["dataset", "doubtful", str(built), str(talk), "--out", str(tmp_path / "desk"), "--top", "2"]
    )
    assert result.exit_code == 3
    assert result.output.count("its transcript has changed since") == 2
