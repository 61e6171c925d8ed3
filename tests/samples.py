"""The samples and the records expected of them.

``python -m tests.samples`` writes ``sample_transcripts/expected/``; read the difference before you commit it.
"""

from __future__ import annotations

from pathlib import Path

from extract import extract_bout, read_bout_file, read_transcript
from extract.record.files import to_json
from extract.transcript import transcript_files

FOLDER = Path(__file__).resolve().parent.parent / "sample_transcripts"
EXPECTED = FOLDER / "expected"


def sample_records() -> dict[str, str]:
    """The record of every sample as JSON, by the name of its file."""
    out = {}
    for path in transcript_files(FOLDER):
        sheet = path.with_suffix("").with_suffix(".bout.toml")
        bout = read_bout_file(sheet) if sheet.exists() else None
        out[f"{path.stem}.record.json"] = to_json(extract_bout(read_transcript(path), bout))
    return out


if __name__ == "__main__":
    EXPECTED.mkdir(exist_ok=True)
    for name, text in sample_records().items():
        (EXPECTED / name).write_text(text, encoding="utf-8")
