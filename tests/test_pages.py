"""Every file and folder that a text of the project names is there, and every link leads somewhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields
from pathlib import Path

import pytest

from extract.export.forms import FORMS
from extract.labelled.labels import TrueChallenge, TrueClock, TrueEvent, Truth
from extract.record import model
from extract.transcript.bout_file import BOUT_COLUMNS, PLAIN_KEYS, SIDE_KEYS
from tests.docs import ROOT, text_of

PAGES = [
    *ROOT.glob("*.md"),
    *(page for top in ("docs", "extract", "lexicons", "benchmarks", "tests", "sample_transcripts")
      for page in sorted((ROOT / top).rglob("*.md"))),
]  # fmt: skip
_FENCED = re.compile(r"^```.*?^```$", re.MULTILINE | re.DOTALL)
_QUOTED = re.compile(r"`([^`\n]+)`")
_LINK = re.compile(r"\]\(([^)\s]+)\)")
_HEADING = re.compile(r"^#+ (.+)$", re.MULTILINE)
#: What a path of this tree looks like: a folder, or a file of a sort that the project is made of.
_PATH = re.compile(r"\.?[\w-][\w./-]*(?:/|\.(?:py|toml|md|js|j2|css|jsonl))")
#: A name that stands for others: NAME.bout.toml.
_ANY_NAME = re.compile(r"\b(?:NAME|STYLE|DIR|FILE|RECORD)\b")
#: Files of a user, as examples have them, and files that a command makes.
_EXAMPLES = frozenset(
    {
        "club.toml",
        "mine.toml",
        "match.bout.toml",
        "dictionary.md",
        "quality.md",
        "quality.html",
        "quality.json",
        "bouts.html",
    }
)


def missing_paths(text: str, page: Path) -> Iterator[str]:
    """The paths in backticks that are not there: neither from the page's folder, nor from the root, nor from
    ``extract/``; the name of a file alone may stand for one in a folder under the page's own."""
    for name in _QUOTED.findall(_FENCED.sub("", text)):
        if not _PATH.fullmatch(name) or _ANY_NAME.search(name) or name in _EXAMPLES:
            continue
        below = page.parent != ROOT and "/" not in name and any(page.parent.rglob(name))
        if not below and not any((base / name).exists() for base in (page.parent, ROOT, ROOT / "extract")):
            yield name


def broken_links(text: str, page: Path) -> Iterator[str]:
    """The links to files or headings that are not there."""
    for link in _LINK.findall(_FENCED.sub("", text)):
        path, _, heading = link.partition("#")
        target = page.parent / path if path else page
        if "://" in link:
            continue
        if not target.exists() or (heading and heading not in _headings(text_of(target))):
            yield link


def _headings(text: str) -> set[str]:
    titles = _HEADING.findall(_FENCED.sub("", text))
    return {re.sub(r"[^\w\s-]", "", title).strip().lower().replace(" ", "-") for title in titles}


@pytest.mark.parametrize("page", PAGES, ids=[str(page.relative_to(ROOT)) for page in PAGES])
def test_what_a_page_names_is_there(page: Path) -> None:
    assert list(missing_paths(text_of(page), page)) == []


@pytest.mark.parametrize("page", PAGES, ids=[str(page.relative_to(ROOT)) for page in PAGES])
def test_links_lead_somewhere(page: Path) -> None:
    assert list(broken_links(text_of(page), page)) == []


def _named(kinds: Iterable[type]) -> set[str]:
    """The fields of some data types, as the JSON has them."""
    return {field.name.rstrip("_") for kind in kinds for field in fields(kind)}


@pytest.mark.parametrize(
    ("page", "names"),
    [
        (
            "record.md",
            _named((model.Record, model.Event, model.Statement, model.Flag, model.Challenge, model.Result)),
        ),
        ("record.md", _named((model.Source, model.Search, model.ClockReading))),
        ("exports.md", set(FORMS)),
        ("bout-file.md", {*PLAIN_KEYS, *SIDE_KEYS}),
        ("sessions.md", {name for name in BOUT_COLUMNS if not name.startswith("blue_")}),
        ("labelled-bouts.md", _named((Truth, TrueEvent, TrueClock, TrueChallenge))),
    ],
)
def test_a_page_has_every_field(page: str, names: set[str]) -> None:
    text = text_of(ROOT / "docs" / page)
    assert [name for name in sorted(names) if not re.search(rf"[`\"\n]{name}\b", text)] == []


_STAGE = re.compile(r"^\| \[?`(\w+)/`.*\|([^|]*)\|$", re.MULTILINE)


def test_each_stage_has_the_data_types_that_are_named() -> None:
    stages = dict(_STAGE.findall(text_of(ROOT / "DEVELOPERS.md").partition("## I want to add")[0]))
    folders = {path.parent.name for path in (ROOT / "extract").glob("*/*.py")}
    assert set(stages) == folders
    for folder, types in stages.items():
        code = "\n".join(map(text_of, (ROOT / "extract" / folder).glob("*.py")))
        for name in re.findall(r"`(\w+)`", types):
            assert re.search(rf"^class {name}\b", code, re.MULTILINE), f"no {name} in {folder}/"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("`extract/nowhere.py`", ["extract/nowhere.py"]),
        ("`nowhere/`, `rules/` and `NAME.bout.toml`", ["nowhere/"]),
        ("`bout.py`, `log --report`, `.srt`", []),
        ("```sh\ncat `nowhere.py`\n```\n`lexicons/nowhere.toml`", ["lexicons/nowhere.toml"]),
    ],
)
def test_a_path_that_is_not_there_is_found(text: str, wanted: list[str]) -> None:
    assert list(missing_paths(text, ROOT / "README.md")) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("[a](docs/nowhere.md)", ["docs/nowhere.md"]),
        ("[a](#set-up) [b](#set-down)\n## Set up\n", ["#set-down"]),
        ("[a](docs/README.md#pages) [b](https://example.org/x)", []),
    ],
)
def test_a_link_that_leads_nowhere_is_found(text: str, wanted: list[str]) -> None:
    assert list(broken_links(text, ROOT / "README.md")) == wanted
