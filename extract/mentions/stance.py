"""How a thing is said: asserted, asked, negated, hoped for, supposed, or told of the past.

The method is that of NegEx and ConText (Chapman et al., J Biomed Inform 2001; Harkema et al., J Biomed Inform
2009): trigger terms from the lexicon, each with the direction of its scope; a scope ends at the end of the
sentence, at a word that opens a new thought, or after a few words.
"""

from __future__ import annotations

from extract.lexicon import small_words
from extract.mentions.model import Stance
from extract.mentions.talk import Talk

#: Words over which a trigger reaches, by stance; suppositions colour the rest of their sentence, denials the phrase.
_REACH = {"negated": 5, "asked": 8, "hypothetical": 16, "hoped": 7, "recalled": 9}
_SUPPOSING, _SUPPOSING_AND = small_words("supposing"), small_words("supposing_and")
_CONDITIONS = small_words("conditions")
_TAGS = (["it"], ["he"], ["she"], ["that"], ["they"])
#: No scope reaches over a silence so long, seconds.
_PAUSE_S = 4.0
#: A comma ends the scope of these.
_STOPS_AT_COMMA = frozenset({"negated", "hoped", "asked"})
_ORDER: tuple[Stance, ...] = ("hypothetical", "asked", "negated", "hoped", "recalled")


def stance_of(talk: Talk, start: int, end: int) -> Stance:
    """The stance of the words from token ``start`` to ``end`` (exclusive)."""
    found: set[str] = set()
    for term in talk.terms.within("stance", start - 18, min(end + 10, len(talk))):
        value, scope = term.entry.value, term.entry.scope
        if any(
            t.start <= term.start and term.end <= t.end
            for t in talk.terms.within("not_stance", term.start, term.end)
        ):
            continue
        if value == "hypothetical" and talk.words[term.end : term.end + 1] == ["n't"]:
            # "couldn't finish it"
            continue
        if (
            value == "negated"
            and talk.words[term.end : term.end + 1] in _TAGS
            and "n't" in talk.words[term.end - 1]
        ):
            # "a reversal, isn't it" denies nothing.
            continue
        if scope == "after" and term.start < start and _reaches(talk, term.end, start, value):
            # "no, that's two": an answer, not a denial, once a comma parts them (see _STOPS_AT_COMMA).
            found.add(value)
        elif scope == "before" and term.start >= end and _reaches(talk, end, term.start, value, trails=True):
            found.add(value)
    for term in talk.terms.within("might_come", start - 18, end):
        if (
            term.start <= start
            and _supposed(talk, term.end)
            and _reaches(talk, min(term.end, start), start, "hypothetical")
        ):
            found.add("hypothetical")
    if any(w in _CONDITIONS for w in (talk.next_word(end), talk.next_word(end + 1))) and not talk.terms.any(
        "not_stance", end, end + 2
    ):
        found.add("hypothetical")
    if talk.asked(start):
        found.add("asked")
    for stance in _ORDER:
        if stance in found:
            return stance
    return "asserted"


def _supposed(talk: Talk, i: int) -> bool:
    """Whether the words from token ``i`` on go on from something that might come: "... would", "... and it's"."""
    word, following = talk.next_word(i), talk.next_word(i + 1)
    return word in _SUPPOSING or (word == "and" and following in _SUPPOSING_AND)


def _reaches(talk: Talk, a: int, b: int, value: str, *, trails: bool = False) -> bool:
    """Whether a scope of this stance holds over the tokens from ``a`` up to ``b`` (exclusive); with ``trails`` the
    trigger stands after what it colours."""
    reach = _REACH[value]
    if not talk.document.punctuated:
        reach = max(3, reach // 2)
    for steps, i in enumerate(range(a, b + 1)):
        if i and i < len(talk):
            if talk.time(i) - talk.time(i - 1) > _PAUSE_S:
                return False
            if talk.lines(i - 1, i) and not _runs_on(talk, value, b - a if trails else steps, trails=trails):
                return False
        if i == b:
            break
        word = talk.words[i]
        if talk.document.hard_end(i) or (word in (",", "-", "—", ":") and value in _STOPS_AT_COMMA):
            return False
        if value != "hypothetical" and talk.terms.starting("stance_end", i):
            return False
        if steps >= reach:
            return False
    return True


def _runs_on(talk: Talk, value: str, words: int, *, trails: bool) -> bool:
    """Whether a scope may run on into another caption, ``words`` after its trigger. Each typed note stands for itself,
    and so do captions without marks, but for a supposition at the very end or beginning of one ("if / he gets two")."""
    if talk.document.notes:
        return False
    return talk.document.punctuated or (value == "hypothetical" and words <= (1 if trails else 3))
