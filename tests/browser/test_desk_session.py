"""A whole session: a bout that the program reads wrong is brought to what is true of it, in few strokes."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

from extract.labelled import Truth
from extract.labelled.measures import match
from extract.labelled.truth import read_truth
from extract.record import Event, Record
from tests.browser.desks import Hand
from tests.desk.served import ROOT, Served, put, serving

BOUT = ROOT / "benchmarks" / "later_bouts" / "wta-04.csv"
#: The time allowed of an award, seconds, as for the measures's calls.
NEAR_S = 12.0
#: The most keys and clicks for five entries that are put right.
MOST_STROKES = 18


def wrong(record: Record, truth: Truth) -> list[str]:
    """Each award of the truth that the record lacks or has otherwise (side, points, time, overturned), each that it has
    besides, each challenge that came out otherwise, and another end."""
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
    out += [f"challenge {c}" for c in truth.challenges if (c.by, c.outcome) not in told]
    end = truth.result
    same_end = (record.result.winner, record.result.score) == (end.winner, (end.red, end.blue))
    return out if same_end else [*out, f"result {record.result}"]


def award(served: Served, name: str, points: int, t: float) -> Event:
    """The award of so many points in the record that is nearest to a moment of the recording."""
    awards = (e for e in served.record(name).events if e.points == points)
    return min(awards, key=lambda e: abs(e.t - t))


def test_five_wrong_entries_in_eighteen_strokes(page: Page, tmp_path: Path) -> None:
    """Notes whose writer put blue first, which the program takes for red: sides, a challenge and the end are wrong, and two
    awards that the notes do not time stand too far away."""
    truth = read_truth(BOUT.with_name(f"{BOUT.stem}.truth.json"))
    name = put(tmp_path, BOUT)
    with serving(tmp_path, name) as served:
        amiss = wrong(served.record(name), truth)
        assert len([each for each in amiss if each.startswith("lacks")]) >= 5
        assert any(each.startswith("challenge") for each in amiss)
        assert any(each.startswith("result") for each in amiss)
        page.goto(served.address)
        hand = Hand(page)
        # The last takedown was the other wrestler's. The order of the numbers follows from that, and all that hangs on it.
        hand.click(page.locator(f"#{award(served, name, 2, 423).id} a.at"))
        hand.decide("o")
        # Two that stand at the wrong time.
        hand.click(page.locator(f"#{award(served, name, 2, 0).id} a.at"))
        hand.decide("h", *"1:36", "Enter")
        hand.click(page.locator(f"#{award(served, name, 1, 100).id} a.at"))
        hand.decide("h", *"1:17", "Enter")
        assert wrong(served.record(name), truth) == []
        assert hand.strokes <= MOST_STROKES, hand.log
