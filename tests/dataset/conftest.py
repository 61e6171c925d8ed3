"""Where the work of a dataset is done in these tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from extract.dataset import engine
from tests.dataset.corpus import Here


@pytest.fixture(scope="module", autouse=True)
def _in_this_process() -> Iterator[None]:
    """Tasks are done in the process of the tests, but for those that are about processes: to begin one takes longer than
    most tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "LocalEngine", lambda workers: Here())
        yield


@pytest.fixture(autouse=True)
def _processes(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.node.get_closest_marker("processes"):
        monkeypatch.setattr(engine, "LocalEngine", _LOCAL)


_LOCAL = engine.LocalEngine
