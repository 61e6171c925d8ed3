"""Finds the lexicon's terms in a document."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Container, Sequence
from functools import lru_cache
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from extract.lexicon import Entry, Lexicon
from extract.lexicon.entries import ROLES
from extract.lexicon.spelling import spellings
from extract.rules import UnknownRules, ruleset_kinds
from extract.talk.tokens import tokenize

if TYPE_CHECKING:
    from spacy.matcher import PhraseMatcher
    from spacy.vocab import Vocab

#: Stands for every word that is in no form. No token has a blank between marks.
_OTHER = "- -"
#: No form has more words.
LONGEST = 12
#: Roles of which several meanings may hold for the same words.
_SEVERAL = frozenset({"kind", "stance", "other_clock", "split_verb"})


class Term(NamedTuple):
    """A lexicon entry found over tokens ``start`` to ``end`` (exclusive)."""

    start: int
    end: int
    entry: Entry


class _Matcher(NamedTuple):
    """The forms of a lexicon made ready. ``entries`` are by the number under which ``find`` reports them, each with its
    place in the lexicon; ``known`` are the words that occur in any form."""

    find: PhraseMatcher
    vocab: Vocab
    entries: dict[int, tuple[int, Entry]]
    known: frozenset[str]


@lru_cache(maxsize=8)
def _matcher(lexicon: Lexicon) -> _Matcher:
    from spacy.matcher import PhraseMatcher
    from spacy.tokens import Doc
    from spacy.vocab import Vocab

    vocab = Vocab()
    matcher = PhraseMatcher(vocab)
    table: dict[int, tuple[int, Entry]] = {}
    known = {_OTHER}
    for number, entry in enumerate(lexicon.entries):
        if ROLES[entry.role].values is None and entry.value not in style_kinds(lexicon.style):
            # An entry that names no styles holds where there is such a kind.
            continue
        key = f"{number:05}"
        table[vocab.strings.add(key)] = number, entry
        forms = {spelled for form in entry.forms for spelled in spellings(entry.role, form)}
        words = [[token.text.lower() for token in tokenize(spelled)[0]] for spelled in sorted(forms)]
        known.update(*words)
        matcher.add(key, [Doc(vocab, words=form) for form in words])
    return _Matcher(matcher, vocab, table, frozenset(known))


def style_kinds(style: str) -> frozenset[str]:
    """The kinds of event that some edition of a style's rules has; none where there is no such ruleset."""
    try:
        return ruleset_kinds(style)
    except UnknownRules:
        return frozenset()


class Terms:
    """The terms of one document, longest first within a role and value, looked up by place."""

    def __init__(self, words: Sequence[str], lexicon: Lexicon, walls: Container[int] = ()) -> None:
        """``words`` are in small letters. ``walls`` are the tokens that no term may run over: each begins something new."""
        from spacy.tokens import Doc

        matcher, vocab, table, known = _matcher(lexicon)
        # A vocabulary keeps every word that it is shown: those that no form has need not be told apart.
        doc = Doc(vocab, words=[word if word in known else _OTHER for word in words])
        found = [(start, -end, *table[key]) for key, start, end in matcher(doc)]
        found.sort(key=itemgetter(0, 1, 2))
        self._groups: dict[str, list[Term]] = defaultdict(list)
        taken: dict[str | int, int] = defaultdict(int)
        for start, minus_end, number, entry in found:
            if walls and any(i in walls for i in range(start + 1, -minus_end)):
                continue
            slot = entry.role if entry.role not in _SEVERAL else number
            if start < taken[slot]:
                continue
            taken[slot] = -minus_end
            self._groups[entry.role].append(Term(start, -minus_end, entry))
        self._starts = {role: [t.start for t in terms] for role, terms in self._groups.items()}
        self._covers: dict[str, dict[int, Term]] = {}

    def all(self, role: str) -> list[Term]:
        """All terms of a role in order."""
        return self._groups.get(role, [])

    def all_at(self, role: str, i: int) -> Sequence[Term]:
        """All terms of a role that cover token ``i``, those inside others too."""
        return self.within(role, i, i + 1)

    def at(self, role: str, i: int) -> Term | None:
        """The term of a role that covers token ``i``."""
        covers = self._covers.get(role)
        if covers is None:
            terms = reversed(self._groups.get(role, []))
            covers = self._covers[role] = {i: term for term in terms for i in range(term.start, term.end)}
        return covers.get(i)

    def within(self, role: str, start: int, end: int) -> Sequence[Term]:
        """Terms of a role that touch the tokens ``start`` to ``end`` (exclusive), in order; also those that stand inside
        or over one another."""
        starts = self._starts.get(role)
        if starts is None:
            return ()
        low = bisect_left(starts, start - LONGEST)
        high = bisect_left(starts, end, low)
        return [term for term in self._groups[role][low:high] if term.end > start] if low < high else ()

    def any(self, role: str, start: int, end: int) -> bool:
        """Whether a term of the role touches the tokens."""
        starts = self._starts.get(role, [])
        k = bisect_left(starts, end)
        while k and starts[k - 1] >= start - LONGEST:
            k -= 1
            if self._groups[role][k].end > start:
                return True
        return False
