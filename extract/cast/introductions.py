"""Finds out from the talk who is in red and who in blue.

Introductions take many shapes ("in the red singlet, out of T, N", "N of T is in blue", "red: N, T"), so no
list of phrases is kept. Colours and runs of name-like words are marked, and each colour is bound to the run
from which the fewest words, sentence ends and other names separate it. Names that recur later in the talk are
preferred.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product

from extract.cast.model import PLAIN_WORDS, CornerRef, CornerWords, NameRun
from extract.cast.name_runs import NameScan
from extract.cast.name_shapes import name_like
from extract.cast.opponents import pairs, sets_apart
from extract.cast.teams import free_words, team_of
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import likeness
from extract.talk.tokens import is_hard
from extract.talk.word_lists import is_common, table_of, word_list
from extract.talk.words import TalkWords

#: Costs of what may stand between a colour and its name; a bond dearer than the last is none.
_COST_WORD, _COST_AND, _COST_LINE, _COST_END = 0.7, 1.0, 0.3, 2.0
_COST_PERSON, _COST_COLOUR, _COST_MOST = 3.0, 5.0, 6.0
#: What it costs to go over words that set one athlete against another, and what is taken off where a name is followed by
#: a word of wearing.
_COST_FACING, _WORN = 2.0, 1.0
#: No name stands so many words from its colour.
_FAR = 40
#: What it costs that a corner has nobody, and that a colour is said as nobody is introduced.
_NOBODY, _PASSING = 5.0, 2.5
#: Capitals that are short for a name, and what speaks against them.
_INITIALS, _SHORT = 3, -2.5
#: So many bonds of a corner are tried with those of the other.
_KEPT = 12
#: Names that come so often are those of the two, where nothing else says who they are.
_OFTEN = 3

_colours = partial(word_list, "colours")


@dataclass(frozen=True, slots=True)
class Introduction:
    """What the talk says of one corner; empty strings for what it does not say."""

    name: str = ""
    team: str = ""


@dataclass(frozen=True, slots=True)
class _Bond:
    """A name taken for that of a colour, and what speaks against it."""

    cost: float
    run: NameRun
    anchor: CornerRef


def find_people(
    talk: TalkWords, colours: Iterable[CornerRef], words: CornerWords = PLAIN_WORDS
) -> dict[Corner, Introduction]:
    """Name and team of each corner as far as the talk tells, from the introductions or, failing them, from
    later places where a colour and a name stand together. ``words`` are those that mean a corner."""
    anchors = [ref for ref in colours if ref.about != "possessive"]
    window = _window(talk)
    found = _Binding(NameScan(talk, window, words), [a for a in anchors if a.start < window]).people()
    if not all(found[corner].name for corner in CORNERS):
        late = _Binding(NameScan(talk, len(talk), words), anchors).people()
        for corner in CORNERS:
            if not found[corner].name and not _same(late[corner].name, found[other(corner)].name):
                found[corner] = late[corner]
    return found


def opponent_of(talk: TalkWords, name: str) -> Introduction:
    """Who is set against the bearer of ``name`` in the introductions, if anybody."""
    binding = _Binding(NameScan(talk, _window(talk)), ())
    run = binding.opponent(name)
    return binding.introduction(run, [run]) if run is not None else Introduction()


def two_named(talk: TalkWords) -> tuple[Introduction, Introduction] | None:
    """The two that the talk is about, the one named first before the other, where it ties neither to a corner: those who
    are set against one another and named again, or who are named by far the most."""
    scan = NameScan(talk, _window(talk))
    often = {run: scan.often(talk.norm[run.end - 1]) for run in scan.people}
    facing = (
        pair
        for pair in pairs(talk, scan.people)
        if min(map(often.__getitem__, pair)) > 1 and not _same(*(_text(talk, run) for run in pair))
    )
    two = next(facing, None) or _most_named(talk, often)
    if two is None:
        return None
    binding = _Binding(scan, ())
    return binding.introduction(two[0], two), binding.introduction(two[1], two)


def _most_named(talk: TalkWords, often: dict[NameRun, int]) -> tuple[NameRun, NameRun] | None:
    """The two who are named by far the most, in order."""
    first: dict[str, NameRun] = {}
    for run in often:
        name = _text(talk, run)
        if not any(_same(name, known) for known in first):
            first[name] = run
    most = sorted(first.values(), key=lambda run: -often[run])
    counts = [*(often[run] for run in most), 0, 0, 0]
    if counts[1] < _OFTEN or 2 * counts[2] > counts[1]:
        return None
    one, two = sorted(most[:2], key=lambda run: run.start)
    return one, two


def _window(talk: TalkWords) -> int:
    """Where the introductions are over."""
    left = int(str(table_of("introductions")["window_words"]))
    for i, word in enumerate(talk.word):
        left -= word
        if left <= 0:
            return i
    return len(talk)


class _Binding:
    """The names of a scan bound to colours: ``anchors`` are the places where these stand."""

    def __init__(self, scan: NameScan, anchors: Sequence[CornerRef]) -> None:
        self._scan, self._talk, self._anchors = scan, scan.talk, anchors
        colours = {i for anchor in anchors for i in range(anchor.start, anchor.end)}
        self._people = [run for run in scan.people if not colours.issuperset(range(run.start, run.end))]

    def people(self) -> dict[Corner, Introduction]:
        """Who is in each corner."""
        bonds = self._best()
        runs = {corner: bond.run for corner, bond in bonds.items()}
        if len(runs) == 1:
            ((corner, run),) = runs.items()
            facing = self.opponent(_text(self._talk, run))
            if facing is not None:
                runs[other(corner)] = facing
        used = list(runs.values())
        found = dict.fromkeys(CORNERS, Introduction())
        for corner, run in runs.items():
            found[corner] = self.introduction(run, used, bonds[corner].anchor if corner in bonds else None)
        return found

    def opponent(self, name: str) -> NameRun | None:
        """Who is first set against the bearer of a name."""
        for pair in pairs(self._talk, self._people):
            names = [_text(self._talk, run) for run in pair]
            if not _same(*names):
                for run, rival in zip(reversed(pair), names, strict=True):
                    if _same(rival, name):
                        return run
        return None

    def introduction(
        self, run: NameRun, used: Sequence[NameRun], anchor: CornerRef | None = None
    ) -> Introduction:
        """Name and team of the person of a run, whose colour is at ``anchor``; ``used`` are the runs of both."""
        talk, scan = self._talk, self._scan
        span = (min(run.start, anchor.start), max(run.end, anchor.end)) if anchor else (run.start, run.end)
        team = team_of(talk, run, span, scan.runs, used, self._anchors)
        return Introduction(_full_name(scan, run), _text(talk, team) if team else "")

    def _best(self) -> dict[Corner, _Bond]:
        """The bonds of both corners that together are cheapest; a corner may have none."""
        bonds = self._bonds()
        kept = [[*sorted(bonds[c], key=lambda bond: bond.cost)[:_KEPT], None] for c in CORNERS]
        best: tuple[tuple[float, ...], dict[Corner, _Bond]] = ((2 * _NOBODY,), {})
        for pair in product(*kept):
            both = {corner: bond for corner, bond in zip(CORNERS, pair, strict=True) if bond}
            cost = sum(bond.cost for bond in both.values()) + _NOBODY * (2 - len(both))
            # Which corner is which decides nothing.
            key = (round(cost, 6), *sorted(bond.run.start for bond in both.values()))
            if key < best[0] and not self._one_person([bond.run for bond in both.values()]):
                best = key, both
        return best[1]

    def _one_person(self, runs: Sequence[NameRun]) -> bool:
        return len(runs) > 1 and _same(*(_text(self._talk, run) for run in runs))

    def _bonds(self) -> dict[Corner, list[_Bond]]:
        talk, worth = self._talk, {}
        seen: set[str] = set()
        for run in self._people:
            surname = talk.norm[run.end - 1]
            worth[run] = _worth(self._scan, run) - (0.5 if surname in seen else 0.0)
            seen.add(surname)
        bonds: dict[Corner, list[_Bond]] = {corner: [] for corner in CORNERS}
        for anchor, run in product(self._anchors, self._people):
            if abs(run.start - anchor.start) <= _FAR:
                cost = self._distance(anchor, run)
                if cost <= _COST_MOST:
                    cost += _weakness(talk, anchor) - worth[run]
                    bonds[anchor.corner].append(_Bond(cost, run, anchor))
        return bonds

    def _distance(self, anchor: CornerRef, run: NameRun) -> float:
        """The cost of taking the run for the name that belongs to the colour."""
        talk = self._talk
        low, high = (anchor.end, run.start) if anchor.end <= run.start else (run.end, anchor.start)
        if low > high:
            return _COST_MOST + 1
        cost = self._gap(low, high) + _COST_FACING * sets_apart(talk, low, high)
        cost += _COST_COLOUR * sum(a.start >= low and a.end <= high for a in self._anchors)
        wears = run.end == low and not word_list("introductions", "wears").isdisjoint(talk.norm[low:high])
        return cost - _WORN * wears

    def _gap(self, low: int, high: int) -> float:
        """The cost of the words, line ends and names between two positions."""
        talk = self._talk
        between = [r for r in self._scan.runs if low <= r.start and r.end <= high]
        inside = {i for r in between for i in range(r.start, r.end)}
        # The mark before a name goes with it, or the line end.
        before = {r.start - 1 for r in between if r.start not in talk.breaks}
        cost = sum(_word_cost(talk, i) for i in {*range(low, high)} - inside - before)
        cost += _COST_LINE * len(talk.breaks.intersection(range(low, high + 1)) - inside)
        return cost + _COST_PERSON * sum(r.kind == "person" for r in between)


def _word_cost(talk: TalkWords, i: int) -> float:
    """The cost of a word between a colour and its name."""
    if talk.norm[i] in free_words():
        return 0.0
    if talk.norm[i] in _colours("and"):
        return _COST_AND
    return _COST_END if is_hard(talk.lower[i]) else _COST_WORD


def _weakness(talk: TalkWords, anchor: CornerRef) -> float:
    """What speaks against the colour's introducing anybody."""
    words = talk.norm[anchor.start : anchor.end]
    at = anchor.start - 1
    if at >= 0 and talk.norm[at] in _colours("definite"):
        at -= 1
    worn = at >= 0 and talk.norm[at] in _colours("wearing")
    garment = words[-1] in _colours("athlete_after") - _colours("athlete_before")
    told = words[0] in _colours("in") or talk.after(anchor.end) in word_list("introductions", "tells")
    return 0.0 if worn or garment or told else _PASSING


def _worth(scan: NameScan, run: NameRun) -> float:
    """What speaks for the run's being an athlete's name: it comes again, and has two words or three."""
    words = [scan.talk.norm[k] for k in range(run.start, run.end) if scan.talk.word[k]]
    again = max(scan.often(words[-1]), scan.counts[words[0]]) - 1
    short = len(words) == 1 and scan.talk.text[run.start].isupper() and len(words[0]) <= _INITIALS
    worth = (_SHORT if short else 0.0) + 0.4 * min(again, 6)
    return worth + (0.8 if 2 <= len(words) <= 4 else 0.0) - (1.0 if again < 1 else 0.0)


def _text(talk: TalkWords, run: NameRun) -> str:
    """The run as a name is written; captions in lower case get capitals."""
    joined = re.sub(r" ([-']) ?", r"\1", " ".join(talk.text[run.start : run.end])).strip(" '")
    if talk.cased:
        return joined
    small = word_list("names", "particles") | word_list("names", "small")
    return " ".join(
        word if word in small else "-".join(map(str.capitalize, word.split("-"))) for word in joined.split()
    )


def _same(a: str, b: str) -> bool:
    """Whether two heard names are one person's."""
    one, two = a.lower().split(), b.lower().split()
    if len(one) > 1 and len(two) > 1:
        return likeness(one[-1], two[-1]) > 0.8 and likeness(one[0], two[0]) > 0.7
    return any(likeness(x, y) > 0.8 for x, y in product(one, two))


def _full_name(scan: NameScan, run: NameRun) -> str:
    """The run's name, its surname in the spelling heard most, with the given name if only other places have
    it."""
    talk, counts = scan.talk, scan.counts
    *given, surname = _text(talk, run).split()
    low = surname.lower()
    usual = max(scan.variants(low), key=lambda form: (counts[form], form == low), default=low)
    if counts[usual] > counts[low] and "-" not in surname:
        surname = usual.capitalize()
    if not given:
        before = Counter(
            talk.text[i - 1]
            for i in talk.places([surname.lower()])
            if talk.before(i) and name_like(talk, i - 1) and not is_common(talk.norm[i - 1])
        )
        given = [name if talk.cased else name.capitalize() for name, _ in before.most_common(1)]
    return " ".join([*given, surname])
