"""What is heard does not hang on the characters in which it is written, only on what a person reads."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from extract.mentions import Heard, hear
from extract.mentions.model import CallMention, ClockMention, ScoreMention
from extract.transcript.bout_file import BoutFile, Side
from extract.transcript.decode import source_of
from extract.transcript.plain import UNSEEN
from extract.transcript.read import transcript_in
from tests.made_talk import bout_file, found, heard

_SAID = (
    "Doran Felmouth shoots, takedown, two for red!",
    "Two-nothing Felmouth, a minute\ntwenty left in the first.",
    "Strandlow's out, one blue. It's 2-1, red.",
)
_UNSEEN = "\u200b\u200c\u200e\u2060\u202a\u202c\u00ad\ufeff"


def _captions(*texts: str) -> str:
    blocks = (
        f"{n}\n00:00:{n * 5:02d},000 --> 00:00:{n * 5 + 4:02d},000\n{text}\n"
        for n, text in enumerate(texts, 1)
    )
    return "\n".join(blocks)


def _heard(*texts: str, bout: BoutFile | None = None) -> Heard:
    return hear(
        transcript_in(source_of(_captions(*texts).encode(), "talk.srt")), "freestyle", bout or bout_file()
    )


def _told(all_heard: Heard) -> list[tuple[object, ...]]:
    """What is heard, with the words that the evidence shows."""
    return [(mention, all_heard.place(mention).text) for mention in all_heard.mentions]


def _sown(text: str, sown: list[tuple[int, str]]) -> str:
    for at, character in sorted(sown, reverse=True):
        text = text[: at % (len(text) + 1)] + character + text[at % (len(text) + 1) :]
    return text


def _check_places(all_heard: Heard, texts: list[str]) -> None:
    """That the source has, at the place of each mention, the words of its evidence."""
    for mention in all_heard.mentions:
        place = all_heard.place(mention)
        there = re.sub(f"[{UNSEEN}]", "", texts[place.cue - 1][place.start : place.end])
        assert re.sub(r"[^\S\n]+", " ", there) == place.text


@settings(deadline=None, max_examples=40)
@given(sown=st.lists(st.tuples(st.integers(0, 2), st.integers(0, 60), st.sampled_from(_UNSEEN)), max_size=12))
@example(sown=[(k, 0, "\u200b") for k in range(3)])
@example(sown=[(0, 0, "\u202b"), (0, 60, "\u202c"), (1, 0, "\u202b"), (1, 60, "\u202c")])
def test_characters_that_nobody_sees_change_nothing(sown: list[tuple[int, int, str]]) -> None:
    texts = [_sown(text, [(at, c) for n, at, c in sown if n == k]) for k, text in enumerate(_SAID)]
    all_heard = _heard(*texts)
    assert _told(all_heard) == _told(_heard(*_SAID))
    _check_places(all_heard, texts)


@settings(deadline=None, max_examples=40)
@given(
    blanks=st.lists(
        st.text(" \t\x0b\u00a0\u202f\u2009\u3000", min_size=1, max_size=2), min_size=30, max_size=30
    )
)
@example(blanks=["  "] * 30)
@example(blanks=["\u00a0"] * 30)
def test_any_blank_is_a_blank(blanks: list[str]) -> None:
    put = iter(blanks)
    texts = [re.sub(" ", lambda _: next(put), text) for text in _SAID]
    all_heard = _heard(*texts)
    assert _told(all_heard) == _told(_heard(*_SAID))
    _check_places(all_heard, texts)


@pytest.mark.parametrize("dash", ["−", "‒", "–", "—", "―", "‐", "‑", "－", "﹣", "⁃"])
def test_a_minus_and_any_dash_join_a_score(dash: str) -> None:
    assert [m.pair for m in found(ScoreMention, f"It's 4{dash}2, red.")] == [(4, 2)]


@pytest.mark.parametrize("text", ["It's ４－２, red.", "It's ٤-٢, red.", "It's 𝟒-𝟐, red."])
def test_digits_of_any_script_are_digits(text: str) -> None:
    (score,) = found(ScoreMention, text)
    assert score.pair == (4, 2)


def test_full_width_times_are_times() -> None:
    assert [m.seconds for m in found(ClockMention, "１：２３ left in the period")] == [83]


def test_a_half_is_no_score() -> None:
    assert (
        found(ScoreMention, "That was 1½ minutes, red")
        == found(ScoreMention, "That was 1⁄2 minutes, red")
        == []
    )


@pytest.mark.parametrize("quote", "'’‘′´`ʼ＇")
def test_any_apostrophe_is_one(quote: str) -> None:
    assert [(m.points, m.corner) for m in found(CallMention, f"that{quote}s two for red")] == [(2, "red")]


def test_the_same_name_in_other_characters() -> None:
    def side(name: str) -> BoutFile:
        return BoutFile("freestyle", None, None, Side(name, None), Side("Ivo Strandlow", None))

    expected = [(CallMention, 2, "red")]
    for name, said in (
        ("Véra Holm", "Two for Vera"),
        ("Véra Holm", unicodedata.normalize("NFD", "Two for Véra")),
        (unicodedata.normalize("NFD", "Véra Holm"), "Two for Véra"),
        ("Sean O’Rell", "Two for O'Rell"),
        ("Sean O'Rell", "Two for O′Rell"),
        ("Anna Oster‑Vale", "Two for Oster-Vale"),
        ("Anna Oster-Vale", "Two for Oster‐Vale"),
    ):
        mentions = _heard(f"{said}!", bout=side(name)).mentions
        assert [(type(m), m.points, m.corner) for m in mentions if isinstance(m, CallMention)] == expected, (
            name,
            said,
        )


@pytest.mark.parametrize("plain_marks", [True, False])
@pytest.mark.parametrize("sign", ["- ", "-", ">> ", "— ", "♪ ", "• "])
def test_no_number_goes_on_over_a_sign_of_another_speaker(sign: str, plain_marks: bool) -> None:
    def scores(*texts: str) -> list[tuple[int, int]]:
        shown = [text if plain_marks else re.sub(r"[,.](?!\d)", "", text.lower()) for text in texts]
        return [m.pair for m in _heard(*shown).mentions if isinstance(m, ScoreMention)]

    start = "Here we go, first period."
    assert scores(start, "Takedown, red, for two", f"{sign}Two already, inside ten seconds.") == []
    assert scores(start, "He needs two", f"{sign}One nothing red so far.") == [(1, 0)]
    # "tied at four" by itself, and no "four all".
    assert scores(start, "It is tied at four", f"{sign}All right, red.") == [(4, 4)]
    assert scores(start, "They fight on for four", f"{sign}All right, red.") == []
    if plain_marks:
        assert scores(start, "He needs 2", f"{sign}Red. It's 1-0 red so far.") == [(1, 0)]


def test_a_number_ends_where_another_speaks() -> None:
    def values(*texts: str) -> list[int | None]:
        return [m.points for m in _heard(*texts).mentions if isinstance(m, CallMention)]

    assert values("Here we go", "and so he has twenty", "- two for red") == [2]


def test_a_sentence_runs_on_over_captions_that_all_have_a_sign() -> None:
    texts = ("Here we go.", "That is a takedown,", "two for red. And he", "leads two", "nothing.")
    plain = _heard(*texts)
    (call,) = [m for m in plain.mentions if isinstance(m, CallMention)]
    assert (call.kinds, call.points, call.corner) == (("takedown",), 2, "red")
    for sign in ("- ", ">> ", "♪ ", "—", "• "):
        assert _told(_heard(*(sign + text for text in texts))) == _told(plain)


def test_a_speaker_who_breaks_off_is_heard() -> None:
    for dash in ("—", "–", "-", "--"):
        assert [(m.points, m.corner) for m in found(CallMention, f"Takedown, two for red{dash}")] == [
            (2, "red")
        ]
        scores = [
            m.pair
            for m in heard(f"He needs two{dash}", "One-nothing red so far.").mentions
            if isinstance(m, ScoreMention)
        ]
        assert scores == [(1, 0)]


def test_a_score_may_be_split_at_its_hyphen() -> None:
    for text in ("It's 2 -\n1, red.", "It's 2-\n1, red.", "It's 2\n- 1, red."):
        assert [m.pair for m in _heard("Here we go.", text).mentions if isinstance(m, ScoreMention)] == [
            (2, 1)
        ]


def test_chevrons_are_not_more_than() -> None:
    all_heard = _heard("Here we go.", ">> Fifteen seconds left.", "Red circles.")
    (clock,) = [m for m in all_heard.mentions if isinstance(m, ClockMention)]
    assert (clock.seconds, clock.bound) == (15, _clock_bound("Fifteen seconds left."))


def _clock_bound(text: str) -> str:
    (clock,) = found(ClockMention, text)
    return clock.bound
