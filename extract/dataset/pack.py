"""Rows as Arrow tables, and these as bytes. So results travel and wait for their file."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from extract.dataset.arrow import ipc, pa
from extract.dataset.fields import tellable
from extract.dataset.tables import DatasetColumn, DatasetTable, Row, dataset_tables

_TYPES = {"text": pa.string(), "int": pa.int64(), "float": pa.float64()}
#: Types of pandas for a column that may be empty, and for one that never is.
_PANDAS = {"text": ("object", "object"), "int": ("Int64", "int64"), "float": ("Float64", "float64")}

Tables = Mapping[str, "pa.Table"]


@lru_cache(maxsize=32)
def schema(name: str) -> pa.Schema:
    """The Arrow schema of a table of the dataset. The data dictionary says what may be empty."""
    columns = dataset_tables()[name].columns
    return pa.schema([pa.field(c.name, _TYPES[c.type]) for c in columns], {"pandas": _for_pandas(columns)})


def _for_pandas(columns: Iterable[DatasetColumn]) -> str:
    """What pandas reads from a Parquet file: its nullable types for numbers that may be empty. A plain integer would
    become a float with NaN (pandas developer guide, "Storing pandas DataFrame objects in Apache Parquet format")."""
    described = [
        {
            "name": c.name,
            "field_name": c.name,
            "pandas_type": {"text": "unicode", "int": "int64", "float": "float64"}[c.type],
            "numpy_type": _PANDAS[c.type][c.required],
            "metadata": None,
        }
        for c in columns
    ]
    return json.dumps(
        {"index_columns": [], "column_indexes": [], "columns": described, "pandas_version": "2.2.0"}
    )


def to_arrow(table: DatasetTable, rows: Iterable[Row]) -> pa.Table:
    """Rows as an Arrow table. A column that a row lacks is empty in it."""
    rows = list(rows)
    shape = schema(table.name)
    arrays = [_array([row.get(field.name) for row in rows], field.type) for field in shape]
    return pa.Table.from_arrays(arrays, schema=shape)


def _array(values: list[Any], type: pa.DataType) -> pa.Array:
    try:
        return pa.array(values, type)
    except UnicodeEncodeError:
        # The name of a file may be any bytes.
        return pa.array([tellable(each) if isinstance(each, str) else each for each in values], type)


def pack_rows(rows: Mapping[str, Iterable[Row]]) -> bytes:
    """The rows of all tables as bytes."""
    return pack({name: to_arrow(table, rows.get(name, ())) for name, table in dataset_tables().items()})


def pack(tables: Tables) -> bytes:
    """All tables as bytes."""
    buffer = io.BytesIO()
    # A plain archive has a checksum of each member, so half a file is noticed.
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, table in tables.items():
            sink = io.BytesIO()
            with ipc.new_stream(sink, table.schema) as stream:
                stream.write_table(table)
            archive.writestr(zipfile.ZipInfo(name), sink.getvalue())
    return buffer.getvalue()


def unpack(data: bytes, names: Iterable[str] | None = None) -> Tables:
    """The tables that ``pack`` made into bytes, or some of them. Raises zipfile.BadZipFile, KeyError or
    pa.ArrowException if they are not whole."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        wanted = dataset_tables() if names is None else names
        return {name: ipc.open_stream(archive.read(name)).read_all() for name in wanted}
