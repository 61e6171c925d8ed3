"""Who is spoken of, cue by cue: words that are likely to be names. Spellings that sound alike are one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from rapidfuzz import fuzz

from extract.cast.name_forms import name_words
from extract.lexicon import Lexicon, small_words
from extract.log.parameters import Parameters
from extract.recording.sheet import Sheet, SheetBout
from extract.talk.soundalike import letters, likeness, sound
from extract.talk.word_lists import is_common
from extract.transcript import Transcript
from extract.transcript.plain import PLAIN

_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]{2,})?")


@dataclass(frozen=True, slots=True)
class Named:
    """The names said: for each cue their numbers in the order said. All numbers are below ``kinds``. ``rows`` has for
    each number the rows of the sheet that it may mean. It is empty without a sheet."""

    cues: tuple[tuple[int, ...], ...]
    kinds: int
    rows: tuple[frozenset[int], ...] = ()


def cue_names(transcript: Transcript, lexicon: Lexicon, sheet: Sheet | None, parameters: Parameters) -> Named:
    """The names in each cue. With a sheet only those on it count, however they are spelled. Without one every word
    counts that is neither everyday English nor a word of the trade. In a talk with capitals it must have one."""
    if sheet is not None:
        return _of_sheet(_said(transcript), sheet, parameters)
    return often_named(likely_names(transcript, lexicon, parameters), parameters)


def often_named(said: Sequence[Sequence[str]], parameters: Parameters) -> Named:
    """The names of each cue without those that say nothing about one bout: names said once or twice, or
    everywhere."""
    counts = Counter(low for line in said for low in line)
    least = parameters.get("spelling", "least")
    common = _everywhere(said, parameters) | {low for low, n in counts.items() if n < least}
    numbers: dict[str, int] = {}
    cues = tuple(
        tuple(numbers.setdefault(low, len(numbers)) for low in line if low not in common) for line in said
    )
    return Named(cues, len(numbers))


def likely_names(transcript: Transcript, lexicon: Lexicon, parameters: Parameters) -> list[list[str]]:
    """The words of each cue that are likely to be names, each in its commonest spelling."""
    words = _said(transcript)
    trade = {word for entry in lexicon.entries for form in entry.forms for word in form.lower().split()}
    together = int(parameters.get("spelling", "stretch"))
    said = []
    for at in range(0, len(words), together):
        stretch = words[at : at + together]
        # A recording may join captions by several people.
        cased = _cased(stretch, parameters)
        said += [
            [low for word, low in line if (word[:1].isupper() or not cased) and _may_name(low, trade)]
            for line in stretch
        ]
    heads = _heads(Counter(low for line in said for low in line), parameters)
    return [[heads[low] for low in line] for line in said]


def _said(transcript: Transcript) -> list[list[tuple[str, str]]]:
    """The words of each cue."""
    return [list(_words(cue.text.translate(PLAIN))) for cue in transcript.cues]


@cache
def _clitics() -> re.Pattern[str]:
    """What a word may end in after an apostrophe that is no part of a name."""
    return re.compile(f"'(?:{'|'.join(sorted(small_words('clitics')))})?$")


def _words(text: str) -> Iterator[tuple[str, str]]:
    """The words of a text, as they stand and in plain small letters."""
    for found in _WORD.finditer(text):
        word = _clitics().sub("", found[0])
        low = letters(word)
        if len(low) > 2:
            yield word, low


def _cased(lines: Iterable[Sequence[tuple[str, str]]], parameters: Parameters) -> bool:
    """Whether capitals say anything: some words have one, but not nearly all."""
    every = [word for line in lines for word, _ in line]
    capital = sum(word[:1].isupper() for word in every)
    few, most = parameters.table("spelling")["capitals"]
    return float(few) * len(every) < capital < float(most) * len(every)


def _may_name(low: str, trade: set[str]) -> bool:
    return low not in trade and not is_common(low)


def _heads(counts: Counter[str], parameters: Parameters) -> dict[str, str]:
    """For each spelling the commonest one that it is taken for."""
    like, fewest = parameters.get("spelling", "alike"), parameters.get("spelling", "letters")
    heads: dict[str, str] = {}
    known: dict[str, list[str]] = {}
    for low in sorted(counts, key=lambda low: (-counts[low], low)):
        key = sound(low)[:2]
        near = (
            head
            for head in known.get(key, ())
            if len(low) >= fewest and len(head) >= fewest and fuzz.ratio(low, head) >= like
        )
        head = next(near, None)
        if head is None:
            known.setdefault(key, []).append(low)
        heads[low] = head or low
    return heads


def _everywhere(said: Sequence[Sequence[str]], parameters: Parameters) -> set[str]:
    """Words that go through the whole recording: the hall, the commentator, the sponsor."""
    spelling = parameters.table("spelling")
    together = int(spelling["stretch"])
    stretches = [
        {low for line in said[at : at + together] for low in line} for at in range(0, len(said), together)
    ]
    if len(stretches) * together < spelling["hall"]:
        return set()
    counts = Counter(low for stretch in stretches for low in stretch)
    return {low for low, n in counts.items() if n >= spelling["everywhere"] * len(stretches)}


def _of_sheet(words: Sequence[Sequence[tuple[str, str]]], sheet: Sheet, parameters: Parameters) -> Named:
    """The names that stand on the sheet: one number for each athlete's words."""
    owners: dict[str, set[tuple[int, int]]] = {}
    for row, bout in enumerate(sheet.bouts):
        for corner, form in _forms(bout):
            owners.setdefault(form, set()).add((row, corner))
    everybody = {low for line in words for _, low in line}
    meant = {low: found for low in everybody if (found := _owners(low, owners, parameters))}
    numbers: dict[frozenset[tuple[int, int]], int] = {}
    cues = tuple(
        tuple(numbers.setdefault(meant[low], len(numbers)) for _, low in line if low in meant)
        for line in words
    )
    return Named(cues, len(numbers), tuple(frozenset(row for row, _ in owner) for owner in numbers))


def _forms(bout: SheetBout) -> Iterator[tuple[int, str]]:
    for corner, side in enumerate((bout.red, bout.blue)):
        for name in (side.name or "", *side.aliases):
            for word in name_words(name):
                low = letters(word)
                if len(low) > 2:
                    yield corner, low


def _owners(
    low: str, owners: dict[str, set[tuple[int, int]]], parameters: Parameters
) -> frozenset[tuple[int, int]]:
    """The athletes that a word may mean: those who have it as a name, or whose name it sounds like."""
    if low in owners:
        return frozenset() if is_common(low) and len(low) < 4 else frozenset(owners[low])
    fewest = parameters.get("spelling", "letters")
    if is_common(low) or len(low) < fewest:
        return frozenset()
    near = [(likeness(low, form), form) for form in owners if len(form) >= fewest and form[0] == low[0]]
    best = max(near, default=(0.0, ""))
    return frozenset(owners[best[1]]) if best[0] >= parameters.get("spelling", "sheet") else frozenset()
