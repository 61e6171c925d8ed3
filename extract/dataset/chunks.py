"""Which inputs share a file of each table.

A chunk ends after an input whose key has a certain hash, or when it is full. So the chunks depend on the keys alone,
and not on the number of workers or on an earlier run. An input that is added, changed or taken away touches the files
of its own chunk and no others (content-defined chunking: Muthitacharoen, Chen and Mazieres, A low-bandwidth network
file system, SOSP 2001).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from extract.dataset.item import Item

#: The average and the greatest number of inputs in a chunk. So a million inputs are about a thousand files a table,
#: each of some ten thousand rows: few enough to list, small enough to hold.
USUAL, MOST = 1024, 4096
_DIGITS = 16


@dataclass(frozen=True, slots=True)
class Begin:
    """A chunk begins. ``name`` is the name of its files."""

    name: str


@dataclass(frozen=True, slots=True)
class End:
    """The chunk that was begun last is whole."""


def chunked(items: Iterable[Item]) -> Iterator[Begin | Item | End]:
    """The items with the beginnings and ends of their chunks between them."""
    held = 0
    for item in items:
        digest = hashlib.sha256(item.key.encode()).digest()
        if held == 0:
            yield Begin(f"part-{digest.hex()[:_DIGITS]}")
        yield item
        held += 1
        if held == MOST or int.from_bytes(digest[-8:]) % USUAL == 0:
            yield End()
            held = 0
    if held:
        yield End()
