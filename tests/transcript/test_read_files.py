from __future__ import annotations

import io
import os
from pathlib import Path
from typing import Any

import pytest

from extract.errors import InputError
from extract.transcript import decode, read_transcript
from extract.transcript.read import transcript_files

TALK = "[0:04] Varga’s élan — two!\n[0:09] Two–nil.\n"


@pytest.mark.parametrize(
    "data",
    [
        TALK.encode(),
        b"\xef\xbb\xbf" + TALK.encode(),
        b"\xff\xfe" + TALK.encode("utf-16-le"),
        b"\xfe\xff" + TALK.encode("utf-16-be"),
        TALK.encode("utf-16-le"),
        TALK.encode("utf-16-be"),
        TALK.encode("cp1252"),
        TALK.replace("\n", "\r\n").encode(),
        TALK.replace("\n", "\r").encode(),
        TALK.replace("\n", "\u2028").encode(),
        TALK.replace("\n", "\x85").encode(),
        TALK.encode() + b"\x1a",
    ],
    ids=["utf8", "bom", "le-bom", "be-bom", "le", "be", "cp1252", "crlf", "cr", "ls", "nel", "ctrl-z"],
)
def test_encodings_and_line_ends(read, data) -> None:
    cues = read(data).cues
    assert [cue.text for cue in cues] == ["Varga’s élan — two!", "Two–nil."]


def test_binary_names_line(fail) -> None:
    error = fail(b"[0:04] One\n[0:08] Tw\x00o and some more talk")
    assert error.line == 2
    assert "control character 0x00" in error.problem
    assert fail(b"\x7fELF\x02\x01\x01\x00\x00\x00").line == 1


def test_damaged_utf8_is_not_taken_for_windows_1252(fail) -> None:
    assert fail("[0:04] é é é\n".encode() + b"[0:08] \xe9 oh").line == 2


def test_byte_without_meaning_in_windows_1252(fail) -> None:
    error = fail(b"[0:04] One\r\n[0:05] Two\r\n[0:08] Tw\x81o")
    assert (error.line, "CP1252" in error.problem) == (3, True)


def test_binary_named_as_a_transcript(fail) -> None:
    # The signature of a PNG file (W3C, PNG, section 5.2) and a byte that Windows-1252 has no character for.
    assert "is not text" in fail(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x8f\x81", "talk.srt").problem


@pytest.mark.parametrize("data", [b"", b" \n\t\n", b"\xef\xbb\xbf", b"\x1a"])
def test_empty(fail, data) -> None:
    assert "empty" in fail(data).problem


def test_size_limit_is_seen_before_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "day.srt"
    with path.open("wb") as file:
        # Sparse: takes no room.
        file.truncate(500 * 1024 * 1024)
    monkeypatch.setattr("builtins.open", lambda *_, **__: pytest.fail("it was opened"))
    with pytest.raises(InputError, match="500 MB, more than the limit of 64 MB; split the recording"):
        read_transcript(path)


def test_size_limit_of_a_pipe(tmp_path: Path) -> None:
    reading, writing = os.pipe()
    os.write(writing, b"0123456789")
    os.close(writing)
    with pytest.raises(InputError, match="limit"):
        decode.read_bytes(f"/dev/fd/{reading}", limit=9)
    os.close(reading)


def test_paths_that_cannot_be_read(tmp_path: Path) -> None:
    for path in (tmp_path / "none.srt", tmp_path, "a\0b"):
        with pytest.raises(InputError):
            read_transcript(path)


@pytest.mark.parametrize(
    "text",
    [
        "<html><body>Hello</body></html>",
        '{"name": "x"}',
        "[1, 2, 3]",
        '[{"name": "x"}]',
        "bus;leaves;at\nnine;or;so\nfrom;the;hall\n",
        "a,b,c\n1,2,3\n4,5,6\n",
        "red,blue,winner,by,score\nAda Vell,Bea Tor,red,points,4-1\nCleo Marsh,Dana Quill,blue,fall,0-2\n",
    ],
)
def test_unknown_format(fail, text: str) -> None:
    assert "no known format" in fail(text).problem


def test_content_goes_before_the_name(read) -> None:
    srt = "1\n00:00:01,000 --> 00:00:02,000\nTwo!\n"
    assert read(srt, "talk.vtt").format == "srt"
    assert read("WEBVTT\n\n00:01.000 --> 00:02.000\nTwo!\n", "talk.csv").format == "vtt"
    assert read("0:01,Two\n0:05,One\n", "talk.srt").format == "csv"
    assert read("[0:01] Two, and\n[0:04] one, too\n", "talk.csv").format == "block"
    assert read('[{"start": 1, "end": 2, "text": "Two"}]', "talk.txt").format == "asr"


def test_source_of_the_transcript(read) -> None:
    transcript = read("[0:01] Two\n", "talk.txt")
    # SHA-256 by coreutils: printf '[0:01] Two\n' | sha256sum
    assert transcript.sha256 == "928a9f25dbfa15fcebe9438b8db1277f99265dab385ad42de2e551cd0fe570fd"
    assert transcript.file == "talk.txt"


def test_transcripts_of_a_folder(tmp_path: Path) -> None:
    srt = "1\n00:00:01,000 --> 00:00:02,000\nTwo!\n"
    for name in (
        "b.srt",
        "a.unknown",
        "a.truth.json",
        "b.events.csv",
        "b.flags.csv",
        "b.Statements.CSV",
        "b.markers.csv",
    ):
        (tmp_path / name).write_text(srt, encoding="utf-8")
    (tmp_path / "b.bout.toml").write_text('rules = "freestyle"\n')
    (tmp_path / "long.json").write_text('{"text": "' + "so " * 30000 + '", "segments": []}')
    (tmp_path / "other.json").write_text('{"name": "x"}')
    (tmp_path / "wide.txt").write_bytes(b"\xff\xfe" + ("[0:01] Two\n" * 9000).encode("utf-16-le"))
    (tmp_path / "mail.txt").write_text("Dear all,\nthe bus leaves at nine, or so.\n")
    (tmp_path / "film.mp4").write_bytes(bytes(range(256)) * 1000)
    (tmp_path / "deeper").mkdir()
    (tmp_path / "deeper" / "c.srt").write_text(srt)
    assert [p.name for p in transcript_files(tmp_path)] == ["a.unknown", "b.srt", "long.json", "wide.txt"]
    with pytest.raises(InputError):
        transcript_files(tmp_path / "none")


def test_damaged_transcript_of_a_folder_is_not_passed_over(tmp_path: Path) -> None:
    """Whoever reads it says what is wrong with it; what is plainly something else, and what is hidden, is left out."""
    damaged = {
        "cut.vtt": b"\x00\x01\x02",
        "empty.srt": b"",
        "no times.SRT": b"Two for red.\n",
        "page.ttml": b"<html>",
        "bytes.txt": b"[0:01] Two for red.\n[0:04] \xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xff\n",
        "control.json": b'{"segments": [{"start": 0, "end": 1, "text": "\x00"}]}',
    }
    other = {
        "README.txt": b"Notes of mine",
        "._a.srt": b"\x00\x05\x16\x07",
        "raw.txt": b"\x00\x01\xff",
        "a.csv": b"a,b\n",
    }
    for name, content in {**damaged, **other}.items():
        (tmp_path / name).write_bytes(content)
    (tmp_path / "gone.srt").symlink_to("nowhere.srt")
    (tmp_path / "folder.srt").mkdir()
    os.mkfifo(tmp_path / "pipe.srt")
    found = transcript_files(tmp_path)
    assert {path.name for path in found} == {*damaged, "gone.srt"}
    for path in found:
        with pytest.raises(InputError):
            read_transcript(path)


def test_file_of_a_folder_that_may_not_be_opened_is_not_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Whoever runs the tests may be allowed everything, so the refusal comes from a stand-in.
    for name in ("shut.txt", "shut.json", "readme.txt", "film.mp4", "open.txt"):
        (tmp_path / name).write_text("[0:01] Two for red.\n")
    real_open = io.open

    def refuse(path: Any, *args: Any, **kwargs: Any) -> Any:
        if Path(path).name != "open.txt":
            raise PermissionError(13, "Permission denied", str(path))
        return real_open(path, *args, **kwargs)

    monkeypatch.setattr("io.open", refuse)
    assert [path.name for path in transcript_files(tmp_path)] == ["open.txt", "shut.json", "shut.txt"]
