"""Finds numbers that are points given, and whom they are for."""

from __future__ import annotations

from collections.abc import Iterator

from extract.lexicon import small_words
from extract.mentions.call_parts import Part, around, given_to
from extract.mentions.sheet_marks import sheet_marks
from extract.mentions.talk import Talk

_GIVING = small_words("giving")
_NO_POINTS_BEFORE = small_words("no_points_before")
_OPENERS = small_words("openers")
_AWARDED = frozenset({"given", "awarded", "go", "goes", "going"})
_GONE = frozenset(
    {"are gone", "is gone", "come off", "comes off", "are off", "taken off", "off the", "are wiped"}
)
_OF_OWN = ("of his own", "of her own", "of their own")
_AFTER_MORE = small_words("after_more")
_BEFORE_POINT = small_words("before_point")


def point_parts(talk: Talk) -> Iterator[Part]:
    """Numbers that are points given."""
    yield from _bare_points(talk)
    yield from sheet_marks(talk)
    for number in talk.numbers:
        if not talk.free(number) or number.form in ("clock", "zero") or not 1 <= number.value <= 5:
            continue
        a, b = number.start, number.end
        # "and over, two more" turns somebody; "over two" alone is a time or a lead.
        turned = talk.previous_word(a) == "over" and talk.terms.starting("more", b) is not None
        if talk.terms.at("tie_up", a) or (talk.previous_word(a) in _NO_POINTS_BEFORE and not turned):
            continue
        if _counts_holds(talk, a, b):
            continue
        part = _points_at(talk, a, b, number.value, sound=number.form == "homophone")
        if part is not None:
            yield part


def _counts_holds(talk: Talk, a: int, b: int) -> bool:
    """Whether a number counts holds of a value: "red's got three twos, blue's got two"."""
    lo, hi = talk.segment(a)
    return talk.terms.any("counts_holds", max(lo, a - 14), min(hi, b + 6))


def _bare_points(talk: Talk) -> Iterator[Part]:
    """A point without a number: "point to blue", "a point is awarded to the red wrestler"."""
    for term in talk.terms.all("points_word"):
        i = term.start
        if talk.words[i] != "point" or talk.number_at(i - 1) is not None or talk.words[i - 1 : i] == ["-"]:
            continue
        if talk.terms.any("margin_noun", i, i + 2) or talk.previous_word(i) not in _BEFORE_POINT:
            continue
        if any("point" in form for kind in talk.terms.within("kind", i, i + 1) for form in kind.entry.forms):
            continue
        for j in range(term.end, min(term.end + 6, talk.segment(i)[1])):
            if (
                talk.words[j] in _GIVING
                and (ref := talk.ref_after(j, 2)) is not None
                and ref.about != "bench"
            ):
                yield Part(i, term.end, (), 1, "points+corner", ref.corner, "attached", False, True)
                break


def _points_at(talk: Talk, a: int, b: int, value: int, *, sound: bool) -> Part | None:
    terms, words = talk.terms, talk.words
    lo, hi = talk.segment(a)
    end = b
    more = terms.at("more", a - 1) is not None and a > lo
    hyphen = b + 1 if words[b : b + 1] == ["-"] else b
    point = terms.starting("points_word", hyphen)
    if point is not None:
        if (
            terms.starting("margin_noun", hyphen)
            or any(t.end == a for t in terms.within("margin_by", a - 2, a))
            or talk.between(a - 1, a) == "-"
        ):
            return None
        end = point.end
    follows = terms.starting("more", end)
    if follows is not None and talk.between(follows.start, follows.end) != "one more time":
        more, end = True, follows.end
        late = terms.starting("points_word", end)
        point, end = (late, late.end) if late is not None else (point, end)
    if point is not None and talk.next_word(end) in _AWARDED:
        end += 1
    # Typed notes: "+2 blue", "red +1".
    signed = words[a].startswith("+") or words[a - 1 : a] == ["+"]
    corner, tie, said_to = given_to(talk, a - 1 if words[a - 1 : a] == ["+"] else a, end)
    nxt = talk.next_word(end)
    undone = terms.any("challenge_won", end, end + 3) or talk.between(end, end + 2) in _GONE or nxt == "off"
    if undone:
        return None
    kind_near = any(
        t.entry.strength in ("call", "verb", "hold")
        for t in terms.within("kind", max(lo, a - 6), min(hi, end + 5))
    )
    gives = terms.at("gives", a - 1) is not None or (
        talk.previous_word(a) in ("the", "a", "another", "him", "her", "blue", "red")
        and terms.at("gives", a - 2) is not None
    )
    fingers = terms.any("fingers", end, end + 3)
    alone = talk.previous_word(a) in _OPENERS and (talk.closes(end) or nxt in ("for", "to"))
    if sound and terms.at("winner", a):
        return None
    if sound:
        # A homophone is points only where a determiner or a verb of giving stands before it and nothing else fits.
        gives = (
            gives
            or talk.previous_word(a) in ("the", "'s")
            or (talk.words[a] == "won" and kind_near and talk.next_word(b) in ("for", "blue", "red"))
        )
        after_corner = tie == "attached" and (
            talk.closes(end) or talk.ref_after(end, 1) is not None or nxt in ("to", "for")
        )
        if words[a] == "to" and not talk.closes(end):
            # "awarded to the red wrestler"
            return None
        if (
            not (gives and (talk.closes(end) or after_corner))
            and not (after_corner and talk.words[a] in ("won", "too") and kind_near)
            and not (talk.previous_word(a) == "," and nxt == "to" and tie == "attached")
        ):
            return None
    counted = terms.starting("kind", end)
    if counted is not None and words[a] == "one" and talk.previous_word(a) == "another":
        return None
    if (
        counted is not None
        and value > 1
        and words[counted.end - 1].endswith("s")
        and words[counted.end - 1] != "points"
    ):
        # "two step-outs": so many of them, not so many points.
        return None
    if end < hi and (
        terms.starting("not_score", hyphen)
        or terms.starting("not_score", end)
        or terms.starting("minute", end)
        or terms.starting("second", end)
    ):
        return None
    if tie == "attached" and (signed or (point is not None and said_to)):
        strength = "points+corner"
    elif signed and kind_near:
        strength = "points+kind"
    elif point is not None:
        strength = "points"
    elif tie == "attached" and (nxt in _GIVING or talk.ref_after(end, 1) is not None or talk.closes(end)):
        strength = "points+corner"
    elif (
        value == 1
        and words[a] != "1"
        and not (
            (kind_near and (gives or more or nxt in ("for", "to", "more") or talk.closes(end)))
            or (gives and talk.closes(end))
        )
    ):
        return None
    elif kind_near or fingers:
        strength = "points+kind"
    elif (more and gives and value <= 4) or (
        more and value <= 3 and (talk.closes(end) or nxt in _AFTER_MORE)
    ):
        strength = "points more"
    elif gives and (
        talk.closes(end) or nxt in ("for", "to", "more") or talk.between(end, end + 3) in _OF_OWN
    ):
        strength = "points given"
    elif alone and talk.closes(end) and talk.document.punctuated and value > 1:
        strength = "points alone"
    else:
        return None
    if strength == "points" and kind_near:
        strength = "points+kind"
    if more and value == 1 and point is None and tie != "attached" and not kind_near:
        return None
    if tie == "none":
        corner, tie = around(talk, a, end, lo, hi)
    return Part(a, end, (), value, strength, corner, tie, more, said_to)
