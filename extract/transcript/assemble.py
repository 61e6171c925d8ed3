"""What the readers of the formats share: the way from what a source says of each cue to a Transcript."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from extract.errors import InputError
from extract.transcript.clean import clean
from extract.transcript.cue import Cue, Format, Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import LONGEST, Draft
from extract.transcript.plain import seen
from extract.transcript.rolling import Caption, Rolling, follows
from extract.transcript.speakers import LabelStyle, label
from extract.transcript.turns import take_signs

#: A word that is found this much further on in its text is another one with the same letters.
_WORD_REACH = 40
#: Starts may go back by this much, seconds: captions of two speakers are not always in order.
_BACK_S = 1.0
#: The speaking rate if a transcript shows none, and the bounds of the rate that it shows, in characters a second.
#: Common practice: English commentary runs at some 150 words a minute, 15 characters a second.
_RATE, _SLOWEST, _FASTEST = 15.0, 4.0, 30.0


def assemble(
    source: SourceText,
    format: Format,
    drafts: Sequence[Draft],
    *,
    labels: LabelStyle | None = None,
    rolling: bool = False,
    slowest: float = 0.0,
    least: float = 0.0,
    heading: str = "",
    notices: Sequence[str] = (),
    typed: bool = False,
) -> Transcript:
    """The transcript of the drafts, which are in the order of the source.

    With ``labels`` the text is searched for labels of speakers, as captions or typed paragraphs have them. With
    ``rolling`` what a caption repeats of the one before it is left out. A cue without an end in the source lasts to
    the next start. It lasts no longer than its text takes at ``slowest`` characters a second (0: no limit) or
    ``least`` seconds, whichever is more. Raises InputError for times out of order, for a cue of too much text, and if
    no text is left.

    ``heading`` stood above the first time. It becomes a cue of its own at that time, with the index of the first cue.
    The first cue's place in the source then begins after the heading and a line end. ``notices`` and ``typed`` are
    those of the transcript.
    """
    _check_order(source, drafts)
    for draft in drafts:
        if len(draft.text) > LONGEST:
            raise too_long(source, draft.line)
        clean(draft)
    take_signs(drafts)
    if labels is not None:
        label(drafts, labels)
    timed = sorted(drafts, key=lambda draft: draft.start)
    timed = _once(timed)
    _fill_ends(timed, slowest, least)
    shown = [Caption(d.text, d.start, _end(d), d.anchors) for d in timed]
    roll = Rolling(shown) if rolling else None
    cues: list[Cue] = []
    last: Draft | None = None
    turned = False
    for k, draft in enumerate(timed):
        begin = roll.new_from(shown[k - 1], shown[k]) if roll is not None and k else 0
        if last is not None and begin and not draft.text[begin:].strip():
            # The same words stay on the screen. After a pause they say nothing of how long the words took.
            if follows(shown[k - 1].end, draft.start):
                last.end = max(_end(last), _end(draft))
                if cues and cues[-1].index == last.index:
                    cues[-1] = _longer(cues[-1], last.end)
            continue
        parts = _parts(draft, begin)
        cues += _cut(draft, begin, parts, turned)
        # A sign with nothing after it is for what comes next.
        said = parts[-1][1] if parts else begin
        turned = draft.turns[-1:] >= [said] or (turned and not parts)
        last = draft
    if not cues:
        raise source.error("no cue with text found", "give a transcript with times and text")
    if heading.strip():
        cues = _headed(heading.strip(), cues)
    return Transcript(source.name, format, source.sha256, tuple(cues), None, tuple(notices), typed)


def _headed(heading: str, cues: Sequence[Cue]) -> list[Cue]:
    """The cues with a heading before them. It takes no time, and is a part of the first cue's text in the source."""
    first, moved, start = cues[0].index, len(heading) + 1, cues[0].start
    draft = Draft(first, 1, start, start, heading)
    clean(draft)
    return [
        *(replace(head, heading=True) for head in _cut(draft, 0, _parts(draft, 0), False)),
        *(
            replace(cue, origin=tuple(moved + at for at in cue.origin or range(len(cue.text) + 1)))
            if cue.index == first
            else cue
            for cue in cues
        ),
    ]


def too_long(source: SourceText, line: int) -> InputError:
    """The error about a cue with more text than a cue can have."""
    problem = f"a cue of more than {LONGEST:,} characters"
    return source.error(problem, "give the talk in shorter pieces, each with its time", line)


def _end(draft: Draft) -> float:
    return draft.start if draft.end is None else draft.end


def _longer(cue: Cue, end: float) -> Cue:
    return replace(cue, end=end)


def _once(drafts: list[Draft]) -> list[Draft]:
    """The drafts without those that repeat the words of another one for the same time, as exporters write them. If
    the source gives no ends, times are typed and two notes of one moment may be alike. Then nothing goes unless all
    is doubled."""
    first: dict[tuple[object, ...], Draft] = {}
    for draft in drafts:
        alike = first.setdefault((draft.start, draft.end, draft.text, *(draft.runs or ())), draft)
        if not alike.anchors:
            alike.anchors = draft.anchors
        if not alike.words:
            alike.words = draft.words
    once = list(first.values())
    typed = any(draft.end is None for draft in drafts)
    return drafts if typed and len(drafts) < 2 * len(once) else once


def _check_order(source: SourceText, drafts: Sequence[Draft]) -> None:
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
    """Let each cue without an end last to the next start, and the last one as long as its text takes to say. None
    lasts longer than ``slowest`` and ``least`` allow."""
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


def _parts(draft: Draft, begin: int) -> list[tuple[int, int, str | None]]:
    """The parts of a draft's text by speaker, ``(from, to, speaker)``, from the position ``begin`` on."""
    text = draft.text
    parts: list[tuple[int, int, str | None]] = []
    for start, stop, speaker in draft.runs if draft.runs is not None else [(0, len(text), None)]:
        cuts = draft.turns[bisect_right(draft.turns, start) : bisect_left(draft.turns, stop)]
        for a, b in pairwise([start, *cuts, stop]):
            a = max(a, begin)
            while a < b and text[a].isspace():
                a += 1
            while b > a and text[b - 1].isspace():
                b -= 1
            if a < b:
                parts.append((a, b, seen(speaker or "") or None))
    return parts


def _cut(
    draft: Draft, begin: int, parts: Sequence[tuple[int, int, str | None]], turned: bool
) -> Iterator[Cue]:
    """The cues of one draft, one for each of its ``parts``, which begin at ``begin``. ``turned`` says that an earlier
    sign announced another speaker."""
    if not parts:
        return
    anchors = _anchors(draft)
    low, high = parts[0][0], parts[-1][1]
    inside = tuple((p - low, t) for p, t in anchors if low <= p < high)
    whole = Cue(draft.index, draft.start, _end(draft), draft.text[low:high], anchors=inside)
    said = begin
    for a, b, speaker in parts:
        yield Cue(
            draft.index,
            whole.start if a == low else whole.time_at(a - low),
            whole.end if b == high else whole.time_at(b - low),
            draft.text[a:b],
            speaker,
            _origin(draft, a, b),
            tuple((p - a, t) for p, t in anchors[bisect_left(anchors, (a,)) : bisect_left(anchors, (b,))]),
            turned or bisect_left(draft.turns, said) < bisect_right(draft.turns, a),
        )
        said, turned = b, False


def _anchors(draft: Draft) -> list[tuple[int, float]]:
    """The anchors in order, each at the word it is for, and none outside the cue's time."""
    out: list[tuple[int, float]] = []
    time = draft.start
    for p, t in [*draft.anchors, *_found(draft)]:
        while p < len(draft.text) and draft.text[p].isspace():
            p += 1
        if p < len(draft.text) and time <= t <= _end(draft) and (not out or p >= out[-1][0]):
            if out and p == out[-1][0]:
                # A sign before the word had a time too.
                out.pop()
            out.append((p, t))
            time = t
    return out


def _found(draft: Draft) -> Iterator[tuple[int, float]]:
    """The times of the words at their places. Words that are not in the text are ignored."""
    at = 0
    for word, time in draft.words:
        shown = seen(word)
        found = draft.text.find(shown, at) if any(map(str.isalnum, shown)) else -1
        if 0 <= found <= at + _WORD_REACH:
            at = found + len(shown)
            if time is not None:
                yield found, time


def _origin(draft: Draft, a: int, b: int) -> tuple[int, ...]:
    if draft.origin is None:
        return () if a == 0 else tuple(range(a, b + 1))
    origin = (*draft.origin[a:b], draft.origin[b - 1] + draft.wide.get(b - 1, 1))
    return () if origin == tuple(range(b - a + 1)) else origin
