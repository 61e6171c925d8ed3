"""Whatever is said, a record comes of it, and a legal one: properties over drawn talk."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extract.bout import extract_bout
from extract.lexicon import load_lexicon
from extract.log import infer
from extract.rules import get_ruleset
from extract.transcript import Transcript
from tests.made_talk import bout_file, check, heard, transcript

STYLES = ("freestyle", "greco", "collegiate", "scholastic")
_FREE = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])

# What the finders look for, strung together without sense: it reaches far more of the program than arbitrary text.
_FORMS = sorted({form for style in STYLES for entry in load_lexicon(style).entries for form in entry.forms})
_WORDS = st.one_of(
    st.sampled_from(_FORMS),
    st.sampled_from(
        ["one", "two", "three", "four", "five", "nothing", "2", "4", "10", "3-1", "2-2", "to", "for"]
    ),
    st.sampled_from(["red", "blue", "Felmouth", "Strandlow", "Kestrel Bay", "Marrowick", "the coach"]),
    st.sampled_from([",", ".", "!", "?", "-", "1:20", ":15", "ten seconds left", "a minute to go"]),
)
_LINES = st.lists(
    st.tuples(st.integers(0, 90), st.lists(_WORDS, max_size=9).map(" ".join)), min_size=1, max_size=14
)


def _talk(lines: list[tuple[int, str]]) -> Transcript:
    timed, t = [], 0.0
    for gap, text in lines:
        t += gap
        timed.append((t, text))
    return transcript(*timed)


@settings(_FREE, max_examples=60)
@given(lines=_LINES, rules=st.sampled_from(STYLES), paragraphs=st.booleans())
def test_strung_together_words_give_a_sound_record(
    lines: list[tuple[int, str]], rules: str, paragraphs: bool
) -> None:
    talk = replace(_talk(lines), format="block" if paragraphs else "srt")
    check(extract_bout(talk, bout_file(rules)), talk)


@settings(_FREE, max_examples=50)
@given(texts=st.lists(st.text(max_size=60), max_size=6), known=st.booleans())
def test_arbitrary_text_gives_a_sound_record(texts: list[str], known: bool) -> None:
    talk = transcript(*texts)
    check(extract_bout(talk, bout_file() if known else None), talk)


def _apply_all(talk: Transcript, rules: str) -> None:
    """Asks the rules whether the log is legal, event by event."""
    ruleset = get_ruleset(rules)
    log = infer(heard(*((c.start, c.text) for c in talk.cues), rules=rules).mentions, ruleset, talk.seconds)
    if any(event.entry.overturned is not None for event in log.events):
        return  # A review may undo what later events stood on: rules.replay is lenient there too.
    state = ruleset.initial()
    for event in log.events:
        state = ruleset.apply(state, event.entry.move)
    assert state.score == log.board[-1][1]


# Whole sentences of a bout in any order: most draws award something.
_SAID = [
    "Takedown, red! Two points.",
    "Step-out, one, blue.",
    "And two more for red.",
    "Exposure, two, Strandlow!",
    "Two-nothing, red.",
    "It's two-two.",
    "Four-two, Felmouth.",
    "Strandlow leads three-two.",
    "The red corner throws the brick.",
    "Red wins the challenge.",
    "The challenge is lost, one for blue.",
    "Waved off, no points.",
    "No, sorry, three-one.",
    "That's the horn.",
    "Second period, here we go.",
    "Caution blue, one for red.",
    "Escape, one, blue.",
    "Near fall, two, red.",
    "Passivity on blue.",
    "Blue leads on criteria.",
    "Felmouth by two.",
    "That's a pin, blue!",
    "Two minutes left.",
]


@settings(_FREE, max_examples=40)
@given(
    lines=st.lists(st.tuples(st.integers(1, 60), st.sampled_from(_SAID)), min_size=3, max_size=20),
    rules=st.sampled_from(STYLES),
)
def test_any_order_of_sentences_gives_a_sound_record(lines: list[tuple[int, str]], rules: str) -> None:
    talk = _talk(lines)
    check(extract_bout(talk, bout_file(rules)), talk)


@settings(_FREE, max_examples=40)
@given(
    lines=st.lists(st.tuples(st.integers(1, 60), st.sampled_from(_SAID)), min_size=3, max_size=20),
    rules=st.sampled_from(STYLES),
)
def test_any_order_of_sentences_gives_a_legal_log(lines: list[tuple[int, str]], rules: str) -> None:
    """The rules, asked event by event, allow the log."""
    _apply_all(_talk(lines), rules)


def test_an_award_named_late_leaves_a_legal_log() -> None:
    """In a style without a step-out three points of blue's are told, the last of them then as an escape."""
    said = "Step-out, one, blue."
    lines = [(1, said), (1, said), (3, said), (3, "Strandlow leads three-two."), (1, "Escape, one, blue.")]
    _apply_all(_talk(lines), "collegiate")


def test_no_score_below_nothing_and_no_time_before_the_start() -> None:
    talk = transcript(
        (1, "Step-out, one, blue."), (2, "Red wins the challenge."), (3, "Near fall, two, red.")
    )
    check(extract_bout(talk, bout_file("collegiate")), talk)


@settings(_FREE, max_examples=12)
@given(lines=st.lists(st.tuples(st.integers(1, 40), st.sampled_from(_SAID)), min_size=1, max_size=10))
def test_the_same_talk_gives_the_same_record(lines: list[tuple[int, str]]) -> None:
    talk = _talk(lines)
    assert extract_bout(talk, bout_file()) == extract_bout(talk, bout_file())


def test_evidence_keeps_its_place_in_the_source() -> None:
    """Markup that the reader took out counts in the offsets."""
    source = "<i>Takedown,</i> red! <b>Two</b> points."
    plain, origin, inside = "", [], False
    for position, character in enumerate(source):
        if character in "<>":
            inside = character == "<"
        elif not inside:
            plain += character
            origin.append(position)
    talk = transcript("Here we go.", plain, "Two-nothing, red.")
    marked = replace(talk.cues[1], origin=(*origin, len(source)))
    record = extract_bout(replace(talk, cues=(talk.cues[0], marked, talk.cues[2])), bout_file())
    (evidence,) = next(e for e in record.events if e.points).evidence
    assert evidence.cue == 2
    assert source[evidence.start :].startswith("Takedown,</i> red!")
    assert source[evidence.end - len("points") : evidence.end] == "points"


@pytest.mark.parametrize("rules", STYLES)
def test_unknown_names_and_no_bout_file(rules: str) -> None:
    talk = transcript("Takedown, red, two points.", "Two-nothing, red.")
    check(extract_bout(talk, rules=rules), talk)
