#!/usr/bin/env python3
"""The live desk: what a caption costs, whether the record in the end is the same, hours on end, and the weights of flags.

    python benchmarks/live.py [FOLDER ...] [--fit] [--same] [--hours H]

Without an option: the median and the 99th percentile of computing a caption of the labelled bouts in the folders
(benchmarks/bouts unless given), and the ratio to reading each once offline. ``--same``: every labelled bout through the
whole desk; its record must be that of ``extract_bout`` byte for byte. ``--hours``: drawn sessions put behind one another,
so many hours of them through the whole desk; time a caption and memory for each hour. ``--fit``: the weights of the
table ``flag`` in ``extract/live/parameters.toml``, from the bouts in the folders.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract.bout import extract_bout
from extract.labelled.live_fit import fit
from extract.labelled.live_measures import shares
from extract.labelled.live_replay import captions, replay
from extract.labelled.truth import read_labelled
from extract.live.desk import open_desk
from extract.live.options import LiveOptions
from extract.record.files import to_json
from extract.transcript import Transcript, read_bout_file, read_transcript
from tests.drawn.compare import told_bout
from tests.drawn.draw_session import ToldBout, draw_session

BOUTS = Path(__file__).parent / "bouts"
HOUR_S = 3600.0


def same(folders: Sequence[Path]) -> None:
    """How many records are the same in the end."""
    bouts = differ = 0
    for folder in folders:
        for label in sorted(folder.glob("*.truth.json")):
            name = label.name.removesuffix(".truth.json")
            files = [
                path for path in folder.glob(f"{name}.*") if path.suffix not in (".toml",) and path != label
            ]
            known = folder / f"{name}.bout.toml"
            bout = read_bout_file(known) if known.exists() else None
            with tempfile.TemporaryDirectory() as keep:
                desk = open_desk(LiveOptions(str(files[0]), keep=Path(keep), bout=known if bout else None))
                try:
                    desk.run()
                except Exception as error:
                    print(f"{name}: {error}")
                    continue
                bouts += 1
                wanted = to_json(extract_bout(read_transcript(files[0]), bout))
                if desk.written[0].read_text(encoding="utf-8") != wanted:
                    differ += 1
                    print(f"{name}: differs")
    print(f"{bouts - differ} of {bouts} records are the same byte for byte")


def stamp(t: float) -> str:
    ms = round(t * 1000)
    return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


def drawn(seed: int) -> Transcript:
    """A drawn session of eight bouts with talk between them, in captions."""
    bouts: list[ToldBout] = []
    number = seed * 100
    while len(bouts) < 8:
        _, told = told_bout(number)
        number += 1
        if told.transcript.format in ("srt", "vtt"):
            bouts.append(ToldBout(told.transcript, told.bout, told.truth))
    return draw_session(bouts, seed).transcript


def hours(count: float, seed: int) -> None:
    """Drawn sessions behind one another for so many hours: time and memory of each."""
    from extract.live.desk import LiveDesk
    from extract.live.feed import Feed

    with tempfile.TemporaryDirectory() as keep:

        class Lines:
            """A source that gives what is put into it."""

            name = "drawn"

            def __init__(self) -> None:
                self.pieces: list[bytes] = []

            def read(self, timeout_s: float) -> bytes | None:
                return self.pieces.pop(0) if self.pieces else None

            def news(self) -> list[object]:
                return []

            def close(self) -> None:
                pass

        source = Lines()
        source.pieces.append(b"WEBVTT\n\n")
        at, number = 0.0, seed
        while at < count * HOUR_S:
            talk = drawn(number)
            for cue in talk.cues:
                start, end = at + cue.start, at + cue.end
                source.pieces.append(f"{stamp(start)} --> {stamp(end)}\n{cue.text}\n\n".encode())
            at += talk.seconds + 30
            number += 1
        options = LiveOptions("-", keep=Path(keep))
        desk = LiveDesk(options, source, Feed("drawn", kept=Path(keep) / "live.captions"), "live")  # type: ignore[arg-type]
        desk._finish = lambda: None  # type: ignore[method-assign]
        hour, costs, read = 1, list[float](), desk._read_next

        def timed(behind_s: float) -> None:
            nonlocal hour
            began = time.process_time()
            read(behind_s)
            costs.append(time.process_time() - began)
            if desk.view().t >= hour * HOUR_S:
                memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
                print(
                    f"hour {hour}: {len(costs)} captions, median {shares(costs, 0.5) * 1000:.0f} ms, "
                    f"99 of 100 {shares(costs, 0.99) * 1000:.0f} ms, {memory:.0f} MB, "
                    f"{desk._bouts.running.number - 1} bouts ended",
                    flush=True,
                )
                costs.clear()
                hour += 1

        desk._read_next = timed  # type: ignore[method-assign]
        desk.run()


def cost(folders: Sequence[Path]) -> None:
    """What a caption costs."""
    replayed = [replay(bout) for bout in read_labelled(*folders)]
    spent = list(captions(replayed))
    ratio = sum(spent) / sum(one.once_s for one in replayed)
    print(
        f"{len(spent)} captions of {len(replayed)} bouts: median {shares(spent, 0.5) * 1000:.0f} ms, 99 of 100 "
        f"{shares(spent, 0.99) * 1000:.0f} ms, all {ratio:.1f} times reading each bout once"
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folders", nargs="*", type=Path)
    parser.add_argument("--fit", action="store_true")
    parser.add_argument("--same", action="store_true")
    parser.add_argument("--hours", type=float, default=0.0)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    folders = given.folders or [BOUTS]
    if given.hours:
        hours(given.hours, given.seed)
    elif given.same:
        same(folders)
    elif given.fit:
        for name, weight in fit([replay(bout) for bout in read_labelled(*folders)]).items():
            print(f"{name} = {weight}")
    else:
        cost(folders)


if __name__ == "__main__":
    main()
