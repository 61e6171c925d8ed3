"""Words that people use in bouts are data (``lexicons/``) and not Python.

Each string that the code of a folder compares with, looks up or keeps in a set is held against the words of the lexicons.
What is the project's own vocabulary (kinds, roles, grades, names of tables and fields) is gathered from its code and its
data: such a word may be compared with what holds such a word (``mention.stance == "asked"``), and may stand in a set.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from extract.lexicon.entries import ROLES
from extract.lexicon.features import CORNER, NUMBER, PLACES, STRETCHES, WORDS
from extract.lexicon.kinds import ROW_KINDS
from extract.mentions.model import BESIDE_SIGN, ROW_SIGN, SAID_SIGN

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "extract"
#: Keys that every row may have.
_ROW_KEYS = {
    "corner",
    "number",
    "pause",
    "words",
    "before",
    "after",
    "near",
    "across",
    "says",
    "says_not",
    "seconds",
    "over",
}
#: What may stand in Python all the same: the file, the word, and why.
ALLOWED: dict[tuple[str, str], str] = {
    ("mentions/model.py", "row "): "how the sign of a row begins",
    ("mentions/model.py", "said "): "how the sign of a word said begins",
    ("mentions/model.py", "beside "): "how the sign of a word said beside begins",
    ("session/find.py", "results"): "part of a sentence of the program's own",
    ("session/find.py", "what has been"): "part of a sentence of the program's own",
    ("session/find.py", "what comes next"): "part of a sentence of the program's own",
    ("log/parameters.py", "is no number"): "what is wrong with a file",
    ("talk/numbers.py", "zero"): "how a number is put",
    ("talk/words.py", "keeps"): "what a mark does to the start of a sentence",
    ("talk/words.py", "opens"): "what a mark does to the start of a sentence",
    ("cast/name_forms.py", "team"): "what a form names",
}
#: Calls whose strings are the words of a message, or names.
_MESSAGES = {
    "InputError", "Fault", "get_ruleset", "cast", "TypeVar", "files", "getattr", "print", "fault", "style_fault",
    "from_bytes", "next",
}  # fmt: skip
#: A string of more words than these and one is a message: nobody compares with a sentence.
_MESSAGE = 2
#: Calls that look something up by a name of the project's own.
_LOOK_UPS = {"get", "table", "chance", "pop", "setdefault", "add", "append", "frozenset", "kinds_that", "side", "_side",
    "small_words", "word_list", "phrase_list", "forms", "all", "texts", "whose", "partial", "_words", "_colours",
    "_introductions", "_table", "table_of", "number_words", "find", "apart", "first", "fitting", "possible", "decide",
    "meant", "text", "number", "numbers", "mask", "said", "all_at", "within", "any", "_owner", "_beside",
    "of", "_joined", "sort_of", "_patterns", "word_weights", "_ratios",
}  # fmt: skip
#: Calls whose strings are held against a text.
_OF_TEXT = {
    "startswith", "endswith", "removeprefix", "removesuffix", "split", "rsplit", "partition", "find", "count", "index",
}  # fmt: skip
#: What holds a word of the project's own; names with a type of such words are gathered besides.
_OWN_SLOTS = {
    "kind", "grade", "role", "form", "what", "how", "value", "sign", "name", "key", "id", "gives", "about", "way", "counts",
    "strength", "sort", "text", "for", "of", "feature", "side", "more",
}  # fmt: skip


def strings(value: Any) -> Iterator[str]:
    """All strings in a value of TOML."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from strings(item)
    elif isinstance(value, list):
        for item in value:
            yield from strings(item)


@cache
def lexicon_tables() -> list[dict[str, Any]]:
    """The lexicon files."""
    return [
        tomllib.loads(file.read_text(encoding="utf-8"))
        for file in sorted((ROOT / "lexicons").rglob("*.toml"))
    ]


def spoken(value: Any, key: str = "") -> Iterator[str]:
    """The words that people say in a table of a lexicon: forms, sets of words, examples of rows."""
    if isinstance(value, dict):
        for inner, item in value.items():
            yield from spoken(item, inner)
    elif isinstance(value, list):
        for item in value:
            yield from spoken(item, key)
    elif isinstance(value, str) and key not in _NAMES:
        # What stands in brackets in a row is a feature of a place, and no word.
        said = re.sub(r"\[[^\]]*\]", " ", value)
        yield from re.findall(r"[a-z']+", said.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))


#: Keys of lexicon tables whose strings are the project's own words.
_NAMES = {
    "role", "value", "strength", "styles", "gives", "form", "id", "includes", "variant_of", "pair", "first", "differ",
    "same", "words", "before", "after",
}  # fmt: skip


@cache
def words_of_bouts() -> frozenset[str]:
    """All words that the lexicons know."""
    return frozenset(word for table in lexicon_tables() for word in spoken(table) if word.strip("'"))


@cache
def own_words() -> frozenset[str]:
    """The project's own vocabulary: values of ``Literal`` types, names of fields and of tables, values in the lexicons."""
    out: set[str] = set()
    for file in PACKAGE.rglob("*.toml"):
        tables = tomllib.loads(file.read_text(encoding="utf-8"))
        # What follows these signs is a word of the talk or a row that was fitted, and no name of the project's own.
        out |= {key for key in keys_of(tables) if not key.startswith((BESIDE_SIGN, ROW_SIGN, SAID_SIGN))}
        out |= {text for text in strings(tables) if " " not in text} if file.name == "kinds.toml" else set()
    for table in lexicon_tables():
        out |= set(keys_of(table)) | set(own_values(table))
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Subscript) and terminal(node.value) == "Literal":
                out |= set(constants(node.slice))
            elif isinstance(node, ast.ClassDef):
                fields = (item.target for item in node.body if isinstance(item, ast.AnnAssign))
                out |= {terminal(field) for field in fields}
    out |= row_words()
    # A sign is put together with a word of the project's own: "grade kind called", "form level".
    return frozenset(out | {word.partition(" ")[2] for word in out})


def row_words() -> set[str]:
    """What rows are spoken of with: their kinds, keys, parts, forms and features, and the sorts of entries."""
    out: set[str] = {*CORNER, *NUMBER, *WORDS, *STRETCHES, *PLACES, *ROLES, *_ROW_KEYS}
    for role in ROLES.values():
        out |= {*(role.values or ()), *role.strengths, *role.scopes}
    for gives, kind in ROW_KINDS.items():
        out |= {gives, *kind.forms, *kind.parts, *kind.keys, *kind.named}
        out |= {value for values in kind.values.values() for value in values}
    for table in lexicon_tables():
        for row in table.get("phrase", ()):
            out |= {*row.get("of", ())}
            out |= {name for text in strings(row) for name in re.findall(r"<(\w+)=", text)}
    return out


def keys_of(table: dict[str, Any]) -> Iterator[str]:
    for key, value in table.items():
        yield key
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, dict):
                yield from keys_of(inner)


def own_values(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for inner, item in value.items():
            yield from own_values(item, inner)
    elif isinstance(value, list):
        for item in value:
            yield from own_values(item, key)
    elif isinstance(value, str) and key in _NAMES - {"words", "before", "after"}:
        yield value


@cache
def own_slots() -> frozenset[str]:
    """Names of what holds a word of the project's own: fields and arguments with a type that is a ``Literal``."""
    trees = [ast.parse(file.read_text(encoding="utf-8")) for file in sorted(PACKAGE.rglob("*.py"))]
    types = {"Literal"}
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.Assign) and terminal(node.value) == "Literal":
                types |= {target.id for target in node.targets if isinstance(target, ast.Name)}
    out = set(_OWN_SLOTS)
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation is not None:
                named = {n.id for n in ast.walk(node.annotation) if isinstance(n, ast.Name)}
                if named & types:
                    out.add(node.arg if isinstance(node, ast.arg) else terminal(node.target))
    return frozenset(out)


def terminal(node: ast.expr) -> str:
    """The last name of an expression: ``stance`` of ``talk.mention(i).stance``."""
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
        case ast.Subscript(value=inner) | ast.Call(func=inner) | ast.Starred(value=inner):
            return terminal(inner)
    return ""


def constants(node: ast.AST) -> Iterator[str]:
    """The strings in an expression or a display of strings."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        for item in node.elts:
            yield from constants(item)
    elif isinstance(node, ast.Call) and terminal(node.func) in ("frozenset", "set", "tuple") and node.args:
        yield from constants(node.args[0])


def is_language(text: str) -> bool:
    """Whether a string is words that people say."""
    words = re.findall(r"[a-z']+", text)
    return bool(words) and re.fullmatch(r"[a-z' ,-]+", text) is not None and set(words) <= words_of_bouts()


def found_in(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """The strings of a module that are words of bouts, with their lines."""
    for node in ast.walk(tree):
        for text in held_against(node):
            yield getattr(node, "lineno", 0), text


def held_against(node: ast.AST) -> Iterator[str]:
    """The words of bouts in one place of the code."""
    match node:
        case ast.Compare(left=left, comparators=comparators):
            sides = [left, *comparators]
            holder = next((terminal(side) for side in sides if not list(constants(side))), "")
            for side in sides:
                yield from _foreign(constants(side), own=is_slot(holder))
        case ast.Match(subject=subject, cases=cases):
            for case in cases:
                yield from _patterns(case.pattern, terminal(subject))
        case ast.Tuple() | ast.List() | ast.Set():
            yield from _foreign(constants(node), own=True)
        case ast.Dict(keys=keys, values=values):
            for item in (*keys, *values):
                if item is not None:
                    yield from _foreign(constants(item), own=True)
        case ast.Assign(value=ast.Constant(value=str(text)), targets=[ast.Name(id=name)]) if name.isupper():
            yield from _foreign([text], own=True)
        case ast.Call(
            func=ast.Attribute(value=ast.Name(id="re")), args=[ast.Constant(value=str(pattern)), *_]
        ):
            bare = re.sub(r"\\.|\(\?P<\w+>|\[[^\]]*\]", " ", pattern)
            yield from (word for word in re.findall(r"[a-z]{1,}", bare) if word in words_of_bouts())
        case ast.Call(func=ast.Attribute(value=text, attr=method), args=args) if method in _OF_TEXT:
            for argument in args:
                yield from _foreign(constants(argument), own=is_slot(terminal(text)))
        case ast.Call(func=func, args=args) if terminal(func) not in _MESSAGES:
            # What is made of words of the project's own has a name in capitals.
            own = terminal(func) in _LOOK_UPS or terminal(func).lstrip("_")[:1].isupper()
            for argument in args:
                yield from _foreign((text for text in constants(argument) if " " not in text), own=own)


def _patterns(pattern: ast.pattern, holder: str) -> Iterator[str]:
    """The words in a pattern of ``match`` on what ``holder`` names."""
    match pattern:
        case ast.MatchValue(value=value):
            yield from _foreign(constants(value), own=is_slot(holder))
        case ast.MatchClass(kwd_attrs=names, kwd_patterns=patterns):
            for name, inner in zip(names, patterns, strict=True):
                yield from _patterns(inner, name)
        case ast.MatchOr(patterns=patterns):
            for inner in patterns:
                yield from _patterns(inner, holder)
        case ast.MatchAs(pattern=inner) if inner is not None:
            yield from _patterns(inner, holder)


def is_slot(name: str) -> bool:
    """Whether a name is that of what holds a word of the project's own: ``stance``, ``stances``, ``old_stance``."""
    last = name.rpartition("_")[2]
    return not own_slots().isdisjoint({name, name.removesuffix("s"), last, last.removesuffix("s")})


def _foreign(texts: Iterable[str], *, own: bool) -> Iterator[str]:
    """Words of bouts; where the project's ``own`` words may stand, without these."""
    for text in texts:
        if is_language(text) and not (own and (is_own(text) or text.count(" ") > _MESSAGE)):
            yield text


def is_own(text: str) -> bool:
    return text in own_words() or any(word.startswith(text) and " " in word for word in own_words())


def language_in(folder: str) -> list[str]:
    """Where a folder has words of bouts in its Python."""
    out = []
    for file in sorted((PACKAGE / folder).rglob("*.py")):
        name = str(file.relative_to(PACKAGE))
        for line, text in sorted(set(found_in(ast.parse(file.read_text(encoding="utf-8"))))):
            if (name, text) not in ALLOWED:
                out.append(f"{name}:{line}: {text!r}")
    return out


@pytest.mark.parametrize(
    "folder",
    ["talk", "cast", "mentions", "phrases", "log", "recording", "session"],
)
def test_words_of_bouts_are_no_python(folder: str) -> None:
    assert language_in(folder) == []


@pytest.mark.parametrize(
    "code",
    [
        'if word == "each": pass',
        'if talk.words[at].lower() != "each": pass',
        'if "each" in words: pass',
        'if low in ("him", "her"): pass',
        'OURS = frozenset({"him", "her"})',
        'OURS = {"him": "red"}',
        'HIM = "him"',
        'text.startswith("the way")',
        'text.split(" versus ")',
        'words[at].endswith(("ing", "each"))',
        'talk.has(at, "each")',
        'PATTERN = re.compile(r"(?:him|her)\\b")',
        'match word:\n    case "him" | "her": pass',
    ],
)
def test_words_in_code_are_found(code: str) -> None:
    assert list(found_in(ast.parse(code)))


@pytest.mark.parametrize(
    "code",
    [
        'if mention.stance == "asked": pass',
        'if kind in ("fall", "takedown"): pass',
        'match mention:\n    case ClockMention(clock="bout"): pass',
        'parameters.get("score.again", "same")',
        'raise InputError(path, "each is there twice", "take one out")',
        'why = f"nobody called {what}, each time"',
        'print("no bout here")',
        'PATTERN = re.compile(r"\\d+(?P<first>[a-z]+)")',
    ],
)
def test_words_of_the_projects_own_are_none(code: str) -> None:
    assert not list(found_in(ast.parse(code)))


def test_what_is_allowed_is_there() -> None:
    found = {
        (str(file.relative_to(PACKAGE)), text)
        for folder in ("talk", "cast", "mentions", "phrases", "log", "session")
        for file in (PACKAGE / folder).rglob("*.py")
        for _, text in found_in(ast.parse(file.read_text(encoding="utf-8")))
    }
    assert ALLOWED.keys() <= found
