"""Shared by the tests of the readers."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from extract.errors import InputError
from extract.transcript import Transcript, read_transcript

Read = Callable[..., Transcript]
Fail = Callable[..., InputError]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Reads a text, or bytes, as a file of some name."""

    def read_content(content: str | bytes, name: str = "talk") -> Transcript:
        path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return read_transcript(path)

    return read_content


@pytest.fixture
def fail(read: Read, tmp_path: Path) -> Fail:
    """The error that a text, or bytes, must raise; it must name the file and be one line."""

    def error_of(content: str | bytes, name: str = "talk") -> InputError:
        with pytest.raises(InputError) as caught:
            read(content, name)
        assert caught.value.file == str(tmp_path / name)
        assert "\n" not in str(caught.value)
        assert caught.value.remedy
        return caught.value

    return error_of
