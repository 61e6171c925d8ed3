"""Cuts a recording into its bouts and the talk between them."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from extract.bout import extract_bout
from extract.checks.words import clock_text
from extract.lexicon import Lexicon
from extract.log.parameters import Parameters
from extract.mentions.lexicon_check import own_lexicon
from extract.recording.evidence import CueEvidence, weigh
from extract.recording.names import Named, cue_names
from extract.recording.parameters import recording_parameters
from extract.recording.search import CueSpan, search
from extract.recording.sheet import Sheet
from extract.recording.signs import CueSigns, cue_signs
from extract.session.edges import closed, opened
from extract.session.parts import Part, Session, part_transcript
from extract.talk.style import heard_style
from extract.transcript import BoutFile, Cue, Transcript
from extract.transcript.cue import Order

#: The greatest log odds: beyond them nothing is more certain.
_MOST_ODDS = 50.0
#: What studio talk is about, for each sign.
_STUDIO = (
    ("said_desk", "the desk or a break"),
    ("said_past", "what has been"),
    ("said_next", "what comes next"),
    ("score_past", "scores of other bouts"),
    ("won", "results"),
)


def find_parts(
    transcript: Transcript,
    *,
    sheet: Sheet | None = None,
    rules: str | None = None,
    lexicons: Sequence[str | Path] = (),
    parameters: Parameters | None = None,
) -> Session:
    """The parts of a recording: its bouts, in order, and the studio talk between them.

    ``sheet`` names the bouts that were planned. Some may be missing, and the order may differ. ``rules`` (a ruleset's
    name) holds for every bout whose row says nothing else. Without it each bout's style is taken from its talk.
    ``lexicons`` are files of the user's own words. ``parameters`` replaces the shipped weights of this stage (not
    those of the log).
    A recording with one bout is one part. Raises InputError if a lexicon is malformed.
    """
    parameters = parameters or recording_parameters()
    style, sure = (rules, True) if rules is not None else heard_style(transcript)
    if not transcript.cues:
        return Session(())
    lexicon = own_lexicon(style, lexicons)
    signs = cue_signs(transcript, style, lexicon)
    named = cue_names(transcript, lexicon, sheet, parameters)

    def session_of(found: Sequence[CueSpan]) -> Session:
        rows = _rows(found, named, len(sheet.bouts), parameters) if sheet is not None else {}
        parts = _parts(transcript, found, signs, sheet, rows, parameters)
        around = style if sure else None
        styled = tuple(_with_style(part, transcript, rules, around) for part in parts)
        return Session(styled, transcript.order)

    if transcript.order is not None:
        return session_of(_headed(transcript, transcript.order))
    evidence, found = _spans(transcript, signs, named, parameters)
    if sum(part.bout for part in found) == 1:
        one = next(part for part in found if part.bout)
        return session_of([CueSpan(True, 0, len(transcript.cues), one.run, one.odds)])
    exact: list[CueSpan] = []
    for rough, part in zip(found, session_of(found).parts, strict=True):
        if part.kind == "studio":
            exact.append(rough)
            continue
        record = extract_bout(part_transcript(transcript, part), part.bout, lexicons=lexicons)
        bout = closed(opened(rough, record, evidence, parameters), record, evidence, parameters)
        around = (CueSpan(False, rough.first, bout.first), bout, CueSpan(False, bout.last, rough.last))
        exact += [one for one in around if one.first < one.last]
    return session_of(_joined(exact))


def find_spans(
    transcript: Transcript,
    signs: Sequence[CueSigns],
    lexicon: Lexicon,
    sheet: Sheet | None = None,
    parameters: Parameters | None = None,
) -> tuple[list[CueSpan], dict[int, int]]:
    """The parts of a talk as they are found before a record of each says where it begins and ends; and for each that is a
    bout on the sheet, by its position, the row. ``signs`` are those of each cue."""
    parameters = parameters or recording_parameters()
    named = cue_names(transcript, lexicon, sheet, parameters)
    _, found = _spans(transcript, signs, named, parameters)
    return found, _rows(found, named, len(sheet.bouts), parameters) if sheet is not None else {}


def _spans(
    transcript: Transcript, signs: Sequence[CueSigns], named: Named, parameters: Parameters
) -> tuple[CueEvidence, list[CueSpan]]:
    evidence = weigh(transcript.cues, signs, named, parameters)
    return evidence, _joined(search(evidence, parameters))


def _headed(transcript: Transcript, order: Order) -> list[CueSpan]:
    """The parts of an account without times: a bout under each heading of one. Without several headings all is one."""
    starts = [*(order.bouts or (0,)), len(transcript.cues)]
    before = [CueSpan(False, 0, starts[0])] if starts[0] else []
    return [*before, *(CueSpan(True, a, b, None, _MOST_ODDS) for a, b in pairwise(starts))]


def _joined(found: Sequence[CueSpan]) -> list[CueSpan]:
    """The parts, with neighbouring studio talk joined into one."""
    out: list[CueSpan] = []
    for part in found:
        if out and not part.bout and not out[-1].bout:
            out[-1] = CueSpan(False, out[-1].first, part.last)
        else:
            out.append(part)
    return out


def _rows(found: Sequence[CueSpan], named: Named, rows: int, parameters: Parameters) -> dict[int, int]:
    """Which row of the sheet each bout is. No row is used twice, and the clearest match comes first."""
    claims = []
    least = parameters.get("sheet", "names")
    for n, part in enumerate(found):
        if not part.bout:
            continue
        counts = [0.0] * rows
        for cue in named.cues[part.first : part.last]:
            for name in cue:
                for row in named.rows[name]:
                    counts[row] += 1.0 / len(named.rows[name])
        claims += [(count, n, row) for row, count in enumerate(counts) if count >= least]
    out: dict[int, int] = {}
    for _, n, row in sorted(claims, key=lambda claim: (-claim[0], claim[1], claim[2])):
        if n not in out and row not in out.values():
            out[n] = row
    return out


def _parts(
    transcript: Transcript,
    found: Sequence[CueSpan],
    signs: Sequence[CueSigns],
    sheet: Sheet | None,
    rows: dict[int, int],
    parameters: Parameters,
) -> list[Part]:
    cues = transcript.cues
    out: list[Part] = []
    number = 0
    for n, part in enumerate(found):
        begins = out[-1].end if out else transcript.begins
        if part.last == len(cues):
            ends = max(transcript.seconds, begins)
        elif part.bout and not found[n + 1].bout:
            # The silence after a bout is not part of it.
            ends = min(cues[part.last - 1].end, cues[part.last].start)
        else:
            ends = cues[part.last].start
        # In hundredths, as records have times, and no later than the cue that begins there.
        ends = max(math.floor(ends * 100) / 100, begins)
        row = rows.get(n)
        bout = label = None
        if part.bout:
            number += 1
            if sheet is not None and row is not None:
                bout, label = sheet.bouts[row].bout_file(sheet.file), sheet.bouts[row].label
        out.append(
            Part(
                "bout" if part.bout else "studio",
                begins,
                ends,
                part.first,
                part.last,
                number if part.bout else 0,
                bout,
                _confidence(part, parameters),
                _why(part, signs, cues, label, transcript.order),
                label,
                row,
            )
        )
    return out


def _confidence(part: CueSpan, parameters: Parameters) -> float:
    """How sure it is that a part is what it is taken for, 0 to 1. The log odds count for less here, because they are
    the sum of many signs that are not independent."""
    if not part.bout:
        return 1.0
    odds = max(min(part.odds, _MOST_ODDS), -_MOST_ODDS) / parameters.get("confidence", "temper")
    return round(1 / (1 + math.exp(-odds)), 4)


def _with_style(part: Part, transcript: Transcript, rules: str | None, around: str | None) -> Part:
    """The part with the given style. If none is given and its own talk does not tell it, the style of the session."""
    if part.kind != "bout" or (part.bout is not None and part.bout.rules is not None):
        return part
    if rules is None and (around is None or heard_style(part_transcript(transcript, part))[1]):
        return part
    return replace(part, bout=replace(part.bout or BoutFile(), rules=rules or around))


def _why(
    part: CueSpan, signs: Sequence[CueSigns], cues: Sequence[Cue], label: str | None, order: Order | None
) -> str:
    """What speaks for a part, in a sentence."""
    heard: Counter[str] = Counter()
    for cue in signs[part.first : part.last]:
        heard.update(cue.counts)
    if not part.bout:
        about = [words for sign, words in _STUDIO if heard[sign]]
        return f"No bout in progress{': ' if about else ''}{', '.join(about)}."
    row = f"on the sheet {label}; " if label else ""
    if order is not None:
        headed = f"{row}under the heading in line {order.line(cues[part.first].start)}."
        return headed[0].upper() + headed[1:]
    begun, over = part.run or (part.first, part.last)
    said = (
        f"{heard['call']} times points, {heard['score'] + heard['level']} scores, {heard['clock']} times left"
    )
    opens = (
        f"introduced, under way from {clock_text(cues[begun].start)}"
        if begun > part.first
        else "no introduction"
    )
    closes = f"result told from {clock_text(cues[over].start)}" if over < part.last else "no result told"
    text = f"{row}{opens}; {said}; {closes}."
    return text[0].upper() + text[1:]
