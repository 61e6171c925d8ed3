"""The command ``dataset`` with those under it."""

from __future__ import annotations

from typing import Any

import typer

from extract.cli.dataset_build import build, check
from extract.cli.dataset_review import audit, doubtful
from extract.cli.help import Group, add


class _Build(Group):
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
    help="Make tables of thousands of bouts.\n\n`dataset SOURCE --out DIR` is short for `dataset build SOURCE --out DIR`.",
    epilog="saidscore dataset transcripts --out season",
)

add(dataset_app, build, "saidscore dataset transcripts --out season")
add(dataset_app, check, "saidscore dataset check season")
add(dataset_app, doubtful, "saidscore dataset doubtful season transcripts --out season-desk --top 20")
add(
    dataset_app,
    audit,
    "saidscore dataset audit season --out audit.csv --size 200\nsaidscore dataset audit --answers audit.csv",
)
