"""Work handed out by a Dask scheduler: a real one, with two worker processes, on this machine."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pandas as pd
import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.dataset import engine_dask
from tests.dataset.corpus import tree, write_corpus


def _port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


@contextmanager
def _cluster(workers: int) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and so many workers, each a process; ended with the block."""
    port = _port()
    address = f"tcp://127.0.0.1:{port}"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    dask = [
        sys.executable,
        "-m",
        "distributed.cli.dask_scheduler",
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
    ]
    processes = [subprocess.Popen([*dask, "--no-dashboard"], **quiet)]
    work = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--nthreads", "1", "--no-nanny"]
    processes += [subprocess.Popen([*work, "--no-dashboard"], **quiet) for _ in range(workers)]
    try:
        yield address, processes[1:]
    finally:
        for process in reversed(processes):
            process.kill()
            process.wait()


def test_a_worker_is_killed_in_mid_run_and_nothing_is_lost(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 160)
    local, out = tmp_path / "local", tmp_path / "out"
    talk = str(tmp_path / "talk")
    assert (
        CliRunner()
        .invoke(app, ["dataset", talk, "--out", str(local), "-q", "--recordings", "bout"])
        .exit_code
        == 0
    )
    with _cluster(2) as (address, workers):
        killed: list[int] = []

        def kill() -> None:
            staged = out / ".work" / "staged"
            until = time.monotonic() + 60
            while time.monotonic() < until:
                if staged.is_dir() and len(list(staged.iterdir())) >= 4:
                    os.kill(workers[0].pid, signal.SIGKILL)
                    killed.append(sum(1 for _ in staged.iterdir()))
                    return
                time.sleep(0.005)

        thread = threading.Thread(target=kill)
        thread.start()
        args = [
            "dataset",
            talk,
            "--out",
            str(out),
            "--engine",
            "dask",
            "--scheduler",
            address,
            "--recordings",
            "bout",
        ]
        result = CliRunner().invoke(app, args)
        thread.join()
    assert result.exit_code == 0, result.output
    # It was killed while there was work to do.
    assert killed
    assert killed[0] < 20
    assert "160 inputs: 160 read now" in result.output
    assert len(pd.read_parquet(out / "inputs")) == 160
    assert tree(out) == tree(local)


def test_a_cluster_of_its_own_gives_the_same(tmp_path: Path) -> None:
    write_corpus(tmp_path / "talk", 12)
    args = ["dataset", str(tmp_path / "talk"), "-q", "--jobs", "1", "--recordings", "bout", "--out"]
    assert CliRunner().invoke(app, [*args, str(tmp_path / "local")]).exit_code == 0
    assert CliRunner().invoke(app, [*args, str(tmp_path / "out"), "--engine", "dask"]).exit_code == 0
    assert tree(tmp_path / "out") == tree(tmp_path / "local")


def test_no_scheduler_is_told_in_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Where there is none, waiting for one shows nothing more.
    monkeypatch.setattr(engine_dask, "_CONNECT_S", 1)
    write_corpus(tmp_path / "talk", 1)
    args = [
        "dataset",
        str(tmp_path / "talk"),
        "--out",
        str(tmp_path / "out"),
        "--engine",
        "dask",
        "--scheduler",
    ]
    for address in ("tcp://127.0.0.1:1", "nonsense://x"):
        result = CliRunner().invoke(app, [*args, address])
        assert result.exit_code == 2
        assert f"no Dask scheduler with workers at '{address}'" in result.output
        assert len(result.output.splitlines()) == 1
