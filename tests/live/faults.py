"""Plays a transcript as a stream of captions, with the faults that such streams have.

``stream_of`` makes the pieces of bytes, each with the second of the recording at which it comes. The same path, form, seed
and faults give the same stream. ``replay`` gives the bytes when they are due, at any speed.
``python -m tests.live.faults PATH`` writes them to standard output.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Literal, get_args

from extract.transcript import read_transcript

Form = Literal["vtt", "srt", "json", "stamped", "csv", "plain"]
Fault = Literal[
    "stall",
    "repeat",
    "back",
    "late",
    "drop",
    "rewrite",
    "correct",
    "split",
    "clock",
    "set_back",
    "restart",
    "producers",
    "broken",
    "unfinished",
]
FAULTS: tuple[Fault, ...] = get_args(Fault)


@dataclass(frozen=True, slots=True)
class Said:
    """A caption: its number, its times and its text. It comes at the second ``at``. ``final`` is what a recogniser says."""

    number: int
    start: float
    end: float
    text: str
    at: float
    final: bool = True
    #: Bytes that are put into the text as they are.
    broken: bytes = b""


@dataclass(slots=True)
class Stream:
    """What comes, and what of it should be read: the ``texts`` of the captions, in order."""

    form: Form
    pieces: list[tuple[float, bytes]]
    texts: list[str] = field(default_factory=list)

    @property
    def data(self) -> bytes:
        """All bytes of the stream."""
        return b"".join(data for _, data in self.pieces)


@cache
def captions_of(path: Path) -> tuple[Said, ...]:
    """The captions of a transcript, each as one line. A typewriter's apostrophe is made a letter of several bytes."""
    captions: list[Said] = []
    for cue in read_transcript(path).cues:
        text = " ".join(cue.text.split()).replace("'", "’")
        if captions and captions[-1].number == cue.index:
            captions[-1] = replace(captions[-1], end=cue.end, at=cue.end, text=f"{captions[-1].text} {text}")
        else:
            captions.append(Said(cue.index, round(cue.start, 2), round(cue.end, 2), text, cue.end))
    return tuple(replace(caption, number=n) for n, caption in enumerate(captions, 1))


def stream_of(path: Path, form: Form, seed: int = 0, faults: Sequence[Fault] = ()) -> Stream:
    """The stream of a transcript with these faults, in this order."""
    random = Random(f"{path.name}:{form}:{seed}")
    clean = list(captions_of(path))
    said = list(clean)
    lost: set[str] = set()
    for fault in faults:
        if fault in _FAULTS:
            before = {caption.text for caption in said}
            said = _FAULTS[fault](said, random)
            if fault == "drop":
                lost |= before - {caption.text for caption in said}
    pieces = [(0.0, _header(form).encode())] if _header(form) else []
    pieces += [(caption.at, _written(caption, form)) for caption in said]
    if "split" in faults:
        pieces = list(_split(pieces, random))
    if "unfinished" in faults:
        at, last = pieces[-1]
        cut = len(last) - random.randint(2, 5)
        letter = "’".encode()
        pieces[-1] = (at, last[:cut] + letter[:2])
    return Stream(form, pieces, [caption.text for caption in clean if caption.text not in lost])


def replay(
    path: Path,
    seed: int = 0,
    faults: Sequence[Fault] = (),
    speed: float = 50.0,
    form: Form = "vtt",
    sleep: Callable[[float], None] = time.sleep,
) -> Iterator[bytes]:
    """The bytes of a stream when they are due, ``speed`` times as fast as the recording."""
    began = time.monotonic()
    for at, data in stream_of(path, form, seed, faults).pieces:
        wait_s = at / speed - (time.monotonic() - began)
        if wait_s > 0:
            sleep(wait_s)
        yield data


def _place(said: Sequence[Said], random: Random, room: int = 8) -> int:
    """A place in the stream with some captions before and after it."""
    return random.randint(room, max(len(said) - room, room))


def _stall(said: list[Said], random: Random) -> list[Said]:
    at, wait_s = _place(said, random), random.uniform(40.0, 90.0)
    return [*said[:at], *(replace(caption, at=caption.at + wait_s) for caption in said[at:])]


def _repeat(said: list[Said], random: Random) -> list[Said]:
    at = _place(said, random)
    count = random.randint(1, 5)
    return [*said[:at], *(replace(c, at=said[at - 1].at) for c in said[at - count : at]), *said[at:]]


def _back(said: list[Said], random: Random) -> list[Said]:
    """The stream goes back in time and gives what it gave before once more."""
    at = _place(said, random)
    return [
        *said[:at],
        *(replace(c, at=said[at - 1].at) for c in said[random.randint(0, 3) : at]),
        *said[at:],
    ]


def _late(said: list[Said], random: Random) -> list[Said]:
    """A caption with a time long past."""
    at = _place(said, random, room=14)
    old = said[at - 8]
    odd = replace(
        old, start=old.start - 0.37, end=old.end - 0.21, text="this comes too late", number=said[at].number
    )
    return [*said[:at], replace(odd, at=said[at - 1].at), *said[at:]]


def _drop(said: list[Said], random: Random) -> list[Said]:
    at = _place(said, random)
    return [*said[:at], *said[at + random.randint(1, 4) :]]


def _rewrite(said: list[Said], random: Random) -> list[Said]:
    """A recogniser gives its last caption word by word, or with other words at first."""
    out: list[Said] = []
    for caption in said:
        words = caption.text.split()
        if len(words) > 3 and random.random() < 0.4:
            for count in sorted(
                random.sample(range(len(words) // 2 + 1, len(words)), min(2, len(words) // 2 - 1))
            ):
                guess = [*words[:count], *(["um"] if random.random() < 0.3 else [])]
                end = round(caption.start + (caption.end - caption.start) * count / len(words), 2)
                out.append(replace(caption, end=end, text=" ".join(guess), final=False))
        out.append(caption)
    return out


def _correct(said: list[Said], random: Random) -> list[Said]:
    """A caption is corrected after others have come: the wrong one came first."""
    at = _place(said, random)
    at = next(k for k in [*range(at, len(said) - 3), *range(4, at)] if len(said[k].text.split()) > 4)
    words = said[at].text.split()
    wrong = replace(said[at], text=" ".join([*words[:2], "wrongly", *words[3:]]))
    right = replace(said[at], at=said[at + 2].at)
    return [*said[:at], wrong, *said[at + 1 : at + 3], right, *said[at + 3 :]]


def _clock(said: list[Said], random: Random) -> list[Said]:
    at, by = _place(said, random), round(random.uniform(300.0, 4000.0), 2)
    return [*said[:at], *(_shifted(caption, by) for caption in said[at:])]


def _set_back(said: list[Said], random: Random) -> list[Said]:
    at = _place(said, random, room=16)
    by = round(random.uniform(0.4, 0.6) * said[at].start, 2)
    ahead = [_shifted(caption, 200.0) for caption in said]
    return [*ahead[:at], *(replace(_shifted(c, -by)) for c in ahead[at:])]


def _restart(said: list[Said], random: Random) -> list[Said]:
    at = _place(said, random, room=14)
    by = round(said[at].start - random.uniform(0.0, 4.0), 2)
    return [*said[:at], *(replace(_shifted(c, -by), number=n) for n, c in enumerate(said[at:], 1))]


def _producers(said: list[Said], random: Random) -> list[Said]:
    """A second producer sends other talk with another clock for a while."""
    at, by = _place(said, random, room=12), random.choice([-1, 1]) * round(random.uniform(200.0, 900.0), 2)
    moved = [_shifted(caption, 1000.0) for caption in said]
    out = moved[:at]
    for k in range(at, min(at + 25, len(said))):
        out += [moved[k], replace(_shifted(moved[k], by), text=f"{k} from the other desk", number=900 + k)]
    return out + moved[at + 25 :]


def _broken(said: list[Said], random: Random) -> list[Said]:
    at = _place(said, random)
    return [replace(c, broken=b"\xff\xe2\x80") if k == at else c for k, c in enumerate(said)]


def _shifted(caption: Said, by: float) -> Said:
    return replace(caption, start=round(caption.start + by, 2), end=round(caption.end + by, 2))


_FAULTS: dict[Fault, Callable[[list[Said], Random], list[Said]]] = {
    "stall": _stall,
    "repeat": _repeat,
    "back": _back,
    "late": _late,
    "drop": _drop,
    "rewrite": _rewrite,
    "correct": _correct,
    "clock": _clock,
    "set_back": _set_back,
    "restart": _restart,
    "producers": _producers,
    "broken": _broken,
}


def _split(pieces: Sequence[tuple[float, bytes]], random: Random) -> Iterator[tuple[float, bytes]]:
    """The same bytes cut anywhere, also within a letter."""
    for at, data in pieces:
        cuts = sorted({0, len(data), *(random.randrange(len(data) + 1) for _ in range(random.randint(0, 4)))})
        letter = data.find("’".encode())
        if letter >= 0:
            cuts = sorted({*cuts, letter + 1})
        for start, stop in pairwise(cuts):
            yield at, data[start:stop]


def _header(form: Form) -> str:
    return {"vtt": "WEBVTT\nKind: captions\n\n", "csv": "time,note\n"}.get(form, "")


def _written(caption: Said, form: Form) -> bytes:
    text = caption.text
    if form == "json":
        line = {
            "id": caption.number,
            "start": caption.start,
            "end": caption.end,
            "text": text,
            "final": caption.final,
        }
        shown = json.dumps(line, ensure_ascii=False) + "\n"
    elif form == "vtt":
        times = f"{_time(caption.start, '.')} --> {_time(caption.end, '.')}"
        shown = (
            f"{caption.number}\n{times} align:start\n{text.replace('&', '&amp;').replace('<', '&lt;')}\n\n"
        )
    elif form == "srt":
        shown = f"{caption.number}\n{_time(caption.start, ',')} --> {_time(caption.end, ',')}\n{text}\n\n"
    elif form == "stamped":
        shown = f"[{_time(caption.start, '.')}] {text}\n"
    elif form == "csv":
        shown = f'{_time(caption.start, ".")},"{text.replace(chr(34), chr(34) * 2)}"\n'
    else:
        shown = f"{text}\n"
    data = shown.encode()
    if caption.broken:
        at = data.index(text[:3].encode()) + len(text[:2].encode())
        data = data[:at] + caption.broken + data[at:]
    return data


def _time(seconds: float, point: str) -> str:
    thousandths = round(seconds * 1000)
    whole = thousandths // 1000
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}{point}{thousandths % 1000:03d}"


def main() -> None:
    """Write a stream to standard output."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("path", type=Path)
    parser.add_argument("--form", choices=get_args(Form), default="vtt")
    parser.add_argument("--draw", type=int, default=0, help="which stream of all that these faults can give")
    parser.add_argument("--fault", action="append", choices=FAULTS, default=[])
    parser.add_argument("--speed", type=float, default=50.0)
    given = parser.parse_args()
    for data in replay(given.path, given.draw, given.fault, given.speed, given.form):
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()


if __name__ == "__main__":
    main()
