"""The bout that ``extract/log/README.md`` works through in numbers: its talk and its readings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from extract.log import default_parameters
from extract.log.facts import NO_FACTS
from extract.log.hypothesis import Hypothesis
from extract.log.model import Model
from extract.log.moments import Moments
from extract.log.periods import TimeSigns, periods
from extract.log.search import Beam, _in_time, _taken, _ticks, opening
from extract.log.uncalled_events import UncalledEvents
from extract.mentions import hear
from extract.mentions.model import MarkMention, Mention
from extract.rules import get_ruleset
from extract.rules.base import BOUNDS
from tests.made_talk import transcript

#: When each cue begins, seconds, and what is said in it.
TALK = (
    (4.0, "Brisk in red, Tallow in blue. Here we go!"),
    (20.0, "Takedown, two for Brisk!"),
    (31.0, "Two-nothing."),
    (55.0, "Three-nothing, Brisk."),
    (70.0, "Takedown Tallow, two!"),
    (80.0, "Three-two, Brisk."),
)
#: How many readings of each step are shown.
SHOWN = 4


@dataclass(frozen=True, slots=True)
class Example:
    """The bout: what is heard in it, the model, and the readings kept after each mention, the best first."""

    mentions: tuple[Mention, ...]
    model: Model
    beams: dict[int, list[Hypothesis]]


@cache
def example() -> Example:
    """The bout, searched as the program does it."""
    talk = transcript(*TALK)
    heard = hear(talk, "freestyle", None)
    mentions = tuple(heard.mentions)
    rules, parameters = get_ruleset("freestyle"), default_parameters()
    moments = Moments(heard.passages, parameters)
    model = Model(rules, parameters, UncalledEvents(rules, parameters), talk.first_word, moments=moments)
    marks = [m for m in mentions if isinstance(m, MarkMention)]
    frame = periods(TimeSigns(marks, [], talk.seconds, talk.first_word), rules, parameters)
    size = Beam(int(parameters.get("beam", "width")), parameters.get("beam", "margin"))
    beam, beams = [opening(model)], {}
    for step in _in_time(mentions, _ticks(frame, NO_FACTS, model), NO_FACTS, model):
        beam = _taken(step, beam, model, NO_FACTS, size)[0]
        if step.position is not None:
            beams[step.position] = beam
    return Example(mentions, model, beams)


def readings_after(index: int) -> None:
    """Prints the best readings after a mention: log probability, board, events, and what the last score is taken for."""
    for reading in example().beams[index][:SHOWN]:
        print(f"{reading.logp:6.2f}  {'-'.join(map(str, reading.score))}  {'; '.join(_parts(reading))}")


def _parts(reading: Hypothesis) -> Iterator[str]:
    for entry in reading.entries:
        if entry.move.kind not in BOUNDS:
            called = "" if entry.basis == "called" else ", nobody called it"
            yield f"{entry.move.kind} {entry.move.corner} {entry.move.points}{called}"
    if reading.said is not None:
        said = reading.said.item
        yield f"said {said.said[0]}-{said.said[1]}: {said.verdict}"
