"""What the desk shows: the questions, and the report's view of a bout with the possible corrections beside each entry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from extract.checks.words import clock_text, kind_text, won_by_text
from extract.desk.folder import Listed
from extract.desk.keys import KEYS
from extract.desk.questions import lines_around, questions
from extract.record import Event
from extract.record.bout_words import ending_text, short_sides
from extract.record.html import templates_of
from extract.report.page import TEMPLATES, shown
from extract.rules import get_ruleset
from extract.rules.base import WARNINGS, Ruleset
from extract.rules.kinds import KINDS

if TYPE_CHECKING:
    from extract.desk.bout import DeskBout, DeskState

_TEMPLATES = Path(__file__).with_name("templates")
_WAYS = ("points", "criteria", "superiority", "fall", "disqualification", "injury", "forfeit", "unknown")


def view_html(bout: DeskBout, state: DeskState) -> str:
    """The part of the page that a correction changes."""
    return templates_of(_TEMPLATES, TEMPLATES).get_template("desk_view.html.j2").render(**_view(bout, state))


def desk_page(bout: DeskBout, state: DeskState, *, base: str, listed: bool) -> str:
    """The whole page of a bout. ``base`` is the beginning of all addresses of the desk. ``listed`` says that there is
    a list of bouts to go back to."""
    page = templates_of(_TEMPLATES, TEMPLATES).get_template("desk.html.j2")
    return page.render(**_view(bout, state), name=bout.name, base=base, listed=listed, keys=KEYS)


def list_page(bouts: Sequence[Listed], base: str) -> str:
    """The bouts of a folder."""
    page = templates_of(_TEMPLATES).get_template("list.html.j2")
    return page.render(bouts=bouts, base=base, ending=lambda record: ending_text(record, short_sides(record)))


def _view(bout: DeskBout, state: DeskState) -> Mapping[str, Any]:
    record = state.record
    rules = get_ruleset(record.bout.rules, record.bout.edition, None, record.bout.age_group)
    sides = short_sides(record)
    unsaid = [e for e in record.events if e.basis == "inferred" and e.points and not e.decided]
    return {
        **shown(record, bout.transcript),
        "revision": state.revision,
        "undo": state.undo,
        "redo": state.redo,
        "awards": _awards(rules),
        "conflicts": state.force.conflicts,
        "questions": questions(record, bout.transcript, sides),
        "unsaid": [(event, lines_around(bout.transcript, event.t, ())) for event in unsaid],
        "clock": clock_text,
        "worth": _worth,
        "who": _who,
        "ways": [(way, won_by_text(way) or "not known") for way in _WAYS],
    }


def _awards(rules: Ruleset) -> list[tuple[str, str]]:
    """What may be given in the style, with each number of points that it can bring: the value of a choice and its
    words."""
    out = []
    for kind, data in KINDS.items():
        if kind in rules.kinds() and data.does not in ("mark", "lot"):
            for points in rules.points_of(kind):
                out.append((f"{kind}|{points}", kind_text(kind) + (f" ({points})" if points else "")))
    return out


def _worth(event: Event) -> str:
    """The choice of ``_awards`` that an event is."""
    return f"{event.kind}|{event.points}"


def _who(event: Event) -> str:
    """The corner that is credited, or warned."""
    return (event.against if event.kind in WARNINGS else event.corner) or ""
