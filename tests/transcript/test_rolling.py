"""Rolling captions: what a caption only shows again, and what is said twice."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.transcript import read_transcript

LINES = [
    "so here we go again",
    "three nothing",
    "he is in on a single leg",
    "two",
    "and that makes it five nothing now",
    "no no",
    "out of bounds",
]


def _at(seconds: float) -> str:
    return f"00:{int(seconds) // 60:02d}:{seconds % 60:06.3f}"


def _tagged(line: str, start: float, lasts: float) -> str:
    """A line as recognisers write it: a time before each word but the first."""
    first, *rest = line.split()
    step = lasts / (len(rest) + 1)
    return first + "".join(f"<{_at(start + step * k)}><c> {word}</c>" for k, word in enumerate(rest, 1))


def _rolling(lines: list[str], pauses: list[float], *, tags: bool, fillers: bool) -> str:
    """Each caption under the last line of the one before; with ``fillers``, the line stays for a moment by itself."""
    text, now, before = "WEBVTT\nKind: captions\n\n", 1.0, " "
    for line, pause in zip(lines, pauses, strict=True):
        new = _tagged(line, now, 2) if tags else line
        text += f"{_at(now)} --> {_at(now + 2)} align:start\n{before}\n{new}\n\n"
        if fillers:
            text += f"{_at(now + 2)} --> {_at(now + 2.01)} align:start\n{line}\n \n\n"
        now += 2.01 + pause
        before = line
    return text


def _texts(read, text: str) -> list[str]:
    return [cue.text for cue in read(text).cues]


@pytest.mark.parametrize("tags", [True, False])
@pytest.mark.parametrize("fillers", [True, False])
@pytest.mark.parametrize("pauses", [[0] * 7, [15, 40, 0, 13, 120, 30, 0], [60] * 7])
def test_lines_shown_again_are_said_once_whatever_the_pause(read, tags, fillers, pauses) -> None:
    text = _rolling(LINES, pauses, tags=tags, fillers=fillers)
    assert _texts(read, text) == LINES


def test_word_times_tell_a_line_shown_again_where_little_rolls(read) -> None:
    text = "WEBVTT\n\n"
    for n in range(12):
        text += f"{_at(20 * n)} --> {_at(20 * n + 2)}\n{_tagged(f'this is line {n}', 20 * n, 2)}\n\n"
    shown = f"this is line 11\n{_tagged('three nothing', 240, 2)}"
    text += f"{_at(240)} --> {_at(242)}\n{shown}\n\n"
    assert _texts(read, text)[-1] == "three nothing"


def test_line_shown_again_alone_after_a_pause(read) -> None:
    text = _rolling(LINES, [0] * 7, tags=True, fillers=False)
    text += f"{_at(60)} --> {_at(61)}\n{LINES[-1]}\n\n"
    assert _texts(read, text) == LINES


def test_line_with_word_times_of_its_own_is_said_again(read) -> None:
    twice = [*LINES[:3], LINES[2], *LINES[3:]]
    text = "WEBVTT\n\n"
    for n, line in enumerate(twice):
        text += f"{_at(2 * n)} --> {_at(2 * n + 2)}\n{_tagged(line, 2 * n, 2)}\n\n"
    assert _texts(read, text) == twice
    # The same where the captions roll.
    assert _texts(read, _rolling(twice, [0] * 8, tags=True, fillers=True)) == twice


@pytest.mark.parametrize("said", ["Two!", "Two points", "Two points for the red corner"])
@pytest.mark.parametrize("format", ["srt", "vtt"])
def test_words_said_twice_at_once_where_nothing_rolls(read, said: str, format: str) -> None:
    talk = ["Here we go", said, said, "Blue is up", "Stalling", "Stalling", "Out"]
    text = "WEBVTT\n\n" if format == "vtt" else ""
    for n, line in enumerate(talk):
        text += f"{_at(2 * n)} --> {_at(2 * n + 2)}\n{line}\n\n"
    assert _texts(read, text) == talk


def test_short_cry_answered_on_two_lines_where_nothing_rolls(read) -> None:
    talk = ["Here we go", "Two!", "Two!\nThat is the takedown", "Blue is up", "Out", "Back in", "Time"]
    text = "".join(f"{_at(2 * n)} --> {_at(2 * n + 2)}\n{line}\n\n" for n, line in enumerate(talk))
    assert _texts(read, text) == talk


def test_captions_cut_into_pieces_of_the_same_text(read) -> None:
    """As live captions are stored: a piece of the same text for each second for which it is shown."""
    talk = ["Takedown for the red corner", "And he leads by two", "Out of bounds there", "Back in the middle"]
    text = "".join(
        f"{_at(4 * n + 2 * k)} --> {_at(4 * n + 2 * k + 2)}\n{line}\n\n"
        for n, line in enumerate(talk)
        for k in (0, 1)
    )
    assert [(cue.text, cue.end - cue.start) for cue in read(text).cues] == [(line, 4.0) for line in talk]


TALK = ["Takedown, red!", "Two!", "Two!", "Red leads two nil", "Out", "Two!"]


@pytest.mark.parametrize("format", ["srt", "vtt", "ttml", "asr"])
@pytest.mark.parametrize("times", [2, 3])
def test_doubled_cues_are_one(read, format: str, times: int) -> None:
    def write(times: int) -> str:
        cues = [(2 * n, 2 * n + 2, line) for n, line in enumerate(TALK) for _ in range(times)]
        if format == "asr":
            return json.dumps([{"start": a, "end": b, "text": f" {line}"} for a, b, line in cues])
        if format == "ttml":
            body = "".join(f'<p begin="{a}s" end="{b}s">{line}</p>' for a, b, line in cues)
            return f'<tt xmlns="http://www.w3.org/ns/ttml"><body><div>{body}</div></body></tt>'
        head = "WEBVTT\n\n" if format == "vtt" else ""
        return head + "".join(f"{_at(a)} --> {_at(b)}\n{line}\n\n" for a, b, line in cues)

    one, many = read(write(1)), read(write(times))
    assert [(cue.start, cue.end, cue.text) for cue in many.cues] == [
        (cue.start, cue.end, cue.text) for cue in one.cues
    ]
    assert [cue.index for cue in many.cues] == [times * k + 1 for k in range(len(TALK))]


def test_doubled_words_of_a_recogniser_are_one(read) -> None:
    words = [{"word": w, "start": n, "end": n + 0.5} for n, w in enumerate(["Two", "two", "red."])]
    doubled = [word for word in words for _ in (0, 1)]
    assert read(json.dumps({"words": doubled})).cues == read(json.dumps({"words": words})).cues


def test_two_voices_at_the_same_time_are_two(read) -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\n<v Ida>Two!\n\n00:01.000 --> 00:02.000\n<v Mo>Two!\n"
    assert [cue.speaker for cue in read(text).cues] == ["Ida", "Mo"]


@pytest.mark.parametrize("form", ["[0:0{n}] {text}\n", "0:0{n},{text}\n"])
def test_paragraphs_and_notes_are_doubled_only_where_all_are(read, form: str) -> None:
    """Typed times are of whole seconds: two things may be noted at the same one."""
    rows = [form.format(n=n, text=text) for n, text in enumerate(["Two red", "One blue", "Out", "Time"], 1)]
    assert len(read("".join(rows)).cues) == 4
    assert read("".join(row * 2 for row in rows)).cues[0].end == read("".join(rows)).cues[0].end
    assert len(read("".join(row * 2 for row in rows)).cues) == 4
    assert len(read(rows[0] + "".join(rows)).cues) == 5


@given(
    pauses=st.lists(st.sampled_from([0, 0.2, 1, 9, 11, 60, 600]), min_size=3, max_size=8),
    tags=st.booleans(),
    fillers=st.booleans(),
)
def test_any_pauses(tmp_path_factory, pauses, tags, fillers) -> None:
    said = [f"this is turn {n}" for n in range(len(pauses))]
    path = tmp_path_factory.mktemp("talks") / "talk.vtt"
    path.write_text(_rolling(said, pauses, tags=tags, fillers=fillers))
    found = read_transcript(path)
    assert [cue.text for cue in found.cues] == said
    assert all(cue.end - cue.start < 2.5 for cue in found.cues)
