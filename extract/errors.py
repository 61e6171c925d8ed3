"""The one error that bad input raises."""

from __future__ import annotations

from pathlib import Path

#: The greatest number of characters of a problem.
_LONGEST = 600


class InputError(Exception):
    """Input that cannot be used: says which file, which line, what is wrong and how to mend it.

    ``str(error)`` is the whole message on one line, ``file:line: problem; remedy``. The command prints it and
    exits with status 2.
    """

    def __init__(self, file: str | Path, problem: str, remedy: str, line: int | None = None) -> None:
        self.file = str(file)
        # A very long quotation must not drown the rest of the line.
        self.problem = problem if len(problem) <= _LONGEST else f"{problem[:200]} ... {problem[-100:]}"
        self.remedy = remedy
        self.line = line
        super().__init__(f"{self.place}: {self.problem}; {remedy}")

    @property
    def place(self) -> str:
        """The file with the line, where there is one."""
        return self.file if self.line is None else f"{self.file}:{self.line}"
