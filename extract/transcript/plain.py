"""Characters as a person reads them: which are invisible, which are blanks, and which stand for a plainer one."""

from __future__ import annotations

import re
import unicodedata

#: Characters without a shape of their own, for a class of a regular expression: those of the property
#: Default_Ignorable_Code_Point (Unicode, DerivedCoreProperties.txt), the marks of interlinear annotation, controls
#: that are no white space, and the box round a digit of a keycap.
UNSEEN = (
    "\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u20e3\u3164"
    "\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
    "\x00-\x08\x0e-\x1b\x7f"
)
#: Blanks of any kind, within a line, and characters that nobody sees: a pattern for any number of them.
GAP = rf"(?:[^\S\n]|[{UNSEEN}])*"

_UNSEEN = re.compile(f"[{UNSEEN}]")
#: Marks that are read as another one, although Unicode's own tables keep the two apart.
_LOOKS = {
    "'": "‘’‛′‵´ʹʻʼʽˈ՚ꞌ",
    '"': "“”„‟″‶«»〝〞〟❝❞",
    "-": "−⁃˗➖",
    ":": "∶꞉",
    "/": "⁄∕",
    ">": "≫›❯",
    ".": "。",
    ",": "、",
}
#: The sorts of Unicode's compatibility mappings that change only the look of a character. A raised figure or a
#: fraction is more than its look.
_SAME = frozenset({"<wide>", "<narrow>", "<small>", "<font>", "<noBreak>", "<compat>"})


class _Plain(dict[int, str]):
    """A table for ``str.translate``, filled as characters come: one character for one, so that positions hold."""

    def __missing__(self, code: int) -> str:
        self[code] = found = _plain(chr(code))
        return found


def _plain(character: str) -> str:
    if character < "\x7f":
        return "'" if character == "`" else character
    if character < "\xa0":
        # Windows-1252 that was read as Latin-1: its quotes and dashes lie among the control characters.
        character = bytes([ord(character)]).decode("cp1252", "replace").replace("\ufffd", character)
    digit = unicodedata.decimal(character, None)
    if digit is not None:
        return str(digit)
    sort, _, _ = unicodedata.decomposition(character).partition(" ")
    if sort in _SAME:
        whole = unicodedata.normalize("NFKC", character)
        character = whole if len(whole) == 1 else character
    category = unicodedata.category(character)
    if category in ("Pd", "Zs"):
        return "-" if category == "Pd" else " "
    return next((plain for plain, like in _LOOKS.items() if character in like), character)


#: From each character to the plain one that it is read as: typographic quotes, dashes and the minus sign, digits of
#: all scripts, full-width forms, blanks of all widths.
PLAIN = _Plain()


def seen(text: str) -> str:
    """``text`` as a name or a cell of a table is read. Invisible characters go, each stretch of blanks is one blank,
    there is none at the ends, and letters are composed with their accents.

    >>> seen("\\u200bMira\\u00a0 Oster-Vale ")
    'Mira Oster-Vale'
    """
    if not text.isascii():
        text = unicodedata.normalize("NFC", _UNSEEN.sub("", text))
    return " ".join(text.split())


def plain(text: str) -> str:
    """``seen`` with every character in its plain form, for times and other things that have one way to be written.

    >>> plain("\\u200e１：０５")
    '1:05'
    """
    return seen(text).translate(PLAIN)
