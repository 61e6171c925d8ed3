"""Markers and clips."""

from __future__ import annotations

import csv
import io
from itertools import pairwise

import pytest
from export_samples import LANTERN, sample_bouts

from extract.export.clips import clips, clips_csv
from extract.export.markers import markers_csv
from extract.export.timecode import RATES, frame_of
from extract.record import Flag, Record, SideInfo, from_json
from extract.record.model import BoutInfo
from extract.transcript import Transcript
from tests.record.record_example import make_event, make_record

FILM = RATES["25"]


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_golden_markers() -> None:
    lines = markers_csv(from_json(LANTERN), FILM, 0).split("\r\n")
    assert lines[0] == "timecode,type,name,note"
    assert lines[2] == (
        "00:00:46:09,event,takedown Skelvara 2,"
        '"Brannoway 0 - 2 Skelvara; Said: ""Two points, Skelvara, takedown"" at 0:46; confirmed, with what was scored '
        'next, by ""four-nothing"" (4-0 Skelvara) at 1:04."'
    )
    assert lines[4:6] == [
        "00:00:59:17,challenge,challenge by Brannoway,won",
        "00:01:20:18,challenge,challenge by Brannoway: won,",
    ]
    assert lines[6].startswith(
        '00:01:27:10,flag,old score,"said 4-0 Skelvara; should be 2-0 Skelvara; Out of date: '
    )


def test_golden_clips() -> None:
    lines = clips_csv(from_json(LANTERN), FILM, 0, 6.0, 4.0).split("\r\n")
    assert lines[:3] == [
        "start,end,start_timecode,end_timecode,label",
        '40.34,63.68,00:00:40:09,00:01:03:17,"takedown Skelvara 2 (Brannoway 0 - 2 Skelvara); exposure Skelvara 2 '
        '(Brannoway 0 - 4 Skelvara), overturned; challenge by Brannoway, won"',
        "138.39,148.39,00:02:18:10,00:02:28:10,step-out Brannoway 1 (Brannoway 1 - 2 Skelvara)",
    ]
    # Nobody mentioned it: the clip has all the time in which it can have been.
    assert lines[5].startswith('323.7,367.5,00:05:23:17,00:06:07:13,"takedown Brannoway 2')
    assert "not mentioned" in lines[5]


def test_start_timecode_is_added_and_drop_frame_is_written_so() -> None:
    record = make_record(flags=(), challenges=(), events=(make_event(1, 60.06),))
    start = frame_of("09:59:00;02", RATES["29.97"])
    # A minute of 1798 frames, then two frames of the ten-minute mark, which keeps all its numbers.
    assert markers_csv(record, RATES["29.97"], start).split("\r\n")[1].startswith("10:00:00;02,")
    assert markers_csv(record, FILM, 25 * 86_400 - 25 * 60).split("\r\n")[1].startswith("00:00:00:02,")


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_every_moment_is_in_one_clip_and_none_overlap(bout: tuple[Record, Transcript]) -> None:
    record = bout[0]
    found = clips(record, 6.0, 4.0)
    assert all(a.end <= b.start for a, b in pairwise(found))
    assert all(0 <= clip.start < clip.end for clip in found)
    moments = [e.t for e in record.events if e.points] + [c.t for c in record.challenges]
    assert all(sum(clip.start <= t <= clip.end for clip in found) >= 1 for t in moments)
    assert len(rows(clips_csv(record, FILM, 0, 0.0, 0.0))) >= len(found)


def test_clips_that_only_touch_stay_two_and_those_inside_another_do_not_cut_it() -> None:
    events = (make_event(1, 20.0), make_event(2, 30.0))
    record = make_record(events=events, challenges=())
    assert [(c.start, c.end) for c in clips(record, 6.0, 4.0)] == [(14.0, 24.0), (24.0, 34.0)]
    wide = make_event(3, 25.0, basis="inferred", t_range=(10.0, 60.0))
    record = make_record(events=(*events, wide), challenges=())
    assert [(c.start, c.end) for c in clips(record, 6.0, 4.0)] == [(4.0, 64.0)]


def test_markers_name_who_is_warned_and_who_gets_the_points() -> None:
    events = (
        make_event(1, 5.0, kind="passivity_warning", corner=None, against="blue", points=0),
        make_event(2, 6.0, kind="caution", corner="red", against="blue", points=1),
        make_event(3, 7.0, kind="period_end", corner=None, points=0, period=2),
        make_event(4, 8.0, kind="bout_end", corner=None, points=0),
    )
    record = make_record(events=events, flags=(), challenges=())
    assert [row["name"] for row in rows(markers_csv(record, FILM, 0))] == [
        "passivity warning against Brackett",
        "caution against Brackett, Varnholt 1",
        "period 2 end",
        "bout end",
    ]


def test_hostile_text_is_one_cell_and_no_formula() -> None:
    bad = '=cmd|"/c calc"!A1\r\n\x1b[2J,\ud800'
    bout = BoutInfo("freestyle", "2022", SideInfo(bad), SideInfo(bad), {})
    flag = Flag("f1", "score", "error", 3.0, 1, bad, bad, bad, bad)
    record = make_record(bout=bout, flags=(flag,), events=(make_event(1, 5.0, why=bad),))
    for text in (markers_csv(record, FILM, 0), clips_csv(record, FILM, 0, 6, 4)):
        text.encode("utf-8")
        found = list(csv.reader(io.StringIO(text, newline="")))
        assert len({len(row) for row in found}) == 1
        assert not any(cell[:1] in "=+-@" for row in found for cell in row if cell)
        assert "\x1b" not in text
