"""What ``saidscore measure --live`` prints: how good the live desk is on labelled bouts replayed in time."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TextIO

from extract.labelled.live_fit import held_out
from extract.labelled.live_measures import (
    LATER_S,
    BoardShare,
    FlagCurve,
    board_share,
    flag_curve,
    is_of_paragraphs,
    shares,
)
from extract.labelled.live_replay import Replayed, captions
from extract.live.parameters import live_parameters

#: The values of the option at which flags are counted.
_AT = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
#: With fewer bouts nothing can be fitted on the others.
_ENOUGH = 3


@dataclass(frozen=True, slots=True)
class LiveReport:
    """The figures of some replayed bouts: ``name`` says which. The weights by which flags wait are fitted on the others for
    each bout if ``held_out`` is set."""

    name: str
    bouts: int
    captions: int
    curve: tuple[FlagCurve, ...]
    board: BoardShare
    median_s: float
    slowest_s: float
    ratio: float
    held_out: bool


def live_reports(replayed: Sequence[Replayed], *, cross_validate: bool) -> list[LiveReport]:
    """The figures of all bouts, of those in short captions, and of those in paragraphs."""
    weights: list[tuple[Replayed, Mapping[str, float] | None]]
    held = cross_validate and len(replayed) >= _ENOUGH
    weights = list(held_out(replayed)) if held else [(one, None) for one in replayed]
    groups = {
        "all": weights,
        "short captions": [pair for pair in weights if not is_of_paragraphs(pair[0])],
        "paragraphs": [pair for pair in weights if is_of_paragraphs(pair[0])],
    }
    return [_report(name, pairs, held) for name, pairs in groups.items() if pairs]


def _report(
    name: str, pairs: Sequence[tuple[Replayed, Mapping[str, float] | None]], held: bool
) -> LiveReport:
    bouts = [one for one, _ in pairs]
    costs = list(captions(bouts))
    return LiveReport(
        name,
        len(bouts),
        len(costs),
        tuple(flag_curve(pairs, at) for at in _AT),
        board_share(bouts),
        shares(costs, 0.5),
        shares(costs, 0.99),
        sum(costs) / sum(one.once_s for one in bouts),
        held,
    )


def print_live(reports: Sequence[LiveReport], out: TextIO) -> None:
    """The figures as text."""
    shipped = live_parameters().get("flag", "at")
    for report in reports:
        how = "weights of flags fitted on the other bouts" if report.held_out else "shipped weights of flags"
        print(f"{report.name}: {report.bouts} bouts, {report.captions} captions, {how}", file=out)
        print("  flag at   raised   right   precision   recall   delay (median, 90 %)", file=out)
        for row in report.curve:
            mark = " *" if row.at == shipped else ""
            slow = shares(row.delays, 0.9)
            print(
                f"  {row.at:7.1f}   {row.raised:6}   {row.right:5}   {_share(row.precision):>9}   "
                f"{_share(row.recall):>6}   {row.delay_s or 0:6.1f} s  {slow:6.1f} s{mark}",
                file=out,
            )
        board = report.board
        print(
            f"  score right {LATER_S:.0f} s after a change: {_share(_of(board.right, board.changes))} of {board.changes}; "
            f"{_share(_of(board.right_told, board.told))} of the {board.told} that had been told by then",
            file=out,
        )
        print(
            f"  computing a caption: {report.median_s * 1000:.0f} ms (99 of 100: {report.slowest_s * 1000:.0f} ms), "
            f"all together {report.ratio:.1f} times one reading of the whole\n",
            file=out,
        )


def live_json(reports: Sequence[LiveReport]) -> str:
    """The figures as one JSON document."""
    return json.dumps({"live": [_tree(report) for report in reports]}, indent=2) + "\n"


def _tree(report: LiveReport) -> dict[str, Any]:
    board = report.board
    return {
        "bouts_of": report.name,
        "bouts": report.bouts,
        "captions": report.captions,
        "held_out": report.held_out,
        "flags": [
            {
                "flag_at": row.at,
                "raised": row.raised,
                "right": row.right,
                "slips": row.labelled,
                "found": row.found,
                "precision": row.precision,
                "recall": row.recall,
                "delay_s": row.delay_s,
            }
            for row in report.curve
        ],
        "board": {
            "changes": board.changes,
            "right": board.right,
            "told": board.told,
            "right_told": board.right_told,
        },
        "computing_s": {"median": report.median_s, "p99": report.slowest_s, "ratio": report.ratio},
    }


def _of(part: int, whole: int) -> float | None:
    return part / whole if whole else None


def _share(value: float | None) -> str:
    return "-" if value is None else f"{value:.2f}"
