"""A dataset hangs on its inputs alone: not on what was made before, in which order, or where a run broke off."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.dataset import build, chunks, store
from extract.dataset.build import BuildRun
from extract.dataset.package import write_package
from extract.dataset.settings import Settings
from extract.dataset.store import Store
from tests.dataset.corpus import Pretend, source_of, tree

_KEYS = st.sampled_from([f"{n:02}" for n in range(40)])
#: Most inputs are the same in two of these.
_CONTENTS = st.dictionaries(_KEYS, st.sampled_from(["x", "x", "x", "x", "xy"]), min_size=1, max_size=40)


class Crash(BaseException):
    """Stands for a kill: nothing catches it."""


@pytest.fixture(autouse=True)
def _small_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chunks, "USUAL", 6)
    monkeypatch.setattr(chunks, "MOST", 12)
    # The rows are made up here, and checking them would take nearly all of the time.
    monkeypatch.setattr(build, "faults", lambda tables: ())
    monkeypatch.setattr(store.os, "fsync", lambda file: None)


def _build(folder: Path, contents: dict[str, str], crash_after: int | None = None, hold: int = 3) -> Pretend:
    """A run, which breaks off at the so-manieth file that it puts in its place."""
    engine = Pretend(hold)
    left = [crash_after]

    def replace(source: Any, target: Any) -> None:
        if left[0] is not None:
            left[0] -= 1
            if left[0] < 0:
                raise Crash
        os.rename(source, target)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store.os, "replace", replace)
        opened = Store(folder)
        with opened.locked():
            BuildRun(opened, Settings(), engine).build(source_of(contents))
            write_package(opened, "contents", Settings().description)
    return engine


def _fresh(contents: dict[str, str]) -> dict[str, bytes]:
    with tempfile.TemporaryDirectory() as folder:
        _build(Path(folder, "out"), contents)
        return tree(Path(folder, "out"))


@settings(max_examples=10)
@given(st.lists(st.tuples(_CONTENTS, st.none() | st.integers(0, 60)), min_size=1, max_size=4), _CONTENTS)
def test_whatever_was_before_the_tables_are_those_of_a_fresh_run(
    before: list[tuple[dict[str, str], int | None]], contents: dict[str, str]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "out")
        for old, crash in before:
            try:
                _build(out, old, crash)
            except Crash:
                continue
        _build(out, contents)
        assert tree(out) == _fresh(contents)


@settings(max_examples=10)
@given(_CONTENTS, _CONTENTS, st.integers(0, 80))
def test_no_work_is_done_twice(old: dict[str, str], new: dict[str, str], crash: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "out")
        _build(out, old)
        first = None
        with contextlib.suppress(Crash):
            first = _build(out, new, crash)
        changed = {key for key, text in new.items() if old.get(key) != text}
        second = _build(out, new)
        if first is not None:
            assert sorted(first.keys) == sorted(changed)
            assert second.keys == []
        # Whatever was the same before and after is never read again.
        assert set(second.keys) <= changed


@given(_CONTENTS)
def test_what_stands_is_not_written_again(contents: dict[str, str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "out")
        _build(out, contents)
        stamps = {path: (path.stat().st_ino, path.stat().st_mtime_ns) for path in out.rglob("*.parquet")}
        _build(out, contents)
        assert stamps == {p: (p.stat().st_ino, p.stat().st_mtime_ns) for p in out.rglob("*.parquet")}


def test_inputs_move_to_another_chunk_wherever_a_run_breaks_off(tmp_path: Path) -> None:
    keys = [f"{n:02}" for n in range(30)]
    ends = [key for key in keys if len(_parts({key, "99"})) == 2]
    middle = ends[len(ends) // 2]
    whole = dict.fromkeys(keys, "x")
    without = {key: "x" for key in keys if key != middle}
    assert len(_parts(set(whole))) == len(_parts(set(without))) + 1
    wanted = {"whole": _fresh(whole), "without": _fresh(without)}
    _build(tmp_path / "begun", without)
    crash = 0
    while True:
        out = tmp_path / str(crash)
        shutil.copytree(tmp_path / "begun", out)
        try:
            _build(out, whole, crash, hold=1)
        except Crash:
            assert set(_build(out, whole).keys) <= {middle}
            assert tree(out) == wanted["whole"]
            _build(out, without)
            assert tree(out) == wanted["without"]
            crash += 1
        else:
            assert tree(out) == wanted["whole"]
            break
    assert crash > 20


def _parts(keys: set[str]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    name = ""
    for each in chunks.chunked(source_of(dict.fromkeys(keys, "x")).items()):
        if isinstance(each, chunks.Begin):
            name = each.name
            found[name] = []
        elif not isinstance(each, chunks.End):
            found[name].append(each.key)
    assert [key for part in found.values() for key in part] == sorted(keys)
    return {name: tuple(part) for name, part in found.items()}


@given(st.sets(_KEYS, min_size=2, max_size=40), st.data())
def test_an_input_touches_its_own_chunk_alone(keys: set[str], data: st.DataObject) -> None:
    taken = data.draw(st.sampled_from(sorted(keys)))

    with_it, without = _parts(keys), _parts(keys - {taken})
    touched = set(with_it.items()) - set(without.items())
    full = max(map(len, with_it.values())) == 12 or max(map(len, without.values()), default=0) == 12
    assert full or len(touched) <= 2
