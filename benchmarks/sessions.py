#!/usr/bin/env python3
"""How well a session in one recording is cut into its bouts.

    python benchmarks/sessions.py [FOLDER ...] [--seeds 20] [--first 1000] [--records] [--show] [--fit]

Three sorts of session: drawn bouts with drawn talk between them; the labelled bouts of the folders (benchmarks/bouts
unless given) shuffled and put behind one another, with drawn talk, with a gap of some seconds, and with none; and each
labelled bout alone, which must not be cut. A start is right within 20 s of the first word of the bout's own talk; in
brackets, fairly: anywhere from the words that hand over to it to its first whistle, give or take 20 s. An end is right
from 20 s before the last event (the last horn, a fall) to 20 s after the first score told from then on; fairly: to 20 s
after the last word of its own talk. An event is in the wrong bout (astray) where the part that it lies in is not its
bout's. ``--records`` also measures what the cutting costs the records: the F1 of awards in the session, and in each bout
alone. ``--fit`` counts the rates of
``extract/recording/parameters.toml`` instead, on the half of the templates that nothing is reported on.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.bout import extract_bout
from extract.labelled.truth import read_labelled
from extract.mentions.lexicon_check import own_lexicon
from extract.recording.evidence import PHASES
from extract.recording.parameters import recording_parameters
from extract.recording.signs import SIGNS, cue_signs
from extract.session import Part, Session, extract_session, find_parts
from extract.talk.style import heard_style
from extract.transcript import BoutFile
from tests.drawn.compare import told_bout
from tests.drawn.draw_session import Between, DrawnSession, Half, ToldBout, TrueBout, draw_session

Award = tuple[float, str | None, int]
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
            "start": (part.start, (bout.introduced, bout.introduced), (bout.handed, bout.whistle)),
            "end": (part.end, (bout.over, bout.result), (bout.over, bout.talked)),
        }
        for name, (t, strict, fair) in spans.items():
            for grade, (low, high) in (("strict", strict), ("fair", fair)):
                right = low - NEAR_S <= t <= high + NEAR_S
                counts[f"{name}_{grade}"] += right
                if not right:
                    wrong.append(f"bout {n + 1} {name} {t:.0f}, {grade}ly {low:.0f}-{high:.0f}")
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


def count_rates(bouts: Sequence[ToldBout]) -> None:
    """Prints how often each sign is heard in a thousand words of each phase, smoothed by the shipped rates, which count
    as a thousand words of a bout's phase, and as four thousand of the desk's."""
    parameters = recording_parameters()
    counts = {phase: Counter[str]() for phase in ("studio", *PHASES)}
    seeds = range(200, 212)
    sessions = [*drawn_sessions(seeds[:6], "fit"), *labelled_sessions(bouts, seeds, "talk", "fit")]
    for drawn in sessions:
        style = heard_style(drawn.transcript)[0]
        signs = cue_signs(drawn.transcript, style, own_lexicon(style, ()))
        phases = _phases(drawn)
        for phase, cue in zip(phases, signs, strict=True):
            counts[phase]["words"] += cue.words
            for sign, number in cue.counts.items():
                counts[phase][sign] += min(number, int(parameters.get("sign", "most")))
    for phase, found in counts.items():
        print(f"[rate.{phase}]")
        prior = 4.0 if phase == "studio" else 1.0
        for sign in SIGNS:
            usual = parameters.get(f"rate.{phase}", sign)
            rate = (found[sign] + prior * usual) / (found["words"] / 1000 + prior)
            print(f"{sign} = {max(rate, 0.05):.2f}")
        print()


def _phases(drawn: DrawnSession) -> list[str]:
    """The phase of each cue of a session."""
    out = ["studio"] * len(drawn.transcript.cues)
    for bout in drawn.bouts:
        for k in range(bout.first, bout.last):
            t = drawn.transcript.cues[k].start
            if t < bout.over - 1:
                out[k] = "intro" if t < bout.whistle - 1 else "run"
            elif t <= bout.result + 8:
                out[k] = "result"
    return out


def records(bouts: Sequence[ToldBout], seeds: Sequence[int]) -> None:
    """Prints the F1 of awards in sessions and in the same bouts alone."""
    session, alone = Counter[str](), Counter[str]()
    for drawn in labelled_sessions(bouts, seeds, "talk", "report"):
        _, found = extract_session(drawn.transcript, sheet=drawn.sheet)
        events = [e for r in found for e in r.events if e.points and e.status == "stands"]
        for bout in drawn.bouts:
            truth = [
                (e["t"] + bout.moved, e["corner"], e["points"])
                for e in bout.told.truth["events"]
                if e["points"] and e["status"] == "stands"
            ]
            here = [e for e in events if bout.introduced <= e.t <= bout.talked]
            session += _awards(truth, [(e.t, e.corner, e.points) for e in here])
            by_itself = extract_bout(bout.told.transcript, bout.told.bout).events
            alone += _awards(
                truth,
                [
                    (e.t + bout.moved, e.corner, e.points)
                    for e in by_itself
                    if e.points and e.status == "stands"
                ],
            )
        session["found"] += sum(not any(b.introduced <= e.t <= b.talked for b in drawn.bouts) for e in events)
    for name, c in (("in sessions", session), ("alone", alone)):
        print(f"awards {name}: F1 {2 * c['hit'] / (c['true'] + c['found']):.3f} of {c['true']}")


def _awards(truth: Sequence[Award], found: Sequence[Award]) -> Counter[str]:
    """Awards of the same corner and points within 25 s, each taken once."""
    left = list(found)
    hit = 0
    for t, *what in truth:
        near = [a for a in left if list(a[1:]) == what and abs(a[0] - t) <= 25.0]
        if near:
            left.remove(min(near, key=lambda a: abs(a[0] - t)))
            hit += 1
    return Counter(hit=hit, true=len(truth), found=len(found))


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folders", nargs="*", type=Path, default=[BOUTS])
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--first", type=int, default=1000)
    parser.add_argument("--half", choices=("fit", "report"), default="report")
    parser.add_argument("--show", action="store_true", help="print what went wrong")
    parser.add_argument("--records", action="store_true", help="measure the records, too")
    parser.add_argument("--fit", action="store_true", help="count the rates and print them")
    options = parser.parse_args()
    seeds = range(options.first, options.first + options.seeds)
    bouts = labelled(options.folders)
    if options.fit:
        count_rates(bouts)
        return
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
    if options.records:
        records(bouts, seeds)


if __name__ == "__main__":
    main()
