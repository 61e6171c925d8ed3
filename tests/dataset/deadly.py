"""An input that ends the process that works on it, as a fault in a library might."""

from __future__ import annotations

import os

from extract.dataset.work import Task, perform

DEADLY = "deadly.srt"


def deadly(task: Task) -> bytes:
    """Perform a task; end the process where one of its inputs has the deadly name."""
    if any(item.name == DEADLY for item in task.items):
        os._exit(1)
    return perform(task)
