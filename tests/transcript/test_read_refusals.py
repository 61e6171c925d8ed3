"""What is no transcript, no plain file, or made to take for ever: refused with one line."""

from __future__ import annotations

import gzip
import io
import os
import time
import zipfile
from pathlib import Path

import pytest

from extract.decisions import read_decisions
from extract.errors import InputError
from extract.log.parameters import read_parameters
from extract.recording.sheet import read_sheet
from extract.transcript import decode, read_bout_file, read_transcript
from extract.transcript.toml_text import parse_toml

READERS = [read_transcript, read_bout_file, read_sheet, read_decisions, read_parameters]


@pytest.mark.parametrize("reader", READERS)
def test_a_pipe_that_nobody_writes_to_is_not_waited_for(tmp_path: Path, reader) -> None:
    pipe = tmp_path / "talk.bout.toml"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="is no plain file") as caught:
        reader(pipe)
    assert caught.value.file == str(pipe)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="a device of POSIX")
def test_a_device_is_no_file(reader) -> None:
    with pytest.raises(InputError, match="is no plain file"):
        reader(Path("/dev/zero"))


def test_what_a_command_is_given_by_another_is_read() -> None:
    """``<(...)`` and ``/dev/stdin`` of a shell."""
    reading, writing = os.pipe()
    os.write(writing, b"[0:01] Two\n")
    os.close(writing)
    assert read_transcript(f"/dev/fd/{reading}").cues[0].text == "Two"
    os.close(reading)


def test_limit_of_what_has_no_size_beforehand() -> None:
    reading, writing = os.pipe()
    os.write(writing, b"0123456789")
    os.close(writing)
    with pytest.raises(InputError) as caught:
        decode.read_bytes(f"/dev/fd/{reading}", limit=9)
    os.close(reading)
    assert caught.value.problem == "has more than the limit of 9 bytes"


def _zip(**files: str) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name.replace("__", "/").replace("_", "."), text)
    return made.getvalue()


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        # ISO 32000-2, section 7.5.2: the header; readers take it within the first 1024 bytes.
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", "is a PDF file"),
        (b"\n\n%PDF-1.4\n1 0 obj\n", "is a PDF file"),
        # ISO/IEC 29500: a Word document is a zip archive with its text in word/document.xml.
        (_zip(_Content_Types__xml="<Types/>", word__document_xml="<w/>" * 90), "is a Word file"),
        (_zip(xl__workbook_xml="<x/>"), "is an Excel file"),
        # OASIS OpenDocument, part 2: the first file of the archive is its media type.
        (
            b"PK\x03\x04" + bytes(26) + b"mimetypeapplication/vnd.oasis.opendocument.text",
            "is an OpenDocument",
        ),
        (_zip(talk_srt="1\n00:00:01,000 --> 00:00:02,000\nTwo\n"), "is a zip archive"),
        # MS-CFB, section 2.2: the signature of older Office files.
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504), "is an Office file"),
        (b"{\\rtf1\\ansi Two\\par}", "is a Rich Text file"),
        # RFC 1952, section 2.3.1.
        (gzip.compress(b"[0:01] Two\n"), "is a gzip archive"),
    ],
    ids=["pdf", "pdf-later", "docx", "xlsx", "odt", "zip", "doc", "rtf", "gzip"],
)
@pytest.mark.parametrize("name", ["talk", "talk.srt", "talk.txt"])
def test_files_of_office_programs_are_called_by_their_names(
    fail, data: bytes, problem: str, name: str
) -> None:
    error = fail(data, name)
    assert problem in error.problem
    assert "text" in error.remedy
    assert error.line is None


def test_talk_of_such_files_is_talk(read) -> None:
    assert read("[0:01] %PDF-1.7 is what he said\n").cues[0].text == "%PDF-1.7 is what he said"


@pytest.mark.parametrize(
    "text",
    [
        ".".join("a" * 30_000) + " = 1",
        "\n[red]\nname = 'x'\n[" + " . ".join("a" * 30_000) + "]",
        'x = {"' + '"."'.join("a" * 20_000) + '" = 1}',
        "x = [{" + ".".join(["'a b.c'"] * 9_000) + " = 1}]",
    ],
    ids=["key", "table", "quoted", "inline"],
)
def test_keys_of_very_many_parts_take_no_time(tmp_path: Path, text: str) -> None:
    """The parser of the standard library takes the square of their number."""
    path = tmp_path / "talk.bout.toml"
    path.write_text(text)
    before = time.process_time()
    with pytest.raises(InputError, match="more than 200 dots") as caught:
        read_bout_file(path)
    assert time.process_time() - before < 2
    assert caught.value.line == text.count("\n") + 1


def test_dots_in_text_and_in_comments_are_no_parts_of_a_key(tmp_path: Path) -> None:
    text = (
        f'a.b = "{". " * 300}"\n# {"." * 300}\nc = \'{"." * 300}\'\nd = """\n{"x." * 150}\n{"x. " * 150}"""\n'
    )
    assert set(parse_toml(tmp_path / "x.toml", text)) == {"a", "c", "d"}
