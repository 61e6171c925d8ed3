"""How a command says what it takes: options in groups, within the width of the terminal, with an example at the end.

Typer's own plain help knows no groups, names the types of Python and cuts sentences off.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

#: The groups, as ``rich_help_panel`` of an option. The others stand under "Options", the last.
KNOWN, READING, OUTPUT, TIMES = "What is known", "How it is read", "What comes out", "Times"
_ARGUMENTS, _OTHERS = "Arguments", "Options"
#: NON-BREAKING HYPHEN. It stands for each hyphen while lines are broken, so that names stay in one piece.
_HYPHEN = "\u2011"


def add(app: typer.Typer, function: Callable[..., None], examples: str, name: str | None = None) -> None:
    """Make a function a command of ``app``. ``examples`` are calls of it, one a line."""
    app.command(name, cls=Command, epilog=examples)(function)


class Command(TyperCommand):
    """A command whose help is laid out here."""

    def get_help(self, ctx: Any) -> str:
        return super().get_help(ctx).replace(_HYPHEN, "-")

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        return _usage(self, ctx)

    def format_options(self, ctx: Any, formatter: Any) -> None:
        _write_options(self, ctx, formatter)

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        _write_examples(self, formatter)


class Group(TyperGroup):
    """A group of commands whose help is laid out here."""

    def get_help(self, ctx: Any) -> str:
        return super().get_help(ctx).replace(_HYPHEN, "-")

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        return [*_usage(self, ctx), "COMMAND ..."]

    def format_options(self, ctx: Any, formatter: Any) -> None:
        _write_options(self, ctx, formatter)
        self.format_commands(ctx, formatter)

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        _write_examples(self, formatter)


def _usage(command: Any, ctx: Any) -> list[str]:
    arguments = [param for param in command.get_params(ctx) if param.param_type_name == "argument"]
    return [command.options_metavar, *map(_in_usage, arguments)]


def _in_usage(argument: Any) -> str:
    name = _argument(argument)
    return f"{name if argument.required else f'[{name}]'}{'...' if argument.nargs != 1 else ''}"


def _write_options(command: Any, ctx: Any, formatter: Any) -> None:
    groups: dict[str, list[tuple[str, str]]] = {_ARGUMENTS: []}
    for param in command.get_params(ctx):
        if not param.hidden:
            groups.setdefault(_group(param), []).append((_left(param), _right(param)))
    groups[_OTHERS] = groups.pop(_OTHERS, [])
    for head, rows in groups.items():
        if rows:
            with formatter.section(head):
                formatter.write_dl(rows)


def _group(param: Any) -> str:
    if param.param_type_name == "argument":
        return _ARGUMENTS
    return getattr(param, "rich_help_panel", None) or _OTHERS


def _left(param: Any) -> str:
    if param.param_type_name == "argument":
        return _argument(param)
    names = " / ".join([", ".join(sorted(param.opts, key=len)), *param.secondary_opts])
    return names if param.is_flag else f"{names} {param.metavar}"


def _right(param: Any) -> str:
    notes = ["required"] if param.required and param.param_type_name == "option" else []
    # An option without a default says in its help what holds without it.
    if param.show_default and param.default not in (None, False) and not callable(param.default):
        notes.append(f"default: {getattr(param.default, 'value', param.default)}")
    return " ".join([param.help or "", *(f"[{note}]" for note in notes)]).replace("-", _HYPHEN)


def _argument(param: Any) -> str:
    return str(param.metavar or param.name.upper())


def _write_examples(command: Any, formatter: Any) -> None:
    if command.epilog:
        calls = command.epilog.splitlines()
        with formatter.section("Example" if len(calls) == 1 else "Examples"):
            # Whoever copies a call wants it in one piece.
            formatter.write("".join(f"{'':{formatter.current_indent}}{call}\n" for call in calls))
