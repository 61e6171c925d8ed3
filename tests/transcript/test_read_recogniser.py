from __future__ import annotations

import json

import pytest

from extract.transcript import recogniser_lines


def test_segments(read) -> None:
    tree = {
        "text": " Two for red. Good.",
        "language": "en",
        "segments": [
            {"id": 0, "start": 1.0, "end": 3, "text": " Two for red.", "speaker": "S0"},
            {"id": 1, "start": "3.0", "end": "0:04.5", "text": "Good."},
        ],
    }
    one, two = read(json.dumps(tree)).cues
    assert (one.index, one.start, one.end, one.text, one.speaker) == (1, 1.0, 3.0, "Two for red.", "S0")
    # The recogniser's blank before the text is a character of the source.
    assert (one.source_position(0), one.source_position(12)) == (1, 13)
    assert (two.index, two.start, two.end, two.text, two.speaker, two.origin) == (
        2,
        3.0,
        4.5,
        "Good.",
        None,
        (),
    )


def test_word_times_are_anchors(read) -> None:
    words = [
        {"word": " Two", "start": 1.25, "end": 1.5},
        {"word": " 2"},
        {"text": "for", "start": 2.0, "end": 2.1},
        {"word": "absent", "start": 2.2},
        {"word": " red.", "start": 2.5, "end": 2.9},
    ]
    tree = [{"start": 1, "end": 3, "text": " Two 2 for red.", "words": words}]
    (cue,) = read(json.dumps(tree)).cues
    assert cue.anchors == ((0, 1.25), (6, 2.0), (10, 2.5))
    assert cue.time_at(10) == 2.5


def test_segment_of_words_alone(read) -> None:
    words = [{"word": "Two", "start": 1}, {"word": "red", "start": 2}]
    (cue,) = read(json.dumps({"segments": [{"start": 1, "end": 3, "words": words}]})).cues
    assert (cue.text, cue.anchors) == ("Two red", ((0, 1.0), (4, 2.0)))


def test_words_alone(read) -> None:
    words = [
        {"text": "Two", "start": 1.0, "end": 1.2, "speaker": 0},
        {"text": "points", "start": 1.3, "end": 1.8, "speaker": 0},
        {"text": ".", "speaker": 0},
        {"text": "And", "start": 1.9, "end": 2.0, "speaker": 0},
        {"text": "off", "start": 3.5, "end": 3.9, "speaker": 0},
        {"text": "Yes", "start": 4.0, "end": 4.4, "speaker": 1},
    ]
    cues = read(json.dumps({"words": words})).cues
    assert [(cue.index, cue.text, cue.start, cue.end, cue.speaker) for cue in cues] == [
        (1, "Two points.", 1.0, 1.8, "0"),
        (2, "And", 1.9, 2.0, "0"),
        (3, "off", 3.5, 3.9, "0"),
        (4, "Yes", 4.0, 4.4, "1"),
    ]
    assert cues[0].anchors == ((0, 1.0), (4, 1.3))


def test_words_that_bring_their_blanks(read) -> None:
    words = [
        {"word": " Two", "start": 1},
        {"word": "-nil", "start": 1.5},
        {"word": " up", "start": 2, "end": 3},
    ]
    assert read(json.dumps({"words": words})).cues[0].text == "Two-nil up"


def test_half_a_surrogate_pair_and_nul_are_replaced(read) -> None:
    (cue,) = read('[{"start": 1, "end": 2, "text": "a\\ud83d\\u0000b"}]').cues
    assert cue.text == "a\ufffd\ufffdb"


SEGMENT = '{"start": 1, "end": 2, "text": "x"}'


@pytest.mark.parametrize(
    ("segment", "problem"),
    [
        ('{"end": 2, "text": "x"}', "segment 2 has no start time"),
        ('{"start": 1, "end": null, "text": "x"}', "segment 2 has no end time"),
        ('{"start": 3, "end": 2, "text": "x"}', "before its start"),
        ('{"start": -1, "end": 2, "text": "x"}', "is negative"),
        ('{"start": NaN, "end": 2, "text": "x"}', "not finite"),
        ('{"start": 1, "end": Infinity, "text": "x"}', "not finite"),
        ('{"start": 1, "end": 1e999, "text": "x"}', "not finite"),
        ('{"start": true, "end": 2, "text": "x"}', "broken time"),
        ('{"start": "soon", "end": 2, "text": "x"}', "broken time 'soon'"),
        ('{"start": 1, "end": 2}', "segment 2 has no text"),
        ('{"start": 1, "end": 2, "text": 5}', "segment 2 has no text"),
        ("7", "no object"),
    ],
)
def test_bad_segment_names_line(fail, segment: str, problem: str) -> None:
    text = f'{{"id": {{"segments": [0]}}, "segments": [\n {SEGMENT},\n\n {segment}], "x": 1}}'
    error = fail(text)
    assert problem in error.problem
    assert error.line == 4


def test_time_that_goes_back_names_line(fail) -> None:
    text = '[{"start": 9, "end": 9.5, "text": "x"},\n{"start": 2, "end": 3, "text": "y"}]'
    assert fail(text).line == 2


@pytest.mark.parametrize(
    ("text", "problem", "line"),
    [
        ('{"segments": [\n{"start": 1,,}]}', "does not parse", 2),
        ('{"segments": []}', "no cue", None),
        ('{"words": [\n{"word": "x"}]}', "word 1 has no start", 2),
        ('{"words": [{"word": "x", "start": 1},\n{"word": "y", "start": -2}]}', "is negative", 2),
        ('{"words": [\n3]}', "no object", 2),
        ('{"segments": [' + "[" * 100000, "does not parse", None),
        ('{"segments": [' + "9" * 5000 + "]}", "does not parse", None),
    ],
)
def test_bad_json(fail, text: str, problem: str, line: int | None) -> None:
    error = fail(text)
    assert problem in error.problem
    assert error.line == line


def test_json_of_something_else(fail) -> None:
    assert "no known format" in fail('{"name": "x"}').problem
    assert "without a list of segments" in fail('{"name": "x"}', "talk.json").problem
    assert "without segments" in fail('"x"', "talk.json").problem


def test_lines_of_segments_that_go_back_are_found_in_one_go(read, fail, monkeypatch) -> None:
    """Two people at once: every other start goes back a little. What that costs must not grow with its square."""
    segments = [
        f'{{"start": {n // 2 + 1 - n % 2 / 2}, "end": {n // 2 + 2}, "text": "x{n}"}}' for n in range(400)
    ]
    text = "[" + ",\n".join(segments)
    seen = 0

    class Counting(json.JSONDecoder):
        def raw_decode(self, s, idx=0):
            nonlocal seen
            seen += 1
            return super().raw_decode(s, idx)

    monkeypatch.setattr(recogniser_lines, "_DECODER", Counting(strict=False))
    assert len(read(text + "]").cues) == 400
    assert seen <= 400
    error = fail(text + ',\n{"start": 1, "end": 2, "text": "y"}]')
    assert (error.line, "goes back" in error.problem) == (401, True)


def test_segment_a_line(read, fail) -> None:
    lines = (
        '{"start": 1.0, "end": 3, "text": "Two for red.", "speaker": "S0", "id": 7, "final": true}\n\n'
        '{"start": 3.5, "end": 4, "text": "Good.", "words": [{"word": "Good.", "start": 3.75}]}\n'
    )
    one, two = read(lines, "talk.jsonl").cues
    assert (one.index, one.start, one.end, one.text, one.speaker) == (1, 1.0, 3.0, "Two for red.", "S0")
    assert (two.index, two.start, two.end, two.text, two.anchors) == (2, 3.5, 4.0, "Good.", ((0, 3.75),))
    assert fail(lines + '{"start": 5, "end": "x", "text": "-"}', "talk.jsonl").line == 4
    assert fail(lines + '{"start": 5, "en', "talk.jsonl").line == 4
