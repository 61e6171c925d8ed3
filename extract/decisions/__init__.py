"""Decisions of people on a bout. They are kept in a file beside the record and are facts when the bout is read."""

from extract.decisions.fold import Force, in_force
from extract.decisions.journal import Journal, MovedOn, read_decisions
from extract.decisions.model import (
    ChallengeIs,
    Decision,
    EventIs,
    QuotedWords,
    ResultIs,
    ScoreIs,
    SidesAre,
)
from extract.decisions.place import DecidedTalk, place_decisions, with_sides

__all__ = [
    "ChallengeIs",
    "DecidedTalk",
    "Decision",
    "EventIs",
    "Force",
    "Journal",
    "MovedOn",
    "QuotedWords",
    "ResultIs",
    "ScoreIs",
    "SidesAre",
    "in_force",
    "place_decisions",
    "read_decisions",
    "with_sides",
]
