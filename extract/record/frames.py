"""The record as pandas data frames."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from extract.record.model import Record
from extract.record.tables import TABLES, Cell

if TYPE_CHECKING:
    import pandas as pd

_SURROGATE = re.compile("[\ud800-\udfff]")


def frames(record: Record) -> dict[str, pd.DataFrame]:
    """A frame for each of ``events``, ``statements``, ``clock``, ``challenges``, ``board`` and ``flags``.

    The columns are those of the CSV files. Whole numbers are ``Int64`` and numbers ``Float64``, both with ``<NA>`` if
    there is no value. Vocabularies are categories with every word of the vocabulary. Text is as it was said, without
    the CSV files' guard against formulas. Broken characters become U+FFFD.
    """
    import pandas as pd

    dtypes: dict[str, Any] = {"text": "string", "int": "Int64", "float": "Float64"}
    result = {}
    for table in TABLES:
        rows = list(table.cells(record))
        columns = {}
        for i, column in enumerate(table.shown(record)):
            dtype = (
                pd.CategoricalDtype(list(column.type))
                if isinstance(column.type, tuple)
                else dtypes[column.type]
            )
            columns[column.name] = pd.Series([_written(row[i]) for row in rows], dtype=dtype)
        result[table.name] = pd.DataFrame(columns)
    return result


def _written(cell: Cell) -> Cell:
    return _SURROGATE.sub("\ufffd", cell) if isinstance(cell, str) else cell
