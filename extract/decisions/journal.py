"""The file of decisions, ``NAME.decisions.jsonl``: JSON Lines, a head and then one decision a line. Lines are only
added.

A line counts once it is on the disk with its line end. So a crash leaves no more than half a line. Nobody was told
that it was kept, and the next decision overwrites it. Whoever adds a line says how long the file was when they last
read it. So nobody misses what was decided in another window since then.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO, cast

from extract.decisions.model import SCHEMA, SUBJECTS, Decision, check
from extract.errors import InputError
from extract.record.decode import Mismatch, decode
from extract.transcript.decode import check_plain

_LIMIT = 64 * 1024 * 1024
_REMEDY = "mend that line, or move the file away to begin anew"


class MovedOn(Exception):
    """Somebody else has decided something since the file was last read."""


@dataclass(frozen=True, slots=True)
class Journal:
    """All decisions of a file, in order, and its length in bytes, which ``append`` needs."""

    decisions: tuple[Decision, ...] = ()
    length: int = 0

    def append(self, path: Path, decisions: Sequence[Decision]) -> Journal:
        """This journal with decisions added, in the file too. Raises MovedOn if the file is no longer the one that
        was read, InputError if it cannot be written, Mismatch if it could not be read again."""
        import portalocker

        for decision in decisions:
            # What could not be read again must not be written.
            _decision(json.loads(json.dumps(_tree(decision))))
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("a+b") as file:
                portalocker.lock(file, portalocker.LOCK_EX)
                end = _whole(file)
                if end != self.length:
                    raise MovedOn
                head = [] if end else [json.dumps({"schema": SCHEMA})]
                lines = [*head, *(json.dumps(_tree(d), ensure_ascii=True) for d in decisions)]
                added = "".join(line + "\n" for line in lines).encode()
                # Half a line is left from a crash. Nobody was told that it was kept.
                file.truncate(end)
                file.seek(end)
                try:
                    file.write(added)
                    file.flush()
                    os.fsync(file.fileno())
                except OSError:
                    # It must not stand there after somebody was told that it is not kept.
                    with contextlib.suppress(OSError):
                        file.truncate(end)
                    raise
        except (OSError, portalocker.LockException) as error:
            problem = f"cannot be written ({getattr(error, 'strerror', None) or error})"
            raise InputError(path, problem, "free its place, or give a folder that can be written") from None
        return Journal((*self.decisions, *decisions), end + len(added))


def _whole(file: BinaryIO) -> int:
    """The length of the file up to the end of its last whole line, in bytes."""
    at = file.seek(0, os.SEEK_END)
    while at > 0:
        step = min(at, 65536)
        file.seek(at - step)
        found = file.read(step).rfind(b"\n")
        if found >= 0:
            return at - step + found + 1
        at -= step
    return 0


def _tree(value: Any) -> Any:
    """A decision as it is written, without what it does not say."""
    if is_dataclass(value):
        said = {field.name: (getattr(value, field.name), field.default) for field in fields(value)}
        return {name: _tree(item) for name, (item, default) in said.items() if item != default}
    return [_tree(item) for item in value] if isinstance(value, tuple) else value


def read_decisions(path: Path) -> Journal:
    """The decisions in a file. None of them if there is no such file. Raises InputError, which names the line of what
    is wrong."""
    check_plain(path)
    try:
        with path.open("rb") as file:
            length = _whole(file)
            if length > _LIMIT:
                raise InputError(path, f"has more than {_LIMIT // 2**20} MB", _REMEDY)
            file.seek(0)
            content = file.read(length)
    except FileNotFoundError:
        return Journal()
    except OSError as error:
        remedy = "give a file that can be read, or move it away"
        raise InputError(path, f"cannot be read ({error.strerror})", remedy) from None
    return Journal(tuple(_decisions(path, content)), length)


def decisions_in(content: bytes, path: Path) -> tuple[Decision, ...]:
    """The decisions in the bytes of a file that was read from ``path``, without half a line from a crash. Raises
    InputError as ``read_decisions``."""
    return tuple(_decisions(path, content[: content.rfind(b"\n") + 1]))


def _decisions(path: Path, content: bytes) -> Iterator[Decision]:
    seen: set[str] = set()
    for number, line in enumerate(content.splitlines(), 1):
        try:
            text = line.decode("utf-8-sig" if number == 1 else "utf-8")
            tree = json.loads(text, parse_constant=_refuse_constant)
            # Half a surrogate pair is not a character and cannot be used later.
            json.dumps(tree, ensure_ascii=False).encode()
            if number == 1:
                _check_head(tree)
                continue
            decision = _decision(tree)
            if decision.id in seen:
                raise Mismatch(f"id: {decision.id} stands in a line before, too")
            if decision.target is not None and decision.target not in seen:
                raise Mismatch(f"target: no decision {decision.target} stands before it")
        except (Mismatch, ValueError, RecursionError) as error:
            raise InputError(path, f"is no decision ({error})", _REMEDY, number) from None
        seen.add(decision.id)
        yield decision


def _refuse_constant(word: str) -> None:
    raise Mismatch(f"{word} is no number")


def _check_head(tree: Any) -> None:
    found = tree.get("schema") if isinstance(tree, dict) else None
    if found != SCHEMA:
        raise Mismatch(f"schema: expected {SCHEMA}, found {found!r}")


def _decision(tree: Any) -> Decision:
    """A line as a decision, with all its parts checked together. Raises Mismatch."""
    if not isinstance(tree, dict):
        raise Mismatch("expected an object")
    plain = cast(Decision, decode(Decision, {k: v for k, v in tree.items() if k not in ("of", "to")}))
    if plain.do in ("undo", "redo"):
        if plain.target is None:
            raise Mismatch(f"target: missing; {plain.do} needs one")
        check(plain)
        return plain
    if plain.what is None:
        raise Mismatch("what: missing")
    sides = {}
    for side, without in (("of", "add"), ("to", "remove")):
        given = tree.get(side)
        if (given is None) != (plain.do == without):
            raise Mismatch(f"{side}: {'not with' if given is not None else 'missing for'} {plain.do}")
        sides[side] = None if given is None else decode(SUBJECTS[plain.what], given, side)
    decision = replace(plain, of=sides["of"], to=sides["to"])
    check(decision)
    return decision
