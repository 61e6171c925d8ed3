"""Accounts without times: what an entry is, headings, stamps that are no times, the newest entry first."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from extract.errors import InputError
from extract.transcript import Transcript, read_transcript, transcript_files
from extract.transcript.by_order import TURNED
from extract.transcript.decode import SourceText
from extract.transcript.headings import bout_heading, period_heading
from extract.transcript.read import transcript_in


def _read(text: str, name: str = "account.txt") -> Transcript:
    return transcript_in(SourceText(name, name, text, "0" * 64))


def _texts(transcript: Transcript) -> list[str]:
    return [cue.text for cue in transcript.cues]


def _lines(transcript: Transcript) -> list[int]:
    assert transcript.order is not None
    return [transcript.order.line(cue.start) for cue in transcript.cues]


def test_each_line_is_an_entry() -> None:
    found = _read("Vell takedown 2-0\n\nTor steps her out 2-1\nVell takedown 4-1\n")
    assert found.format == "lines"
    assert found.by_order
    assert found.typed
    assert _texts(found) == ["Vell takedown 2-0", "Tor steps her out 2-1", "Vell takedown 4-1"]
    assert [cue.index for cue in found.cues] == [1, 2, 3]
    assert _lines(found) == [1, 3, 4]
    # The times are no more than places in the order, and all gaps are alike.
    assert [b.start - a.start for a, b in zip(found.cues, found.cues[1:], strict=False)] == [20.0, 20.0]
    assert any("no times of a recording" in notice for notice in found.notices)


def test_wrapped_lines_make_a_paragraph() -> None:
    text = (
        "Vell opens with a slow hand fight and works her way in on the left leg, and\n"
        "after a long scramble she comes up behind for the takedown and leads by\n"
        "two points to none.\n\n"
        "Tor answers before the break. She gets the edge with a hard push and takes\n"
        "the step out, so that it is two to one after the first three minutes of a\n"
        "tight bout. Nothing else happens.\n"
    )
    found = _read(text)
    assert len(found.cues) == 2
    assert not found.typed
    assert found.order is not None
    # A long entry is read as several parts, each at its own line.
    assert found.order.lines[0] == 1
    assert set(found.order.lines) > {1, 5}
    assert len(found.order.lines) > 2


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("1st period", 1), ("-- second --", 2), ("2nd", 2), ("Period two", 2), ("P2", 2), ("Second Period:", 2),
        ("PERIOD 3", 3), ("** 3rd period **", 3), ("third:", 3), ("[Period 1]", 1), ("Per. 2", 2), ("2nd half", 2),
        ("Round 1", 1), ("period #3", 3), ("Start of the second period", 2), ("First", 1), ("2nd - Tor bottom", 2),
        ("OT", None), ("Overtime:", None), ("SV1", None), ("sudden victory", None), ("TB 2", None),
    ],
)  # fmt: skip
def test_headings_of_periods(line: str, number: int | None) -> None:
    found = period_heading(line)
    assert found is not None
    assert found.number == number


@pytest.mark.parametrize(
    "line",
    [
        "Second takedown for Vell",
        "First blood",
        "P2 over",
        "1st period ends 3-2",
        "2-0",
        "2 for red",
        "Period 12",
        "Third place",
    ],
)
def test_no_headings_of_periods(line: str) -> None:
    assert period_heading(line) is None


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ("Ada Vell vs Bea Tor", True), ("Ada Vell (Harrow) vs. Bea Tor (Pell)", True), ("brisk v tallow", True),
        ("65 kg: Ada Vell against Bea Tor", True), ("#3 Vell vs #2 Tor, 125 lbs, final", True), ("== 65 kg ==", False),
        ("Bout 4", False), ("125 lbs:", False),
    ],
)  # fmt: skip
def test_headings_of_bouts(line: str, named: bool) -> None:
    found = bout_heading(line)
    assert found is not None
    assert found.named == named


@pytest.mark.parametrize(
    "line",
    [
        "Vell is up against it now",
        "It is Vell against Tor in the final",
        "2-0 vs 3-1",
        "Vell takedown",
        "Vell holds 2 vs 1",
    ],
)
def test_no_headings_of_bouts(line: str) -> None:
    assert bout_heading(line) is None


def test_headings_are_read_as_such() -> None:
    found = _read("Vell vs Tor\nP1\nVell takedown\n2nd: Tor bottom\nTor escape\nOT\nVell takedown\n")
    assert _texts(found) == [
        "Vell vs Tor", "first period", "Vell takedown", "second period", "Tor bottom", "Tor escape", "overtime",
        "Vell takedown",
    ]  # fmt: skip
    assert [cue.heading for cue in found.cues] == [True, *[False] * 7]
    assert _lines(found) == [1, 2, 3, 4, 4, 5, 6, 7]
    head = found.cues[3]
    assert (head.source_position(0), head.source_position(len(head.text))) == (0, len("2nd"))


def test_clock_times_at_the_head_of_some_lines_are_times_left() -> None:
    found = _read(
        "P1\nVell takedown 2-0\n2:15 - Tor steps her out 2-1\n(1:40) Vell takedown\n0:30 left, Tor takedown\n"
    )
    assert found.order is not None
    assert _texts(found)[2:] == [
        "2:15 left; Tor steps her out 2-1", "1:40 left; Vell takedown", "0:30 left, Tor takedown"
    ]  # fmt: skip
    own = "(1:40) Vell takedown"
    cue = found.cues[3]
    assert own[cue.source_position(cue.text.index("Vell")) :] == "Vell takedown"


@pytest.mark.parametrize(
    "stamps",
    [
        ("7:05 pm", "7:06 pm", "7:06 pm", "7:09 pm"),
        ("11:58 a.m.", "11:59 a.m.", "12:01 p.m.", "12:02 p.m."),
        ("[7:05 PM]", "[7:06 PM]", "[7:08 PM]", "[7:09 PM]"),
        # Nobody talks so fast that these were minutes and seconds of a recording.
        ("19:05", "19:06", "19:06", "19:07"),
        ("12:41", "12:41", "12:42", "12:43"),
    ],
)
def test_times_of_day_tell_the_order_alone(stamps: tuple[str, ...]) -> None:
    said = [
        "Vell opens with a takedown at the edge of the mat, and leads by two to nothing",
        "Tor comes back at once and pushes her over the line for one, two to one the score",
        "Second takedown for Vell, who is quicker today, and she has four to one on the board",
        "Final score four to one, and Vell goes through to the last four in this weight",
    ]
    lines = [f"{stamp} {text}" for stamp, text in zip(stamps, said, strict=True)]
    forward, back = _read("\n".join(lines)), _read("\n".join(reversed(lines)))
    for found in (forward, back):
        assert found.by_order
        assert _texts(found) == said
    assert _lines(forward) == [1, 2, 3, 4]
    assert _lines(back) == [4, 3, 2, 1]
    assert TURNED in back.notices
    assert TURNED not in forward.notices


@pytest.mark.parametrize(
    "text",
    [
        "Vell vs Tor\n2:05 - Vell takedown, 2-0\nTor step out, 2-1\nTor takedown\nVell takedown\n",
        "P1\n1:05 - Vell takedown, 2-0\nTor step out, 2-1\nTor warned\nP2\n2:40 - Tor takedown\nVell takedown\nFinal\n",
    ],
    ids=["one", "one in each period"],
)
def test_a_clock_time_here_and_there_is_no_time_of_a_recording(text: str) -> None:
    found = _read(text)
    assert found.by_order
    assert any(" left; " in said for said in _texts(found))


def test_times_of_a_recording_stay_what_they_are() -> None:
    for text in (
        "[19:05] Takedown Vell\n[19:12] Two to one\n[19:20] Four to one\n[19:31] Final\n",
        "7:05 Takedown\n7:19 Two to one\n7:31 Four to one\n",
    ):
        assert _read(text).order is None


NEWEST = {
    "list": "4. Vell wins\n3. Vell takedown\n2. Tor step out\n1. Vell takedown\n",
    "scores": "Vell takedown 4-1\nTor step out 2-1\nVell takedown 2-0\nHand fight\n",
    "words": "Final: Vell by points, 4-1\nTor step out\nVell takedown, 2-0\nUp next: Vell in red, Tor in blue\n",
    "clock": "0:20 left Vell takedown\nTor step out\n1:10 left Tor step out\n2:40 left Vell takedown\nHand fight\n",
    "periods": "Vell takedown\nP3\nTor escape\nP2\nVell takedown\nP1\n",
}


@pytest.mark.parametrize("text", NEWEST.values(), ids=NEWEST.keys())
def test_a_page_with_its_newest_entry_first_is_turned_round(text: str) -> None:
    lines = text.splitlines()
    back, forward = _read(text), _read("\n".join(reversed(lines)))
    assert back.order is not None
    assert forward.order is not None
    assert back.order.newest_first
    assert not forward.order.newest_first
    assert _texts(back) == _texts(forward)
    assert _lines(back) == [len(lines) + 1 - line for line in _lines(forward)]


def test_title_and_headings_above_their_entries_stay_above_them() -> None:
    found = _read("Vell vs Tor\nP2\nVell takedown 4-1\nTor step out 2-1\nP1\nVell takedown 2-0\nHand fight\n")
    assert _texts(found) == [
        "Vell vs Tor", "first period", "Hand fight", "Vell takedown 2-0", "second period", "Tor step out 2-1",
        "Vell takedown 4-1",
    ]  # fmt: skip


def test_a_table_without_times() -> None:
    rows = ["1,Vell,T2,2-0", "1,Tor,S1,2-1", "2,Vell,T2,4-1", "2,Vell,T2,6-1"]
    found = _read("per,wrestler,code,score\n" + "\n".join(rows) + "\n", "bout.csv")
    assert _texts(found) == [
        "first period; Vell T2; 2-0", "Tor S1; 2-1", "second period; Vell T2; 4-1", "Vell T2; 6-1"
    ]  # fmt: skip
    assert _lines(found) == [2, 3, 4, 5]
    turned = _read("per,wrestler,code,score\n" + "\n".join(reversed(rows)) + "\n", "bout.csv")
    assert _texts(turned) == _texts(found)
    assert _lines(turned) == [5, 4, 3, 2]


def test_a_table_without_times_with_a_column_for_each_side() -> None:
    found = _read("period,red,blue\n1,T2,\n1,,S1\n2,T2,\n", "bout.csv")
    assert _texts(found) == ["first period; red T2", "blue S1", "second period; red T2"]


def test_pages_with_several_bouts() -> None:
    found = _read(
        "Vell vs Tor\nVell takedown\n\n70 kg\nOrrell vs Crewe\nCrewe takedown\n\nBrisk vs Pell\nPell pin\n"
    )
    assert found.order is not None
    assert [found.cues[k].text for k in found.order.bouts] == ["Vell vs Tor", "70 kg", "Brisk vs Pell"]
    one = _read("Harrow vs Pell\nAda Vell vs Bea Tor\nVell takedown\n")
    assert one.order is not None
    assert one.order.bouts == ()


def test_accounts_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "mail.txt").write_text("Dear all,\nthe bus leaves at nine, or so.\n")
    (tmp_path / "README.txt").write_text("Vell vs Tor\nVell takedown 2-0\n")
    (tmp_path / "page.txt").write_text("Vell vs Tor\nVell takedown 2-0\n")
    (tmp_path / "table.csv").write_text("who,code,score\nVell,T2,2-0\nTor,S1,2-1\n")
    (tmp_path / "bus.csv").write_text("bus,leaves\nnine,or\n")
    assert [path.name for path in transcript_files(tmp_path)] == ["page.txt", "table.csv"]


_SAID = st.lists(
    st.sampled_from([
        "Vell takedown", "Tor steps out", "2-0", "Vell vs Tor", "P1", "-- second --", "OT", "65 kg", "1:20 left",
        "7:05 pm Two", "12:41 Final 3-1", "- Tor escape", "3. Vell", "ANNA: here we go", "", "   ", "a,b", "R,T2,2-0",
        "[", "(1:20)",
        "•",
        "2nd",
        "and on and on they go with nothing in it for either of the two but sweat and", "Ünïcode — «déjà»", "0:00",
    ]),
    max_size=14,
)  # fmt: skip


@given(_SAID)
@example(["- "])
@example(["P1", "P2"])
@example(["a vs b", "c vs d"])
def test_reading_never_crashes_and_keeps_the_order(lines: list[str]) -> None:
    text = "\n".join(lines)
    try:
        found = _read(text)
    except InputError:
        return
    if found.order is None:
        return
    starts = [cue.start for cue in found.cues]
    assert starts == sorted(starts)
    places = _lines(found)
    # With a heading above its entries a page that was turned round goes back and on.
    if not found.order.newest_first:
        assert places == sorted(places)
    assert all(1 <= place <= len(lines) for place in places)
    assert all(0 <= k < len(found.cues) for k in found.order.bouts)


@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    with contextlib.suppress(InputError):
        _read(text)


_WORDS = st.sampled_from(["Vell takedown", "Tor step out", "Hand fight", "Vell warned", "gut wrench Vell"])


@given(st.lists(st.tuples(st.integers(1, 3), _WORDS), min_size=4, max_size=12))
def test_turning_a_page_round_turns_its_entries_round(steps: list[tuple[int, str]]) -> None:
    total, lines = 0, []
    for points, words in steps:
        total += points
        lines.append(f"{words}, {total}-0")
    forward, back = _read("\n".join(lines)), _read("\n".join(reversed(lines)))
    assert _texts(back) == _texts(forward) == lines


def test_a_file_on_the_disk(tmp_path: Path) -> None:
    path = tmp_path / "account.txt"
    path.write_bytes("\ufeffVell takedown 2-0\r\nTor step out 2-1\r\n".encode("utf-16"))
    assert _texts(read_transcript(path)) == ["Vell takedown 2-0", "Tor step out 2-1"]
