"""The styles that there are words for: the files of ``lexicons/styles`` with a table ``[style]``."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from extract.errors import InputError
from extract.lexicon.data import lexicon_names, lexicon_path, load_toml, read_lexicon
from extract.lexicon.entries import nearest
from extract.lexicon.lines import lines_of

FOLDER = "styles"
_KEYS = {
    "includes": list, "tells": list, "variant_of": str, "needs": int, "default": bool, "colours": dict, "sides": dict,
    "lamps": list,
}  # fmt: skip
_WORDS = {
    list: "a list of names or words",
    str: "text",
    int: "a whole number",
    bool: "true or false",
    dict: "a table of words with red or blue",
}


@dataclass(frozen=True, slots=True)
class Style:
    """A style and how it is told where nobody has given it.

    ``includes`` are the shared files whose entries hold for it too, ``tells`` the words that tell it. A style that is
    the ``variant_of`` another is told by one word of its own, where at least ``needs`` of the other have been heard.
    The ``default`` is taken where the talk tells no style more. ``colours`` and ``sides`` are words that mean a corner
    besides "red" and "blue", each with its corner ("green" anklets, the fencer on the left); ``lamps`` are things of
    that colour that stand for the one who has it.
    """

    name: str
    includes: tuple[str, ...] = ()
    tells: tuple[str, ...] = ()
    variant_of: str = ""
    needs: int = 0
    default: bool = False
    colours: tuple[tuple[str, str], ...] = ()
    sides: tuple[tuple[str, str], ...] = ()
    lamps: tuple[str, ...] = ()

    def holds(self, styles: tuple[str, ...]) -> bool:
        """Whether an entry limited to ``styles`` (none: not limited) is one of this style's."""
        return not styles or not {self.name, *self.includes}.isdisjoint(styles)


def style_files() -> tuple[str, ...]:
    """The names of the files of ``styles/``: the styles, and what some of them share."""
    return tuple(name.split("/")[1] for name in lexicon_names(FOLDER))


@lru_cache(maxsize=1)
def load_styles() -> dict[str, Style]:
    """The styles by name. Raises InputError when a table ``[style]`` is malformed."""
    for fault in style_faults():
        raise fault
    return {
        name: Style(
            name,
            tuple(table.get("includes", ())),
            tuple(table.get("tells", ())),
            table.get("variant_of", ""),
            table.get("needs", 0),
            table.get("default", False),
            tuple(table.get("colours", {}).items()),
            tuple(table.get("sides", {}).items()),
            tuple(table.get("lamps", ())),
        )
        for name, table in _tables().items()
    }


def _tables() -> dict[str, dict[str, Any]]:
    trees = {name: load_toml(f"{FOLDER}/{name}") for name in style_files()}
    return {name: tree["style"] for name, tree in trees.items() if "style" in tree}


def style_fault(name: str, problem: str, remedy: str, *path: str | int) -> InputError:
    """The error about what stands at a path of the table ``[style]`` of a style."""
    source = read_lexicon(lexicon_path(f"{FOLDER}/{name}"))
    return InputError(source.file, problem, remedy, lines_of(source.text).line_of("style", *path))


def style_faults() -> Iterator[InputError]:
    """What is wrong with the form of the tables ``[style]``."""
    tables = _tables()
    shared = set(style_files()) - set(tables)
    for name, table in tables.items():
        if not isinstance(table, dict):
            yield style_fault(name, "style is no table", "write [style]")
            continue
        for key, value in table.items():
            wanted = _KEYS.get(key)
            texts = value if isinstance(value, list) else []
            if wanted is None:
                yield style_fault(name, f"unknown key {key!r}", nearest(key, _KEYS), key)
            elif type(value) is not wanted or not all(isinstance(text, str) for text in texts):
                yield style_fault(name, f"{key} is not {_WORDS[wanted]}", "write it as in another style", key)
            elif isinstance(value, dict):
                for word, corner in value.items():
                    if corner not in ("red", "blue"):
                        problem = f"{word} is no corner's: {corner!r}"
                        yield style_fault(name, problem, 'write "red" or "blue"', key)
            elif key == "includes":
                for n, file in enumerate(texts):
                    if file not in shared:
                        yield style_fault(name, f"no shared file {file!r}", nearest(file, shared), key, n)
            elif key == "variant_of" and (value not in tables or value == name):
                yield style_fault(
                    name, f"no other style {value!r}", nearest(str(value), set(tables) - {name}), key
                )
    defaults = [name for name, table in tables.items() if isinstance(table, dict) and table.get("default")]
    for name in defaults[1:]:
        yield style_fault(name, f"{defaults[0]} is the default already", "take one of them out", "default")
    if not defaults:
        yield InputError(
            lexicon_path(f"{FOLDER}/{style_files()[0]}").parent,
            "no style is the default",
            "write default = true",
        )
