"""pyarrow. Only datasets need it, so it is an optional part of the installation."""

from __future__ import annotations

from extract.errors import InputError

try:
    import pyarrow as pa
    import pyarrow.compute as pc
    import pyarrow.ipc as ipc
    import pyarrow.parquet as pq
except ImportError:
    raise InputError(
        "saidscore dataset", "pyarrow is not installed", "pip install 'saidscore[dataset]'"
    ) from None

__all__ = ["ipc", "pa", "pc", "pq"]
