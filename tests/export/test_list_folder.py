"""The list of a folder's bouts: its figures are those of the records, in the page and in the table."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from export_samples import run
from hypothesis import given
from hypothesis import strategies as st
from test_export_facts import HOSTILE, SHOWN, Page, hostile_record

from extract.export.folder import bout_rows, folder_csv, folder_page, totals_text
from extract.record import NOTE, SideInfo, from_json
from extract.record.bout_words import counts_text
from extract.record.plain import printable
from tests.record.record_example import make_record
from tests.samples import EXPECTED


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The samples' records, some in a folder inside, one of them broken and one with a report."""
    out = tmp_path / "records"
    (out / "more %41").mkdir(parents=True)
    for n, path in enumerate(sorted(EXPECTED.glob("*.record.json"))):
        (out / ("more %41" if n % 2 else ".") / path.name).write_bytes(path.read_bytes())
    (out / "more %41" / "pellingham-dual.report.html").write_text("report")
    return out


def test_a_row_for_each_record(folder: Path) -> None:
    done = run("list", folder)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == f"Written: {folder / 'bouts.html'} (6 bouts)\n"
    page = (folder / "bouts.html").read_text(encoding="utf-8")
    parsed = Page(page)
    assert parsed.tags.count("tr") == 7
    assert parsed.links == ["./more%20%2541/pellingham-dual.report.html"]
    assert NOTE in parsed.text
    for path in EXPECTED.glob("*.record.json"):
        record = from_json(path)
        assert record.bout.red.name is not None
        assert record.bout.red.name in parsed.text
    assert "default-src 'none'" in page
    assert "6 bouts; 89 scores stated: 76 right, 13 wrong; 22 to check" in parsed.text


def test_the_figures_are_those_of_the_records(folder: Path) -> None:
    rows = {row["bout"]: row for row in csv.DictReader(io.StringIO(run("list", folder, "--csv").stdout))}
    assert len(rows) == 6
    for path in EXPECTED.glob("*.record.json"):
        name, record = path.name.removesuffix(".record.json"), from_json(path)
        row = rows.get(name) or rows[f"more %41/{name}"]
        counts = f"{row['stated']} scores stated: {row['right']} right, {row['wrong']} wrong"
        assert counts == counts_text(record)
        assert int(row["flags"]) == len(record.flags)
        assert (row["winner"], float(row["confidence"])) == (record.result.winner, record.result.confidence)
        assert (int(row["score_red"]), int(row["score_blue"])) == record.result.score
        assert (row["red"], row["file"]) == (record.bout.red.name, record.source.file)
    assert not (folder / "bouts.html").exists()


def test_links_lead_from_where_the_page_is(folder: Path, tmp_path: Path) -> None:
    assert run("list", folder, "--out", tmp_path / "all.html").exit_code == 0
    (link,) = Page((tmp_path / "all.html").read_text(encoding="utf-8")).links
    assert link == "./records/more%20%2541/pellingham-dual.report.html"


def test_a_broken_record_is_named_and_left_out(folder: Path) -> None:
    (folder / "torn.record.json").write_text('{"schema": ')
    done = run("list", folder)
    assert done.exit_code == 3
    assert done.stderr.startswith(f"saidscore: {folder / 'torn.record.json'}:1: is not JSON")
    text = Page((folder / "bouts.html").read_text(encoding="utf-8")).text
    assert "6 bouts" in text
    assert "Not read: torn.record.json" in text
    done = run("list", folder, "--csv", "--out", folder / "bouts.csv")
    assert done.exit_code == 3
    assert (folder / "bouts.csv").read_bytes().startswith(b"\xef\xbb\xbfbout,")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["nowhere"], "nowhere: no such file or folder; "),
        (["empty"], "empty: no record in this folder; "),
        (["torn"], "torn: no record in it can be read; "),
        (["torn/a.record.json"], "torn/a.record.json: is no folder; "),
        (
            ["torn", "--out", "torn/a.record.json"],
            "torn/a.record.json: would be overwritten, and it is read; ",
        ),
        (["torn", "--out", "nowhere/a.html"], "nowhere/a.html: its folder does not exist; "),
    ],
)
def test_a_call_that_cannot_be_done(
    args: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    (tmp_path / "torn").mkdir()
    (tmp_path / "torn" / "a.record.json").write_text("{")
    done = run("list", *args)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.splitlines()[-1].startswith(f"saidscore: {told}")
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["a.record.json", "empty", "torn"]


def test_hostile_text_shows_as_text() -> None:
    page = folder_page([(HOSTILE, hostile_record(HOSTILE))], HOSTILE, [HOSTILE])
    parsed = Page(page)
    assert parsed.text.count(SHOWN) >= 5
    assert parsed.links == []
    assert parsed.tags.count("script") == 1


@given(st.text(max_size=80))
def test_any_text_keeps_the_form(text: str) -> None:
    page = folder_page([(text, hostile_record(text))], text)
    assert Page(page).tags == Page(folder_page([("a", hostile_record("a"))], "a")).tags
    assert printable(text) in Page(page).text or not printable(text)
    (row,) = csv.DictReader(io.StringIO(folder_csv([(text, hostile_record(text))])))
    assert row["stated"] == "3"


def test_totals() -> None:
    record = make_record()
    rows = bout_rows([("a", record)])
    assert totals_text(rows) == "1 bout; 3 scores stated: 1 right, 2 wrong; 4 to check"
    unclear = replace(record.statements[0], verdict="unclear")
    rows = bout_rows([("a", replace(record, statements=(unclear,), flags=()))] * 2)
    assert totals_text(rows) == "2 bouts; 2 scores stated: 0 right, 0 wrong, 2 unclear; 0 to check"


def test_names_that_are_not_known() -> None:
    record = make_record()
    bout = replace(record.bout, red=SideInfo())
    assert "no name" in Page(folder_page([("a", replace(record, bout=bout))])).text
