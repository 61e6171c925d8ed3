"""What the readers of the formats have in common: from what a source says of each cue to a Transcript."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from extract.transcript.cue import Cue, Format, Transcript
from extract.transcript.decode import Source
from extract.transcript.rolling import follows, new_from, pause_of

#: Starts may go back by this much, seconds: captions of two speakers are not always in order.
_BACK_S = 1.0
#: Speaking rate where a transcript shows none, and its bounds where it does, characters a second. Common
#: practice: English commentary runs at some 150 words a minute, 15 characters a second.
_RATE, _SLOWEST, _FASTEST = 15.0, 4.0, 30.0


@dataclass(slots=True)
class Draft:
    """One cue as a reader found it.

    ``line`` is where the source gives its time. ``end`` is None where the source gives none. ``origin`` has one
    source position per character of ``text``, or is None where they are the same; ``wide`` has the length in the
    source of those that stand for more than one character. ``runs`` are the parts of ``text`` by speaker,
    ``(from, to, speaker)``; what is in none of them is no speech. None means all of it, by nobody known.
    """

    index: int
    line: int
    start: float
    end: float | None
    text: str
    origin: list[int] | None = None
    wide: dict[int, int] = field(default_factory=dict)
    anchors: list[tuple[int, float]] = field(default_factory=list)
    runs: list[tuple[int, int, str | None]] | None = None


def assemble(
    source: Source,
    format: Format,
    drafts: Sequence[Draft],
    *,
    rolling: bool = False,
    slowest: float = 0.0,
    least: float = 0.0,
    heading: str = "",
    notices: Sequence[str] = (),
    typed: bool = False,
) -> Transcript:
    """The transcript of the drafts, which are in the order of the source. With ``rolling``, what a caption
    repeats of the one before it is left out. A cue without an end in the source lasts to the next start, but no
    longer than its text takes at ``slowest`` characters a second (0: as slow as may be) or ``least`` seconds,
    whichever is more. ``heading`` stood above the first time; it becomes a cue of its own at that time, of the same index
    as the first, whose place in the source then begins after the heading and a line end. ``notices`` and ``typed`` are
    those of the transcript. Raises InputError for times out of order and where no text is left.
    """
    _check_order(source, drafts)
    timed = sorted(drafts, key=lambda draft: draft.start)
    _fill_ends(timed, slowest, least)
    pause = pause_of([(d.text, d.start, _end(d)) for d in timed]) if rolling else 0.0
    cues: list[Cue] = []
    shown: Draft | None = None
    last: Draft | None = None
    for draft in timed:
        begin = 0
        if rolling and shown is not None and last is not None:
            begin = new_from(shown.text, _end(shown), draft.text, draft.start, pause)
        before, shown = shown, draft
        if last is not None and begin and not draft.text[begin:].strip():
            # The same words stay on the screen. After a pause they say nothing of how long the words took.
            if before is not None and follows(_end(before), draft.start):
                last.end = max(_end(last), _end(draft))
                if cues and cues[-1].index == last.index:
                    cues[-1] = _longer(cues[-1], last.end)
            continue
        cues += _cut(draft, begin)
        last = draft
    if not cues:
        raise source.error("no cue with text found", "give a transcript with times and text")
    if heading.strip():
        cues = _headed(heading.strip(), cues)
    return Transcript(source.name, format, source.sha256, tuple(cues), None, tuple(notices), typed)


def _headed(heading: str, cues: Sequence[Cue]) -> list[Cue]:
    """The cues with a heading before them. It takes no time, and is a part of the first cue's text in the source."""
    first, moved = cues[0].index, len(heading) + 1
    head = Cue(first, cues[0].start, cues[0].start, heading, heading=True)
    return [
        head,
        *(
            replace(cue, origin=tuple(moved + at for at in cue.origin or range(len(cue.text) + 1)))
            if cue.index == first
            else cue
            for cue in cues
        ),
    ]


def _end(draft: Draft) -> float:
    return draft.start if draft.end is None else draft.end


def _longer(cue: Cue, end: float) -> Cue:
    return Cue(cue.index, cue.start, end, cue.text, cue.speaker, cue.origin, cue.anchors)


def _check_order(source: Source, drafts: Sequence[Draft]) -> None:
    latest = 0.0
    for draft in drafts:
        if draft.end is not None and draft.end < draft.start:
            problem = f"cue {draft.index} ends at {draft.end:g} s, before its start at {draft.start:g} s"
            raise source.error(problem, "give each cue an end after its start", draft.line)
        if draft.start < latest - _BACK_S:
            problem = f"the time goes back from {latest:g} s to {draft.start:g} s"
            raise source.error(problem, "put the cues of one recording in order of time", draft.line)
        latest = max(latest, draft.start)


def _fill_ends(drafts: Sequence[Draft], slowest: float, least: float) -> None:
    """Let each cue without an end last to the next start, and the last one as long as its text takes to say; none
    longer than ``slowest`` and ``least`` allow."""
    open_ends = [draft for draft in drafts if draft.end is None]

    def longest(draft: Draft) -> float:
        return draft.start + max(len(draft.text.strip()) / slowest, least) if slowest else float("inf")

    following: float | None = None
    for i in range(len(drafts) - 1, -1, -1):
        # Cues of the same moment last together.
        if i + 1 < len(drafts) and drafts[i + 1].start > drafts[i].start:
            following = drafts[i + 1].start
        if drafts[i].end is None:
            drafts[i].end = None if following is None else round(min(following, longest(drafts[i])), 3)
    rates = sorted(
        len(draft.text) / (draft.end - draft.start)
        for draft in drafts
        if draft.end is not None and draft.end > draft.start and draft.text.strip()
    )
    rate = min(max(rates[len(rates) // 2], _SLOWEST), _FASTEST) if rates else _RATE
    for draft in open_ends:
        if draft.end is None:
            said = draft.start + max(len(draft.text) / rate, least)
            draft.end = round(min(said, longest(draft)), 3)


def _cut(draft: Draft, begin: int) -> Iterator[Cue]:
    """The cues of one draft, one for each speaker, from the position ``begin`` of its text on."""
    text = draft.text
    parts: list[tuple[int, int, str | None]] = []
    for a, b, speaker in draft.runs if draft.runs is not None else [(0, len(text), None)]:
        a = max(a, begin)
        while a < b and text[a].isspace():
            a += 1
        while b > a and text[b - 1].isspace():
            b -= 1
        if a < b:
            parts.append((a, b, speaker))
    if not parts:
        return
    anchors = _anchors(draft)
    low, high = parts[0][0], parts[-1][1]
    inside = tuple((p - low, t) for p, t in anchors if low <= p < high)
    whole = Cue(draft.index, draft.start, _end(draft), text[low:high], anchors=inside)
    for a, b, speaker in parts:
        yield Cue(
            draft.index,
            whole.start if a == low else whole.time_at(a - low),
            whole.end if b == high else whole.time_at(b - low),
            text[a:b],
            speaker,
            _origin(draft, a, b),
            tuple((p - a, t) for p, t in anchors if a <= p < b),
        )


def _anchors(draft: Draft) -> list[tuple[int, float]]:
    """The anchors in order, each at the word it is for, and none outside the cue's time."""
    out: list[tuple[int, float]] = []
    position, time = -1, draft.start
    for p, t in draft.anchors:
        while p < len(draft.text) and draft.text[p].isspace():
            p += 1
        if position < p < len(draft.text) and time <= t <= _end(draft):
            out.append((p, t))
            position, time = p, t
    return out


def _origin(draft: Draft, a: int, b: int) -> tuple[int, ...]:
    if draft.origin is None:
        return () if a == 0 else tuple(range(a, b + 1))
    origin = (*draft.origin[a:b], draft.origin[b - 1] + draft.wide.get(b - 1, 1))
    return () if origin == tuple(range(b - a + 1)) else origin
