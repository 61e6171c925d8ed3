"""The words around a mention, as signs, and the talk as passages."""

from __future__ import annotations

from extract.mentions.model import BESIDE_SIGN, SAID_SIGN, CallMention
from tests.made_talk import found, heard


def test_the_words_of_the_segment_are_signs() -> None:
    [call] = found(CallMention, "Two points for Felmouth.")
    assert {"said two", "said points"} <= set(call.context)
    assert set(call.context) <= set(call.all_signs())


def test_every_name_is_the_same_sign() -> None:
    [red], [blue] = (found(CallMention, f"Two points for {who}.") for who in ("Felmouth", "Strandlow"))
    assert red.context == blue.context
    assert not any("felmouth" in sign for sign in red.context)


def test_words_of_the_segments_beside_are_signs_of_their_own() -> None:
    calls = [
        m
        for m in heard("What a year.", "Two points for red.", "Lovely stuff.").mentions
        if isinstance(m, CallMention)
    ]
    [call] = calls
    assert {BESIDE_SIGN + "year", BESIDE_SIGN + "lovely", SAID_SIGN + "two"} <= set(call.context)
    assert SAID_SIGN + "year" not in call.context


def test_the_passages_are_the_whole_talk_in_order() -> None:
    passages = heard("What a year.", "Two points for red.", "Lovely stuff.").passages
    assert [p.start for p in passages[1:]] == [p.end for p in passages[:-1]]
    assert [p.t for p in passages] == sorted(p.t for p in passages)
    assert all(p.t <= p.until for p in passages)
    assert "year" in passages[0].said
    assert "year" in passages[1].beside
