"""Reads a transcript of any known format, and finds the transcripts of a folder."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from extract.errors import InputError
from extract.transcript.by_order import looks_like_account, read_by_order
from extract.transcript.cue import Format, Transcript
from extract.transcript.decode import LIMIT, SourceText, decode, read_source
from extract.transcript.notes import read_notes
from extract.transcript.notes_by_order import is_notes_by_order, read_notes_by_order
from extract.transcript.paragraphs import read_paragraphs
from extract.transcript.recogniser import read_recogniser
from extract.transcript.sniff import sniff
from extract.transcript.spacing import single_spaced
from extract.transcript.stamps import tells_no_times
from extract.transcript.subrip import read_subrip
from extract.transcript.table import is_table
from extract.transcript.webvtt import read_webvtt

#: Endings of files that lie beside transcripts and are none: bout files, and what this program writes.
_NO_TRANSCRIPT = (
    ".truth.json",
    ".record.json",
    ".bout.toml",
    ".decisions.jsonl",
    ".sheet.csv",
    ".events.csv",
    ".statements.csv",
    ".clock.csv",
    ".flags.csv",
    ".captions.vtt",
    ".captions.srt",
    ".chapters.vtt",
    ".metadata.vtt",
    ".markers.csv",
    ".clips.csv",
    ".session.csv",
    ".session.json",
)
_HEAD = 65536
#: A bout record, as this program writes it.
_RECORD = re.compile(r'\s*\{\s*"schema"\s*:\s*"saidscore\.record/')
#: JSON that is no transcript.
_DATA = re.compile(r"\s*\[\s*(?:[\[{\"\]]|-?[0-9.]+\s*[,\]])")


def _read_ttml(source: SourceText) -> Transcript:
    # Few files are TTML, and expat takes a moment to load.
    from extract.transcript.ttml import read_ttml

    return read_ttml(source)


_READERS: dict[Format, Callable[[SourceText], Transcript]] = {
    "srt": read_subrip,
    "vtt": read_webvtt,
    "ttml": _read_ttml,
    "asr": read_recogniser,
    "block": read_paragraphs,
    "csv": read_notes,
    "lines": read_by_order,
}
# If the content does not show the format, the reader that fits the name can say best what is wrong.
_NAMED: dict[str, Format] = {
    ".srt": "srt",
    ".vtt": "vtt",
    ".ttml": "ttml",
    ".dfxp": "ttml",
    ".json": "asr",
    ".jsonl": "asr",
    ".csv": "csv",
    ".tsv": "csv",
}
#: How the names of transcripts end.
ENDINGS = (*_NAMED, ".txt")
#: Nothing but a transcript has these.
_CAPTIONS = (".srt", ".vtt", ".ttml", ".dfxp")
_NOT_TALK = frozenset({"readme", "license", "licence", "copying", "changelog"})


def read_transcript(path: str | Path) -> Transcript:
    """The transcript in the file at ``path``. Its format is detected from its content.

    Raises InputError, which names file, line and remedy, for whatever cannot be read as a transcript.
    """
    return transcript_in(read_source(path))


def transcript_in(source: SourceText) -> Transcript:
    """The transcript in a text that has been read already. Raises InputError as ``read_transcript``."""
    if _RECORD.match(source.text):
        remedy = "give the transcript that it was made from; report, facts and export read records"
        raise source.error("is a record, not a transcript", remedy, None)
    source = single_spaced(source)
    format = sniff(source.text)
    if format == "block" and tells_no_times(source.text):
        return read_by_order(source)
    if format in (None, "csv") and is_notes_by_order(source.text):
        return read_notes_by_order(source)
    format = format or _NAMED.get(Path(source.name).suffix.lower())
    if format is not None:
        return _READERS[format](source)
    if not _is_plain_text(source.text):
        raise source.error(
            "no known format of transcript",
            "give SubRip, WebVTT, TTML, a recogniser's JSON, notes, or text with times ([m:ss]) or in order",
            1,
        )
    return read_by_order(source)


def _is_plain_text(text: str) -> bool:
    """Whether a text may be an account that somebody typed: no markup, no data, no table of unknown columns."""
    return text.lstrip()[:1] not in ("<", "{") and not _DATA.match(text) and not is_table(text)


def transcript_files(folder: str | Path) -> list[Path]:
    """The transcripts of a folder, without those of folders inside, sorted by name: every file whose content shows a
    known format. A file that is damaged or cannot be opened is among them if its name or the rest of its content says
    that it was one. Whoever reads it says what is wrong. Bout files, records and their tables are left out. Raises
    InputError if the folder cannot be read."""
    try:
        # A link that leads nowhere is a file that has gone.
        files = sorted(path for path in Path(folder).iterdir() if path.is_file() or not path.exists())
    except OSError as error:
        raise InputError(folder, f"cannot be read ({error.strerror})", "give the path of a folder") from None
    return [path for path in files if not goes_with_transcript(path) and _is_meant(path)]


def goes_with_transcript(path: Path) -> bool:
    """Whether a file's name says that it belongs to a transcript and is none itself: a bout file, a record."""
    return path.name.lower().endswith(_NO_TRANSCRIPT)


def is_named_transcript(path: Path) -> bool:
    """Whether a file has a name that a transcript may have."""
    return path.suffix.lower() in ENDINGS and path.stem.lower() not in _NOT_TALK and path.name[0] != "."


def is_transcript(path: Path) -> bool:
    """Whether the content of a file shows a known format."""
    try:
        return _shows_format(path)
    except OSError:
        return False


def _is_meant(path: Path) -> bool:
    """Whether a file of a folder is a transcript, or was one before it was damaged."""
    named = is_named_transcript(path)
    if named and path.suffix.lower() in _CAPTIONS:
        return True
    try:
        return _shows_format(path)
    except OSError:
        return named


def _shows_format(path: Path) -> bool:
    """Whether the content of a file, even a damaged one, shows a known format. Raises OSError."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
        # A recogniser's JSON may begin with the whole talk as one text.
        if head.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"["):
            head += file.read(LIMIT)
    if not head.strip():
        return False
    try:
        text = decode(head, str(path), whole=False)
        return sniff(text) is not None or _is_account(path, text)
    except InputError:
        # The bytes that are damaged do not change what the others show.
        return sniff(head.decode("latin-1")) is not None


def _is_account(path: Path, text: str) -> bool:
    """Whether a text without times is an account of a bout, so that a folder's letters and lists are left out."""
    if not is_named_transcript(path) or path.suffix.lower() not in (".txt", ".csv", ".tsv"):
        return False
    return is_notes_by_order(text) or (
        _is_plain_text(text) and path.suffix.lower() == ".txt" and looks_like_account(text)
    )
