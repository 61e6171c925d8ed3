"""Characters as a person reads them, held against Unicode's own tables."""

from __future__ import annotations

import re
import sys
import unicodedata

import pytest

from extract.transcript.plain import GAP, PLAIN, UNSEEN, plain, seen
from extract.transcript.times import any_seconds, clock_seconds

_CHARACTERS = [chr(code) for code in range(sys.maxunicode + 1) if not 0xD800 <= code < 0xE000]


def test_format_characters_are_unseen() -> None:
    # Unicode, category Cf. Signs that enclose the digits or letters after them are seen, and so are those that join
    # hieroglyphs and shorthand.
    enclosing = {"\u06dd", "\u070f", "\u0890", "\u0891", "\u08e2", "\U000110bd", "\U000110cd"}
    joined = {c for c in _CHARACTERS if "\u0600" <= c <= "\u0605" or "\U00013430" <= c <= "\U0001345f"}
    pattern = re.compile(f"[{UNSEEN}]")
    for character in _CHARACTERS:
        if unicodedata.category(character) == "Cf" and character not in enclosing | joined:
            assert pattern.fullmatch(character), hex(ord(character))


def test_nothing_with_a_shape_is_unseen() -> None:
    # Variation selectors, the grapheme joiner and the keycap are marks, the fillers of Hangul letters without a shape.
    fillers = {"\u115f", "\u1160", "\u3164", "\uffa0"}
    for character in re.findall(f"[{UNSEEN}]", "".join(_CHARACTERS)):
        category = unicodedata.category(character)
        assert category in ("Cf", "Cc", "Mn", "Me", "Cn") or character in fillers, hex(ord(character))
        assert not character.isspace()


def test_one_character_stands_for_one() -> None:
    for character in _CHARACTERS:
        assert len(character.translate(PLAIN)) == 1
        if character.isdecimal():
            assert character.translate(PLAIN) == str(int(character))
        elif unicodedata.category(character) in ("Pd", "Zs"):
            assert character.translate(PLAIN) in "- "


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("2−0, 2‒0, 2–0, 2—0, 2‑0, 2－0", "2-0, 2-0, 2-0, 2-0, 2-0, 2-0"),
        ("３－１：４３", "3-1:43"),
        ("٣-١ ३ 𝟛", "3-1 3 3"),
        ("don’t don′t don`t “two” ″two″", 'don\'t don\'t don\'t "two" "two"'),
        ("\x91two\x92 \x96", "'two' -"),
        ("1½ 7² ⅔ ③", "1½ 7² ⅔ ③"),
        ("café … ♪", "café … ♪"),
    ],
)
def test_plain_forms(text: str, read: str) -> None:
    assert text.translate(PLAIN) == read


@pytest.mark.parametrize("text", ["1:05", "\u200e1:05", "１：０５", "1\u2060:05\ufeff", " 1:05\u00a0"])
def test_times_of_any_characters(text: str) -> None:
    assert (clock_seconds(text), any_seconds(text), plain(text)) == (65.0, 65.0, "1:05")


def test_names_are_composed_and_their_blanks_are_single() -> None:
    assert seen(" Ve\u0301ra\u200b\u00a0 Holm\u00adstrand\u200f") == "V\u00e9ra Holmstrand"
    assert re.fullmatch(GAP, " \u200b\u00a0\t\ufeff")
    assert not re.fullmatch(GAP, " \n")
