"""From cues to words and back: places, times, sentences, and the spellings under which a term is found."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.mentions import TalkDocument, hear
from extract.mentions.model import CallMention, ScoreMention
from extract.transcript.cue import Cue, Transcript
from tests.made_talk import bout_file, found, heard, transcript


@settings(deadline=None)
@given(texts=st.lists(st.text(max_size=40), max_size=6))
def test_every_word_finds_its_place_again(texts: list[str]) -> None:
    talk = transcript(*texts)
    document = TalkDocument(talk)
    cues = {cue.index: cue for cue in talk.cues}
    for i in range(len(document)):
        place = document.place(i, i + 1)
        assert cues[place.cue].text[place.start : place.end] == place.text
        assert place.text
        assert cues[place.cue].start <= document.said_at(i) <= cues[place.cue].end


@settings(deadline=None)
@given(texts=st.lists(st.text(max_size=40), max_size=6))
def test_words_are_all_of_the_text_but_its_blanks(texts: list[str]) -> None:
    document = TalkDocument(transcript(*texts))
    spoken = "".join(document.place(i, i + 1).text for i in range(len(document)))
    assert "".join(spoken.split()) == "".join("".join(texts).split())


def test_what_runs_over_a_caption_is_cut_at_its_end() -> None:
    found_ = heard("And that is a step", "out, one, red.")
    (call,) = [m for m in found_.mentions if isinstance(m, CallMention)]
    place = found_.place(call)
    assert (place.cue, place.text) == (1, "step")


def test_a_caption_is_said_at_its_start_a_paragraph_word_by_word() -> None:
    words = "They circle and circle and circle, then it comes: two for red."
    for end, told in ((4.0, False), (40.0, True)):
        talk = Transcript("t.srt", "srt", "0" * 64, (Cue(1, 0.0, end, words),))
        all_heard = hear(talk, "freestyle", bout_file())
        (call,) = [m for m in all_heard.mentions if isinstance(m, CallMention)]
        assert (all_heard.said_at(call) > 0.0) == told
        assert call.t > 0.5 * end


def test_word_times_go_before_even_spacing() -> None:
    words = "They circle. Two for red."
    talk = Transcript("t.json", "asr", "0" * 64, (Cue(1, 0.0, 20.0, words, anchors=((0, 0.0), (13, 2.0))),))
    all_heard = hear(talk, "freestyle", bout_file())
    (call,) = [m for m in all_heard.mentions if isinstance(m, CallMention)]
    assert all_heard.said_at(call) == 2.0


@pytest.mark.parametrize(
    ("text", "clauses"),
    [
        ("Two for red. They circle.", 2),
        ("Two for red! They circle", 2),
        ("Two, for red", 1),
        ("Two for red... they circle", 2),
        ("Pass. blue, first one.", 1),
        ("", 0),
    ],
)
def test_where_sentences_end(text: str, clauses: int) -> None:
    document = TalkDocument(transcript(text))
    assert len(set(document.clause)) == clauses


def test_another_speaker_begins_a_new_clause() -> None:
    cues = (Cue(1, 0.0, 3.0, "what did he get", "Anna"), Cue(2, 3.0, 6.0, "two for red", "Bela"))
    document = TalkDocument(Transcript("t.vtt", "vtt", "0" * 64, cues))
    assert len(set(document.clause)) == 2
    same = tuple(Cue(c.index, c.start, c.end, c.text, "Anna") for c in cues)
    assert len(set(TalkDocument(Transcript("t.vtt", "vtt", "0" * 64, same)).clause)) == 1


@pytest.mark.parametrize("spelling", ["step out", "step-out", "stepout", "STEP OUT", "Step-Out", "s/o"])
def test_spellings_of_a_term(spelling: str) -> None:
    assert [m.kinds for m in found(CallMention, f"{spelling}, one, red")] == [("step_out",)]


@pytest.mark.parametrize("text", ["that’s two for red", "that's two for red", "thats two for red"])
def test_an_apostrophe_may_be_curly_or_missing(text: str) -> None:
    assert [(m.points, m.corner) for m in found(CallMention, text)] == [(2, "red")]


@pytest.mark.parametrize("dash", ["-", "–", "—", "‑"])
def test_a_dash_of_any_kind_joins_a_score(dash: str) -> None:
    assert [m.pair for m in found(ScoreMention, f"It's 4{dash}2, red.")] == [(4, 2)]
