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
from functools import cache, lru_cache
from itertools import pairwise

from extract.mentions.cast_runs import Run, Scan, link_starts, name_like, variant
from extract.mentions.people import CornerRef
from extract.mentions.soundalike import likeness
from extract.mentions.words import Words, is_common, phrase_list, table_of, word_list
from extract.rules.base import CORNERS, Corner

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


@dataclass(frozen=True, slots=True)
class Heard:
    """What the talk says of one corner; empty strings for what it does not say."""

    name: str = ""
    team: str = ""


def find_people(talk: Words, colours: Iterable[CornerRef]) -> dict[Corner, Heard]:
    """Name and team of each corner as far as the talk tells, from the introductions or, failing them, from
    later places where a colour and a name stand together."""
    anchors = [ref for ref in colours if ref.about != "possessive"]
    window = _window(talk)
    found = _bind(talk, [a for a in anchors if a.start < window], window)
    if not all(found.get(corner, Heard()).name for corner in CORNERS):
        late = _bind(talk, anchors, len(talk))
        for corner in CORNERS:
            if not found.get(corner, Heard()).name and late.get(corner, Heard()).name:
                rival = next((h.name for c, h in found.items() if c != corner), "")
                if not rival or not _same(late[corner].name, rival):
                    found[corner] = late[corner]
    return found


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


def _bind(talk: Words, anchors: list[CornerRef], end: int) -> dict[Corner, Heard]:
    scan = Scan(talk, end)
    colours = {i for anchor in anchors for i in range(anchor.start, anchor.end)}
    people = [
        run for run in scan.runs if run.kind == "person" and not colours.issuperset(range(run.start, run.end))
    ]
    worth: dict[Run, float] = {}
    seen: set[str] = set()
    for run in people:
        worth[run] = _worth(scan, run) - (0.5 if talk.norm[run.end - 1] in seen else 0.0)
        seen.add(talk.norm[run.end - 1])
    bonds: dict[Corner, list[tuple[float, Run, CornerRef]]] = {"red": [], "blue": []}
    for anchor in anchors:
        for run in people:
            if abs(run.start - anchor.start) > 40:
                continue
            cost = _distance(talk, anchor, run, scan.runs, anchors)
            if cost <= _COST_MOST:
                bonds[anchor.corner].append((cost + _weakness(talk, anchor) - worth[run], run, anchor))
    best: tuple[float, tuple[Run, CornerRef] | None, tuple[Run, CornerRef] | None] = (
        2 * _NOBODY,
        None,
        None,
    )
    reds = _cheapest(bonds["red"])
    blues = _cheapest(bonds["blue"])
    for red_cost, red in [*reds, (_NOBODY, None)]:
        for blue_cost, blue in [*blues, (_NOBODY, None)]:
            if red and blue and (red[0] == blue[0] or _same(_text(talk, red[0]), _text(talk, blue[0]))):
                continue
            if red_cost + blue_cost < best[0]:
                best = (red_cost + blue_cost, red, blue)
    found: dict[Corner, Heard] = {}
    used = [bond[0] for bond in best[1:] if bond]
    for corner, bond in zip(CORNERS, best[1:], strict=True):
        if bond:
            run, anchor = bond
            team = _team_of(talk, run, anchor, scan.runs, used, anchors) or _team_elsewhere(
                talk, run, scan.runs
            )
            found[corner] = Heard(_full_name(scan, run), _text(talk, team) if team else "")
    return found


def _cheapest(bonds: list[tuple[float, Run, CornerRef]]) -> list[tuple[float, tuple[Run, CornerRef]]]:
    bonds.sort(key=lambda bond: bond[0])
    return [(cost, (run, anchor)) for cost, run, anchor in bonds[:12]]


def _weakness(talk: Words, anchor: CornerRef) -> float:
    """What speaks against the colour's introducing anybody."""
    words = talk.norm[anchor.start : anchor.end]
    before = [talk.norm[i] for i in range(max(anchor.start - 3, 0), anchor.start) if not talk.space[i]]
    if before[-1:] == ["in"] or before[-2:] == ["in", "the"]:
        return 0.0
    plain = (
        words[0] == "in" or words[-1] in ("singlet", "corner") or talk.after(anchor.end) in {":", "is", "'s"}
    )
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
    cost = 0.0
    for between in runs:
        if between.start >= low and between.end <= high:
            if between.kind == "person":
                cost += _COST_PERSON
            free |= set(range(between.start - 1, between.end))
    cost += _COST_COLOUR * sum(a.start >= low and a.end <= high for a in anchors)
    links = _links()
    for i in range(low, high):
        if i in free or talk.norm[i] in links or talk.lower[i] in links:
            continue
        if talk.space[i]:
            cost += _COST_LINE if "\n" in talk.text[i] else 0.0
        elif talk.norm[i] == "and":
            cost += _COST_AND
        elif talk.lower[i] in _breaks():
            cost += _COST_END
        else:
            cost += _COST_WORD
    return cost


@lru_cache(maxsize=1)
def _links() -> frozenset[str]:
    teams = {word for link in phrase_list("teams", "links") for word in link.split()}
    return word_list("introductions", "links") | teams


@lru_cache(maxsize=1)
def _breaks() -> frozenset[str]:
    return word_list("introductions", "breaks")


def _team_of(
    talk: Words, run: Run, anchor: CornerRef, runs: list[Run], used: list[Run], anchors: list[CornerRef]
) -> Run | None:
    """The team that the introduction names with ``run``: between name and colour, or next behind both."""
    low, high = min(run.start, anchor.start), max(run.end, anchor.end)
    inside = [r for r in runs if r.kind == "team" and low <= r.start and r.end <= high]
    if inside:
        return inside[0]
    stops = [r.start for r in used if r.start >= high] + [a.start for a in anchors if a.start >= high]
    limit = min([*stops, high + 14])
    names = {talk.norm[k] for r in used for k in range(r.start, r.end)}
    for other in runs:
        if not high <= other.start < limit:
            continue
        gap = [talk.lower[i] for i in range(high, other.start)]
        if any(mark in _breaks() for mark in gap):
            return None
        if any(
            talk.norm[k] in names or any(variant(talk.norm[k], n) for n in names)
            for k in range(other.start, other.end)
        ):
            return None
        if other.kind == "team" or (gap in ([","], []) and other not in used):
            return other
    return None


def _team_elsewhere(talk: Words, run: Run, runs: list[Run]) -> Run | None:
    """A team that another sentence ties to the name: "N is from T"."""
    surname = talk.norm[run.end - 1]
    for last, team in pairwise(runs):
        if team.kind == "team" and last.kind == "person" and talk.norm[last.end - 1] == surname:
            gap = {talk.norm[i] for i in range(last.end, team.start)}
            if len(gap) <= 3 and gap & link_starts() and gap <= _links():
                return team
    return None


def _text(talk: Words, run: Run) -> str:
    """The run as a name is written; captions in lower case get capitals."""
    parts = [talk.text[k] for k in range(run.start, run.end) if not talk.space[k]]
    joined = re.sub(r" ([-']) ?", r"\1", " ".join(parts)).strip(" '")
    if talk.cased:
        return joined
    small = word_list("names", "particles") | {"of", "the"}
    return " ".join(word if word in small else word.capitalize() for word in joined.split())


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
            if i and name_like(talk, i - 1) and not is_common(talk.norm[i - 1])
        )
        if before:
            words.insert(0, before.most_common(1)[0][0])
            if not talk.cased:
                words[0] = words[0].capitalize()
    return " ".join(words)
