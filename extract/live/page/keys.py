"""The keys of the page: one meaning each, the same as at the correction desk where it has one like it."""

from __future__ import annotations

from extract.desk.keys import Key

KEYS = (
    Key(("1",), "1", "the stated score was right"),
    Key(("2",), "2", "a slip: the flag is right"),
    Key(("3",), "3", "it was about another bout"),
    Key(("j",), "j", "next flag"),
    Key(("k",), "k", "previous flag"),
    Key(("y",), "y", "copy the sentence to read out"),
    Key(("m",), "m", "correct the score; Enter saves, Escape cancels"),
    Key(("h",), "h", "the score at a moment"),
    Key(("u",), "u", "undo the last answer or correction"),
    Key(("?",), "?", "this list"),
)
