"""Bytes as they come, as text."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable

_MARKS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
#: What the decoder makes of bytes that are no UTF-8, and the letters that show that the text is UTF-8.
_BROKEN = re.compile("[\udc80-\udcff]")
_GOOD = re.compile("[\x80-\ud7ff\ue000-\U0010ffff]")
#: Control characters, which no text has.
_JUNK = re.compile(r"[\x00-\x08\x0e-\x1f\ud800-\udfff]")
_LINE_END = re.compile("\r\r\n|\r\n|[\r\x85\u2028\u2029]")


class Letters:
    """Makes text of bytes that come in pieces, wherever they are cut. Every line end becomes ``\\n``.

    The encoding is that of the byte order mark, else UTF-8. Bytes that are no UTF-8 are read as Windows-1252 as long as
    nothing has shown that the text is UTF-8. After that, and for control characters, U+FFFD stands. ``tell`` is called with
    a sentence about what was broken.
    """

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self.anew()

    def anew(self) -> None:
        """Forget the letter that was begun: the bytes begin again."""
        self._head = b""
        self._decoder: codecs.IncrementalDecoder | None = None
        self._utf8 = True
        self._good = False
        self._begun = False
        self._returns = ""

    def take(self, data: bytes) -> str:
        """The text of the bytes that came, as far as its letters are whole."""
        return self._text(data, final=False)

    def end(self) -> str:
        """The rest of the text, after which no byte comes."""
        return self._text(b"", final=True)

    def _text(self, data: bytes, *, final: bool) -> str:
        if self._decoder is None:
            self._head += data
            if not final and any(
                mark.startswith(self._head[:3]) for mark, _ in _MARKS if len(self._head) < 3
            ):
                return ""
            data = self._open(self._head)
            self._head = b""
        assert self._decoder is not None
        text = self._mend(self._decoder.decode(data, final))
        if not self._begun:
            # A stream that was put together from others may begin with several byte order marks.
            text = text.lstrip("\ufeff")
            self._begun = bool(text)
        text, self._returns = self._returns + text, ""
        if not final:
            # What stands after a carriage return says what kind of line end it is.
            kept = text.rstrip("\r")
            held = min(len(text) - len(kept), 2)
            text, self._returns = text[: len(text) - held], text[len(text) - held :]
        return _LINE_END.sub("\n", text)

    def _open(self, head: bytes) -> bytes:
        encoding = "utf-8"
        for mark, named in _MARKS:
            if head.startswith(mark):
                encoding, head = named, head[len(mark) :]
                break
        self._utf8 = encoding == "utf-8"
        errors = "surrogateescape" if self._utf8 else "replace"
        self._decoder = codecs.getincrementaldecoder(encoding)(errors)
        return head

    def _mend(self, text: str) -> str:
        if text.isascii() and _JUNK.search(text) is None:
            return text
        good = _GOOD.search(text) if self._utf8 and not self._good else None
        known = len(text) if not self._good and self._utf8 else 0
        if good is not None:
            known, self._good = good.start(), True
        if self._utf8 and _BROKEN.search(text):
            self._tell(
                "Some bytes are no UTF-8 text; the letters that they stand for are guessed or shown as \ufffd."
            )
            text = _BROKEN.sub(_western, text[:known]) + _BROKEN.sub("\ufffd", text[known:])
        if _JUNK.search(text):
            self._tell("Some characters are none of text; \ufffd stands for each.")
            text = _JUNK.sub("\ufffd", text)
        return text


def _western(match: re.Match[str]) -> str:
    return bytes([ord(match[0]) - 0xDC00]).decode("cp1252", "replace")
