"""What the desk shows: the report's view of a bout, with the possible decisions beside each entry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from extract.checks.words import clock_text, kind_text
from extract.desk.folder import Listed
from extract.record import Event, Guess
from extract.record.html import templates_of
from extract.record.model import Doubt
from extract.report.page import TEMPLATES, shown
from extract.rules import get_ruleset
from extract.rules.base import WARNINGS, Ruleset
from extract.rules.kinds import KINDS

if TYPE_CHECKING:
    from extract.desk.bout import DeskBout, DeskState

_TEMPLATES = Path(__file__).with_name("templates")


def view_html(bout: DeskBout, state: DeskState) -> str:
    """The part of the page that a decision changes."""
    return templates_of(_TEMPLATES, TEMPLATES).get_template("desk_view.html.j2").render(**_view(bout, state))


def desk_page(bout: DeskBout, state: DeskState, *, base: str, listed: bool) -> str:
    """The whole page of a bout. ``base`` is the beginning of all addresses of the desk. ``listed`` says that there is
    a list of bouts to go back to."""
    page = templates_of(_TEMPLATES, TEMPLATES).get_template("desk.html.j2")
    return page.render(**_view(bout, state), name=bout.name, base=base, listed=listed)


def list_page(bouts: Sequence[Listed], base: str) -> str:
    """The bouts of a folder."""
    return (
        templates_of(_TEMPLATES).get_template("list.html.j2").render(bouts=bouts, base=base, clock=clock_text)
    )


def _view(bout: DeskBout, state: DeskState) -> Mapping[str, Any]:
    record = state.record
    rules = get_ruleset(record.bout.rules, record.bout.edition, None, record.bout.age_group)
    return {
        **shown(record, bout.transcript),
        "revision": state.revision,
        "awards": _awards(rules),
        "conflicts": state.force.conflicts,
        "answers": {n: _answers(doubt) for n, doubt in enumerate(record.doubts)},
        "worth": _worth,
        "who": _who,
        "ways": (
            "points",
            "criteria",
            "superiority",
            "fall",
            "disqualification",
            "injury",
            "forfeit",
            "unknown",
        ),
    }


def _awards(rules: Ruleset) -> list[tuple[str, str]]:
    """What may be given in the style, with each number of points that it can bring: the value of a choice and its
    words."""
    out = []
    for kind, data in KINDS.items():
        if kind in rules.kinds() and data.does not in ("mark", "lot"):
            for points in rules.points_of(kind):
                out.append((f"{kind}|{points}", kind_text(kind) + (f", {points}" if points else "")))
    return out


def _worth(event: Event) -> str:
    """The choice of ``_awards`` that an event is."""
    return f"{event.kind}|{event.points}"


def _who(event: Event) -> str:
    """The corner that is credited, or warned."""
    return (event.against if event.kind in WARNINGS else event.corner) or ""


def _answers(doubt: Doubt) -> list[tuple[str, str, Mapping[str, Any]]]:
    """The answers to a doubt: the key, the words, the decision. The first is that the record has it right."""
    out: list[tuple[str, str, Mapping[str, Any]]] = []
    about = {"what": doubt.about, "ref": doubt.ref}
    if doubt.ref is not None or doubt.about == "result":
        out.append(("y", f"right: {doubt.text}", {**about, "do": "accept"}))
    elif doubt.others and doubt.others[0].to is not None:
        # If the record lacks an entry, "right" means that it is right to lack it.
        out.append(("y", f"right: {doubt.text}", {**about, "do": "remove", "to": dict(doubt.others[0].to)}))
    for number, guess in enumerate(doubt.others, 1):
        decision = _decision(doubt, guess)
        if decision is not None:
            out.append((str(number), guess.text, {**about, **decision}))
    if doubt.ref is not None and all(guess.to is not None for guess in doubt.others):
        if doubt.about in ("event", "challenge"):
            out.append(("x", "no such thing", {**about, "do": "remove"}))
        elif doubt.about == "score":
            out.append(("x", "no score of this bout", {**about, "do": "change", "to": {"said": None}}))
    return out


def _decision(doubt: Doubt, guess: Guess) -> Mapping[str, Any] | None:
    """The decision that makes an answer hold. None if no single decision can."""
    if guess.to is None:
        return {"do": "remove"}
    if not guess.to:
        return None
    return {"do": "change" if doubt.ref is not None else "add", "to": dict(guess.to)}
