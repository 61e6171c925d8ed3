"""Finding a ruleset by name, edition and date, and what the edition files claim."""

from __future__ import annotations

import pickle
import re
from dataclasses import fields
from datetime import date

import pytest

from extract.rules import UnknownRules, edition_names, get_ruleset, ruleset_named, ruleset_names
from extract.rules.describe import CRITERIA_WORDS
from extract.rules.edition import Edition, load_documents, load_editions, style_names

ALL = [edition for editions in load_editions().values() for edition in editions]


def test_names_are_the_edition_files() -> None:
    assert ruleset_names() == tuple(load_editions())


@pytest.mark.parametrize(
    ("name", "edition", "nearest"),
    [
        ("freestile", None, "freestyle"),
        ("greko", None, "greco"),
        ("skolastic", None, "scholastic"),
        ("freestlye", None, "freestyle"),
        ("folkstlye", None, "folkstyle"),
        ("highschol", None, "high school"),
        ("collegiate", "2023", "2023-24"),
    ],
)
def test_unknown_rules_name_the_known_and_the_nearest(name: str, edition: str | None, nearest: str) -> None:
    with pytest.raises(UnknownRules) as caught:
        get_ruleset(name, edition)
    known = edition_names(name) if edition else ruleset_names()
    message = str(caught.value)
    assert all(each in message for each in known)
    assert f"did you mean {nearest}? use one of " in message
    assert isinstance(caught.value, ValueError)


@pytest.mark.parametrize(
    ("style", "names"),
    [
        ("collegiate", ("folkstyle", "Folk-style", "NCAA", "college", "COLLEGIATE", "NCAA Folkstyle")),
        ("scholastic", ("high school", "High-School", "highschool", "NFHS", "scholastic")),
        ("greco", ("Greco-Roman", "greco roman", "GRECO", "Greco\u2011Roman", " greco ")),
        ("freestyle", ("Free style", "free-style", "women\u2019s freestyle", "Women's Wrestling")),
        ("foil", ("foil fencing", "Fencing", "foil")),
    ],
)
def test_names_that_people_use(style: str, names: tuple[str, ...]) -> None:
    assert {ruleset_named(name) for name in names} == {style}
    assert {get_ruleset(name).name for name in names} == {style}


@pytest.mark.parametrize("name", ["", " - ", "wrestling", "style", "sumo"])
def test_a_name_of_none_of_them(name: str) -> None:
    with pytest.raises(UnknownRules, match="use one of collegiate, foil, freestyle, greco, scholastic"):
        ruleset_named(name)


def test_no_name_stands_for_two_rulesets() -> None:
    letters = ["".join(filter(str.isalnum, name.casefold())) for name in style_names()]
    assert len(set(letters)) == len(letters)


@pytest.mark.parametrize(
    ("name", "day", "edition"),
    [
        ("collegiate", "2023-03-18", "2021-22"),
        ("collegiate", date(2023, 11, 4), "2023-24"),
        ("collegiate", None, "2023-24"),
        ("scholastic", "2024-01-20", "2014-15"),
        ("scholastic", "2025-01-18", "2024-25"),
        ("freestyle", "2022-01-26", "2018-04"),
        ("freestyle", "2022-01-27", "2022"),
        ("freestyle", None, "2026"),
        ("greco", "2021-01-31", "2018-04"),
        ("greco", "2021-02-01", "2021"),
        ("greco", "2025-04-10", "2025-trial-april"),
        ("greco", "2025-05-01", "2023"),  # between the two tests
        ("greco", "2025-07-01", "2025-trial"),
        ("greco", "2025-11-10", "2023"),  # the test has ended
        ("greco", "2026-01-10", "2026"),
        ("greco", None, "2026"),
        ("collegiate", "2019-03-01", "2015-16"),
        ("collegiate", "2019-11-01", "2019-20"),
    ],
)
def test_date_decides_the_edition(name: str, day: date | str | None, edition: str) -> None:
    assert get_ruleset(name, date=day).edition == edition


def test_named_edition_goes_before_date() -> None:
    assert get_ruleset("collegiate", "2021-22", "2024-11-01").edition == "2021-22"


@pytest.mark.parametrize("day", ["1999-01-01", "last winter"])
def test_date_without_rules(day: str) -> None:
    with pytest.raises(UnknownRules, match=day):
        get_ruleset("freestyle", date=day)


def test_same_edition_is_one_object_even_after_pickling() -> None:
    rules = get_ruleset("greco")
    assert get_ruleset("greco", "2026") is rules
    assert pickle.loads(pickle.dumps(rules)) is rules
    young = get_ruleset("greco", age_group="U15")
    assert young is not rules
    assert pickle.loads(pickle.dumps(young)) is young


@pytest.mark.parametrize(
    ("called", "style"),
    [("Women's freestyle", "freestyle"), ("Greco-Roman", "greco"), ("NCAA", "collegiate")],
)
def test_a_style_goes_by_several_names(called: str, style: str) -> None:
    assert get_ruleset(called) is get_ruleset(style)


@pytest.mark.parametrize(
    ("group", "periods"),
    # UWW rules of January 2023 and 2026, Art. 22.
    [
        ("U15", (120, 120)),
        ("u17", (120, 120)),
        ("Veterans", (120, 120)),
        ("U20", (180, 180)),
        ("seniors", (180, 180)),
    ],
)
def test_periods_of_age_groups(group: str, periods: tuple[int, ...]) -> None:
    for style in ("freestyle", "greco"):
        rules = get_ruleset(style, age_group=group)
        assert rules.period_seconds == periods
        assert rules.superiority_lead == get_ruleset(style).superiority_lead


def test_an_unknown_age_group_names_the_known() -> None:
    with pytest.raises(UnknownRules, match=r"unknown age group of freestyle 'U16'; use one of .*U15"):
        get_ruleset("freestyle", age_group="U16")
    with pytest.raises(UnknownRules, match="collegiate has no age groups"):
        get_ruleset("collegiate", age_group="U20")


@pytest.mark.parametrize("edition", ALL, ids=lambda e: f"{e.style}-{e.name}")
def test_every_value_has_its_source(edition: Edition) -> None:
    defaults = {
        f.name: f.default_factory() if callable(f.default_factory) else f.default for f in fields(Edition)
    }
    of_their_own = ("style", "family", "name", "points", "actions", "challenge_scope", "source")
    given = {
        name
        for name, value in defaults.items()
        if name not in of_their_own and getattr(edition, name) != value
    }
    # A value that is stated and happens to equal its default still needs no source of its own.
    assert given | {f"points.{kind}" for kind in edition.points} <= set(edition.source)
    assert all({f"points.{kind}", f"actions.{kind}"} & set(edition.source) for kind in edition.actions)
    assert set(edition.points) <= set(edition.actions)


#: What a source begins with where it is no published document.
NO_DOCUMENT = ("from memory", "common practice", "as ")


@pytest.mark.parametrize("edition", ALL, ids=lambda e: f"{e.style}-{e.name}")
def test_sources_are_listed_documents_or_say_that_there_is_none(edition: Edition) -> None:
    documents = load_documents()
    for name, text in edition.source.items():
        named = set(re.findall(r"\b(?:[A-Z]{1,4}[0-9]{1,2}[a-z]?|NCweb|NFweb|NY)\b", text)) - {
            "U15",
            "U17",
            "U20",
            "U23",
        }
        assert named <= set(documents), (name, text)
        assert named or text.startswith(NO_DOCUMENT), (name, text)
    assert all(document["title"] and document["seen"] for document in documents.values())


def test_every_document_is_used() -> None:
    texts = " ".join(text for edition in ALL for text in edition.source.values())
    assert [name for name in load_documents() if not re.search(rf"\b{name}\b", texts)] == []


@pytest.mark.parametrize("edition", ALL, ids=lambda e: f"{e.style}-{e.name}")
def test_editions_are_sound(edition: Edition) -> None:
    assert all(points and all(p > 0 for p in points) for points in edition.points.values())
    assert set(edition.level_score_criteria) <= set(CRITERIA_WORDS)
    assert {kind for kind, _ in edition.extra_periods} <= {
        "sudden_victory",
        "tiebreaker",
        "ultimate",
        "extra_minute",
    }
    assert edition.activity_ended_by in ("either", "passive")
    assert edition.valid_to is None or edition.valid_from < edition.valid_to
    assert edition.riding_time_decides in (None, "each", "last")
    assert edition.points.keys() <= edition.actions.keys()
    assert set(edition.stalling_ladder) <= {0, *edition.points.get("stalling_point", ())}


@pytest.mark.parametrize("style", ruleset_names())
def test_editions_are_in_order_of_time(style: str) -> None:
    days = [edition.valid_from for edition in load_editions()[style]]
    assert days == sorted(set(days))


@pytest.mark.parametrize(
    ("name", "edition", "kind", "points"),
    [
        ("freestyle", None, "takedown", (2,)),  # UWW: all takedowns two points
        ("freestyle", None, "throw", (4, 5, 2)),  # UWW: 4 and 5 point actions; 2 from memory
        ("greco", None, "step_out", (1,)),  # UWW announcement, January 2022
        ("freestyle", None, "passivity_warning", (0,)),
        ("freestyle", None, "escape", ()),
        ("greco", None, "activity_clock_start", ()),  # common practice: the clock is freestyle's
        ("collegiate", "2021-22", "takedown", (2,)),  # NCAA release, June 2023: two until then
        ("collegiate", "2023-24", "takedown", (3,)),  # NCAA release, June 2023
        ("collegiate", "2021-22", "near_fall", (2, 4)),  # NCAA season summary 2015-16: no three
        ("collegiate", "2023-24", "near_fall", (2, 3, 4)),  # NCAA release, June 2023
        ("collegiate", None, "riding_time", (1,)),
        ("scholastic", None, "riding_time", ()),  # common practice: collegiate only
        ("scholastic", "2014-15", "takedown", (2,)),  # NFHS announcement, April 2024: two until then
        ("scholastic", "2024-25", "takedown", (3,)),  # NFHS announcement, April 2024
        ("scholastic", "2024-25", "near_fall", (2, 3, 4, 5)),  # NFHS announcement, April 2024
    ],
)
def test_points(name: str, edition: str | None, kind: str, points: tuple[int, ...]) -> None:
    assert get_ruleset(name, edition).points_of(kind) == points


@pytest.mark.parametrize(
    ("name", "periods", "extra", "rest", "lead"),
    [
        # UWW: two periods of three minutes, 30 seconds between; 10 points freestyle, 8 Greco-Roman.
        ("freestyle", (180, 180), (), 30, 10),
        ("greco", (180, 180), (), 30, 8),
        # NCAA: three, two and two minutes; overtime by the release of June 2021. Lead from memory.
        ("collegiate", (180, 120, 120), (120, 30, 30, 60, 30, 30), 0, 15),
        # NFHS: three periods of two minutes (from memory); overtime by state association slides, 2006-07.
        ("scholastic", (120, 120, 120), (60, 30, 30, 30), 0, 15),
    ],
)
def test_times_and_lead(
    name: str, periods: tuple[int, ...], extra: tuple[int, ...], rest: int, lead: int
) -> None:
    rules = get_ruleset(name)
    assert (rules.period_seconds, rules.extra_period_seconds) == (periods, extra)
    assert (rules.rest_seconds, rules.superiority_lead) == (rest, lead)
    total = len(periods + extra)
    assert [rules.seconds_of(n) for n in range(total + 2)] == [None, *periods, *extra, None]
