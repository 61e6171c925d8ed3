"""The keys of the live desk, the same in a terminal and on its page: one meaning each, and as at the correction desk
where it has one like it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from extract.desk.keys import Key
from extract.live.model import Answer

#: Keys that answer the flag that is shown, and what each says.
ANSWERS: Mapping[str, Answer] = MappingProxyType({"1": "right", "2": "slip", "3": "other_bout"})
NEXT, PREVIOUS, CORRECT, MOMENT, UNDO = "j", "k", "m", "h", "u"
#: Only in a terminal.
QUIT = "q"

KEYS = (
    Key(("1",), "1", "the stated score was right"),
    Key(("2",), "2", "a slip: the flag is right"),
    Key(("3",), "3", "it was about another bout"),
    Key((NEXT,), NEXT, "next flag"),
    Key((PREVIOUS,), PREVIOUS, "previous flag"),
    Key(("y",), "y", "copy the sentence to read out"),
    Key((CORRECT,), CORRECT, "correct the score; Enter saves, Escape cancels"),
    Key((MOMENT,), MOMENT, "the score at a moment"),
    Key((UNDO,), UNDO, "undo the last answer or correction"),
    Key(("?",), "?", "this list"),
)
