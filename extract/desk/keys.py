"""The keys of the desk: one meaning each, none of them a letter by which people of the sport write a call."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Key:
    """Keys that do the same sort of thing: how the browser names them (``KeyboardEvent.key``), how they are shown, and
    what they do."""

    names: tuple[str, ...]
    shown: str
    does: str


KEYS = (
    Key(("j",), "j", "next question"),
    Key(("k",), "k", "previous question"),
    Key(("Enter",), "Enter", "the main answer: it is so; in a form: save"),
    Key(tuple("123456789"), "1 2 3", "that other answer"),
    Key(("Delete", "Backspace"), "Del", "did not happen, no score of this bout, no challenge"),
    Key(("o",), "o", "the other wrestler"),
    Key(("m",), "m", "edit; Escape cancels"),
    Key(("h",), "h", "another time"),
    Key(("-", "+"), "- +", "a second earlier, later"),
    Key(("a",), "a", "add points or a warning at the selected line"),
    Key(("g",), "g", "add a stated score at the selected line"),
    Key(("q",), "q", "add a challenge at the selected line"),
    Key(("u",), "u", "undo"),
    Key(("U",), "U", "redo"),
    Key(("?",), "?", "this list"),
)
