"""Finds the team that an introduction names with an athlete."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain, pairwise, product

from extract.cast.about import owns
from extract.cast.model import CornerRef, NameRun
from extract.cast.name_runs import variant
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
    owners = _owners(talk, runs)
    free = [r for r in runs if r not in owners.values()]
    low, high = span
    inside = (r for r in free if r.kind == "team" and low <= r.start and r.end <= high)
    starts = [part.start for part in chain[NameRun | CornerRef](used, anchors) if part.start >= high]
    ahead = [r for r in free if high <= r.start < min([high + _REACH, *starts])]
    return (
        owners.get(run)
        or next(inside, None)
        or _following(talk, high, ahead, used)
        or _elsewhere(talk, run, free)
    )


def _owners(talk: TalkWords, runs: Sequence[NameRun]) -> dict[NameRun, NameRun]:
    """The team of each person whose name follows it as its own: "T's N"."""
    people = {run.start: run for run in runs if run.kind == "person"}
    owning = [run for run in runs if run.kind == "team" and owns(talk, run.end) and talk.after(run.end + 1)]
    return {people[team.end + 1]: team for team in owning if team.end + 1 in people}


def _following(
    talk: TalkWords, high: int, runs: Sequence[NameRun], used: Sequence[NameRun]
) -> NameRun | None:
    """The team among ``runs``, which come after name and colour end at ``high``."""
    names = {talk.norm[k] for run in used for k in range(run.start, run.end)}
    for run in runs:
        again = product(talk.norm[run.start : run.end], names)
        other = talk.parted(high, run.start) or sets_apart(talk, high, run.start)
        if other or any(word == name or variant(word, name) for word, name in again):
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
