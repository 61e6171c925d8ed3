"""Tokens of a text: spaCy's own tokenizer over the whole of it is the reference. What a process keeps stays bounded."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.lexicon import load_lexicon
from extract.talk import tokens
from extract.talk.terms import Terms, _matcher
from extract.talk.tokens import tokenize
from tests.made_talk import heard

# No eyes and mouths of emoticons: spaCy finds ":)" or not by what stands before the blank in front of it.
_PIECES = """a B red Two don't can't she's gonna a.m. U.S. 3-1 1:43 7/6 five-oh 's ' " , . ... ! ?! ( - -- … é ’
Varkady's o'clock +2 #4 café kg 10kg""".split()  # noqa: SIM905
_BLANKS = [" ", "  ", "\n", " \n", "\n ", "\t", "\u2003", "\u00a0"]
_TEXTS = st.lists(st.sampled_from([*_PIECES, *_BLANKS, *_BLANKS]), max_size=30).map("".join)


@settings(deadline=None)
@given(_TEXTS)
def test_tokens_are_those_of_spacy_over_the_whole_text(text: str) -> None:
    forms, places = tokenize(text)
    reference = tokens._tokenizer()(text)
    assert [form.text for form in forms] == [token.text for token in reference]
    assert places == [token.idx for token in reference]
    assert [form.space for form in forms] == [token.text.isspace() for token in reference]


@given(st.text(max_size=60))
def test_every_token_stands_at_its_place(text: str) -> None:
    forms, places = tokenize(text)
    assert all(text[at : at + len(form.text)] == form.text for form, at in zip(forms, places, strict=True))
    assert "".join(form.text for form in forms).split() == "".join(text.split(" ")).split()


@pytest.mark.parametrize("marks", ['"', "(", "<", "&", "-", "3-1,", "?!", "ab", "\u2026"])
def test_the_tokenizer_never_sees_a_long_stretch(monkeypatch: pytest.MonkeyPatch, marks: str) -> None:
    # Its time grows with the square of the marks in one.
    tokenizer = tokens._tokenizer()
    longest = 0

    class Watched:
        vocab = tokenizer.vocab

        def __call__(self, text: str) -> object:
            nonlocal longest
            longest = max(longest, len(text))
            return tokenizer(text)

    monkeypatch.setattr(tokens, "_tokenizer", Watched)
    monkeypatch.setattr(tokens, "_known", {})
    text = f"Two {marks * 5000} red"
    forms, places = tokenize(text)
    assert longest <= 200
    assert all(text[at : at + len(form.text)] == form.text for form, at in zip(forms, places, strict=True))
    assert "".join(form.text for form in forms) == text.replace(" ", "")


def test_a_stretch_is_cut_after_a_mark() -> None:
    forms, _ = tokenize("13-11," * 60)
    assert [form.text for form in forms[:-2]] == ["13", "-", "11", ","] * 59 + ["13", "-"]
    # A long word stays whole.
    assert [form.text for form in tokenize("x" * 200)[0]] == ["x" * 200]


def test_a_dash_at_a_word_is_a_token() -> None:
    assert [form.text for form in tokenize("two- red-- -up 2- -1 well-known")[0]] == [
        "two", "-", "red", "--", "-", "up", "2", "-", "-1", "well", "-", "known",
    ]  # fmt: skip


def test_what_is_written_on_to_a_figure_is_a_token() -> None:
    assert [form.text for form in tokenize("2:05ish ~1:40 @0:20 47s 20sec 2mins fish")[0]] == [
        "2:05", "ish", "~", "1:40", "@", "0:20", "47", "s", "20", "sec", "2", "mins", "fish",
    ]  # fmt: skip


def test_what_is_kept_of_tokens_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tokens, "_KEPT", 20)
    monkeypatch.setattr(tokens, "_known", {})
    long = "x" * 100
    for n in range(30):
        text = f"word{n} said{n}, once{n}-more {long}"
        assert [form.text for form in tokenize(text)[0]] == [
            f"word{n}", f"said{n}", ",", f"once{n}", "-", "more", long,
        ]  # fmt: skip
        assert len(tokens._known) <= 20
        assert long not in tokens._known
    # A text with more distinct words than are kept has its tokens all the same.
    text = " ".join(f"other{n}" for n in range(50))
    assert [form.text for form in tokenize(text)[0]] == text.split()


def test_new_words_leave_the_vocabularies_as_they_were() -> None:
    number = count()

    def talk() -> str:
        return " ".join(f"Vk{next(number)}ost, two for red." for _ in range(200))

    heard(talk())
    vocabularies = (tokens._tokenizer().vocab, _matcher(load_lexicon("freestyle")).vocab)
    before = [(len(vocab.strings), len(list(vocab))) for vocab in vocabularies]
    heard(talk())
    assert [(len(vocab.strings), len(list(vocab))) for vocab in vocabularies] == before


def test_a_word_of_no_form_is_part_of_no_term() -> None:
    terms = Terms(["step", "zzz", "out", "step", "out", "- -"], load_lexicon("freestyle"))
    assert [(t.start, t.end) for t in terms.all("kind") if t.entry.value == "step_out"] == [(3, 5)]


def test_threads_that_forget_for_each_other_find_their_tokens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tokens, "_KEPT", 50)
    monkeypatch.setattr(tokens, "_known", {})

    def told(n: int) -> bool:
        words = [f"w{n}x{k}" for k in range(30)]
        return [form.text for form in tokenize(" ".join(words))[0]] == words

    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(told, range(300)))
