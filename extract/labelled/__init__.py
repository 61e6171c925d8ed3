"""Labelled bouts: transcripts with the truth beside them, to fit the parameters on and to measure against."""

from extract.labelled.labels import Truth
from extract.labelled.truth import LabelledBout, read_labelled

__all__ = ["LabelledBout", "Truth", "read_labelled"]
