"""Time code: there and back at every rate, and drop-frame against published examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.export.timecode import RATES, BadTimecode, FrameRate, frame_at, frame_of, label, seconds_of

rates = st.sampled_from(sorted(RATES)).map(RATES.__getitem__)


def test_the_rates() -> None:
    assert sorted(RATES, key=float) == ["23.976", "24", "25", "29.97", "30", "50", "59.94", "60"]
    assert all(abs(float(rate.per_second) - float(name)) < 0.001 for name, rate in RATES.items())


@given(rates, st.data())
def test_every_frame_of_a_day_has_a_time_code_of_its_own(rate: FrameRate, data: st.DataObject) -> None:
    frame = data.draw(st.integers(0, rate.day - 1))
    assert frame_of(label(frame, rate), rate) == frame
    assert label(frame + rate.day, rate) == label(frame, rate)
    assert label((frame + 1) % rate.day, rate) > label(frame, rate) or frame + 1 == rate.day


@given(rates, st.floats(0, 86_000))
def test_a_time_comes_back_within_half_a_frame(rate: FrameRate, seconds: float) -> None:
    frame = frame_at(seconds, rate)
    assert abs(seconds_of(frame, rate) - seconds) <= 0.5 / float(rate.per_second) + 1e-9
    assert frame_at(seconds_of(frame, rate), rate) == frame


@given(st.floats(0, 86_000))
def test_drop_frame_keeps_up_with_the_clock(seconds: float) -> None:
    """What it is for: within a day it is less than a tenth of a second off, besides the two frames of a minute."""
    hours, minutes, rest = label(frame_at(seconds, RATES["29.97"]), RATES["29.97"]).split(":")
    whole, frames = rest.split(";")
    shown = int(hours) * 3600 + int(minutes) * 60 + int(whole) + int(frames) / 30
    assert abs(shown - seconds) < 0.2


def test_a_minute_skips_its_first_two_numbers() -> None:
    # David Heidelberger, "Drop-Frame Timecode", https://davidheidelberger.com/2010/06/10/drop-frame-timecode: after
    # 12:38:59;29 comes 12:39:00;02.
    rate = RATES["29.97"]
    frame = frame_of("12:38:59;27", rate)
    assert [label(frame + n, rate) for n in range(5)] == (
        ["12:38:59;27", "12:38:59;28", "12:38:59;29", "12:39:00;02", "12:39:00;03"]
    )


def test_frames_of_the_first_minute() -> None:
    # SMPTE ST 12-1, drop-frame time code: the numbers 00 and 01 are left out at the start of a minute. The first minute
    # has all its 60 x 30 = 1800 frames, so frame 1800 is 00:01:00;02, and without dropping 00:01:00:00.
    assert frame_of("00:01:00;02", RATES["29.97"]) == 1800
    assert label(1800, RATES["30"]) == "00:01:00:00"


def test_an_hour_skips_108_numbers() -> None:
    # SMPTE ST 12-1, drop-frame time code: two numbers are left out in each minute but for those that can be divided by
    # ten. In an hour that is 2 x (60 - 6) = 108.
    rate = RATES["29.97"]
    assert frame_of("01:00:00;00", rate) == 3600 * 30 - 108
    assert label(frame_of("00:09:59;29", rate) + 1, rate) == "00:10:00;00"


@pytest.mark.parametrize(
    ("text", "rate", "why"),
    [
        ("1:00:00:00", "25", "is no time code"),
        ("٠١:00:00:00", "25", "is no time code"),
        ("00:00:00:25", "25", "frame 24"),
        ("24:00:00:00", "25", "23:59:59"),
        ("00:60:00:00", "25", "23:59:59"),
        ("00:00:00;00", "25", "is drop-frame"),
        ("00:01:00;01", "29.97", "leaves out"),
    ],
)
def test_what_is_no_time_code(text: str, rate: str, why: str) -> None:
    with pytest.raises(BadTimecode, match=why):
        frame_of(text, RATES[rate])


def test_drop_frame_may_be_typed_with_colons() -> None:
    assert frame_of("10:01:00:02", RATES["29.97"]) == frame_of("10:01:00;02", RATES["29.97"])
