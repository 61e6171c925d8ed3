"""What an engine is, and the engine of processes on this machine. It survives an input that kills its worker."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from multiprocessing import get_context, parent_process
from typing import Protocol

from extract.dataset.work import Task, perform

#: Tasks that wait for each worker: enough that no worker is idle, few enough to hold in memory.
WAITING = 2


@dataclass(frozen=True, slots=True)
class Done:
    """A task with its rows, packed. None if one of its inputs has killed the process that worked on it."""

    task: Task
    packed: bytes | None


class Engine(Protocol):
    """Does tasks in any order. ``tasks`` is drawn from as workers come free, so it may be endless."""

    def run(self, tasks: Iterable[Task]) -> Iterator[Done]: ...


def one_by_one(task: Task) -> list[Task]:
    """A task for each input of a task whose worker died, to find out which input it was."""
    return [replace(task, items=(item,)) for item in task.items]


class LocalEngine:
    """Processes of this machine. A single worker is a process of its own too, because an input may kill the process
    that reads it."""

    def __init__(self, workers: int, perform: Callable[[Task], bytes] = perform) -> None:
        self._workers, self._perform = workers, perform

    def run(self, tasks: Iterable[Task]) -> Iterator[Done]:
        """Each task's rows. If a worker dies, the tasks at work then are done again, one input at a time and alone.
        An input that kills its worker then is given up."""
        pending = iter(tasks)
        while suspects := (yield from self._run_pool(pending)):
            yield from self._alone(single for task in suspects for single in one_by_one(task))

    def _run_pool(self, tasks: Iterator[Task]) -> Generator[Done, None, list[Task]]:
        """Do tasks until there are none or a worker dies. Returns the tasks that were at work or waiting then."""
        running: dict[Future[bytes], Task] = {}
        drawn: Task | None = None
        with _pool(self._workers) as pool:
            try:
                for drawn in tasks:
                    running[pool.submit(self._perform, drawn)] = drawn
                    drawn = None
                    if len(running) >= self._workers * WAITING:
                        yield from _finished(running)
                while running:
                    yield from _finished(running)
            except BrokenProcessPool:
                return [*running.values(), *([drawn] if drawn is not None else [])]
        return []

    def _alone(self, tasks: Iterable[Task]) -> Iterator[Done]:
        """Each task in a process that does nothing else meanwhile."""
        pool = None
        try:
            for task in tasks:
                pool = pool or _pool(1)
                try:
                    yield Done(task, pool.submit(self._perform, task).result())
                except BrokenProcessPool:
                    pool.shutdown()
                    pool = None
                    yield Done(task, None)
        finally:
            if pool is not None:
                pool.shutdown()


def _finished(running: dict[Future[bytes], Task]) -> Iterator[Done]:
    done, _ = wait(running, return_when=FIRST_COMPLETED)
    for future in done:
        # A broken pool raises here, and its task is still among those running.
        packed = future.result()
        yield Done(running.pop(future), packed)


def _pool(workers: int) -> ProcessPoolExecutor:
    # A forked child would have the locks of threads (progress bar, Arrow) that it does not have.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_begin)


def _begin() -> None:
    """Before a worker's first task."""
    import gc

    # The main process handles Ctrl-C and ends the workers.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.set_threshold(200_000, 50, 50)
    parent = parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.join,), daemon=True).start()


def _end_with(join: Callable[[], None]) -> None:
    """A worker whose parent was killed would wait for work for ever."""
    join()
    os._exit(1)
