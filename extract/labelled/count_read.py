"""Counts what becomes of labelled bouts when they are read with parameters that know nothing of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from extract.bout import read_bout
from extract.labelled.counts import Counts
from extract.labelled.measures import judged
from extract.labelled.stretch_labels import count_stretches
from extract.labelled.truth import LabelledBout
from extract.log.certainty import statement_sort
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
    taken = {one.said.mention: one for one in read.log.taken}
    said = {
        s.id: taken.get(check.mention) for s, check in zip(record.statements, read.statements, strict=True)
    }
    for entry, right in judged(bout.truth, record):
        what, signs = "result", record.search.lost
        if isinstance(entry, Event):
            what = entry.basis
        elif isinstance(entry, Statement) and (one := said[entry.id]) is not None:
            what, signs = statement_sort(one.said), one.signs
        out.trust.append((what, signs, right))
    count_stretches(bout.truth, read, parameters, out)
    return out
