"""Finds the team that an introduction names with an athlete."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from extract.cast.model import CornerRef
from extract.cast.name_runs import Run, link_starts, variant
from extract.cast.opponents import parts
from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import Words

#: A team told after name and colour begins within so many tokens.
_REACH = 14


@lru_cache(maxsize=1)
def free_words() -> frozenset[str]:
    """Words that may stand between a colour and the name it belongs to at no cost."""
    teams = {word for link in phrase_list("teams", "links") for word in link.split()}
    return word_list("introductions", "links") | teams


@lru_cache(maxsize=1)
def breaks() -> frozenset[str]:
    """Marks that end a sentence."""
    return word_list("introductions", "breaks")


def team_of(
    talk: Words, run: Run, span: tuple[int, int], runs: list[Run], used: list[Run], anchors: list[CornerRef]
) -> Run | None:
    """The team of the person of ``run``, who is introduced in the tokens ``span``: the one whose the name is said to be
    ("T's N"), the one between name and colour, or the next behind both; else one that another sentence ties to the
    name. ``used`` are the runs that are athletes' names."""
    owners = {person: team for team in runs if (person := _owned(talk, team, runs)) is not None}
    if run in owners:
        return owners[run]
    free = [r for r in runs if r not in owners.values()]
    return _introduced(talk, span, free, used, anchors) or _elsewhere(talk, run, free)


def _owned(talk: Words, team: Run, runs: list[Run]) -> Run | None:
    """The person of a team: "T's N"."""
    if team.kind != "team" or talk.after(team.end) != "'s" or not talk.after(team.end + 1):
        return None
    return next((run for run in runs if run.kind == "person" and run.start == team.end + 1), None)


def _introduced(
    talk: Words, span: tuple[int, int], runs: list[Run], used: list[Run], anchors: list[CornerRef]
) -> Run | None:
    low, high = span
    inside = [r for r in runs if r.kind == "team" and low <= r.start and r.end <= high]
    if inside:
        return inside[0]
    stops = [r.start for r in used if r.start >= high] + [a.start for a in anchors if a.start >= high]
    limit = min([*stops, high + _REACH])
    names = {talk.norm[k] for r in used for k in range(r.start, r.end)}
    for other in runs:
        if not high <= other.start < limit:
            continue
        gap = [talk.lower[i] for i in range(high, other.start)]
        if any(mark in breaks() for mark in gap) or parts(talk, high, other.start):
            return None
        if any(
            talk.norm[k] in names or any(variant(talk.norm[k], n) for n in names)
            for k in range(other.start, other.end)
        ):
            return None
        beside = gap in ([","], []) and not talk.broken(high - 1, other.start + 1)
        if other.kind == "team" or (beside and other not in used):
            return other
    return None


def _elsewhere(talk: Words, run: Run, runs: list[Run]) -> Run | None:
    """A team that another sentence ties to the name: "N is from T"."""
    surname = talk.norm[run.end - 1]
    for last, team in pairwise(runs):
        if team.kind == "team" and last.kind == "person" and talk.norm[last.end - 1] == surname:
            gap = {talk.norm[i] for i in range(last.end, team.start)}
            tied = gap & link_starts() and not talk.broken(last.end - 1, team.start + 1)
            if len(gap) <= 3 and tied and gap <= free_words():
                return team
    return None
