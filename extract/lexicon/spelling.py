"""How a form may be spelled where it is found, and when two forms are the same."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

#: Roles whose forms are found with hyphens, and in one word, too.
HYPHENED = frozenset({"kind", "not_kind", "margin_noun", "tie_up", "level", "tied"})


def spellings(role: str, form: str) -> frozenset[str]:
    """All spellings under which a form is looked for. Captions without punctuation drop the apostrophe too.

    >>> sorted(spellings("kind", "step out"))
    ['step out', 'step-out', 'stepout']
    """
    forms = set(_hyphenated(form)) if role in HYPHENED else {form}
    return frozenset(forms | {spelled.replace("'", "") for spelled in forms})


def _hyphenated(form: str) -> Iterator[str]:
    """A form with its spaces also as hyphens, and a term of two words also as one word."""
    words = form.replace("-", " ").split(" ")
    yield " ".join(words)
    if len(words) > 1:
        yield "-".join(words)
    if len(words) == 3:
        yield f"{words[0]}-{words[1]} {words[2]}"
        yield f"{words[0]} {words[1]}-{words[2]}"
    if len(words) == 2 and all(len(w) > 2 for w in words):
        yield "".join(words)


@lru_cache(maxsize=16384)
def found_as(role: str, form: str) -> frozenset[str]:
    """The spellings in lower case: two forms of a role are found in the same places where they share one."""
    return frozenset(spelled.lower() for spelled in spellings(role, form))


def plain(role: str, form: str) -> str:
    """A form as it is compared with those of its own entry: small letters, and for some roles without hyphens."""
    return form.lower().replace("-", " ") if role in HYPHENED else form.lower()
