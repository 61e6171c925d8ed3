"""Where the talk refers to a corner. All people and teams are invented; the readings are common practice."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.cast.find import Cast, CornerRef, Person, corner_refs
from extract.talk.document import TalkDocument
from extract.talk.tokens import tokenize
from extract.transcript import read_transcript
from tests.made_talk import words_of

CAST = Cast(
    Person("Mira Dragomel", "Vastmark Tech", (), "given", "given"),
    Person("Edvin Oster-Vale", "the Kingdom of Orvania", ("the Owl",), "given", "given"),
)


def refs_of(text: str, cast: Cast = CAST) -> list[CornerRef]:
    return corner_refs(words_of(text), cast)


def read(text: str, cast: Cast = CAST) -> list[tuple[str, str, str]]:
    """(words, corner, how) of every reference."""
    spans = [
        (begin, begin + len(form.text)) for form, begin in zip(*tokenize(text), strict=True) if not form.space
    ]
    return [
        (text[spans[ref.start][0] : spans[ref.end - 1][1]], ref.corner, ref.how)
        for ref in refs_of(text, cast)
    ]


@pytest.mark.parametrize(
    ("text", "words", "corner"),
    [
        ("Two points for red!", "red", "red"),
        ("passivity blue first one", "blue", "blue"),
        ("The man in the blue singlet shoots.", "The man in the blue singlet", "blue"),
        ("Step-out against the red corner.", "the red corner", "red"),
        ("And that is the brick from the Red Corner.", "the Red Corner", "red"),
        ("three more for the woman in red", "the woman in red", "red"),
        ("two in the read corner now", "in the read corner", "red"),
        ("Step-out against the red  corner.", "the red  corner", "red"),
    ],
)
def test_a_colour_means_a_corner(text: str, words: str, corner: str) -> None:
    assert read(text) == [(words, corner, "colour")]


@pytest.mark.parametrize(
    "text",
    [
        "That will be a red card for the coach.",
        "A takedown out of the blue!",
        "There's blue tape on the mat.",
        "Toes on the red line there.",
        "Arms all black and blue after that.",
        "He has read the rules and blew his chance.",
    ],
)
def test_a_coloured_thing_is_no_corner(text: str) -> None:
    assert read(text) == []


def test_one_after_a_colour_is_a_count_without_an_article() -> None:
    assert read("blue four red one so far")[1] == ("red", "red", "colour")
    assert read("and the red one shoots")[0] == ("the red one", "red", "colour")


def test_the_bench_is_told_from_the_athlete() -> None:
    assert [ref.about for ref in refs_of("The red coach is shouting.")] == ["bench"]
    assert [ref.about for ref in refs_of("The Vastmark bench is up.")] == ["bench"]
    assert [ref.about for ref in refs_of("Dragomel's hips are low.")] == ["possessive"]
    for is_or_has in ("got the leg", "sat on the hip", "loose", "leading", "six points up"):
        assert [ref.about for ref in refs_of(f"Dragomel's {is_or_has}.")] == ["athlete"]
    bench, athlete = refs_of("The Orvania corner throws it. Orvania lead.")
    assert bench.confidence < athlete.confidence


@pytest.mark.parametrize(
    "letter_line", ["TD R, 2.\nB stalls.\nR up 2-0.\nStep-out B.\nGW R.\nPass. B, verbal.\n"]
)
def test_single_letters_are_corners_in_notes_only(letter_line: str) -> None:
    notes = letter_line + "Whistle, P1.\nCollar ties, no score.\nL underhook, R arm held.\n"
    found = read(notes, Cast(Person(), Person()))
    assert [corner for _, corner, _ in found] == ["red", "blue", "red", "blue", "red", "blue"]
    assert read(
        "The R stands for red and that is that, B is what he was told to be.", Cast(Person(), Person())
    ) == [("red", "red", "colour")]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("takedown dragomel", "dragomel"),
        ("takedown mira dragomel", "mira dragomel"),
        ("Two for Dragomel's corner", "Dragomel's corner"),
        ("takedown drago mel two", "drago mel"),
        ("takedown dragomell two", "dragomell"),
        ("takedown dragamel two", "dragamel"),
        ("that's the dragomels dragomel again", "dragomels"),
        ("TD D'mel, 2.", "D'mel"),
        ("vastmark in front", "vastmark"),
        ("fast mark in front", "fast mark"),
    ],
)
def test_red_is_found_under_many_spellings(text: str, words: str) -> None:
    first = read(text)[0]
    assert (first[0], first[1]) == (words, "red")


@pytest.mark.parametrize(
    ("text", "words", "how"),
    [
        ("Oster-Vale shoots", "Oster-Vale", "name"),
        ("oster vale shoots", "oster vale", "name"),
        ("Vale shoots", "Vale", "name"),
        ("here is Edvin Oster-Vale", "Edvin Oster-Vale", "name"),
        ("one for the orvanian", "orvanian", "team"),
        ("Orvania lead", "Orvania", "team"),
        ("That's the Owl again", "the Owl", "nickname"),
    ],
)
def test_blue_is_found_under_many_names(text: str, words: str, how: str) -> None:
    assert read(text) == [(words, "blue", how)]


def test_a_nickname_is_less_sure_than_the_name() -> None:
    cast = Cast(Person("Benedikt Dunmore"), Person("Oksana Tolvik"))
    (nick,) = refs_of("Go on, Benny, keep moving.", cast)
    (name,) = refs_of("Go on, Benedikt, keep moving.", cast)
    assert (nick.how, name.how) == ("nickname", "name")
    assert nick.confidence < name.confidence


def test_a_name_that_both_share_stands_for_neither() -> None:
    cast = Cast(Person("Ada Brill", "Tolvia State"), Person("Ida Brill", "Tolvia Tech"))
    assert read("Brill again for Tolvia", cast) == []
    assert read("Ada Brill again for Tolvia Tech", cast) == [
        ("Ada Brill", "red", "name"),
        ("Tolvia Tech", "blue", "team"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "We turn the page now.",
        "the cook sells pies",
        "Cross-face, hard.",
        "Grace under pressure.",
        "a hard cross on top",
    ],
)
def test_an_everyday_word_is_not_taken_for_a_name(text: str) -> None:
    cast = Cast(Person("Grace Page"), Person("Orrin Cross"))
    assert read(text, cast) == []


def test_an_everyday_word_is_a_name_where_it_is_used_as_one() -> None:
    cast = Cast(Person("Grace Page"), Person("Orrin Cross"))
    assert read("Takedown, Page, two.", cast) == [("Page", "red", "name")]
    assert read("takedown page\nnow orrin cross shoots", cast) == [
        ("page", "red", "name"),
        ("orrin cross", "blue", "name"),
    ]


def test_references_do_not_depend_on_names_when_none_are_known() -> None:
    assert read("Dragomel shoots on blue.", Cast(Person(), Person())) == [("blue", "blue", "colour")]


MIXED = (
    "Mira Dragomel, she's in the red. Edvin Oster-Vale is in the blue, he's the taller.\n"
    "Dragomel shoots, she has the leg.\nOster-Vale sprawls, he is heavy there.\n"
    "Dragomel again, she drives.\nOster-Vale circles, he wants the edge.\n"
    "Now Dragomel waits. She fakes on him.\nThe referee looks. He gives the two.\n"
)


def test_pronouns_count_when_each_athlete_takes_another() -> None:
    found = [(words, corner) for words, corner, how in read(MIXED) if how == "pronoun"]
    assert ("She", "red") in found
    assert ("him", "blue") in found
    assert ("He", "blue") not in found, "the referee's"


def test_pronouns_are_left_alone_when_both_take_the_same() -> None:
    same = MIXED.replace(" he", " she").replace(" him", " her")
    assert not [how for _, _, how in read(same) if how == "pronoun"]


def test_a_role_set_beside_one_name_means_that_athlete() -> None:
    text = (
        "Dragomel, the defending champion, is in red. Oster-Vale the five seed.\n"
        "The champion shoots. The five seed waits."
    )
    roles = [(words.lower(), corner) for words, corner, how in read(text) if how == "role"]
    assert ("the champion", "red") in roles
    assert ("the five seed", "blue") in roles


_TALK = """red blue Dragomel drago mel Oster vale - 's , . ! the in corner Mira mira two he she us R B coach
singlet"""
_WORDS = st.sampled_from([*_TALK.split(), "\n"])


@given(st.lists(_WORDS, max_size=40))
def test_references_are_in_order_and_apart(words: list[str]) -> None:
    doc = words_of(" ".join(words))
    refs = corner_refs(doc, CAST)
    assert all(0 <= ref.start < ref.end <= len(doc) and 0 < ref.confidence <= 1 for ref in refs)
    assert all(one.end <= two.start for one, two in pairwise(refs))


def test_a_team_with_a_colour_in_its_name_leaves_the_colours_alone() -> None:
    cast = Cast(Person("Mira Dragomel", "Blue Ridge Academy"), Person("Edvin Oster", "Vastmark"))
    assert read("Two for blue, and Blue Ridge wait.", cast) == [
        ("blue", "blue", "colour"),
        ("Blue Ridge", "red", "team"),
    ]
    assert read("Two for blue, says the Blue Falcons mascot.", Cast(Person(), Person())) == [
        ("blue", "blue", "colour")
    ]


def test_captions_all_in_capitals() -> None:
    text = "AND THE TAKEDOWN, DRAGOMEL, TWO FOR RED. THE COACH IS HAPPY. DRAGO MEL AGAIN."
    assert [(words, how) for words, _, how in read(text)] == [
        ("DRAGOMEL", "name"),
        ("RED", "colour"),
        ("DRAGO MEL", "name"),
    ]


def test_a_name_cut_short_in_the_middle_needs_no_capitals() -> None:
    assert read("d'mel has two, and o'clock it is, d'you know") == [("d'mel", "red", "name")]


def test_names_in_another_script_match_themselves_only() -> None:
    cast = Cast(Person("Мира Осте"), Person("Edvin Kessel"))
    assert read("Takedown Осте, not Кто.", cast) == [("Осте", "red", "name")]


def test_accents_may_be_missing() -> None:
    cast = Cast(Person("Zoë Šarićova"), Person("Edvin Kessel"))
    assert read("takedown saricova two", cast)[0][:2] == ("saricova", "red")


def test_a_role_said_of_a_pronoun_is_not_given_to_the_next_name() -> None:
    text = "Which, I mean, he's the three seed, Oster-Vale's the six. And now the three seed shoots."
    assert not [words for words, _, how in read(text) if how == "role"]


@pytest.mark.parametrize(
    ("text", "refs"),
    [
        ("Two for the man from the harbour.", [("harbour", "red", "team")]),
        ("two for the girl from the coast and she likes it", [("the coast", "blue", "team")]),
        ("The kid from the harbour police is in the stands.", []),
        ("There are boats in the harbour, three of them.", []),
        ("They walked from the harbour to the hall.", []),
    ],
)
def test_a_half_of_a_team_needs_no_capital_where_an_athlete_is_from_it(
    text: str, refs: list[tuple[str, str, str]]
) -> None:
    cast = Cast(Person("Mira Dragomel", "Harbour Lights"), Person("Edvin Oster-Vale", "Gannet Coast"))
    assert read(text, cast) == refs


def test_initials_in_small_letters_are_names_in_notes(tmp_path: Path) -> None:
    lines = (
        "md sgl L leg, eo sprawl",
        "eo +2",
        "md behind pts",
        "eo whz, off",
        "md bk exposed",
        "2 eo no doubt",
    )
    table = tmp_path / "notes.csv"
    table.write_text("time,note\n" + "".join(f'0:{5 * k:02},"{line}"\n' for k, line in enumerate(lines)))
    words = TalkDocument(read_transcript(table)).words
    assert [(words.norm[ref.start], ref.corner) for ref in corner_refs(words, CAST)] == [
        ("md", "red"), ("eo", "blue"), ("eo", "blue"), ("md", "red"), ("eo", "blue"), ("md", "red"), ("eo", "blue"),
    ]  # fmt: skip


def test_the_beginnings_of_names_stand_for_them_in_notes(tmp_path: Path) -> None:
    """The typist writes "mer" and "jo": of each the first letters of the given name, again and again."""
    lines = (
        "jo 2 mer 1",
        "mer sgl, jo sprwl",
        "hands. jo bk",
        "mer 2 fngrs",
        "to the edge, no",
        "bd mer 4 jo 2",
    )
    table = tmp_path / "notes.csv"
    table.write_text("time,note\n" + "".join(f'0:{5 * k:02},"{line}"\n' for k, line in enumerate(lines)))
    words = TalkDocument(read_transcript(table)).words
    found = [(words.norm[ref.start], ref.corner) for ref in corner_refs(words, HEARD)]
    jo, mer = ("jo", "red"), ("mer", "blue")
    assert found == [jo, mer, mer, jo, jo, mer, mer, jo]


def test_a_beginning_of_one_name_alone_is_nobody(tmp_path: Path) -> None:
    table = tmp_path / "notes.csv"
    table.write_text('time,note\n0:05,"jo 2"\n0:10,"jo again"\n0:15,"jo off, no"\n')
    words = TalkDocument(read_transcript(table)).words
    assert not corner_refs(words, HEARD)


HEARD = Cast(
    Person("Joris Bexavar", "Vastmark Tech", (), "given", "given"),
    Person("Merrit Quashidel", "Orvania", (), "given", "given"),
)


@pytest.mark.parametrize(
    ("text", "words", "corner"),
    [
        ("One for Yorish, then.", "Yorish", "red"),
        ("And Bek Savar has the leg.", "Bek Savar", "red"),
        ("Two on the clock. Good from Merit, that.", "Merit", "blue"),
        ("The hips of Quash Eddle are low.", "Quash Eddle", "blue"),
    ],
)
def test_other_words_with_the_consonants_of_a_name_are_the_name(text: str, words: str, corner: str) -> None:
    assert read(text, HEARD) == [(words, corner, "name")]


@pytest.mark.parametrize(
    "text", ["That has no merit at all.", "We are in the Merit Hall today.", "A lead on merit, you may say."]
)
def test_an_everyday_word_with_the_sound_of_a_name_is_not_the_name(text: str) -> None:
    assert read(text, HEARD) == []


def test_an_everyday_word_that_stands_where_names_do_again_and_again_is_the_name() -> None:
    line = "merit shoots and merit circles\ntwo for merit now\nbexavar sprawls"
    assert [found for found in read(line, HEARD) if found[0] == "merit"] == [("merit", "blue", "name")] * 3


def test_a_small_word_beside_a_misheard_name_is_no_part_of_it() -> None:
    assert read("It is Quashidell he looks for.", HEARD)[0][0] == "Quashidell"


def test_a_name_without_its_first_vowel_is_a_nickname() -> None:
    cast = Cast(Person("Emorik Vash", "", (), "given"), Person("Tolva Hesk", "", (), "given"))
    assert read("Come here, Mor. Good, Mor.", cast) == [("Mor", "red", "nickname")] * 2


def test_an_everyday_name_alone_is_an_answer() -> None:
    cast = Cast(Person("Grace Vashti", "", (), "given"), Person("Tolva Hesk", "", (), "given"))
    assert read("Who has two? Grace. So they go on.", cast) == [("Grace", "red", "name")]
