"""From a file's bytes to text."""

from __future__ import annotations

import codecs
import hashlib
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from extract.errors import InputError
from extract.transcript.binary import program_file

#: Largest file that is read, bytes. The captions of a whole day of wrestling take less than a tenth of it.
LIMIT = 64 * 1024 * 1024

#: What every WebVTT file begins with.
WEBVTT = "WEBVTT"

_SPLIT = "split the recording, and give the transcript of each part by itself"
#: Pipes that a shell has made for this process.
_HANDED_OVER = ("/dev/stdin", "/dev/fd/", "/proc/self/fd/")
_HEAD = 65536
_MARKS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
_JUNK = re.compile(r"[\x00-\x08\x0e-\x1f]")
# NEL, LINE SEPARATOR and PARAGRAPH SEPARATOR (Unicode Standard Annex 14, class BK and NL).
_NEWLINES = str.maketrans({"\x85": "\n", "\u2028": "\n", "\u2029": "\n"})
_UNREADABLE = re.compile("[\x00\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class SourceText:
    """The text of one file. ``text`` has no byte order mark, and every line ends in ``\\n``. Its first line is line
    ``first`` of the file. Each line is ``step`` lines after the one before."""

    file: str
    name: str
    text: str
    sha256: str
    first: int = 1
    step: int = 1

    def error(self, problem: str, remedy: str, line: int | None = None) -> InputError:
        """The error to raise about this file, at a line of ``text``."""
        at = None if line is None else self.first + (line - 1) * self.step
        return InputError(self.file, problem, remedy, at)

    def line_at(self, position: int) -> int:
        """The number of the line, from 1, that a position of ``text`` is in."""
        return self.text.count("\n", 0, position) + 1


def read_source(path: str | Path) -> SourceText:
    """The text of the file at ``path``. Raises InputError if it cannot be read or is not text."""
    return source_of(read_bytes(path), path)


def source_of(data: bytes, path: str | Path) -> SourceText:
    """The text of bytes that were read from ``path``. Raises InputError if they are not text."""
    return SourceText(str(path), Path(path).name, decode(data, str(path)), hashlib.sha256(data).hexdigest())


def read_bytes(path: str | Path, limit: int = LIMIT, shorten: str = _SPLIT) -> bytes:
    """The bytes of the file at ``path``. A file of more than ``limit`` bytes is refused before it is read, and
    ``shorten`` says what to do about it."""
    try:
        found = Path(path).stat()
        if stat.S_ISDIR(found.st_mode):
            raise InputError(path, "is a folder", "give the path of a file")
        _check_plain(path, found.st_mode)
        if found.st_size > limit:
            raise _too_large(path, found.st_size, limit, shorten)
        with open(path, "rb") as file:
            # A pipe has no size before it has been read.
            data = file.read(limit + 1)
    except OSError as error:
        raise InputError(
            path, f"cannot be read ({error.strerror})", "give the path of a readable file"
        ) from None
    except ValueError:
        raise InputError(repr(str(path)), "is no path", "give the path of a file") from None
    if len(data) > limit:
        raise _too_large(path, None, limit, shorten)
    return data


def check_plain(path: str | Path, *, again: bool = False) -> None:
    """Refuse a pipe or a device at ``path``: nobody may ever write to it, or it may never end. What a shell hands
    over by number (``/dev/stdin``, ``<(...)``) may be read, unless it has to be read ``again`` later. A path that
    does not exist is reported by whoever reads it."""
    try:
        mode = Path(path).stat().st_mode
    except (OSError, ValueError):
        return
    _check_plain(path, mode, again=again)


def _check_plain(path: str | Path, mode: int, *, again: bool = False) -> None:
    handed_over = not again and str(path).startswith(_HANDED_OVER)
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode) or handed_over):
        raise InputError(path, "is no plain file", "save it as a file, and give the path of that")


def _too_large(path: str | Path, size: int | None, limit: int, shorten: str) -> InputError:
    """``size`` is None if it is only known to be more."""
    has = "" if size is None else f"{_shown(size)}, "
    return InputError(path, f"has {has}more than the limit of {_shown(limit)}", shorten)


def _shown(size: int) -> str:
    mega = 1024 * 1024
    return f"{size / mega:.0f} MB" if size >= mega else f"{size} bytes"


def decode(data: bytes, file: str, *, whole: bool = True) -> str:
    """Text of UTF-8 or UTF-16 (with byte order mark or without) or Windows-1252, every kind of line end made
    ``\\n``. With ``whole`` false, ``data`` is the first part of a file, and its last character may be cut.

    Raises InputError for what is empty, is another program's file, is in none of these encodings or holds control
    characters.
    """
    made = program_file(data)
    if made is not None:
        raise InputError(file, f"is {made[0]}, no text", made[1])
    encoding, start = _encoding(data)
    try:
        text = codecs.getincrementaldecoder(encoding)().decode(data[start:], whole)
    except UnicodeDecodeError as error:
        if "utf-16" not in encoding and _JUNK.search(data[:_HEAD].decode("latin-1")):
            raise InputError(file, "is not text", "give a transcript saved as plain text") from None
        before = data[start : start + error.start].decode(encoding, "replace")
        raise InputError(
            file, f"a byte that is no {encoding.upper()} text", "save it again as UTF-8", _line(before)
        ) from None
    # A file that was put together from others may begin with several byte order marks.
    text = _line_ends(text.lstrip("\ufeff")).translate(_NEWLINES)
    if text.startswith(WEBVTT):
        # WebVTT allows a NUL. In anything else it shows that this is not text.
        text = text.replace("\0", "\ufffd")
    # Old editors close a file with Ctrl-Z.
    text = text.rstrip("\x1a")
    junk = _JUNK.search(text)
    if junk is not None:
        problem = f"holds the control character 0x{ord(junk[0]):02X}, so it is no plain text"
        raise InputError(file, problem, "give a transcript saved as plain text", _line(text[: junk.start()]))
    if not text.strip():
        raise InputError(file, "the file is empty", "give a transcript with times and text")
    return text


def _encoding(data: bytes) -> tuple[str, int]:
    """The encoding, and the number of bytes that its mark takes."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return encoding, len(mark)
    # In UTF-16 every second byte of English text is zero.
    head = data[:4096]
    half = len(head) // 2
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if half and odd > 0.6 * half and even < 0.1 * half:
        return "utf-16-le", 0
    if half and even > 0.6 * half and odd < 0.1 * half:
        return "utf-16-be", 0
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        # Text with a damaged place is still UTF-8 and not Windows-1252 if the good characters outnumber the bad.
        tried = data.decode("utf-8", "replace")
        bad = tried.count("\ufffd")
        good = sum(character > "\x7f" for character in tried) - bad
        return ("utf-8" if good > bad else "cp1252"), 0
    return "utf-8", 0


def _line(before: str) -> int:
    return _line_ends(before).count("\n") + 1


def _line_ends(text: str) -> str:
    """``text`` with CR LF and CR made ``\\n``. Some tools put a CR before each LF twice: CR CR LF is one line end,
    unless CR alone ends lines too."""
    single = text.replace("\r\r\n", "\n").replace("\r\n", "\n")
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in single else single


def delimiter_of(text: str) -> str:
    """What separates the cells of a table: of comma, semicolon and tab the one that its first line has most often."""
    head = next((line for line in text.split("\n") if line.strip()), "")
    return max(",;\t", key=head.count)


def readable(text: str) -> str:
    """``text`` with U+FFFD for NUL and for halves of surrogate pairs, which a JSON escape can bring in."""
    return _UNREADABLE.sub("\ufffd", text)


def unreadable(text: str) -> str | None:
    """The first of the characters of a text that ``readable`` replaces."""
    found = _UNREADABLE.search(text)
    return found[0] if found is not None else None
