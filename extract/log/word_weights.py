"""What the words of a passage weigh: tables of logistic weights, one for each of some kinds, made ready for use."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple

from extract.log.parameters import Parameters
from extract.mentions.model import BESIDE_SIGN, SAID_SIGN, Passage


class WordWeights(NamedTuple):
    """What each word weighs for each of some kinds, ``said`` in a passage or ``beside`` it, and what each other sign does;
    ``bias`` is what each kind begins with."""

    kinds: tuple[str, ...]
    bias: tuple[float, ...]
    said: Mapping[str, tuple[float, ...]]
    beside: Mapping[str, tuple[float, ...]]
    other: Mapping[str, tuple[float, ...]]

    def sums(self, passage: Passage, signs: Iterable[str] = ()) -> tuple[float, ...]:
        """What a passage weighs for each kind, log odds: its words, those beside it, and the other signs of it."""
        found = [self.bias]
        found += [self.said[word] for word in passage.said if word in self.said]
        found += [self.beside[word] for word in passage.beside if word in self.beside]
        found += [self.other[sign] for sign in signs if sign in self.other]
        # In no particular order: summed so that it does not matter.
        return tuple(map(math.fsum, zip(*found, strict=True)))


@lru_cache(maxsize=16)
def word_weights(parameters: Parameters, path: str) -> WordWeights:
    """The weights of the kinds whose tables stand in the table at ``path``, in its order."""
    tables = {
        kind: table["sign"] for kind, table in parameters.table(path).items() if isinstance(table, Mapping)
    }
    words: dict[str, dict[str, tuple[float, ...]]] = {SAID_SIGN: {}, BESIDE_SIGN: {}, "": {}}
    for sign in dict.fromkeys(sign for table in tables.values() for sign in table if sign != "bias"):
        prefix = next(prefix for prefix in words if sign.startswith(prefix))
        weights = tuple(float(table.get(sign, 0.0)) for table in tables.values())
        words[prefix][sign.removeprefix(prefix)] = weights
    bias = tuple(float(table["bias"]) for table in tables.values())
    return WordWeights(tuple(tables), bias, words[SAID_SIGN], words[BESIDE_SIGN], words[""])
