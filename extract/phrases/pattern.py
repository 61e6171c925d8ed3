"""The pattern language: a regular expression over words that have features.

A pattern is a row of items with blanks between them:

========================  =============================================================================================
``up``                    this word, in small letters; a mark is a word too. ``\\`` before a sign of the language: ``\\?``
``<corner>``              something with this feature, which may be several words: a corner, a number, a term of a role
``<x=number plain>``      ... that is kept under a name, and has the further features
``<corner !pronoun>``     ... and has not this one
``[opens]``, ``[!notes]`` a place between two words that has the feature, or has not
``( ... | ... )``         one or the other
``?  *  +  {1,3}``        right behind an item: maybe, any number, one or more, so many; as many as possible are taken
========================  =============================================================================================
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

#: What a feature is of: a stretch of words, one word, or a place between two.
Sort = Literal["stretch", "word", "place"]
#: Says of what a feature is, or None where there is none of this name.
Features = Callable[[str], Sort | None]

#: No groups stand deeper within one another.
_DEEPEST = 20
#: No item is repeated more often than this: no phrase of anybody's is longer.
MOST = 40
#: No name, number or term has more words.
STRETCH = 12
_QUANTIFIER = re.compile(r"\?|\*|\+|\{(\d+),(\d+)\}")
_ITEM = re.compile(
    r"(?P<typed><[^<>]*>)|(?P<place>\[[^\[\]]*\])|(?P<open>\()|(?P<close>\))|(?P<bar>\|)|(?P<word>(?:\\.|[^\s()|<>\[\]\\?*+{])+)"
)
_TYPED = re.compile(r"<\s*(?:([a-z][a-z_]*)=)?\s*(.*?)\s*>", re.DOTALL)


class BadPattern(ValueError):
    """A pattern that cannot be read, with what would mend it."""

    def __init__(self, problem: str, remedy: str) -> None:
        super().__init__(problem)
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Test:
    """A feature, and whether it must be there or must not. A word itself is a feature with a ``"`` before it."""

    feature: str
    wanted: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class PatternItem:
    """A word, or a stretch of words with the feature ``stretch``, that passes the tests; kept under ``name`` if there is
    one."""

    tests: tuple[Test, ...]
    stretch: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class PatternPlace:
    """A place between two words that passes the tests."""

    tests: tuple[Test, ...]


@dataclass(frozen=True, slots=True)
class Sequence:
    """One after the other."""

    nodes: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several, the first that fits."""

    nodes: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """The same ``least`` to ``most`` times, as often as possible."""

    node: Node
    least: int
    most: int


Node = PatternItem | PatternPlace | Sequence | Choice | Repeat


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """A pattern made ready. ``names`` are those of its parts, each with the feature of which it is a stretch, ``always``
    those that it has wherever it is found; it has no more than ``longest`` words, and each of the items that it
    ``needs``. Two are the same only where they are one object: reading a text again gives the same one."""

    text: str
    node: Node
    names: Mapping[str, str]
    always: frozenset[str] = frozenset()
    longest: int = 0
    needs: tuple[PatternItem, ...] = ()


@lru_cache(maxsize=4096)
def read_pattern(text: str, features: Features) -> Pattern:
    """The pattern that a text is. Raises BadPattern where it is none, or names a feature that there is not."""
    reader = _Reader(text, features)
    node = reader.choice()
    if reader.kind:
        raise BadPattern(f"')' without '(' in {text!r}", "take it out, or write \\)")
    return Pattern(text, node, dict(_names(node)), _always(node), _longest(node), tuple(_needs(node)))


@lru_cache(maxsize=1024)
def read_items(text: str, features: Features) -> tuple[PatternItem, ...]:
    """What one word or stretch may be: features with ``|`` between, as ``leading|score_cue !pronoun``. Raises
    BadPattern."""
    return tuple(_Reader("", features).typed(f"<{part}>") for part in text.split("|"))


def _needs(node: Node) -> Iterator[PatternItem]:
    """The items without which a node is nowhere."""
    if isinstance(node, PatternItem):
        yield node
    elif isinstance(node, Sequence):
        for inner in node.nodes:
            yield from _needs(inner)
    elif isinstance(node, Repeat) and node.least:
        yield from _needs(node.node)


def _longest(node: Node) -> int:
    """How many words a node can have at most."""
    if isinstance(node, PatternItem):
        return STRETCH if node.stretch else 1
    if isinstance(node, PatternPlace):
        return 0
    if isinstance(node, Repeat):
        return node.most * _longest(node.node)
    lengths = map(_longest, node.nodes)
    return sum(lengths) if isinstance(node, Sequence) else max(lengths)


def _names(node: Node) -> Iterator[tuple[str, str]]:
    if isinstance(node, PatternItem):
        if node.name:
            yield node.name, node.stretch
    elif isinstance(node, Repeat):
        yield from _names(node.node)
    elif not isinstance(node, PatternPlace):
        for inner in node.nodes:
            yield from _names(inner)


def _always(node: Node) -> frozenset[str]:
    """The names of the parts that a node has whichever way it is gone over."""
    if isinstance(node, PatternItem):
        return frozenset({node.name} - {""})
    if isinstance(node, Repeat):
        return _always(node.node) if node.least else frozenset()
    if isinstance(node, PatternPlace) or not node.nodes:
        return frozenset()
    each = [_always(inner) for inner in node.nodes]
    return frozenset.intersection(*each) if isinstance(node, Choice) else frozenset.union(*each)


class _Reader:
    """Reads a pattern by recursive descent; ``kind`` and ``shown`` are the sort and the text of the next item."""

    def __init__(self, text: str, features: Features) -> None:
        self.text = text
        self.features = features
        self.at = 0
        self.kind = ""
        self.shown = ""
        self._depth = 0
        self._next()

    def _next(self) -> None:
        while self.text[self.at : self.at + 1].isspace():
            self.at += 1
        if self.at >= len(self.text):
            self.kind = self.shown = ""
            return
        found = _ITEM.match(self.text, self.at)
        if found is None or found.lastgroup is None:
            raise BadPattern(
                f"{self.text[self.at :]!r} cannot be read in {self.text!r}",
                "write \\ before a sign that is a word",
            )
        self.kind, self.shown = found.lastgroup, found[0]
        self.at = found.end()

    def choice(self) -> Node:
        nodes = [self._sequence()]
        while self.kind == "bar":
            self._next()
            nodes.append(self._sequence())
        return nodes[0] if len(nodes) == 1 else Choice(tuple(nodes))

    def _sequence(self) -> Node:
        nodes: list[Node] = []
        while self.kind not in ("", "bar", "close"):
            nodes.append(self._repeated())
        return nodes[0] if len(nodes) == 1 else Sequence(tuple(nodes))

    def _repeated(self) -> Node:
        kind, shown = self.kind, self.shown
        if kind == "open":
            self._depth += 1
            if self._depth > _DEEPEST:
                raise BadPattern(f"more than {_DEEPEST} groups within one another", "write fewer of them")
            self._next()
            node = self.choice()
            self._depth -= 1
            if self.kind != "close":
                raise BadPattern(f"'(' without ')' in {self.text!r}", "write the ')'")
        elif kind == "typed":
            node = self.typed(shown)
        elif kind == "place":
            node = PatternPlace(self._tests(shown[1:-1], place=True))
        else:
            node = PatternItem((Test('"' + re.sub(r"\\(.)", r"\1", shown)),))
        quantifier = _QUANTIFIER.match(self.text, self.at)
        if quantifier is not None:
            self.at = quantifier.end()
            node = self._times(node, quantifier)
        self._next()
        return node

    def _times(self, node: Node, quantifier: re.Match[str]) -> Node:
        sign = quantifier[0]
        least, most = {"?": (0, 1), "*": (0, MOST), "+": (1, MOST)}.get(sign, (0, 0))
        if quantifier[1] is not None:
            least, most = int(quantifier[1]), int(quantifier[2])
        if not least <= most <= MOST or not most:
            raise BadPattern(
                f"{sign} in {self.text!r} is no range", f"write a range of at most {MOST}, as {{0,3}}"
            )
        if most > 1 and _repeats(node):
            # It could be tried in very many ways.
            raise BadPattern(
                f"a repeated group in {self.text!r} has something repeated in it",
                "write one of the two as {0,1}",
            )
        return Repeat(node, least, most)

    def typed(self, shown: str) -> PatternItem:
        """The item that stands between angle brackets."""
        found = _TYPED.fullmatch(shown)
        assert found is not None
        tests = self._tests(found[2], place=False)
        stretch = next((t.feature for t in tests if t.wanted and self.features(t.feature) == "stretch"), "")
        return PatternItem(tests, stretch, found[1] or "")

    def _tests(self, text: str, *, place: bool) -> tuple[Test, ...]:
        tests = []
        for word in text.split():
            name = word.removeprefix("!")
            if name[:1] == "\\":
                # The word itself, beside features.
                tests.append(Test('"' + name[1:], word == name))
                continue
            sort = self.features(name)
            if sort is None or (sort == "place") != place:
                problem = f"no feature {name!r} {'of a place' if place else 'of words'}"
                raise BadPattern(f"{problem} in {self.text!r}", "extract/phrases/README.md lists them")
            tests.append(Test(name, word == name))
        if not tests:
            raise BadPattern(f"nothing between the brackets in {self.text!r}", "name a feature")
        return tuple(tests)


def _repeats(node: Node) -> bool:
    if isinstance(node, Repeat):
        return node.most > 1 or _repeats(node.node)
    return not isinstance(node, PatternItem | PatternPlace) and any(map(_repeats, node.nodes))
