"""The word lists: what a malformed one says, and that the log has a parameter for every grade the finders give."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest

import extract.lexicon.data
import extract.lexicon.load
from extract.bout import extract_bout
from extract.errors import InputError
from extract.lexicon import load_lexicon
from extract.log import default_parameters
from extract.log.parameters import Parameters, prior_parameters
from extract.mentions.model import (
    CallMention,
    ClockMention,
    CriteriaMention,
    MarkMention,
    Mention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)
from tests.talk import bout_file, found, transcript

STYLES = ("freestyle", "greco", "collegiate", "scholastic")


@pytest.fixture
def write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], Path]]:
    """Puts a text in place of one lexicon file, ``calls``, for the time of a test."""
    real = extract.lexicon.data.lexicon_path

    def forget() -> None:
        extract.lexicon.data.load_toml.cache_clear()
        load_lexicon.cache_clear()

    def put(text: str) -> Path:
        path = tmp_path / "calls.toml"
        path.write_text(text, "utf-8")
        monkeypatch.setattr(
            extract.lexicon.data, "lexicon_path", lambda name: path if name == "calls" else real(name)
        )
        forget()
        return path

    yield put
    monkeypatch.undo()
    forget()


GOOD = '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["takedown"]\n\n'


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ('[[entry]]\nrole = "sort"\nforms = ["a"]\n', "unknown role 'sort'"),
        ('[[entry]]\nvalue = "takedown"\nforms = ["a"]\n', "unknown role None"),
        ('[[entry]]\nrole = "kind"\nforms = []\n', "forms must be"),
        ('[[entry]]\nrole = "kind"\n', "forms must be"),
        ('[[entry]]\nrole = "kind"\nforms = "takedown"\n', "forms must be"),
        ('[[entry]]\nrole = "kind"\nforms = ["takedown", " "]\n', "forms must be"),
        ('[[entry]]\nrole = "kind"\nforms = ["takedown", 2]\n', "forms must be"),
        ('[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "strong"\nforms = ["a"]\n', "strength"),
        ('[[entry]]\nrole = "stance"\nvalue = "negated"\nscope = "behind"\nforms = ["a"]\n', "scope"),
        ('[[entry]]\nrole = "stance"\nvalue = "doubted"\nscope = "after"\nforms = ["a"]\n', "doubted"),
        ('[[entry]]\nrole = "kind"\nvalue = "escape"\nstyles = "freestyle"\nforms = ["a"]\n', "styles"),
        ('[[entry]]\nrole = "kind"\nvalue = "escape"\nstyles = ["freestile"]\nforms = ["a"]\n', "styles"),
        ('[[entry]]\nrole = "bound"\nvalue = "beneath"\nforms = ["a"]\n', "beneath"),
        ('[[entry]]\nrole = "kind"\nform = ["takedown"]\nforms = ["td"]\n', "unknown key 'form'"),
    ],
)
def test_a_malformed_entry_names_file_and_entry(write: Callable[[str], Path], entry: str, told: str) -> None:
    write(GOOD + entry)
    with pytest.raises(InputError) as caught:
        load_lexicon("freestyle")
    assert "calls.toml" in caught.value.file
    assert "entry 2" in str(caught.value)
    assert told in str(caught.value)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)


def test_text_that_is_no_toml_names_the_file(write: Callable[[str], Path]) -> None:
    write('[[entry]]\nrole = "kind\n')
    with pytest.raises(InputError) as caught:
        load_lexicon("freestyle")
    assert "calls.toml" in caught.value.file
    assert "line 2" in str(caught.value)


def test_entry_must_be_a_list_of_tables(write: Callable[[str], Path]) -> None:
    write('entry = "takedown"\n')
    with pytest.raises(InputError, match="entry is no list of tables"):
        load_lexicon("freestyle")


def test_a_lexicon_that_is_not_there() -> None:
    with pytest.raises(InputError, match="no such lexicon"):
        extract.lexicon.data.load_toml("weather")


def test_an_entry_is_kept_for_its_styles_only(write: Callable[[str], Path]) -> None:
    write(
        GOOD
        + '[[entry]]\nrole = "kind"\nvalue = "escape"\nstyles = ["collegiate"]\nforms = ["escape", "escape"]\n'
    )
    assert list(load_lexicon("freestyle").forms("kind")) == ["takedown"]
    assert list(load_lexicon("collegiate").forms("kind")) == ["takedown", "escape"]
    assert list(load_lexicon("collegiate").forms("kind", "escape")) == ["escape"]


@pytest.mark.parametrize("style", STYLES)
def test_the_shipped_lexicon_loads(style: str) -> None:
    lexicon = load_lexicon(style)
    assert {"takedown", "fall"} <= {e.value for e in lexicon.entries if e.role == "kind"}
    for entry in lexicon.entries:
        assert entry.role in extract.lexicon.load.ROLES
        assert all(form == form.strip() for form in entry.forms)
        assert entry.role != "kind" or entry.strength in ("call", "verb", "hold")
        assert entry.role != "stance" or entry.scope in ("after", "before")


# How the finders' grades are met with parameters.

_NUMBERS = ["two", "2", "one", "four", "to", "for"]
_TIES = ["", "red", "Felmouth", "he"]
BANK = [
    *(f"{n} {w} {c}" for n, w, c in product(_NUMBERS, ["", "points", "more", "for", "takedown"], _TIES)),
    *(f"{p} takedown {c}{e}" for p, c, e in product(["", "a", "that", "the", "that's a"], _TIES, ["", ".", "?"])),
    *(f"{s} two points for red" for s in ["if he gets", "was that", "no", "he needs", "on the replay", "maybe"]),
    *(f"{c} {v}" for c, v in product(_TIES, ["steps out", "is out", "gut wrench", "goes behind"])),
    *(f"{c} leads {s}" for c, s in product(_TIES, ["3-1", "three to one", "three one", "three nothing", "4 all"])),
    *(f"{s}, {c}" for c, s in product(_TIES, ["3, 1", "three points to one", "one each", "31", "won nothing", "6-2"])),
    *(f"is it {s}?" for s in ["3-1", "three one", "four all"]),
    *(f"{s} this season" for s in ["3-1", "22-5", "three and one"]),
    "Felmouth drives him to the edge of the mat, and that is two points.",
    "A good attack by Felmouth there. Two points.",
    "Felmouth on the edge now. Four-one.",
    "Felmouth is wrestling so well, and it is still four-one.",
    "blue four red one", "last year it was 6-2", "it would be four-one", "four-one and two", "17-3 red",
    *(f"{t}{e}" for t, e in product(
        ["1:43", ":33", "a minute thirty", "thirty seconds", "two forty-eight", "one oh five", "a minute",
         "two minutes", "under a minute", "about twenty", "under twenty", "twenty", "forty"],
        ["", ".", "?", " left", " to go.", " left?"])),
    "Is there a minute?", "Time is under twenty.", "Forty.",
    *(f"{c} {w}" for c, w in product(
        ["red", ""], ["challenges", "throws the brick", "under review", "the block", "call stands", "confirmed",
                      "wins the challenge", "loses the challenge", "call overturned", "takes the brick back"])),
    "if they challenge", "will they challenge?", "no challenge", "he wants to challenge", "they challenged earlier",
    "waved off", "no hand", "doesn't count", "no takedown", "nothing there", "not given",
    "red has criteria", "scored last, blue", "the tiebreak", "if red wins on criteria", "who has criteria?",
    "first period", "Second period, three minutes.", "whistle", "here we go", "we're off", "P2", "horn", "halftime",
    "end of one", "that's the match", "time", "winner", "final score", "if that's the match", "is it over?",
]  # fmt: skip


def _bank(sort: type[Mention]) -> Iterator[Any]:
    for text, rules in product(BANK, ("freestyle", "collegiate")):
        yield from found(sort, text, rules)


@pytest.mark.parametrize(
    ("sort", "table", "at_least"),
    [
        (
            ClockMention,
            "clock.weight",
            {"m:ss", "m:ss+remain", "words", "words+remain", "seconds", "seconds+remain", "time pair+remain",
             "oh+remain", "minutes+remain", "bare+remain", "asked"},
        ),
        (ReviewMention, "review.grade", {"plain", "loose", "named"}),
        (MarkMention, "mark.weight", {"plain", "loose", "named"}),
        (WaveOffMention, "wave_off.grade", {"waved off", "nothing there"}),
        (CriteriaMention, "criteria", {"named", "loose"}),
    ],
)  # fmt: skip
def test_every_grade_has_a_parameter(sort: type[Mention], table: str, at_least: set[str]) -> None:
    grades = {m.grade for m in _bank(sort)}
    assert at_least <= grades
    for parameters in (default_parameters(), prior_parameters()):
        assert grades <= set(parameters.table(table))


def test_every_stance_of_a_review_has_a_parameter() -> None:
    assert {m.stance for m in _bank(ReviewMention)} <= set(default_parameters().table("review.stance"))


def test_every_tie_has_a_parameter() -> None:
    parameters = default_parameters()
    assert {"attached", "near", "none"} <= {m.tie for m in _bank(CallMention)} <= set(parameters.table("tie"))
    assert {m.tie for m in _bank(ScoreMention)} <= set(parameters.table("score.tie"))


@pytest.mark.parametrize(("sort", "table"), [(ScoreMention, "score.sign"), (CallMention, "call.sign")])
def test_every_sign_has_a_weight(sort: type[Any], table: str) -> None:
    """A sign without one would silently weigh nothing."""
    signs = {sign for m in _bank(sort) for sign in m.all_signs()}
    assert len(signs) > 12
    for parameters in (default_parameters(), prior_parameters()):
        assert signs <= set(parameters.table(table))


def test_the_whole_bank_goes_through() -> None:
    """No grade, sign, stance or tie of any of these sentences is unknown further on."""
    tables = default_parameters().tables
    narrow = Parameters({**tables, "beam": {**tables["beam"], "width": 3}})
    for rules in ("freestyle", "collegiate"):
        record = extract_bout(transcript(*BANK), bout_file(rules), parameters=narrow)
        assert record.events
