"""The quality report: ``quality.md`` for people, ``quality.json`` for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any

from extract.dataset.intervals import sample_for, wilson
from extract.dataset.quality import Quality, Shares, counted
from extract.dataset.store import Store
from extract.record.model import NOTE
from extract.record.plain import printable

#: How many programmes and speakers a table of the page has. The JSON has all of them.
_SHOWN = 25


def write_quality(store: Store, quality: Quality) -> None:
    """Write both forms of the report into the dataset's folder."""
    store.write(store.folder / "quality.md", quality_page(quality).encode())
    store.write(store.folder / "quality.json", (json.dumps(quality_tree(quality), indent=1) + "\n").encode())


def quality_page(quality: Quality) -> str:
    """The report in Markdown."""
    hours, in_bouts = quality.seconds / 3600, quality.bout_seconds / 3600
    awards = Shares(quality.awards, sum(s.found for s in quality.inferred.values()))
    lines = [
        "# Quality of this dataset",
        "",
        f"{NOTE} What follows is reckoned from the program's own confidence; only an audit by hand says how often it is"
        " right (last section).",
        "",
        "## Coverage",
        "",
        f"{counted(quality.inputs, 'input')}, of which {quality.inputs_failed:,} could not be used (table `failures`);"
        f" {counted(quality.bouts, 'bout')}; {hours:,.1f} hours of talk, {in_bouts:,.1f} of them in bouts.",
        "",
        *_table(
            ("bouts with", "number", "share"),
            ((name, f"{n:,}", _percent(n, quality.bouts)) for name, n in quality.has.items()),
        ),
        "",
        f"Formats: {', '.join(f'{name} {n:,}' for name, n in sorted(quality.formats.items())) or 'none'}.",
        "",
        "## Awards that nobody called",
        "",
        f"{_percent(awards.found, awards.of)} of {counted(awards.of, 'award')} are inferred: only the stated scores show"
        " them.",
        "",
        *_table(
            ("style", "awards", "inferred", "share"),
            (
                (n, f"{s.of:,}", f"{s.found:,}", _percent(s.found, s.of))
                for n, s in sorted(quality.inferred.items())
            ),
        ),
        "",
        "## Stated scores that disagree",
        "",
        f"Of {counted(quality.all_said.of, 'stated score')} that are clear, {_rate(quality.all_said)} disagree with the"
        " computed board. The interval (95 %) takes the scores as independent of each other; whose rate is surely high"
        " stands first.",
        "",
        *_table(("programme", "stated", "disagree", "interval"), _by(quality.by_programme)),
        "",
        *_table(("programme", "speaker", "stated", "disagree", "interval"), _by(quality.by_speaker)),
        "",
        "Speakers over all programmes, by their names:",
        "",
        *_table(("speaker", "stated", "disagree", "interval"), _by(quality.by_name)),
        "",
        "## Values that cannot be, or hardly",
        "",
        *_table(
            ("what", "rows", "first bouts"),
            (
                (f"{i.name}: {i.about}", f"{i.rows:,}", ", ".join(f"`{_cell(e)}`" for e in i.examples))
                for i in quality.impossible
                if i.rows
            ),
        ),
        "",
        f"Looked for and not found: {', '.join(i.name for i in quality.impossible if not i.rows) or 'none'}.",
        "",
        "## To review first",
        "",
        "Bouts on which an answer is expected to put most right. *Likely fixes* is how many entries a look is expected to"
        " put right, *expected errors* how many are expected to be wrong. `saidscore dataset doubtful` hands them to the"
        " correction desk, copies of a transcript after the others.",
        "",
        *_table(
            ("bout", "likely fixes", "expected errors", "disagreements", "flags"),
            (
                (
                    f"`{_cell(d.bout_id)}`",
                    f"{d.gain:.2f}",
                    f"{d.unsure:.2f}",
                    str(d.disagreements),
                    str(d.flagged),
                )
                for d in quality.doubtful[:_SHOWN]
            ),
        ),
        "",
        "## Audit by hand",
        "",
        *_audit(quality),
    ]
    return "\n".join(lines) + "\n"


def _audit(quality: Quality) -> Iterable[str]:
    entries = quality.awards + quality.statements
    wrong = quality.wrong_awards + quality.wrong_statements
    share = wrong / entries if entries else 0.0
    yield (
        f"By the confidence of each, {wrong:,.0f} of {counted(entries, 'award')} and stated scores are expected to be wrong"
        f" ({_percent(wrong, entries)})." if entries else "There is nothing to audit."
    )  # fmt: skip
    if entries:
        sizes = ", ".join(
            f"{sample_for(max(share, 0.02), half, entries):,} for an interval of {half:.0%} to either side"
            for half in (0.05, 0.02, 0.01)
        )
        yield (
            f"To learn the true share, look at a random sample: {sizes}. `saidscore dataset audit` draws one, more of it"
            " where confidence is low, and reckons the interval from the answers."
        )


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
                {"programme": name, **_shares(s)} for name, s in _worst_first(quality.by_programme)
            ],
            "by_speaker": [
                {"programme": programme, "speaker": speaker, **_shares(s)}
                for (programme, speaker), s in _worst_first(quality.by_speaker)
            ],
            "by_speaker_overall": [
                {"speaker": name, **_shares(s)} for name, s in _worst_first(quality.by_name)
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


def _worst_first(by: dict[Any, Shares]) -> list[tuple[Any, Shares]]:
    """Sorted by the lower end of the interval, so those who certainly disagree most come first."""
    return sorted(by.items(), key=lambda pair: (-wilson(pair[1].found, pair[1].of)[0], -pair[1].of, pair[0]))


def _by(by: dict[Any, Shares]) -> Iterable[Sequence[str]]:
    for name, s in _worst_first(by)[:_SHOWN]:
        low, high = wilson(s.found, s.of)
        names = name if isinstance(name, tuple) else (name,)
        yield (*map(_cell, names), f"{s.of:,}", _percent(s.found, s.of), f"{low:.1%} to {high:.1%}")


def _shares(s: Shares) -> dict[str, float | int]:
    low, high = wilson(s.found, s.of)
    return {
        "of": s.of,
        "found": s.found,
        "share": _rounded(s.share),
        "low": _rounded(low),
        "high": _rounded(high),
    }


def _rate(s: Shares) -> str:
    low, high = wilson(s.found, s.of)
    return f"{_percent(s.found, s.of)} ({low:.1%} to {high:.1%})"


def _percent(found: float, of: float) -> str:
    return f"{found / of:.1%}" if of else "-"


def _rounded(value: float) -> float:
    return round(value, 4) + 0.0


def _cell(text: str) -> str:
    return printable(text).replace("|", "&#124;").replace("`", "'")


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [" | ".join(row) for row in rows]
    if not lines:
        return ["None."]
    return [f"| {' | '.join(head)} |", f"|{'---|' * len(head)}", *(f"| {line} |" for line in lines)]
