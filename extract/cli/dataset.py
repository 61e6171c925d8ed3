"""The command ``dataset`` with those under it."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

from extract.cli.dataset_build import build, check
from extract.cli.dataset_review import audit, doubtful


class _Build(TyperGroup):
    """``dataset SOURCE`` builds: a word that is no other command of the group is the source to build from."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        if args and args[0] not in self.commands and args[0] not in ("-h", "--help"):
            args = ["build", *args]
        return super().parse_args(ctx, args)


dataset_app = typer.Typer(
    cls=_Build,
    name="dataset",
    no_args_is_help=True,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Make tables of thousands of bouts: dataset SOURCE --out DIR (options: dataset build --help).",
)

dataset_app.command()(build)
dataset_app.command()(check)
dataset_app.command()(doubtful)
dataset_app.command()(audit)
