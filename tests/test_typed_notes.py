"""Whole bouts in typed notes, as several people write them. All people are invented; what the shorthand means is common
practice of those who keep score."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.bout import extract_bout
from extract.cli.app import app
from extract.record.model import Record
from extract.transcript import read_transcript
from extract.transcript.bout_file import BoutFile, Side
from tests.made_talk import awards, bout_file, check, final, transcript

OAK = Side("Perrin Oakhurst", "Hollow Creek", ("OAK",))
WBN = Side("Joss Winterbourne", None, ("WBN",))


@dataclass(frozen=True)
class Hand:
    """Notes of one hand, what is known beforehand, and the awards that they tell of, as kind, corner and points."""

    name: str
    text: str
    rules: str
    awards: str
    known: BoutFile | None = None


FOLK = "takedown red 3, escape blue 1, takedown red 3, near_fall red 2, reversal blue 2, escape red 1, takedown blue 3"
FREE = "takedown red 2, exposure red 2, step_out blue 1, takedown blue 2, exposure blue 2, step_out red 1"
KNOWN = BoutFile("collegiate", None, None, OAK, WBN)

HANDS = (
    Hand("columns.csv", """video,per,clk,wrestler,code,score,remark
0:22,1,2:38,OAK,T3,3-0,low single
0:51,1,2:09,WBN,E1,3-1,
1:10,1,1:50,OAK,T3,6-1,double
2:05,1,0:55,OAK,N2,8-1,tilt
2:50,1,0:10,WBN,R2,8-3,
3:15,2,2:00,,,,OAK down
3:24,2,1:51,OAK,E1,9-3,
4:30,2,0:45,WBN,T3,9-6,
5:14,2,0:00,,,,
""", "collegiate", FOLK, KNOWN),
    Hand("code-name-score.txt", """0:22 T3 OAK 3-0
0:51 E1 WBN 3-1
1:10 T3 OAK 6-1
2:05 N2 OAK 8-1
2:50 R2 WBN 8-3
3:24 E1 OAK 9-3
4:30 T3 WBN 9-6
""", "collegiate", FOLK, KNOWN),
    Hand("letters-of-names.csv", """time,who,code,score
0:22,OAK,T3,3-0
0:51,WBN,E1,3-1
1:10,OAK,T3,6-1
2:05,OAK,N2,8-1
2:50,WBN,R2,8-3
3:24,OAK,E1,9-3
4:30,WBN,T3,9-6
""", "collegiate", FOLK, BoutFile("collegiate", None, None, Side("Perrin Oakhurst"), Side("Joss Winterbourne"))),
    Hand("countdown.txt", """Folkstyle 138 lbs
RED Perrin Oakhurst (HCU)
GRN Joss Winterbourne (SVT)
P1
2:38 R T3
2:09 G E1 3-1
1:50 R T3 6-1
0:55 R N2
0:10 G R2
P2
R bottom
1:51 R E1 9-3
0:45 G T3 9-6
""", "collegiate", FOLK),
    Hand("blue-first.txt", """0:14 T3 Green 3-0
0:40 E1 Red 3-1
2:20 T3 Red 3-4
3:01 P2 start, Green down
3:05 E1 Green 4-4
5:06 P3 start, Red down
5:30 E1 Red 4-5
""", "collegiate", "takedown blue 3, escape red 1, takedown red 3, escape blue 1, escape red 1"),
    Hand("glued.txt", """0:10 start
0:31 R td2 2-0
0:38 R gut2 4-0
1:30 B so1 4-1
3:10 end P1
3:42 start P2
4:20 B td2 4-3
4:24 B ll2 4-5
5:40 R so1 5-5
6:45 final 5-5
""", "freestyle", FREE),
    Hand("twice-at-once.txt", """0:31 R td2
0:35 R gut2
0:39 R gut2
1:30 B so1
""", "freestyle", "takedown red 2, exposure red 2, exposure red 2, step_out blue 1"),
    Hand("unknown-codes.txt", """0:31 R zz2 2-0
0:38 R yy2 4-0
1:30 B xx1 4-1
4:20 B zz2 4-3
""", "freestyle", "? red 2, ? red 2, ? blue 1, ? blue 2"),
    Hand("side-columns.csv", """time,red,blue,score
0:31,TD2,,2-0
0:44,EX2,,4-0
1:30,,SO1,4-1
4:20,,TD2,4-3
5:55,,EX2,4-5
6:40,SO1,,5-5
""", "freestyle", FREE),
    Hand("running-columns.csv", """t;action;athlete;score_blue;score_red;notes
0:31;takedown;red;0;2;double leg
0:44;gut wrench;red;0;4;
1:30;step out;blue;1;4;lazy
4:20;takedown;blue;3;4;
5:55;leg lace;blue;5;4;
6:40;step out;red;5;5;late
""", "freestyle", FREE),
    Hand("clock-only.csv", """period;clock;who;what;pts
1;2:31;R;takedown;2
1;2:16;R;gut;2
1;1:30;B;step out;1
2;2:20;B;takedown;2
2;0:50;B;exposure;2
2;0:10;R;step out;1
""", "freestyle", FREE),
    Hand("bullets.md.txt", """Freestyle final, 65 kg
Red: Perrin Oakhurst
Blue: Joss Winterbourne

- 00:46 — Red takedown (2–0)
- 01:10 — Red exposure (4–0)
- 02:20 — Blue step-out (4–1)
- 03:40 — Second period
- 05:02 — Blue takedown (4–3)
- 05:10 — Blue exposure (4–5)
- 06:20 — Red step-out (5–5)
""", "freestyle", FREE),
)  # fmt: skip


def record_of(hand: Hand, tmp_path: Path) -> Record:
    path = tmp_path / hand.name
    path.write_text(hand.text, encoding="utf-8")
    return extract_bout(read_transcript(path), hand.known)


@pytest.mark.parametrize("hand", HANDS, ids=lambda hand: hand.name)
def test_hands(hand: Hand, tmp_path: Path) -> None:
    record = record_of(hand, tmp_path)
    found = [f"{e.kind if '?' not in hand.awards else '?'} {e.corner} {e.points}" for e in awards(record)]
    assert (record.bout.rules, ", ".join(found)) == (hand.rules, hand.awards)
    assert all(event.basis == "called" for event in awards(record))
    assert [s.verdict for s in record.statements] == ["agrees"] * len(record.statements)


def test_headings_tell_style_and_names(tmp_path: Path) -> None:
    bout = record_of(HANDS[3], tmp_path).bout
    assert (bout.rules, bout.from_["rules"]) == ("collegiate", "heard")
    assert (bout.red.name, bout.red.team, bout.blue.name, bout.blue.team) == (
        "Perrin Oakhurst", "HCU", "Joss Winterbourne", "SVT",
    )  # fmt: skip


def test_a_heading_tells_nothing_of_what_happens(tmp_path: Path) -> None:
    hand = Hand("a.txt", "Last time 8-2, fall in the first\n" + HANDS[5].text, "freestyle", FREE)
    record = record_of(hand, tmp_path)
    assert [s.text for s in record.statements][:1] == ["2-0"]
    assert final(record) == (5, 5)


def test_the_clock_of_each_period_is_known(tmp_path: Path) -> None:
    for hand in (HANDS[0], HANDS[3]):
        shown = [(e.period, round(e.clock_s or 0)) for e in awards(record_of(hand, tmp_path))]
        # A call is told a moment after the award.
        assert all(abs(a[1] - b[1]) <= 3 and a[0] == b[0] for a, b in zip(shown, [
            (1, 158), (1, 129), (1, 110), (1, 55), (1, 10), (2, 111), (2, 45)
        ], strict=True))  # fmt: skip


@pytest.mark.parametrize("hand", HANDS, ids=lambda hand: hand.name)
def test_records_are_sound(hand: Hand, tmp_path: Path) -> None:
    path = tmp_path / hand.name
    path.write_text(hand.text, encoding="utf-8")
    talk = read_transcript(path)
    if talk.typed and not any(cue.origin for cue in talk.cues):
        check(extract_bout(talk, hand.known), talk)


@pytest.mark.parametrize("alias", ["OAK", "King"])
def test_an_alias_that_is_a_word_is_meant_where_it_is_written_so(tmp_path: Path, alias: str) -> None:
    known = BoutFile(
        "collegiate",
        None,
        None,
        Side("Perrin Vossler", None, (alias,)),
        Side("Joss Winterbourne", None, ("WBN",)),
    )
    text = HANDS[0].text.replace("OAK", alias)
    record = record_of(Hand("alias.csv", text, "collegiate", FOLK, known), tmp_path)
    assert ", ".join(f"{e.kind} {e.corner} {e.points}" for e in awards(record)) == FOLK


NOTHING = "time,wrestler,weight,remark\n0:22,Ann,60,moves well\n2:51,Bo,60,tired legs\n8:05,Ann,60,hm\n"


def test_nothing_understood(tmp_path: Path) -> None:
    record = record_of(Hand("nothing.csv", NOTHING, "freestyle", ""), tmp_path)
    first, second = record.flags
    assert (first.kind, first.severity, second.kind, second.severity) == (
        "nothing_understood",
        "error",
        "reading",
        "note",
    )
    assert first.why == (
        "Nothing was understood: 3 cues over 7:45 were read, and no points, no warning, no score and no end of a bout was "
        "heard in them."
    )
    assert second.why == "Columns not used: weight."
    assert (record.result.winner, record.result.by, record.result.confidence) == (None, "unknown", 0.0)


@pytest.mark.parametrize(
    "text",
    [
        NOTHING.replace("8:05,Ann,60,hm", "8:05,Ann,60,fall blue"),  # a bout that a fall ended
        NOTHING.replace("8:05,Ann,60,hm", "8:05,Ann,60,red injury default"),
        NOTHING.replace("8:05,Ann,60,hm", "8:05,Ann,60,still 0-0"),
        NOTHING.replace("8:05", "2:53").replace("2:51", "1:10").replace("2:53", "1:50"),  # a short talk
    ],
)  # fmt: skip
def test_something_understood(tmp_path: Path, text: str) -> None:
    record = record_of(Hand("something.csv", text, "freestyle", ""), tmp_path)
    assert "nothing_understood" not in {flag.kind for flag in record.flags}


def test_the_command_tells_what_is_not_used_and_does_not_pass_nothing(tmp_path: Path) -> None:
    path = tmp_path / "nothing.csv"
    path.write_text(NOTHING, encoding="utf-8")
    checked = CliRunner().invoke(app, ["check", str(path)])
    assert checked.exit_code == 1
    assert checked.stdout.startswith(
        f"{path}:0:0:00: nothing understood: Nothing was understood: 3 cues over 7:45 were read"
    )
    assert checked.stderr == f"saidscore: {path}: columns not used: weight\n"
    logged = CliRunner().invoke(app, ["log", str(path), "--out", str(tmp_path), "--quiet"])
    assert (logged.exit_code, logged.stdout, logged.stderr) == (0, "", checked.stderr)
    shown = CliRunner().invoke(app, ["log", str(path), "--out", str(tmp_path)]).stdout
    assert "0:00: NOTHING UNDERSTOOD\n    Nothing was understood" in shown
    assert "No result: nothing was understood\n" in shown
    cut = CliRunner().invoke(app, ["session", str(path), "--out", str(tmp_path), "--quiet"])
    assert (cut.exit_code, cut.stderr) == (0, checked.stderr)


def test_a_short_talk_late_in_a_recording_is_short() -> None:
    """What counts is how long the talk is, not what the recording's clock shows."""
    late = extract_bout(
        transcript((36000.0, "Well, here we are."), (36060.0, "And there they go.")), bout_file()
    )
    assert "nothing_understood" not in [flag.kind for flag in late.flags]
    long = extract_bout(
        transcript((36000.0, "Well, here we are."), (36180.0, "And there they go.")), bout_file()
    )
    assert "nothing_understood" in [flag.kind for flag in long.flags]
