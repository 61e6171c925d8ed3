"""Labelled bouts: transcripts with the truth beside them, for fitting the parameters and for measuring."""

from extract.labelled.labels import Truth
from extract.labelled.truth import LabelledBout, read_labelled

__all__ = ["LabelledBout", "Truth", "read_labelled"]
