"""The record as JSON: what is written is read back, and what is not a record is refused."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping
from dataclasses import is_dataclass, replace
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from record_example import make_event, make_record

from extract.errors import InputError
from extract.record import Record, from_json, to_json

# Two places are what the file keeps.
numbers = st.integers(-(10**7), 10**7).map(lambda hundredths: hundredths / 100)
# Those that every reader of JSON keeps (RFC 7493, "The I-JSON Message Format", 2.2).
whole = st.integers(-(2**53) + 1, 2**53 - 1)


def whole_pairs(text: str) -> str:
    """Two halves of a surrogate pair that meet are one character in JSON."""
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "surrogatepass")


# Every code point may turn up in a transcript, half a surrogate pair included.
texts = st.text(st.characters(exclude_categories=()), max_size=20).map(whole_pairs)


def values(wanted: Any) -> st.SearchStrategy[Any]:
    """Every value that a type of the record allows."""
    inner = get_args(wanted)
    if is_dataclass(wanted):
        hints = get_type_hints(wanted)
        return st.builds(wanted, **{name: values(hint) for name, hint in hints.items()})
    if get_origin(wanted) is Literal:
        return st.sampled_from(inner)
    if get_origin(wanted) is tuple:
        if inner[-1] is Ellipsis:
            return st.lists(values(inner[0]), max_size=3).map(tuple)
        return st.tuples(*map(values, inner))
    if get_origin(wanted) is Mapping:
        return st.dictionaries(values(inner[0]), values(inner[1]), max_size=3)
    if inner:
        return st.one_of(*map(values, inner))
    return {float: numbers, str: texts, int: whole, bool: st.booleans(), type(None): st.none()}[wanted]


@settings(max_examples=60, deadline=None)
@given(values(Record), st.booleans())
def test_round_trip(record: Record, one_line: bool) -> None:
    text = to_json(record, one_line=one_line)
    assert from_json(text) == record
    assert to_json(from_json(text), one_line=one_line) == text
    text.encode("utf-8")
    assert (text.count("\n") == 1) or not one_line


@given(st.text(st.characters(categories=("Cc", "Cf", "Cs", "Zl", "Zp", "Ll", "So"))))
def test_no_character_that_a_terminal_would_obey_is_written(text: str) -> None:
    """Every character may stand as an escape (RFC 8259, section 7)."""
    written = to_json(replace(make_record(), note=text), one_line=True)
    assert not {
        c for c in written.removesuffix("\n") if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")
    }
    assert from_json(written).note == whole_pairs(text)


def test_keys_and_their_order() -> None:
    tree = json.loads(to_json(make_record()))
    assert list(tree) == [
        "schema", "source", "bout", "events", "board", "statements", "clock", "challenges", "result", "flags",
        "riding_time", "alternatives", "search", "lexicons", "doubts", "decisions", "stretches", "passed_over", "note",
    ]  # fmt: skip
    assert tree["schema"] == "saidscore.record/1"
    assert list(tree["source"]) == ["file", "format", "sha256", "cues", "seconds", "part"]
    assert tree["bout"]["from"] == {"rules": "given", "edition": "assumed"}
    assert tree["bout"]["blue"] == {
        "name": "Tamsel Brackett", "name_from": "heard", "team": None, "team_from": None,
    }  # fmt: skip
    assert tree["events"][1]["score_after"] == [2, 0]
    assert tree["events"][1]["evidence"] == [
        {"cue": 4, "start": 0, "end": 16, "text": "two for Varnholt", "row": ""}
    ]
    assert tree["board"][1] == {"t": 40.25, "red": 2, "blue": 0}
    assert "official" in tree["note"]


def test_numbers_are_rounded_to_two_places() -> None:
    event = make_event(1, 40.256, confidence=0.999, clock_s=-0.001)
    tree = json.loads(to_json(make_record(events=(event,))))
    assert (tree["events"][0]["t"], tree["events"][0]["confidence"]) == (40.26, 1)
    assert str(tree["events"][0]["clock_s"]) == "0"


def test_number_that_is_not_finite_is_not_written() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        to_json(make_record(events=(make_event(1, float("nan")),)))


def test_added_keys_are_passed_over_and_defaults_filled_in() -> None:
    tree = json.loads(to_json(make_record()))
    tree["remarks"] = tree["events"][0]["remark"] = "added later"
    del tree["clock"][0]["about"]
    assert from_json(json.dumps(tree)) == make_record()


def test_example_has_a_value_in_every_key() -> None:
    assert all(getattr(make_record(), name) for name in get_type_hints(Record))


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (
            lambda tree: tree["events"][1].update(corner="green"),
            r"events\[1\]\.corner: expected one of red, blue",
        ),
        (lambda tree: tree["events"][1].update(t="40"), r"events\[1\]\.t: expected a number, found '40'"),
        (lambda tree: tree["events"][1].update(points=True), r"events\[1\]\.points: expected a whole number"),
        (
            lambda tree: tree["board"][1].update(red=2**53),
            r"board\[1\]\.red: expected a whole number of at most 9007199254740991, found 9007199254740992",
        ),
        (lambda tree: tree["events"][1].update(score_after=[1]), r"score_after: expected a list of 2"),
        (
            lambda tree: tree["flags"][0].update(said=[1, "x"]),
            r"flags\[0\]\.said\[1\]: expected a whole number",
        ),
        (lambda tree: tree["board"][0].pop("red"), r"board\[0\]\.red: missing"),
        (lambda tree: tree.update(events={}), "events: expected a list"),
        (lambda tree: tree.update(result=[]), "result: expected an object"),
        (lambda tree: tree["bout"].update({"from": []}), r"bout\.from: expected an object"),
        (lambda tree: tree.update(schema="saidscore.record/9"), "schema 'saidscore.record/9'"),
    ],
)
def test_what_does_not_fit_is_named(spoil: object, message: str) -> None:
    tree = json.loads(to_json(make_record()))
    spoil(tree)  # type: ignore[operator]
    with pytest.raises(InputError, match=message):
        from_json(json.dumps(tree))


@pytest.mark.parametrize("text", ["", "[]", "3", "{", '{"schema": NaN}', "[" * 100_000, "null"])
def test_text_that_is_no_record(text: str) -> None:
    with pytest.raises(InputError):
        from_json(text)


def test_a_number_of_thousands_of_digits_is_told() -> None:
    tree = json.loads(to_json(make_record()))
    tree["source"]["cues"] = "many"
    text = json.dumps(tree).replace('"many"', "9" * 5000)
    with pytest.raises(InputError, match=r"is not JSON .a whole number of 5000 digits is too large"):
        from_json(text)


def test_file_errors_name_file_and_line(tmp_path: Path) -> None:
    path = tmp_path / "a.record.json"
    with pytest.raises(InputError, match=r"a\.record\.json: cannot be read"):
        from_json(path)
    path.write_text('{\n "schema": \n}\n', encoding="utf-8")
    with pytest.raises(InputError, match=r"a\.record\.json:3: is not JSON"):
        from_json(path)
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match=r"a\.record\.json: is not UTF-8"):
        from_json(path)
