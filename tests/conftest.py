"""What holds for all tests."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

# How long an example takes hangs on the machine: no test is about that.
settings.register_profile("any machine", deadline=None, max_examples=50)
settings.load_profile("any machine")

#: What takes longest is begun first, so that no worker is left with it at the end.
_FIRST = ("tests/browser/", "tests/dataset/", "tests/test_docs.py", "tests/log/", "tests/test_cli.py")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """As many workers as this process may use cores."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the tests in the order of ``_FIRST``, the others as they are after them."""

    def rank(item: pytest.Item) -> int:
        return next((n for n, start in enumerate(_FIRST) if item.nodeid.startswith(start)), len(_FIRST))

    items.sort(key=rank)
