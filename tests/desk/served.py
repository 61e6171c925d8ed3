"""A correction desk that runs while a test does, on a copy of a bout."""

from __future__ import annotations

import secrets
import shutil
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from extract.desk import DeskOptions, desk_app
from extract.desk.folder import record_files
from extract.record import Record, from_json, write_record
from tests.samples import bout_at, extracted

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Served:
    """The address of a desk, and the folder of its records."""

    address: str
    folder: Path

    def record(self, name: str) -> Record:
        """The record of a bout as it is on the disk."""
        return from_json(self.folder / f"{name}.record.json")


def put(folder: Path, transcript: Path) -> str:
    """Copies a transcript, and what is known of its bout, into a folder and writes its record there; its name."""
    name = transcript.stem
    shutil.copy(transcript, folder)
    beside = transcript.with_name(f"{name}.bout.toml")
    if beside.exists():
        shutil.copy(beside, folder)
    # What belongs to the project does not change while tests run.
    read = bout_at if transcript.is_relative_to(ROOT) else extracted
    write_record(read(transcript)[2], folder, name)
    return name


@contextmanager
def serving(folder: Path, name: str | None = None, by: str = "wren") -> Iterator[Served]:
    """Serves the records of a folder, or one of them, until the block is left."""
    files = record_files(folder)
    if name is not None:
        files = {name: files[name]}
    token = secrets.token_urlsafe(12)
    app = desk_app(files, DeskOptions(by), token, folder=name is None)
    with socket.create_server(("127.0.0.1", 0)) as listener:
        server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        yield Served(f"http://127.0.0.1:{listener.getsockname()[1]}/{token}/", folder)
        server.should_exit = True
        thread.join(10)
