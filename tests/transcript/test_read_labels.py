"""Labels of speakers in the text of captions and segments."""

from __future__ import annotations

import json

import pytest

TALK = [
    "Here we go, first period, and red shoots early",
    "Takedown, two for red",
    "That is a good start, and he keeps the pressure on",
    "Blue is back up",
    "Score: 3-1 to the red corner at the break",
    "And they are set again in the middle of the mat",
]


def _file(talk: list[str], format: str) -> str:
    cues = [(2 * n + 1, 2 * n + 3, text) for n, text in enumerate(talk)]
    if format == "asr":
        return json.dumps([{"start": a, "end": b, "text": text} for a, b, text in cues])
    if format == "ttml":
        body = "".join(f'<p begin="{a}s" end="{b}s">{text}</p>' for a, b, text in cues)
        return f'<tt xmlns="http://www.w3.org/ns/ttml"><body><div>{body}</div></body></tt>'.replace(
            "\n", "<br/>"
        )
    head = "WEBVTT\n\n" if format == "vtt" else ""
    return head + "".join(f"00:00:{a:02d}.000 --> 00:00:{b:02d}.000\n{text}\n\n" for a, b, text in cues)


@pytest.mark.parametrize("format", ["srt", "vtt", "ttml", "asr"])
@pytest.mark.parametrize(
    "labels", [("ANNA",), ("Anna", "Ben Ode"), ("Speaker 1", "Speaker 2"), ("ANNA", "BEN")]
)
def test_labels_of_all_cues(read, format: str, labels: tuple[str, ...]) -> None:
    who = [labels[n % len(labels)] for n in range(len(TALK))]
    cues = read(_file([f"{name}: {text}" for name, text in zip(who, TALK, strict=True)], format)).cues
    assert [cue.text for cue in cues] == TALK
    assert [cue.speaker for cue in cues] == who
    assert cues[0].source_position(0) == len(who[0]) + 2


@pytest.mark.parametrize("label", ["ANNA", "Speaker 1"])
def test_label_where_the_speaker_changes(read, label: str) -> None:
    talk = [*TALK[:3], f"{label}: {TALK[3]}", TALK[4], f"{label}: {TALK[5]}"]
    cues = read(_file(talk, "srt")).cues
    assert ([cue.text for cue in cues], cues[3].speaker) == (TALK, label)


def test_letters_before_a_colon_once_are_talk(read) -> None:
    talk = [*TALK, "SR: five attacks, three converted", "JW: good at the edge"]
    assert [cue.text for cue in read(_file(talk, "srt")).cues] == talk


def test_labels_on_the_lines_of_a_caption(read) -> None:
    talk = [*TALK[:3], "ANNA: Two for red\nBEN: Yes, and he\nearned it", *TALK[4:]]
    talk += ["BEN: It was a good one", "ANNA: It was"]
    found = [(cue.speaker, cue.text) for cue in read(_file(talk, "vtt")).cues if cue.index == 4]
    assert found == [("ANNA", "Two for red"), ("BEN", "Yes, and he\nearned it")]


def test_all_in_capitals(read) -> None:
    talk = [f"{'ANNA' if n % 2 else 'BEN'}: {text.upper()}" for n, text in enumerate(TALK)]
    assert [cue.text for cue in read(_file(talk, "srt")).cues] == [text.upper() for text in TALK]
    # Where few have one, a word before a colon may be of the talk.
    talk = [text.upper() for text in TALK[:-2]] + ["ADVICE: KEEP THE HEAD UP", "ADVICE: STAY ON TOP"]
    assert {cue.speaker for cue in read(_file(talk, "srt")).cues} == {None}


@pytest.mark.parametrize(
    "label",
    ["Red", "RED", "Score", "SCORE", "Takedown", "Points", "WARNING", "Passivity", "Blue corner", "Result"],
)
def test_what_tells_of_the_bout_is_no_speaker(read, label: str) -> None:
    talk = [f"{label}: {text}" for text in TALK]
    assert [cue.text for cue in read(_file(talk, "srt")).cues] == talk


def test_list_of_who_scored_has_no_speakers(read) -> None:
    """A name and what is scored, and no talk: the names are those of the athletes."""
    talk = ["Varga: takedown", "Tern: escape", "Varga: takedown 4-1", "Varga: near fall", "Tern: reversal"]
    for case in (str, str.upper):
        written = [case(text) for text in talk]
        assert [cue.text for cue in read(_file(written, "srt")).cues] == written


def test_name_before_a_colon_now_and_then_is_talk(read) -> None:
    talk = [
        *TALK,
        "Varga: still the one to beat in this weight",
        *TALK,
        "Varga: what a shot that was from him",
    ]
    assert [cue.text for cue in read(_file(talk, "srt")).cues] == talk


def test_voices_of_the_format_go_before_labels(read) -> None:
    cues = read("WEBVTT\n\n00:01.000 --> 00:02.000\n<v Ida>ANNA: Two for the red corner\n").cues
    assert [(cue.speaker, cue.text) for cue in cues] == [("Ida", "ANNA: Two for the red corner")]
