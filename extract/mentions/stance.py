"""How a thing is said: asserted, asked, negated, hoped for, supposed, or told of the past.

The method is that of NegEx and ConText (Chapman et al., J Biomed Inform 2001; Harkema et al., J Biomed Inform 2009): a
trigger colours what stands on one side of it, as far as its scope reaches. The triggers are entries of the lexicon,
their scopes rows of ``lexicons/phrases/stance.toml``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from weakref import WeakKeyDictionary

from extract.mentions.model import Stance
from extract.mentions.talk import Talk
from extract.phrases import Hit, Row
from extract.phrases.match import starts

#: Where several reach over the same words, the first counts.
_ORDER: tuple[Stance, ...] = ("hypothetical", "asked", "negated", "hoped", "recalled")
_Scopes = Mapping[tuple[str, int], set[str]]
#: The scopes of each talk that is still in use.
_known: WeakKeyDictionary[Talk, _Scopes] = WeakKeyDictionary()


def stance_of(talk: Talk, start: int, end: int) -> Stance:
    """The stance of the words from ``start`` to ``end`` (exclusive)."""
    scopes = _known.get(talk)
    if scopes is None:
        scopes = _known[talk] = _scopes(talk)
    found = scopes.get(("after", start), set()) | scopes.get(("before", end), set())
    if talk.asked(start):
        found = found | {"asked"}
    return next((stance for stance in _ORDER if stance in found), "asserted")


def _scopes(talk: Talk) -> _Scopes:
    """The stances that reach each place: ``after`` a trigger the words that begin there, ``before`` one those that end
    there."""
    out: defaultdict[tuple[str, int], set[str]] = defaultdict(set)
    for hit in talk.rows.find("stance", talk):
        side = hit.row.text("side")
        for place in _scope(talk, hit, 1 if side == "after" else -1):
            out[side, place].add(hit.row.form)
    return dict(out)


def _scope(talk: Talk, hit: Hit, step: int) -> Iterator[int]:
    """The places that a trigger reaches, going on from it by ``step``. What begins inside it is coloured too."""
    start, end = hit.parts.get("t", (hit.start, hit.end))
    if step > 0:
        # A named trigger is itself what is spoken of.
        yield from range(start if "t" in hit.parts else start + 1, end)
    stops, cuts = (_mask(talk, hit.row, key) for key in ("stops", "cuts"))
    reach = hit.row.numbers("reach")[0 if talk.document.punctuated else 1]
    place = end if step > 0 else start
    for _ in range(reach + 1):
        if not 0 < place <= len(talk) or (place < len(talk) and cuts >> place & 1):
            return
        yield place
        word = place if step > 0 else place - 1
        if stops >> word & 1:
            return
        place += step


def _mask(talk: Talk, row: Row, key: str) -> int:
    """The places at which a pattern of a row may begin."""
    pattern = row.pattern(key)
    return starts(pattern, talk) if pattern is not None else 0
