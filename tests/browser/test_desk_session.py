"""A whole session: a bout that the program reads wrong is brought to what is true of it, in few strokes."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from extract.labelled import Truth
from extract.labelled.measures import match
from extract.labelled.truth import read_truth
from extract.record import Record
from tests.browser.desks import Hand
from tests.desk.served import ROOT, Served, put, serving

BOUTS = ROOT / "benchmarks" / "bouts"
#: The time allowed of an award, seconds, as for the measures's calls.
NEAR_S = 12.0
#: What the issue allows for five wrong events.
MOST_STROKES = 40


def wrong(record: Record, truth: Truth) -> list[str]:
    """Each award of the truth that the record lacks or has otherwise (side, points, time, taken off), each that it has
    besides, and each challenge that came out otherwise."""
    true = [e for e in truth.events if e.points]
    have = [e for e in record.events if e.points]
    pairs = match(
        true,
        have,
        NEAR_S,
        lambda a, b: (a.corner, a.points, a.status) == (b.corner, b.points, b.status),
    )
    out = [f"lacks {e}" for k, e in enumerate(true) if k not in {i for i, _ in pairs}]
    out += [f"has {e}" for k, e in enumerate(have) if k not in {j for _, j in pairs}]
    told = [(c.by, c.outcome) for c in record.challenges]
    return out + [f"challenge {c}" for c in truth.challenges if (c.by, c.outcome) not in told]


def row(served: Served, name: str, t: float) -> str:
    """The time link of the event that stands nearest to a moment of the recording."""
    event = min((e for e in served.record(name).events if e.points), key=lambda e: abs(e.t - t))
    return f"#{event.id} a.at"


@pytest.mark.skip(
    reason="the program reads this bout nearly right now: another one with five wrong awards is wanted"
)
def test_five_wrong_events_in_under_forty_strokes(page: Page, tmp_path: Path) -> None:
    """The bout of ``benchmarks/bouts`` in which the program has most awards wrong; it was written by another hand."""
    truth = read_truth(BOUTS / "m-02.truth.json")
    name = put(tmp_path, BOUTS / "m-02.json")
    with serving(tmp_path, name) as served:
        lacking = [each for each in wrong(served.record(name), truth) if each.startswith("lacks")]
        assert len(lacking) >= 5
        page.goto(served.address)
        hand = Hand(page)
        # The challenge was won: the touch for red goes, one for blue comes, and later ones fall into place.
        hand.click(page.locator("#h1 a.at"))
        hand.decide("w")
        # Two that stand at the wrong time.
        hand.click(page.locator(row(served, name, 16.9)))
        hand.decide("t", *"0:39", "Enter")
        # The one at 2:41 is right, and is not to move into the gap.
        hand.click(page.locator(row(served, name, 161.3)))
        hand.decide("y")
        hand.click(page.locator(row(served, name, 183.2)))
        hand.decide("t", *"2:20", "Enter")
        left = wrong(served.record(name), truth)
        print(f"{hand.strokes} strokes and clicks for {len(lacking)} wrong awards")
        assert left == []
        assert hand.strokes < MOST_STROKES
