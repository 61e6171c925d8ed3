"""Bouts are parted into folds, each read with what was fitted on the others."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from extract.labelled.fit import folds


@given(st.integers(0, 60), st.integers(1, 8))
def test_each_bout_is_in_one_fold_beside_its_neighbours(count: int, most: int) -> None:
    found = folds(count, most)
    assert [k for fold in found for k in fold] == list(range(count))
    assert len(found) <= most
    assert all(fold for fold in found)
