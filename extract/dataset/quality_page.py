"""The quality report in its forms: ``quality.html`` and ``quality.md`` for people, ``quality.json`` for programs."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from extract.dataset.intervals import wilson
from extract.dataset.quality import Quality, Shares
from extract.dataset.quality_report import Cell, Figures, QualityReport, Rate, quality_report, worst_first
from extract.dataset.store import Store
from extract.record.model import NOTE
from extract.record.pages import page_html

_TEMPLATE = Path(__file__).with_name("templates") / "quality.html.j2"
_CODE = re.compile("`([^`]*)`")


def write_quality(store: Store, quality: Quality) -> None:
    """Write all forms of the report into the dataset's folder."""
    report = quality_report(quality)
    store.write(store.folder / "quality.html", quality_html(report).encode())
    store.write(store.folder / "quality.md", quality_markdown(report).encode())
    store.write(store.folder / "quality.json", (json.dumps(quality_tree(quality), indent=1) + "\n").encode())


def quality_html(report: QualityReport) -> str:
    """The report as one page that asks for nothing from outside. Everything from the dataset is escaped."""
    return page_html(_TEMPLATE, report=report, is_text=lambda part: isinstance(part, str), pieces=_CODE.split)


def quality_markdown(report: QualityReport) -> str:
    """The report in Markdown."""
    blocks = [f"# {report.title}", report.note]
    for section in report.sections:
        blocks.append(f"## {section.heading}")
        blocks += [part if isinstance(part, str) else _table(part) for part in section.parts]
    return "\n\n".join(blocks) + "\n"


def _table(table: Figures) -> str:
    if not table.rows:
        return table.none
    head = f"| {' | '.join(table.head)} |", f"|{'---|' * len(table.head)}"
    return "\n".join((*head, *(f"| {' | '.join(map(_cell, row))} |" for row in table.rows)))


def _cell(cell: Cell) -> str:
    if isinstance(cell, tuple):
        return ", ".join(f"`{_cell(each)}`" for each in cell)
    text = cell.text if isinstance(cell, Rate) else cell
    return text.replace("|", "&#124;").replace("`", "'")


def quality_tree(quality: Quality) -> dict[str, Any]:
    """The report as JSON."""
    return {
        "note": NOTE,
        "inputs": {"all": quality.inputs, "failed": quality.inputs_failed},
        "hours": {"talk": _rounded(quality.seconds / 3600), "bouts": _rounded(quality.bout_seconds / 3600)},
        "bouts": quality.bouts,
        "bouts_with": dict(quality.has),
        "formats": dict(sorted(quality.formats.items())),
        "awards": {
            "all": quality.awards,
            "expected_wrong": _rounded(quality.wrong_awards),
            "inferred_by_style": {name: _shares(s) for name, s in sorted(quality.inferred.items())},
        },
        "stated_scores": {
            "all": quality.statements,
            "expected_wrong": _rounded(quality.wrong_statements),
            "disagree": _shares(quality.all_said),
            "by_programme": [
                {"programme": name, **_shares(s)} for name, s in worst_first(quality.by_programme)
            ],
            "by_speaker": [
                {"programme": programme, "speaker": speaker, **_shares(s)}
                for (programme, speaker), s in worst_first(quality.by_speaker)
            ],
            "by_speaker_overall": [
                {"speaker": name, **_shares(s)} for name, s in worst_first(quality.by_name)
            ],
        },
        "impossible": [
            {"what": i.name, "about": i.about, "rows": i.rows, "first_bouts": i.examples}
            for i in quality.impossible
        ],
        "review_first": [
            {
                "bout_id": d.bout_id,
                "gain": d.gain,
                "unsure": d.unsure,
                "disagreements": int(d.disagreements),
                "flagged": int(d.flagged),
            }
            for d in quality.doubtful
        ],
    }


def _shares(s: Shares) -> dict[str, float | int]:
    low, high = wilson(s.found, s.of)
    return {
        "of": s.of,
        "found": s.found,
        "share": _rounded(s.share),
        "low": _rounded(low),
        "high": _rounded(high),
    }


def _rounded(value: float) -> float:
    return round(value, 4) + 0.0
