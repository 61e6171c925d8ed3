"""Finds out from the talk who is in red and who in blue.

Introductions take many shapes ("in the red singlet, out of T, N", "N of T is in blue", "red: N, T"), so no
list of phrases is kept. Colours and runs of name-like words are marked, and each colour is bound to the run
that the fewest words, sentence ends and other names part it from. Names that recur later in the talk are
preferred.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from extract.cast.model import PLAIN_WORDS, CornerRef, CornerWords
from extract.cast.name_runs import Run, Scan, name_like
from extract.cast.opponents import pairs, parts
from extract.cast.teams import breaks, free_words, team_of
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import likeness
from extract.talk.word_lists import is_common, table_of, word_list
from extract.talk.words import Words

#: Costs of what may stand between a colour and its name; a bond dearer than the last is none.
_COST_WORD, _COST_AND, _COST_LINE, _COST_END, _COST_PERSON, _COST_COLOUR, _COST_MOST = (
    0.7,
    1.0,
    0.3,
    2.0,
    3.0,
    5.0,
    6.0,
)
_NOBODY = 5.0
#: Capitals that are short for a name, and what speaks against them.
_INITIALS, _SHORT = 3, -2.5
#: What it costs to go over words that set one athlete against another, and what is taken off where a name is followed by
#: a word of wearing.
_COST_FACING, _WORN = 2.0, 1.0
#: So many bonds of a corner are tried with those of the other.
_KEPT = 12
#: Names that come so often are those of the two, where nothing else says who they are.
_OFTEN = 3


@dataclass(frozen=True, slots=True)
class _Bond:
    """A name taken for that of a colour, and what speaks against it."""

    cost: float
    run: Run
    anchor: CornerRef


@dataclass(frozen=True, slots=True)
class Heard:
    """What the talk says of one corner; empty strings for what it does not say."""

    name: str = ""
    team: str = ""


def find_people(
    talk: Words, colours: Iterable[CornerRef], words: CornerWords = PLAIN_WORDS
) -> dict[Corner, Heard]:
    """Name and team of each corner as far as the talk tells, from the introductions or, failing them, from
    later places where a colour and a name stand together. ``words`` are those that mean a corner."""
    anchors = [ref for ref in colours if ref.about != "possessive"]
    window = _window(talk)
    found = _bind(Scan(talk, window, words), [a for a in anchors if a.start < window])
    if not all(found.get(corner, Heard()).name for corner in CORNERS):
        late = _bind(Scan(talk, len(talk), words), anchors)
        for corner in CORNERS:
            if not found.get(corner, Heard()).name and late.get(corner, Heard()).name:
                rival = next((h.name for c, h in found.items() if c != corner), "")
                if not rival or not _same(late[corner].name, rival):
                    found[corner] = late[corner]
    return found


def opponent_of(talk: Words, name: str) -> Heard:
    """Who is set against the bearer of ``name`` in the introductions, if anybody."""
    scan = Scan(talk, _window(talk))
    people = [run for run in scan.runs if run.kind == "person"]
    run = _opponent(talk, pairs(talk, people), name)
    return _heard(scan, run, None, [run], []) if run is not None else Heard()


def two_named(talk: Words) -> tuple[Heard, Heard] | None:
    """The two that the talk is about, the one named first before the other, where it ties neither to a corner: those who
    are set against one another and named again, or who are named by far the most."""
    scan = Scan(talk, _window(talk))
    people = [run for run in scan.runs if run.kind == "person"]
    often = {run: scan.often(talk.norm[run.end - 1]) for run in people}
    for one, two in pairs(talk, people):
        if min(often[one], often[two]) > 1 and not _same(_text(talk, one), _text(talk, two)):
            return _heard(scan, one, None, [one, two], []), _heard(scan, two, None, [one, two], [])
    first: list[Run] = []
    for run in people:
        if not any(_same(_text(talk, run), _text(talk, known)) for known in first):
            first.append(run)
    most = sorted(first, key=lambda run: -often[run])
    if len(most) < 2 or often[most[1]] < _OFTEN or (len(most) > 2 and 2 * often[most[2]] > often[most[1]]):
        return None
    one, two = sorted(most[:2], key=lambda run: run.start)
    return _heard(scan, one, None, [one, two], []), _heard(scan, two, None, [one, two], [])


def _window(talk: Words) -> int:
    left = int(str(_introductions("window_words")))
    for i, word in enumerate(talk.word):
        left -= word
        if left <= 0:
            return i
    return len(talk)


@cache
def _introductions(key: str) -> object:
    return table_of("introductions")[key]


def _bind(scan: Scan, anchors: list[CornerRef]) -> dict[Corner, Heard]:
    talk = scan.talk
    colours = {i for anchor in anchors for i in range(anchor.start, anchor.end)}
    people = [
        run for run in scan.runs if run.kind == "person" and not colours.issuperset(range(run.start, run.end))
    ]
    worth: dict[Run, float] = {}
    seen: set[str] = set()
    for run in people:
        worth[run] = _worth(scan, run) - (0.5 if talk.norm[run.end - 1] in seen else 0.0)
        seen.add(talk.norm[run.end - 1])
    bonds: dict[Corner, list[_Bond]] = {"red": [], "blue": []}
    for anchor in anchors:
        for run in people:
            if abs(run.start - anchor.start) > 40:
                continue
            cost = _distance(talk, anchor, run, scan.runs, anchors)
            if cost <= _COST_MOST:
                bonds[anchor.corner].append(_Bond(cost + _weakness(talk, anchor) - worth[run], run, anchor))
    bound = _best(talk, bonds)
    used = [bond.run for bond in bound.values()]
    against = pairs(talk, people)
    facing: Run | None = None
    if len(used) == 1:
        facing = _opponent(talk, against, _text(talk, used[0]))
    found = {
        corner: _heard(scan, bond.run, bond.anchor, [*used, *([facing] if facing else [])], anchors)
        for corner, bond in bound.items()
    }
    if facing is not None:
        (corner,) = bound
        found[other(corner)] = _heard(scan, facing, None, [*used, facing], anchors)
    return found


def _best(talk: Words, bonds: dict[Corner, list[_Bond]]) -> dict[Corner, _Bond]:
    """The bonds of both corners that together are cheapest; a corner may have none."""
    none: list[_Bond | None] = [None]
    best: tuple[tuple[float, ...], dict[Corner, _Bond]] = ((2 * _NOBODY,), {})
    for red in [*sorted(bonds["red"], key=lambda bond: bond.cost)[:_KEPT], *none]:
        for blue in [*sorted(bonds["blue"], key=lambda bond: bond.cost)[:_KEPT], *none]:
            if red and blue and (red.run == blue.run or _same(_text(talk, red.run), _text(talk, blue.run))):
                continue
            both: dict[Corner, _Bond] = {}
            if red:
                both["red"] = red
            if blue:
                both["blue"] = blue
            cost = sum(bond.cost for bond in both.values()) + _NOBODY * (2 - len(both))
            # Which corner is which decides nothing.
            key = (cost, *sorted(bond.run.start for bond in both.values()))
            if key < best[0]:
                best = key, both
    return best[1]


def _opponent(talk: Words, against: Iterable[tuple[Run, Run]], name: str) -> Run | None:
    """Who is first set against the bearer of a name."""
    for one, two in against:
        names = _text(talk, one), _text(talk, two)
        if _same(*names):
            continue
        if _same(names[0], name):
            return two
        if _same(names[1], name):
            return one
    return None


def _heard(
    scan: Scan, run: Run, anchor: CornerRef | None, used: list[Run], anchors: list[CornerRef]
) -> Heard:
    """Name and team of the person of a run, whose colour is at ``anchor``."""
    talk = scan.talk
    low, high = (min(run.start, anchor.start), max(run.end, anchor.end)) if anchor else (run.start, run.end)
    team = team_of(talk, run, (low, high), scan.runs, used, anchors)
    return Heard(_full_name(scan, run), _text(talk, team) if team else "")


def _weakness(talk: Words, anchor: CornerRef) -> float:
    """What speaks against the colour's introducing anybody."""
    words = talk.norm[anchor.start : anchor.end]
    before = talk.norm[max(anchor.start - 3, 0) : anchor.start]
    if before[-1:] == ["the"]:
        del before[-1:]
    worn = before[-1:] and before[-1] in word_list("colours", "wearing")
    garment = words[-1] in word_list("colours", "athlete_after") - word_list("colours", "athlete_before")
    plain = worn or garment or words[0] == "in" or talk.after(anchor.end) in {":", "is", "'s"}
    return 0.0 if plain else 2.5


def _worth(scan: Scan, run: Run) -> float:
    """What speaks for the run's being an athlete's name: it comes again, and has two words or three."""
    words = [scan.talk.norm[k] for k in range(run.start, run.end) if scan.talk.word[k]]
    again = max(scan.often(words[-1]), scan.counts[words[0]]) - 1
    # Two or three capitals are short for a name.
    short = len(words) == 1 and scan.talk.text[run.start].isupper() and len(words[0]) <= _INITIALS
    return (
        (_SHORT if short else 0.0)
        + 0.4 * min(again, 6)
        + (0.8 if 2 <= len(words) <= 4 else 0.0)
        - (1.0 if again < 1 else 0.0)
    )


def _distance(talk: Words, anchor: CornerRef, run: Run, runs: list[Run], anchors: list[CornerRef]) -> float:
    """The cost of taking the run for the name that belongs to the colour."""
    low, high = (anchor.end, run.start) if anchor.end <= run.start else (run.end, anchor.start)
    if low > high:
        return _COST_MOST + 1
    free: set[int] = set()
    free_lines: set[int] = set()
    cost = _COST_FACING if parts(talk, low, high) else 0.0
    if run.end == low and any(talk.norm[i] in word_list("introductions", "wears") for i in range(low, high)):
        cost -= _WORN
    for between in runs:
        if between.start >= low and between.end <= high:
            if between.kind == "person":
                cost += _COST_PERSON
            free |= set(range(between.start - (between.start not in talk.breaks), between.end))
            free_lines |= set(range(between.start, between.end))
    cost += _COST_COLOUR * sum(a.start >= low and a.end <= high for a in anchors)
    links = free_words()
    for i in range(low, high):
        if i in free or talk.norm[i] in links or talk.lower[i] in links:
            continue
        if talk.norm[i] == "and":
            cost += _COST_AND
        elif talk.lower[i] in breaks():
            cost += _COST_END
        else:
            cost += _COST_WORD
    return cost + _COST_LINE * sum(i in talk.breaks and i not in free_lines for i in range(low, high + 1))


def _text(talk: Words, run: Run) -> str:
    """The run as a name is written; captions in lower case get capitals."""
    parts = talk.text[run.start : run.end]
    joined = re.sub(r" ([-']) ?", r"\1", " ".join(parts)).strip(" '")
    if talk.cased:
        return joined
    small = word_list("names", "particles") | {"of", "the"}
    return " ".join(
        word if word in small else "-".join(map(str.capitalize, word.split("-"))) for word in joined.split()
    )


def _same(a: str, b: str) -> bool:
    """Whether two heard names are one person's."""
    one, two = a.lower().split(), b.lower().split()
    if len(one) > 1 and len(two) > 1:
        return likeness(one[-1], two[-1]) > 0.8 and likeness(one[0], two[0]) > 0.7
    return any(likeness(x, y) > 0.8 for x in one for y in two)


def _full_name(scan: Scan, run: Run) -> str:
    """The run's name, its surname in the spelling heard most, with the given name if only other places have
    it."""
    talk, counts = scan.talk, scan.counts
    words = _text(talk, run).split()
    last = words[-1]
    usual = max(
        scan.variants(last.lower()),
        key=lambda form: (counts[form], form == last.lower()),
        default=last.lower(),
    )
    if counts[usual] > counts[last.lower()] and "-" not in last:
        words[-1] = usual.capitalize()
    if len(words) == 1:
        before = Counter(
            talk.text[i - 1]
            for i in talk.places([words[0].lower()])
            if talk.before(i) and name_like(talk, i - 1) and not is_common(talk.norm[i - 1])
        )
        if before:
            words.insert(0, before.most_common(1)[0][0])
            if not talk.cased:
                words[0] = words[0].capitalize()
    return " ".join(words)
