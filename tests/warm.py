"""``saidscore`` for tests of many command lines: each runs in a fork of one process that has loaded the program.

To load it takes longer than most commands do. What a command gets is its own (arguments, folder, environment, the three
streams), and the shell that starts it sees its output and its status as ever. As a script this is that process: it
imports nothing of the tests, and only the ``saidscore`` of its environment.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

#: The command on the path: hands all that it was given to the process, and ends as the fork did.
_COMMAND = """#!{python} -IS
import json, os, socket, sys

with socket.socket(socket.AF_UNIX) as line:
    line.connect({address!r})
    given = json.dumps([sys.argv[1:], os.getcwd(), dict(os.environ)]).encode()
    sent = socket.send_fds(line, [given], [0, 1, 2])
    line.sendall(given[sent:])
    line.shutdown(socket.SHUT_WR)
    sys.exit(int(line.recv(9)))
"""


@contextmanager
def warm_saidscore(environment: Mapping[str, str]) -> Iterator[dict[str, str]]:
    """An environment in which ``saidscore`` is such a command, for as long as the block lasts."""
    with tempfile.TemporaryDirectory() as folder:
        address, command = f"{folder}/line", Path(folder, "saidscore")
        command.write_text(_COMMAND.format(python=sys.executable, address=address), encoding="utf-8")
        command.chmod(0o755)
        # Not from the folder of this file (-P): the program is the one that is installed.
        with subprocess.Popen(
            [sys.executable, "-P", __file__, address], cwd=folder, env=environment, stdout=subprocess.PIPE
        ) as process:
            try:
                assert process.stdout is not None
                assert process.stdout.readline() == b"ready\n"
                yield {**environment, "PATH": f"{folder}{os.pathsep}{environment['PATH']}"}
            finally:
                process.kill()


def _serve(address: str) -> None:
    """Returns in each fork that is to run a command; the process itself goes on until it is killed."""
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(address)
        listener.listen()
        print("ready", flush=True)
        while True:
            line, _ = listener.accept()
            with line:
                # One fork waits for the other and tells how it ended.
                if os.fork() == 0:
                    given, streams, _, _ = socket.recv_fds(line, 1 << 16, 3)
                    while more := line.recv(1 << 16):
                        given += more
                    if (child := os.fork()) == 0:
                        break
                    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
                    line.sendall(str(status if status >= 0 else 128 - status).encode())
                    os._exit(0)
            while _waited():
                pass
    arguments, folder, environment = json.loads(given)
    for number, (name, mode) in enumerate((("stdin", "r"), ("stdout", "w"), ("stderr", "w"))):
        os.dup2(streams[number], number)
        os.close(streams[number])
        # The old one knows what was at its number before: whether it can be searched, and how far it was read.
        old = getattr(sys, name)
        line_by_line = 1 if name == "stderr" else -1
        new = os.fdopen(number, mode, line_by_line, old.encoding, old.errors, closefd=False)
        setattr(sys, name, new)
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv = ["saidscore", *arguments]


def _waited() -> bool:
    """Whether a fork has ended that nobody has asked after yet."""
    try:
        return os.waitpid(-1, os.WNOHANG)[0] != 0
    except ChildProcessError:
        return False


if __name__ == "__main__":
    from extract.__main__ import main
    from extract.cli import app  # noqa: F401
    from extract.lexicon import load_lexicon
    from extract.talk.tokens import tokenize

    tokenize("two")
    load_lexicon("freestyle")
    _serve(sys.argv[1])
    main()
