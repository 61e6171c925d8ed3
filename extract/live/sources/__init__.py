"""Where the bytes of a stream come from: standard input, a file that grows, a server on this machine."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

from extract.errors import InputError
from extract.live.sources.files import FileSource
from extract.live.sources.model import News, Source
from extract.live.sources.pipes import PipeSource
from extract.live.sources.server import RETRY_S, ServerSource

__all__ = ["FileSource", "News", "PipeSource", "ServerSource", "Source", "open_source"]


def open_source(where: str, *, follow: bool = False, retry_s: float = RETRY_S) -> Source:
    """The source at ``where``: ``-`` for standard input, ``http://`` on this machine, or a file. With ``follow`` a file is
    read on as it grows. A server whose connection is lost is asked again after ``retry_s`` seconds, later after more.

    Raises InputError if it cannot be read.
    """
    if where == "-":
        return PipeSource(sys.stdin.fileno(), "standard input")
    if "://" in where:
        return ServerSource(where, retry_s=retry_s)
    try:
        mode = os.stat(where).st_mode if os.path.lexists(where) or not follow else stat.S_IFREG
        if stat.S_ISFIFO(mode):
            # It would wait here until somebody writes.
            return PipeSource(os.open(where, os.O_RDONLY | os.O_NONBLOCK), where, own=True)
        if stat.S_ISDIR(mode) or not Path(where).parent.is_dir():
            raise InputError(
                where, "is a folder" if stat.S_ISDIR(mode) else "is in no folder", "give the path of a file"
            )
        if stat.S_ISCHR(mode) and where.startswith("/dev/"):
            return PipeSource(os.open(where, os.O_RDONLY | os.O_NONBLOCK), where, own=True)
        return FileSource(where, follow=follow)
    except OSError as error:
        raise InputError(
            where, f"cannot be read ({error.strerror})", "give the path of a readable file"
        ) from None
    except ValueError:
        raise InputError(repr(where), "is no path", "give the path of a file") from None
