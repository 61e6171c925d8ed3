"""The scanner of lines against tomllib, on any way of writing strings, arrays and tables."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.lexicon.data import lexicon_names, lexicon_path
from extract.lexicon.lines import Lined, lines_of

#: A piece of text that stands for itself in every sort of string, and those that need care.
_INSIDE = st.lists(
    st.sampled_from(["a", "step out", "#", "[", "]]", "{", "}", ",", "=", "é", "[[entry]]", ".", " "]),
    max_size=4,
).map("".join)
_ESCAPES = st.sampled_from([r"\"", r"\\", r"\n", r"\u00e9", r"\t"])
_BREAK = st.sampled_from(["\n", "\r\n"])


@st.composite
def strings(draw: st.DrawFn) -> str:
    """A string of one of the four sorts, as it is written."""
    sort = draw(st.integers(0, 3))
    if sort == 0:
        return (
            '"'
            + draw(_INSIDE)
            + "".join(draw(st.lists(_ESCAPES, max_size=2)))
            + draw(_INSIDE)
            + "'" * 2
            + '"'
        )
    if sort == 1:
        return "'" + draw(_INSIDE) + '"' * draw(st.integers(0, 3)) + "\\'"
    inner = draw(_INSIDE) + draw(st.sampled_from(["", "\n", "\r\n", '"', "''", "\n\n"])) + draw(_INSIDE)
    if sort == 2:
        escaped = "".join(draw(st.lists(st.sampled_from([r"\"", r"\\", "\\\n  "]), max_size=2)))
        # Up to two quotation marks may stand right before those that close it.
        ends = draw(st.sampled_from(["", '"', '""']))
        return f'"""{inner}{escaped}x{ends}"""'
    ends = draw(st.sampled_from(["", "'", "''", "\\", '"""']))
    return f"'''{inner}x{ends}'''"


_BLANK = st.sampled_from(["", " ", "\t"])
_GAP = st.sampled_from(["", " ", "\n", " # a comment, [[entry]] = \"'''\n", "\r\n\n  "])
_SCALARS = st.sampled_from(["1", "-2.5", "true", "1979-05-27 07:32:00", "inf", "0x1F"])


@st.composite
def values(draw: st.DrawFn, depth: int = 2) -> str:
    sort = draw(st.integers(0, 3 if depth else 1))
    if sort == 0:
        return draw(strings())
    if sort == 1:
        return draw(_SCALARS)
    if sort == 2:
        out = "[" + draw(_GAP)
        items = draw(st.lists(values(depth - 1), max_size=3))
        for n, item in enumerate(items):
            comma = "," if n + 1 < len(items) or draw(st.booleans()) else ""
            out += item + draw(_GAP) + comma + draw(_GAP)
        return out + "]"
    pairs = draw(st.lists(values(depth - 1), max_size=2))
    return (
        "{" + ", ".join(f"{key}{draw(_BLANK)}= {item}" for key, item in zip("ab", pairs, strict=False)) + "}"
    )


_KEYS = st.lists(
    st.sampled_from(["role", "forms", "'lit eral'", '"quo.ted"', r'"\u0061b"', "1-2_3"]),
    unique=True,
    max_size=4,
)


@st.composite
def documents(draw: st.DrawFn) -> str:
    out = draw(_GAP)
    if draw(st.booleans()):
        name = draw(st.sampled_from(["x", '"y"']))
        out += f"\ntop.{name} {draw(_BLANK)}= {draw(values())}{draw(_BREAK)}"
    for header in draw(st.lists(st.sampled_from(["[[entry]]", '[[ "entry" ]]', "[['entry']]"]), max_size=3)):
        out += draw(_GAP) + "\n" + header + draw(st.sampled_from(["", " # note"])) + draw(_BREAK)
        for key in draw(_KEYS):
            out += f"{draw(_BLANK)}{key}{draw(_BLANK)}={draw(_BLANK)}{draw(values())}{draw(_BREAK)}{draw(_GAP)}\n"
        if draw(st.booleans()):
            out += f"[entry.sub]\nz = {draw(values())}\n"
    if draw(st.booleans()):
        out += f"[style]\ntells = {draw(values())}"
    return out


def _shape(node: Lined, value: Any) -> bool:
    """Whether a node has the keys and items of the value."""
    if isinstance(value, dict):
        return node.keys.keys() == value.keys() and all(_shape(node.keys[k], v) for k, v in value.items())
    if isinstance(value, list):
        return len(node.items) == len(value) and all(map(_shape, node.items, value))
    return not node.keys and not node.items


@given(documents())
def test_it_finds_all_that_tomllib_finds(text: str) -> None:
    assert _shape(lines_of(text), tomllib.loads(text))


@given(st.lists(st.tuples(_GAP, strings()), min_size=1, max_size=6), _GAP)
def test_the_line_of_each_form(items: list[tuple[str, str]], gap: str) -> None:
    """The independent count is that of line ends before the place at which each string was written."""
    text = f"{gap}\n[[entry]]\nrole = 'kind'\nforms = ["
    header = text.count("\n") - 2
    wanted = []
    for before, written in items:
        text += before
        wanted.append(text.count("\n") + 1)
        text += written + ","
    text += "]"
    assert len(tomllib.loads(text)["entry"][0]["forms"]) == len(items)
    lines = lines_of(text)
    assert [lines.line_of("entry", 0, "forms", n) for n in range(len(items))] == wanted
    assert lines.line_of("entry", 0) == header + 1
    assert lines.line_of("entry", 0, "role") == header + 2
    assert lines.line_of("entry", 0, "forms") == header + 3


def test_a_path_that_ends_early_gives_the_line_of_its_last_part() -> None:
    lines = lines_of('a = 1\n[[entry]]\nrole = "x"\n[[entry]]\n\nrole = "y"\n')
    assert [lines.line_of("entry", n) for n in (0, 1)] == [2, 4]
    assert lines.line_of("entry", 1, "value") == 4
    assert lines.line_of("nothing") == 1


def test_entries_in_line() -> None:
    lines = lines_of(
        'entry = [\n  {role = "x", forms = ["a"]},\n  {role = "y",\n forms = ["b",\n "c"]}]'.replace(
            ",\n forms", ", forms"
        )
    )
    assert lines.line_of("entry", 1) == 3
    assert lines.line_of("entry", 1, "forms", 1) == 4


@pytest.mark.parametrize("folder", ["styles", "registers", "talk"])
def test_every_form_of_the_shipped_files_stands_on_its_line(folder: str) -> None:
    for name in lexicon_names(folder):
        text = lexicon_path(name).read_text("utf-8")
        written = text.splitlines()
        lines = lines_of(text)
        for n, entry in enumerate(tomllib.loads(text).get("entry", [])):
            for k, form in enumerate(entry["forms"]):
                assert f'"{form}"' in written[lines.line_of("entry", n, "forms", k) - 1]
