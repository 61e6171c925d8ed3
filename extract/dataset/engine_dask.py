"""Work on several machines by Dask distributed. Its scheduler hands out tasks and gives those of a lost worker to
others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from extract.dataset.engine import WAITING, Done, one_by_one
from extract.dataset.work import Task, perform
from extract.errors import InputError

#: Seconds to wait for the scheduler, and then for a worker to come.
_CONNECT_S, _WORKER_S = 10, 60


class DaskEngine:
    """A Dask cluster: the one whose scheduler is at ``address``, or one on this machine with this number of
    ``workers``. The workers need this program in the same version and nothing else, because inputs travel to them.
    Raises InputError if distributed is not installed or there is no such scheduler."""

    def __init__(self, address: str | None, workers: int) -> None:
        try:
            import distributed
        except ImportError:
            raise InputError(
                "--engine", "dask needs distributed, which is not installed", "pip install 'saidscore[dask]'"
            ) from None
        self._cluster: Any = None
        try:
            if address is None:
                self._cluster = distributed.LocalCluster(
                    n_workers=workers, threads_per_worker=1, dashboard_address=None, silence_logs=50
                )
            self._client: Any = distributed.Client(address or self._cluster, timeout=_CONNECT_S)
            self._client.wait_for_workers(1, timeout=_WORKER_S)
        except (OSError, ValueError, TimeoutError) as error:
            problem = f"no Dask scheduler with workers at {address!r} ({type(error).__name__})"
            raise InputError(
                "--scheduler", problem, "start one and its workers, or correct the address"
            ) from None

    @property
    def workers(self) -> int:
        """Worker processes that are there now."""
        return max(len(self._client.nthreads()), 1)

    def run(self, tasks: Iterable[Task]) -> Iterator[Done]:
        """Each task's rows. If a worker is lost, the scheduler does its task again. A task that loses several workers
        is done one input at a time, and an input that still does so is given up."""
        import distributed

        pending = iter(tasks)
        done = distributed.as_completed()
        running: dict[str, Task] = {}

        def submit(task: Task) -> None:
            future = self._client.submit(perform, task, pure=False)
            running[future.key] = task
            done.add(future)

        def draw() -> None:
            # Workers come and go, so the scheduler is asked each time, but only once.
            most = self.workers * WAITING
            while len(running) < most:
                task = next(pending, None)
                if task is None:
                    return
                submit(task)

        draw()
        while running:
            future = next(done)
            task = running.pop(future.key)
            if future.status == "finished":
                yield Done(task, future.result())
            elif len(task.items) > 1:
                for single in one_by_one(task):
                    submit(single)
            elif isinstance(future.exception(), distributed.KilledWorker):
                yield Done(task, None)
            else:
                problem = f"the work did not come back ({future.exception()})"
                raise InputError("--scheduler", problem, "give the command again: it goes on")
            future.release()
            draw()

    def close(self) -> None:
        """Let the cluster go, and end it if it is our own."""
        self._client.close()
        if self._cluster is not None:
            self._cluster.close()
