#!/usr/bin/env python3
"""How well a session in one recording is cut into its bouts.

    python benchmarks/sessions.py [FOLDER ...] [--seeds 20] [--first 1000] [--records] [--show] [--fit]

Three sorts of session: drawn bouts with drawn talk between them; the labelled bouts of the folders (benchmarks/bouts
unless given) shuffled and put behind one another, with drawn talk, with a gap of some seconds, and with none; and each
labelled bout alone, which must not be cut. A start is right within 20 s of the first word of the bout's introduction (in
brackets, "fair": anywhere from there to the first whistle, give or take 20 s), an end within 20 s of the last award, horn
or score told (fair: from the last event to the last word of its recording). An event is in the wrong bout where the part
that it lies in is not its bout's. ``--records`` also measures what the cutting costs the records: awards found (F1) in
the session against those found in each bout alone. ``--fit`` counts the rates of ``extract/session/parameters.toml`` on
the half of the templates, and on seeds, that nothing is reported on, and prints them.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.labelled.truth import read_labelled
from extract.session import Part, Session, find_parts
from extract.transcript import BoutFile
from tests.drawn.compare import told_bout
from tests.drawn.draw_session import Between, DrawnSession, Half, ToldBout, TrueBout, draw_session

NEAR_S = 20.0
BOUTS = Path(__file__).parent / "bouts"


def labelled(folders: Sequence[Path]) -> list[ToldBout]:
    """The labelled bouts of wrestling and fencing as parts of sessions."""
    out = []
    for bout in read_labelled(*folders):
        truth = {
            "events": [
                {"t": e.t, "kind": e.kind, "points": e.points, "corner": e.corner, "status": e.status}
                for e in bout.truth.events
            ],
            "scores": [{"t": s.t} for s in bout.truth.scores],
            "result": {
                "winner": bout.truth.result.winner,
                "red": bout.truth.result.red,
                "blue": bout.truth.result.blue,
            },
        }
        out.append(ToldBout(bout.transcript, bout.bout or BoutFile(bout.truth.rules), truth))
    return out


def drawn_sessions(seeds: Sequence[int], half: Half) -> Iterator[DrawnSession]:
    """Sessions of drawn bouts: mostly with talk between."""
    for seed in seeds:
        rng = random.Random(seed)
        bouts, taken = [], set()
        number = seed * 50
        register = None
        while len(bouts) < rng.randint(6, 10) and number < seed * 50 + 50:
            _, told = told_bout(number)
            number += 1
            register = register or told.transcript.format
            names = {told.bout.red.name, told.bout.blue.name}
            if told.transcript.format == register and not names & taken:
                taken |= names
                bouts.append(ToldBout(told.transcript, told.bout, told.truth))
        between: Between = rng.choice(("talk", "talk", "talk", "gap"))
        yield draw_session(bouts, seed, between, half)


def labelled_sessions(
    bouts: Sequence[ToldBout], seeds: Sequence[int], between: Between, half: Half, *, mixed: bool = True
) -> Iterator[DrawnSession]:
    """Sessions of labelled bouts, eight each (or as many as there are of one format, if not ``mixed``)."""
    for seed in seeds:
        rng = random.Random(seed)
        # No recording holds fencing and wrestling.
        pool = [b for b in bouts if b.bout.rules != "foil"]
        if not mixed:
            format = rng.choice(sorted({b.transcript.format for b in pool}))
            pool = [b for b in pool if b.transcript.format == format]
        rng.shuffle(pool)
        yield draw_session(pool[:8], seed, between, half)


def overlap(part: Part, bout: TrueBout) -> int:
    """How many cues a part has in common with a true bout."""
    return max(min(part.last, bout.last) - max(part.first, bout.first), 0)


def compare(drawn: DrawnSession, session: Session) -> tuple[Counter[str], list[str]]:
    """What of the true session was found, and what went wrong in words."""
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    owner: dict[int, Part] = {}
    for n, bout in enumerate(drawn.bouts):
        best = max(session.bouts, key=lambda part: overlap(part, bout), default=None)
        if best is not None and 2 * overlap(best, bout) > bout.last - bout.first:
            owner[n] = best
    taken = Counter(part.number for part in owner.values())
    counts["true"] = len(drawn.bouts)
    counts["found"] = sum(taken[part.number] == 1 for part in owner.values())
    counts["false"] = sum(part.number not in taken for part in session.bouts)
    for n, bout in enumerate(drawn.bouts):
        part = owner.get(n)
        events = [e["t"] + bout.moved for e in bout.told.truth["events"]]
        counts["events"] += len(events)
        if part is None or taken[part.number] > 1:
            counts["astray"] += len(events)
            wrong.append(
                f"bout {n + 1} at {bout.introduced:.0f}-{bout.talked:.0f} {bout.told.bout.red.name}: "
                + ("not found" if part is None else f"one with another: {part.start:.0f}-{part.end:.0f}")
            )
            continue
        astray = sum(not part.start - 0.5 <= t <= part.end + 0.5 for t in events)
        counts["astray"] += astray
        spans = {
            "start": (part.start, bout.introduced, bout.introduced, bout.whistle),
            "end": (part.end, bout.result, bout.over, bout.talked),
        }
        for name, (t, strict, low, high) in spans.items():
            counts[f"{name}_strict"] += abs(t - strict) <= NEAR_S
            fair = low - NEAR_S <= t <= high + NEAR_S
            counts[f"{name}_fair"] += fair
            if not fair:
                wrong.append(f"bout {n + 1} {name} {t:.0f}, not {low:.0f}-{high:.0f}")
        if astray:
            wrong.append(f"bout {n + 1}: {astray} of {len(events)} events outside")
        if drawn.sheet.bouts and part.row is not None:
            counts["row"] += part.row == n
    return counts, wrong


def line(name: str, c: Counter[str]) -> str:
    """One row of the table."""
    n = max(c["true"], 1)
    both = [(c[f"start_{k}"] + c[f"end_{k}"]) / (2 * n) for k in ("strict", "fair")]
    return (
        f"{name:<28} bouts {c['true']:4d}  found {c['found'] / n:.3f}  false {c['false']:3d}  "
        f"start {c['start_strict'] / n:.3f} ({c['start_fair'] / n:.3f})  "
        f"end {c['end_strict'] / n:.3f} ({c['end_fair'] / n:.3f})  both {both[0]:.3f} ({both[1]:.3f})  "
        f"events astray {c['astray']}/{c['events']}" + (f"  rows {c['row'] / n:.3f}" if c["row"] else "")
    )


def measure(name: str, sessions: Iterator[DrawnSession], *, sheet: bool, show: bool) -> Counter[str]:
    """Prints the row of one sort of session."""
    total: Counter[str] = Counter()
    for drawn in sessions:
        found = find_parts(drawn.transcript, sheet=drawn.sheet if sheet else None)
        counts, wrong = compare(drawn, found)
        total += counts
        if show:
            for text in wrong:
                print(f"   {drawn.transcript.file}: {text}")
    print(line(name, total), flush=True)
    return total


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folders", nargs="*", type=Path, default=[BOUTS])
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--first", type=int, default=1000)
    parser.add_argument("--half", choices=("fit", "report"), default="report")
    parser.add_argument("--show", action="store_true")
    options = parser.parse_args()
    seeds = range(options.first, options.first + options.seeds)
    bouts = labelled(options.folders)
    half: Half = options.half
    show = options.show
    measure("drawn", drawn_sessions(seeds, half), sheet=False, show=show)
    measure("drawn, sheet", drawn_sessions(seeds, half), sheet=True, show=False)
    sorts: tuple[Between, ...] = ("talk", "gap", "none")
    for between in sorts:
        for sheet in (False, True):
            name = f"labelled, {between}" + (", sheet" if sheet else "")
            sessions = labelled_sessions(bouts, seeds, between, half)
            measure(name, sessions, sheet=sheet, show=show and not sheet)
    sessions = labelled_sessions(bouts, seeds, "talk", half, mixed=False)
    measure("labelled, one format, talk", sessions, sheet=False, show=show)
    alone = [(b, find_parts(b.transcript)) for b in bouts]
    cut = [b.transcript.file for b, found in alone if len(found.parts) != 1 or len(found.bouts) != 1]
    print(f"single bouts wrongly cut: {len(cut)} of {len(alone)}", *cut)


if __name__ == "__main__":
    main()
