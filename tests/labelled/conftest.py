from __future__ import annotations

import pytest

from extract.bout import extract_bout
from extract.labelled import LabelledBout, read_labelled
from extract.record import Record
from tests.labelled.hand_made import SAMPLES


@pytest.fixture(scope="session")
def samples() -> list[LabelledBout]:
    """The labelled bouts that come with the project."""
    return read_labelled(SAMPLES)


@pytest.fixture(scope="session")
def sample_records(samples: list[LabelledBout]) -> list[Record]:
    """Their records, with the shipped parameters and bout files."""
    return [extract_bout(bout.transcript, bout.bout) for bout in samples]
