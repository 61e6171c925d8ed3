"""Typed accounts without times: a line or a paragraph an entry, in the order in which things happened or newest first."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from extract.transcript.assemble import assemble
from extract.transcript.cue import Order, Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.headings import BoutHeading, PeriodHeading, bout_heading, period_heading
from extract.transcript.names import listed, names, wording
from extract.transcript.newest import EntrySigns, is_newest_first, turned
from extract.transcript.order_numbers import order_number
from extract.transcript.plain import PLAIN
from extract.transcript.stamps import Stamp, remains, stamp_of, stamps_are_clock

#: What stands for times in such an account.
NOTICE = (
    "there are no times of a recording in it: the order of its {entries} entries is all that is known of when things "
    "happened"
)
TURNED = "its newest entry comes first: it was read from the bottom up"
_BULLET = re.compile(r"[ \t]*(?:[*•·‣◦▪+-][ \t]+|#?(?P<number>[0-9]{1,3})[.)][ \t]+)")
_ENDS, _STOPS = ".!?:;", ".!?"


@dataclass(slots=True)
class Entry:
    """One entry as it stands: its line, its ``text``, and how much of that stands before what is said (a bullet, a time
    of day). ``clock`` is the stamp of a bout clock before it. A heading has ``period`` or ``bout``; ``title`` are lines
    above the account."""

    line: int
    text: str
    begin: int = 0
    stamp: Stamp | None = None
    clock: Stamp | None = None
    number: int | None = None
    period: PeriodHeading | None = None
    bout: BoutHeading | None = None
    title: bool = False

    @property
    def said(self) -> str:
        """What is said in it."""
        return self.text[self.begin :]


def read_by_order(source: SourceText) -> Transcript:
    """The cues of an account without times, one for each entry, in order of what happened: a newest entry at the top
    is turned round. A cue's text in the source is its line or paragraph without white space at both ends. Where wrapped
    lines make paragraphs, these are the entries. Else each line is one. What follows the heading of a period in its line
    is an entry of its own.

    The times of the cues are made up (see ``Order``). A time of the bout clock at the head of a line is a time left. A
    time of day tells the order alone."""
    entries = _entries(source.text)
    _mark_title(entries)
    signs = [_signs(entry) for entry in entries]
    newest = is_newest_first(signs)
    if newest:
        entries = turned(entries, signs)
    return ordered(source, entries, [_draft(entry) for entry in entries], newest_first=newest)


def ordered(
    source: SourceText, entries: Sequence[Entry], drafts: Sequence[Draft], *, newest_first: bool = False,
    table: bool = False, notices: Sequence[str] = (),
) -> Transcript:  # fmt: skip
    """The transcript of entries, which are in order of what happened, each with its draft."""
    step, length = order_number("times", "step_s"), order_number("times", "length_s")
    kept = [(entry, draft) for entry, draft in zip(entries, drafts, strict=True) if draft.text.strip()]
    lines: list[int] = []
    for n, (entry, draft) in enumerate(kept, 1):
        draft.index, draft.start = n, len(lines) * step
        lines += _slots(entry)
        draft.end = (len(lines) - 1) * step + length
    told = [NOTICE.format(entries=len(kept)), *([TURNED] if newest_first else []), *notices]
    found = assemble(
        source,
        "lines",
        [draft for _, draft in kept],
        labels=None if table else "captions",
        notices=told,
        typed=table or _are_notes([entry for entry, _ in kept]),
    )
    titles = {n for n, (entry, _) in enumerate(kept, 1) if entry.title or entry.bout is not None}
    if len(titles) < len(kept):
        cues = tuple(replace(cue, heading=True) if cue.index in titles else cue for cue in found.cues)
        found = replace(found, cues=cues)
    places = {cue.index: k for k, cue in reversed(list(enumerate(found.cues)))}
    bouts = tuple(places[n + 1] for n in _bouts([entry for entry, _ in kept]) if n + 1 in places)
    return replace(found, order=Order(step, length, tuple(lines), newest_first, bouts))


def _slots(entry: Entry) -> list[int]:
    """The lines at which the parts of an entry begin: a long one takes as many steps of time as it has parts."""
    text = entry.text
    count = max(round(len(text) / order_number("times", "part_chars")), 1)
    return [entry.line + text.count("\n", 0, len(text) * k // count) for k in range(count)]


def looks_like_account(text: str) -> bool:
    """Whether a text without times shows that it tells of a bout: it heads a bout or two periods, or has several scores
    one after the other."""
    entries = _entries(text)
    heads = {entry.period.number for entry in entries if entry.period is not None}
    if len(heads) > 1 or any(entry.bout is not None and entry.bout.named for entry in entries):
        return True
    return sum(_signs(entry).score is not None for entry in entries) >= order_number("stamps", "least")


def _entries(text: str) -> list[Entry]:
    lines = text.split("\n")
    wrapped = _is_wrapped(lines)
    out: list[Entry] = []
    open_entry = False
    for number, line in enumerate(lines, 1):
        if not line.strip():
            open_entry = False
            continue
        head = period_heading(line)
        bout = None if head is not None else bout_heading(line)
        if head is not None:
            if head.number is None and line[head.rest :].strip():
                # "Overtime win" heads nothing.
                head = None
            else:
                out += _headed(number, line, head)
                open_entry = False
                continue
        if bout is not None:
            out.append(Entry(number, line.strip(), bout=bout))
            open_entry = False
        elif wrapped and open_entry and not _begins(line):
            out[-1].text += "\n" + line.rstrip()
        else:
            out.append(Entry(number, line.strip()))
            open_entry = True
    _take_stamps(out)
    return out


def _begins(line: str) -> bool:
    """Whether a bullet or a time shows that an entry begins with a line."""
    shown = line.translate(PLAIN)
    return _BULLET.match(shown) is not None or stamp_of(shown) is not None


def _headed(number: int, line: str, head: PeriodHeading) -> list[Entry]:
    begin = len(line) - len(line.lstrip())
    own = Entry(number, line[begin : head.end], period=head)
    rest = line[head.rest :].strip()
    return [own, Entry(number, rest)] if any(map(str.isalnum, rest)) else [own]


def _is_wrapped(lines: Sequence[str]) -> bool:
    """Whether lines are those of wrapped text: most that have another one under them are about as long as the longest,
    and do not end a sentence. Without sentences the lines are what is left of captions."""
    written = sum(bool(line.strip()) for line in lines)
    if sum(mark in line for line in lines for mark in _STOPS) < order_number("page", "sentences") * written:
        return False
    longest = max((len(line.rstrip()) for line in lines), default=0)
    if not order_number("page", "wrapped_width") <= longest <= order_number("page", "wrapped_most"):
        return False
    goes_on = [a.rstrip() for a, b in pairwise(lines) if a.strip() and b.strip()]
    near = order_number("page", "wrapped_near") * longest
    full = sum(len(line) >= near and line[-1] not in _ENDS for line in goes_on)
    return len(goes_on) > 1 and full >= order_number("page", "wrapped_share") * len(goes_on)


def _take_stamps(entries: Sequence[Entry]) -> None:
    """Find the bullet and the stamp before each entry, and what the stamps are: times of the bout clock or of day."""
    for entry in entries:
        if entry.period is not None or entry.bout is not None:
            continue
        shown = entry.text.translate(PLAIN)
        bullet = _BULLET.match(shown)
        if bullet is not None:
            entry.begin = bullet.end()
            entry.number = int(bullet["number"]) if bullet["number"] else None
        entry.stamp = stamp_of(shown, entry.begin)
    stamped = [entry for entry in entries if entry.stamp is not None]
    are_clock = stamps_are_clock([entry.stamp for entry in stamped if entry.stamp is not None])
    for entry in stamped:
        assert entry.stamp is not None
        if are_clock:
            entry.clock, entry.stamp = entry.stamp, None
        else:
            entry.begin = entry.stamp.end


def _mark_title(entries: Sequence[Entry]) -> None:
    """Mark the lines above the account: those above the first period, else those above the first heading with names."""
    most = int(order_number("page", "title_lines"))
    top = entries[: most + 1]
    head = next((k for k, entry in enumerate(top) if entry.period is not None), None)
    if head is None or not _opens(top[head], top[:head]):
        head = next((k for k, entry in enumerate(top) if entry.bout is not None and entry.bout.named), 0)
    above = top[:head]
    wide = order_number("page", "title_width")
    if any(len(entry.text) > wide or entry.clock or entry.stamp for entry in above):
        return
    for entry in above:
        entry.title = True


def _opens(heading: Entry, above: Sequence[Entry]) -> bool:
    """Whether a period's heading opens the account: it is the first one, and no score stands above it."""
    assert heading.period is not None
    return heading.period.number == 1 and all(_signs(entry).score is None for entry in above)


def _signs(entry: Entry) -> EntrySigns:
    """What of an entry shows where in the account it belongs."""
    scores = [int(m[1]) + int(m[2]) for m in _SCORE.finditer(entry.said.translate(PLAIN))]
    said = f" {' '.join(re.findall(_WORD, entry.said.translate(PLAIN).lower()))} "
    return EntrySigns(
        title=entry.title,
        bout=entry.bout is not None,
        period=entry.period is not None,
        number=entry.period.number if entry.period is not None else None,
        day=entry.stamp.of_day if entry.stamp is not None else None,
        clock=entry.clock.seconds if entry.clock is not None else None,
        item=entry.number,
        score=max(scores) if scores else None,
        tells_end=any(f" {word} " in said for word in names("order", "result")),
        tells_start=any(f" {word} " in said for word in names("order", "opening")),
    )


_SCORE = re.compile(r"(?<![\w:/.-])([0-9]{1,2}) ?- ?([0-9]{1,2})(?![\w:/]|[.-][0-9])")
_WORD = r"[\w']+"


def _draft(entry: Entry) -> Draft:
    """The draft of an entry. The heading of a period is read as "second period", a clock time as a time left."""
    if entry.period is not None:
        return _heading_draft(entry.text, entry.period)
    begin, text = entry.begin, entry.said
    if entry.clock is None:
        return Draft(0, entry.line, 0.0, None, text, list(range(begin, len(entry.text))))
    stamp, rest = entry.clock, entry.text[entry.clock.end :]
    shown, at = entry.text[stamp.start : stamp.stop], range(stamp.start, stamp.stop)
    left = "" if remains(rest) else wording("say", "clock").partition("{value}")[2]
    joint = " " if not left else "; "
    origin = [*at, *[stamp.stop] * (len(left) + len(joint)), *range(stamp.end, len(entry.text))]
    if not rest.strip():
        return Draft(0, entry.line, 0.0, None, shown + left, origin[: len(shown + left)])
    return Draft(0, entry.line, 0.0, None, f"{shown}{left}{joint}{rest}", origin)


def _heading_draft(text: str, head: PeriodHeading) -> Draft:
    ordinals = listed("say", "ordinals")
    if head.number is not None and head.number <= len(ordinals):
        said = wording("say", "period").format(ordinal=ordinals[head.number - 1])
    elif text.lower().strip(".") in names("headings", "short_overtime"):
        said = wording("say", "overtime")
    else:
        return Draft(0, 0, 0.0, None, text)
    return Draft(0, 0, 0.0, None, said, [0] * len(said), {len(said) - 1: len(text)})


def _are_notes(entries: Sequence[Entry]) -> bool:
    """Whether the entries are short, as typed notes are."""
    widths = sorted(len(e.said) for e in entries if e.period is None and e.bout is None and not e.title)
    return bool(widths) and widths[len(widths) // 2] <= order_number("page", "note_width")


def _bouts(entries: Sequence[Entry]) -> tuple[int, ...]:
    """The positions of the entries with which the bouts begin, if more than one is headed. Headings that stand together
    head one bout, which begins with the last two names of them or what is written above these."""
    starts: list[int] = []
    named = told = False
    for k, entry in enumerate(entries):
        if entry.bout is None:
            told = told or not entry.title
            continue
        if told or not starts:
            starts.append(k)
            named = told = False
        elif named and entry.bout.named:
            starts[-1], named = k, False
        named = named or entry.bout.named
    if starts and not told:
        del starts[-1]
    return tuple(starts) if len(starts) > 1 else ()
