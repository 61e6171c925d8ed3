"""Finds the team that an introduction names with an athlete."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from extract.cast.about import owns
from extract.cast.model import CornerRef
from extract.cast.name_runs import NameRun, variant
from extract.cast.name_shapes import team_links
from extract.cast.opponents import sets_apart
from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import TalkWords

#: A team told after name and colour begins within so many words.
_REACH = 14


@lru_cache(maxsize=1)
def _link_words() -> frozenset[str]:
    return frozenset(word for link in phrase_list("teams", "links") for word in link.split())


@lru_cache(maxsize=1)
def free_words() -> frozenset[str]:
    """Words that may stand between a colour and the name it belongs to at no cost."""
    return word_list("introductions", "links") | _link_words()


def team_of(
    talk: TalkWords,
    run: NameRun,
    span: tuple[int, int],
    runs: Sequence[NameRun],
    used: Sequence[NameRun],
    anchors: Sequence[CornerRef],
) -> NameRun | None:
    """The team of the person of ``run``, who is introduced in the words ``span``: the one whose the name is said to be
    ("T's N"), the one between name and colour, or the next behind both; else one that another sentence ties to the
    name. ``used`` are the runs that are athletes' names."""
    people = {run.start: run for run in runs if run.kind == "person"}
    owners = {
        people[team.end + 1]: team
        for team in runs
        if team.kind == "team"
        and owns(talk, team.end)
        and talk.after(team.end + 1)
        and team.end + 1 in people
    }
    if run in owners:
        return owners[run]
    free = [r for r in runs if r not in owners.values()]
    return _introduced(talk, span, free, used, anchors) or _elsewhere(talk, run, free)


def _introduced(
    talk: TalkWords,
    span: tuple[int, int],
    runs: Sequence[NameRun],
    used: Sequence[NameRun],
    anchors: Sequence[CornerRef],
) -> NameRun | None:
    low, high = span
    for run in runs:
        if run.kind == "team" and low <= run.start and run.end <= high:
            return run
    starts = [*(run.start for run in used), *(anchor.start for anchor in anchors)]
    limit = min([high + _REACH, *(start for start in starts if start >= high)])
    names = {talk.norm[k] for run in used for k in range(run.start, run.end)}
    for run in runs:
        if not high <= run.start < limit:
            continue
        if talk.parted(high, run.start) or sets_apart(talk, high, run.start):
            return None
        if any(
            word in names or any(variant(word, n) for n in names) for word in talk.norm[run.start : run.end]
        ):
            return None
        beside = talk.lower[high : run.start] in ([], [","]) and not talk.broken(high - 1, run.start + 1)
        if run.kind == "team" or (beside and run not in used):
            return run
    return None


def _elsewhere(talk: TalkWords, run: NameRun, runs: Sequence[NameRun]) -> NameRun | None:
    """A team that another sentence ties to the name: "N is from T"."""
    surname = talk.norm[run.end - 1]
    for last, team in pairwise(runs):
        if team.kind == "team" and last.kind == "person" and talk.norm[last.end - 1] == surname:
            gap = set(talk.norm[last.end : team.start])
            tied = gap <= free_words() and gap & team_links().firsts
            if tied and len(gap) <= 3 and not talk.broken(last.end - 1, team.start + 1):
                return team
    return None
