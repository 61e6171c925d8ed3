"""Which style a talk is in, told by its words."""

from __future__ import annotations

import pytest

from extract.talk.style import heard_style
from tests.lexicon.conftest import Put
from tests.made_talk import transcript


@pytest.mark.parametrize(
    ("talk", "told"),
    [
        ("a fine evening", ("freestyle", False)),
        ("the shot clock", ("freestyle", False)),
        ("the shot clock after that Step-out!", ("freestyle", True)),
        ("an escape", ("collegiate", False)),
        ("an escape, and riding time", ("collegiate", True)),
        ("an escape and an exposure", ("freestyle", False)),
        ("two escapes, an escape and an exposure", ("collegiate", True)),
        ("a gut wrench, a leg lace, par terre", ("greco", True)),
        ("an escape, riding time, stalling: no legs", ("greco", True)),
        ("high school", ("freestyle", False)),
        ("high school stalling", ("collegiate", False)),
        ("high school stalling, an escape", ("scholastic", True)),
        ("high school stalling, an escape, exposure, step out, push out", ("scholastic", True)),
        ("greco, high school stalling, an escape", ("greco", True)),
    ],
)
def test_words_tell_the_style(talk: str, told: tuple[str, bool]) -> None:
    assert heard_style(transcript(talk)) == told


def test_a_style_of_another_sport_takes_part_in_the_race(put: Put) -> None:
    put("styles/judo", '[style]\ntells = ["tatami", "waza ari", "judogi"]\n')
    assert heard_style(transcript("a waza-ari")) == ("judo", False)
    assert heard_style(transcript("a waza-ari on the tatami")) == ("judo", True)
    assert heard_style(transcript("a waza-ari, a step-out")) == ("freestyle", False)
    # A word of a variant of another sport does not outweigh more words of this one.
    assert heard_style(transcript("a waza-ari on the tatami, no legs")) == ("judo", True)
    assert heard_style(transcript("tatami, step out, par terre")) == ("greco", True)
