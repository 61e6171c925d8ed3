"""Counts what becomes of labelled bouts when they are read with parameters that know nothing of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from extract.bout import read_bout
from extract.labelled.counts import Counts
from extract.labelled.measures import judged
from extract.labelled.stretch_labels import count_stretches
from extract.labelled.truth import LabelledBout
from extract.log.parameters import Parameters
from extract.record.model import Event, Statement


def count_read(bout: LabelledBout, parameters: Parameters, lexicons: Sequence[Path] = ()) -> Counts:
    """What is right of what the program says of a bout with parameters that know nothing of it: what it is, the signs of
    how far the log can be believed, and whether it was right. And what was seen of the passages whose kind of talk the
    labels tell."""
    out = Counts()
    read, record = read_bout(
        bout.transcript, bout.bout, rules=bout.truth.rules, parameters=parameters, lexicons=lexicons
    )
    for entry, right in judged(bout.truth, record):
        what = "result"
        if isinstance(entry, Event):
            what = entry.basis
        elif isinstance(entry, Statement):
            what = entry.slip or "agrees"
        out.trust.append((what, record.search.lost, right))
    count_stretches(bout.truth, read, parameters, out)
    return out
