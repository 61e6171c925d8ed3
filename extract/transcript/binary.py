"""Files of other programs that are given in place of text. The bytes they begin with tell which."""

from __future__ import annotations

import re

_REMEDY = "save what it says as plain text, with its times, and give that"
_UNPACK = "unpack it, and give the text file that is in it"
_PDF = re.compile(rb"(?:^|[\r\n])%PDF-[0-9]")
#: A PDF may have other bytes before its header (ISO 32000-2, annex I).
_PDF_HEAD = 1024
_ZIP = b"PK\x03\x04"
#: What is in a zip archive: a name of a file that the format asks for, or the media type at its head.
_ZIPPED = (
    (b"mimetypeapplication/vnd.oasis.opendocument", "an OpenDocument file"),
    (b"word/", "a Word file"),
    (b"xl/", "an Excel file"),
    (b"ppt/", "a PowerPoint file"),
)
_KINDS = (
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an Office file", _REMEDY),
    (b"{\\rtf", "a Rich Text file", _REMEDY),
    (b"\x1f\x8b\x08", "a gzip archive", _UNPACK),
)


def program_file(data: bytes) -> tuple[str, str] | None:
    """What kind of file of another program these bytes are, and what to do about it.

    >>> program_file(b"%PDF-1.7")[0]
    'a PDF file'
    """
    if _PDF.search(data[:_PDF_HEAD]):
        return "a PDF file", _REMEDY
    if data.startswith(_ZIP):
        found = next((kind for name, kind in _ZIPPED if name in data), None)
        return (found, _REMEDY) if found is not None else ("a zip archive", _UNPACK)
    return next(((kind, remedy) for mark, kind, remedy in _KINDS if data.startswith(mark)), None)
