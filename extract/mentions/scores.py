"""Finds what may be the score of the bout: pairs of numbers, level scores, leads in one number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from extract.mentions.model import MarginMention, ScoreMention, Tie
from extract.mentions.numbers import Number
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import Corner, other

if TYPE_CHECKING:
    from extract.mentions.cast import CornerRef

#: No bout under any of the styles comes near it; above it two numbers are a record, a year, a weight.
_HIGHEST = 45
_JOINTS = frozenset({"-", "to", "- to -", "", ",", "points to", "point to", "- nothing", ": "})


@dataclass(frozen=True, slots=True)
class _Pair:
    """A candidate: tokens, the two numbers, how they are written; ``holder`` where the form itself says it."""

    start: int
    end: int
    pair: tuple[int, int]
    form: str
    holder: Corner | None = None


def find_scores(talk: Talk) -> list[ScoreMention]:
    """All candidate scores in order, the most telling reading of each place; marks their numbers as taken."""
    out: list[ScoreMention] = []
    candidates = [*_named_pairs(talk), *_level_pairs(talk), *_runs(talk), *_fused(talk)]
    for pair in candidates:
        touched = {k for i in range(pair.start, pair.end) if (k := talk.number_at(i)) is not None}
        if touched & talk.taken or max(pair.pair) > _HIGHEST:
            continue
        mention = _read(talk, pair)
        if mention is not None:
            out.append(mention)
            talk.taken |= touched
    return sorted(out, key=lambda m: m.start)


def _plain(number: Number) -> bool:
    return number.form in ("figure", "word", "zero")


def _named_pairs(talk: Talk) -> Iterator[_Pair]:
    """ "Okomfo seven, Umarike four", "blue four red one", "five for red and three for blue"."""
    numbers = talk.numbers
    for k in range(len(numbers) - 1):
        a, b = numbers[k], numbers[k + 1]
        if (
            not (_plain(a) and _plain(b))
            or b.start - a.end > 7
            or talk.segment_of[a.start] != talk.segment_of[b.start]
        ):
            continue
        between = [r for r in talk.refs_within(a.end, b.start) if r.end <= b.start]
        if len(between) == 1 and between[0].how != "pronoun":
            middle = between[0]
            lead = talk.ref_before(a.start, 2)
            tail = talk.ref_after(b.end, 2)
            filler = talk.between(a.end, middle.start).split() + talk.between(middle.end, b.start).split()
            if any(
                w not in (",", "and", "to", "-", "for", "on", "has", "is", "with", "got", "'s", "but")
                for w in filler
            ):
                continue
            if (
                lead is not None
                and lead.corner != middle.corner
                and talk.between(a.end, middle.start) in ("", ",", "and", "to", "-", "but")
            ):
                yield _Pair(lead.start, b.end, (a.value, b.value), "named", lead.corner)
            elif (
                tail is not None
                and tail.corner != middle.corner
                and talk.between(a.end, middle.start) in ("", "for", "to")
            ):
                yield _Pair(a.start, tail.end, (a.value, b.value), "named", middle.corner)
        elif len(between) == 1:
            middle = between[0]
            lead = talk.ref_before(a.start, 3)
            if (
                lead is not None
                and lead.corner != middle.corner
                and talk.previous_word(a.start) in ("on", "has", "got", "at")
            ):
                yield _Pair(a.start, b.end, (a.value, b.value), "named", lead.corner)


def _level_pairs(talk: Talk) -> Iterator[_Pair]:
    """ "four all", "seven apiece", "tied at four"."""
    for k, number in enumerate(talk.numbers):
        if k in talk.taken or number.form in ("clock", "homophone") or number.value > 30:
            continue
        end = number.end + 1 if talk.words[number.end : number.end + 1] == ["-"] else number.end
        word = talk.terms.starting("level", end)
        if word is not None:
            if number.form == "zero" and talk.words[number.start] in ("love", "oh", "o"):
                continue
            if talk.terms.any("not_score", word.end, word.end + 3) or talk.between(
                word.end, word.end + 2
            ).startswith(("the way", "over", "of", "right", "about", "on the")):
                continue
            start = number.start
            previous = talk.numbers[k - 1] if k else None
            if (
                previous is not None
                and previous.value == number.value
                and talk.between(previous.end, number.start) in ("-", "", "to")
            ):
                start = previous.start
            yield _Pair(start, word.end, (number.value, number.value), "level")
            continue
        before = [
            t for t in talk.terms.within("tied", number.start - 2, number.start) if t.end == number.start
        ]
        if (
            (before
            and talk.closes(number.end))
            or (before and talk.between(before[0].start, before[0].end).endswith("at"))
        ):
            yield _Pair(before[0].start, number.end, (number.value, number.value), "level")


def _joint(talk: Talk, a: Number, b: Number) -> str | None:
    """What joins two numbers of one score, or None where something else stands between them."""
    if b.start - a.end > 3:
        return None
    joint = talk.between(a.end, b.start)
    if joint not in _JOINTS:
        return None
    lines = talk.lines(a.end - 1, b.start)
    if lines and joint in ("", ",") and talk.document.punctuated:
        return None
    return joint


def _runs(talk: Talk) -> Iterator[_Pair]:
    """Pairs out of runs of joined numbers; a run that counts down, or is too long to be told apart, gives none."""
    numbers = [n for n in talk.numbers if talk.free(n) and n.form != "clock"]
    i = 0
    while i < len(numbers):
        run, joints = [numbers[i]], []
        if run[0].form == "homophone" and not _opens(talk, numbers, i):
            i += 1
            continue
        while i + len(run) < len(numbers):
            nxt = numbers[i + len(run)]
            # "to" between two numbers joins them; it is a two only where nothing follows that could be joined.
            if nxt.form == "homophone":
                after = numbers[i + len(run) + 1] if i + len(run) + 1 < len(numbers) else None
                if (
                    after is not None
                    and talk.words[nxt.start] == "to"
                    and (_joint(talk, run[-1], after) or "").endswith(("to", "to -"))
                ):
                    numbers.pop(i + len(run))
                    continue
                if _joint(talk, run[-1], nxt) is None or not _sound_fits(talk, run[-1], nxt):
                    break
            joint = _joint(talk, run[-1], nxt)
            if (
                joint is None
                or (talk.segment_of[nxt.start] != talk.segment_of[run[-1].start]
                and talk.document.punctuated)
            ):
                break
            run.append(nxt)
            joints.append(joint)
        yield from _split(talk, run, joints)
        i += len(run)


def _opens(talk: Talk, numbers: list[Number], i: int) -> bool:
    """Whether a word that only sounds like a number can be the first of a score: "won nothing", "too-one"."""
    if i + 1 >= len(numbers) or talk.words[numbers[i].start] not in ("won", "too", "for", "ate"):
        return False
    nxt = numbers[i + 1]
    return nxt.form == "zero" and nxt.start == numbers[i].end and talk.closes(nxt.end)


def _sound_fits(talk: Talk, a: Number, b: Number) -> bool:
    """Whether a word that only sounds like a number can be the second of a score here."""
    return b.start == a.end and talk.closes(b.end) and talk.words[b.start] in ("too", "for", "won", "ate")


def _split(talk: Talk, run: list[Number], joints: list[str]) -> Iterator[_Pair]:
    values = [n.value for n in run]
    if len(run) < 2:
        return
    down = len(run) >= 3 and all(a - b == 1 for a, b in zip(values, values[1:], strict=False))
    if down and all(j in ("", ",") for j in joints):
        return
    if len(run) == 2:
        if _sayable(talk, run[0], run[1], joints[0]):
            yield _make(run[0], run[1], joints[0])
        return
    strong = [k for k, joint in enumerate(joints) if joint not in ("", ",")]
    if strong:
        last = -1
        for k in strong:
            if k > last:
                yield _make(run[k], run[k + 1], joints[k])
                last = k + 1
        # "six zip six to nothing": what is left over in front may be a pair of its own.
        if strong[0] == 2:
            yield _make(run[0], run[1], joints[0])
        return
    # What stands in one caption belongs together: "a point for nothing / seven six".
    for k in range(1, len(run)):
        if talk.lines(run[k - 1].end - 1, run[k].start):
            yield from _split(talk, run[:k], joints[: k - 1])
            yield from _split(talk, run[k:], joints[k:])
            return
    if len(run) == 4:
        yield _make(run[0], run[1], joints[0])
        yield _make(run[2], run[3], joints[2])
    elif len(run) == 3 and run[1].form == "zero":
        yield _make(run[0], run[1], joints[0])
    elif len(run) == 3 and run[2].form == "zero":
        yield _make(run[1], run[2], joints[1])


def _sayable(talk: Talk, a: Number, b: Number, joint: str) -> bool:
    """Whether two numbers can be a score as they are written: no "nothing, nothing", no "two, two"."""
    first = talk.words[a.start]
    if a.form == "zero" and (
        first in ("oh", "o", "love", "none", "nada") or (first == "nothing" and joint not in ("-", "to", ""))
    ):
        return False
    if b.form == "zero" and (joint == "," or (joint == "" and talk.words[b.start] == "none")):
        return False
    return not (joint == "," and a.value == b.value)


def _make(a: Number, b: Number, joint: str) -> _Pair:
    if a.form == "homophone" or b.form == "homophone":
        form = "sound"
    elif joint in ("-", "to", "- to -"):
        form = "hyphen" if joint == "-" else "to"
    elif "point" in joint:
        form = "points to"
    elif b.form == "zero" or a.form == "zero":
        form = "zero"
    else:
        form = "comma" if joint == "," else "bare"
    return _Pair(a.start, b.end, (a.value, b.value), form)


def _fused(talk: Talk) -> Iterator[_Pair]:
    """ "31" for 3-1, where a recogniser ran two figures together and a corner or a word of leading stands by."""
    for number in talk.numbers:
        if (
            number.form != "figure"
            or not 10 <= number.value <= 99
            or number.end - number.start != 1
            or not talk.free(number)
        ):
            continue
        near = talk.ref_after(number.end, 1) or (
            talk.ref_before(number.start, 1) if talk.terms.any("lead", number.end, number.end + 1) else None
        )
        cue = talk.terms.any("lead", number.start - 2, number.start) or talk.terms.any(
            "score_cue", number.start - 2, number.start
        )
        if near is not None and cue and not talk.terms.any("not_score", number.end, number.end + 2):
            yield _Pair(number.start, number.end, divmod(number.value, 10), "fused")


def _read(talk: Talk, pair: _Pair) -> ScoreMention | None:
    a, b = pair.start, pair.end
    segment_start, segment_end = talk.segment(a)
    if talk.terms.any("tie_up", a, b):
        return None
    if pair.form == "level" and pair.pair[0] <= 1 and b - a <= 2:
        # "One each" is said of warnings, challenges and much else.
        pair = replace(pair, form="one each")
    after_word = talk.next_word(b)
    if pair.form in ("bare", "comma", "zero") and (
        talk.terms.starting("not_score", b)
        or talk.terms.starting("second", b)
        or talk.terms.starting("minute", b)
    ):
        return None
    if after_word in ("%", "kilos", "kilo", "pounds") or talk.previous_word(a) in (
        "#",
        "number",
        "seeded",
        "mat",
        "no",
    ):
        return None
    first, tie = (pair.holder, "attached") if pair.holder else _holder(talk, pair)
    stance = stance_of(talk, a, b)
    points = _evidence(talk, pair, first, tie, segment_start, segment_end)
    grade = "doubtful" if points <= -2 else "weak" if points <= 0 else "fair" if points <= 2 else "strong"
    final = talk.terms.any("final_cue", max(segment_start, a - 7), min(segment_end, b + 7))
    repair = talk.terms.any("repair", a - 6, a)
    return ScoreMention(a, b, talk.time(a), stance, grade, pair.pair, first, tie, final, repair)


def _evidence(talk: Talk, pair: _Pair, first: Corner | None, tie: str, lo: int, hi: int) -> int:
    """How much the words around speak for a score of this bout: each sign counts one or more for or against."""
    a, b = pair.start, pair.end
    terms = talk.terms
    total = {
        "level": 2,
        "named": 2,
        "to": 1,
        "hyphen": 1,
        "zero": 1,
        "points to": 2,
        "bare": -1,
        "comma": -3,
        "sound": -1,
        "fused": 0,
        "one each": -3,
    }[pair.form]
    if first is not None:
        total += 2 if tie == "attached" else 1
    if terms.any("lead", max(lo, a - 4), min(hi, b + 4)):
        total += 1
    if terms.any("score_cue", max(lo, a - 5), a) or terms.any("score_cue", b, min(hi, b + 5)):
        total += 1
    if talk.opens(a) and talk.closes(b):
        total += 1
    # In captions without punctuation a segment is one line; a record or an old bout is told over a longer stretch.
    reach = (
        (max(lo - 2, a - 12), min(hi + 6, b + 12))
        if not talk.document.punctuated
        else (max(lo, a - 14), min(hi, b + 14))
    )
    if terms.any("record", *reach):
        total -= 4
    if any(not _harmless(talk.between(t.start, t.end)) for t in terms.within("elsewhere", *reach)):
        total -= 4
    if talk.previous_word(b + 2) == "and" and talk.number_at(b + 1) is not None:
        total -= 2
    return total


def _harmless(word: str) -> bool:
    """ "first round" and the like may also be said of a period of this bout."""
    return word in ("first round", "second round", "third round", "once", "remember", "on the other")


def _holder(talk: Talk, pair: _Pair) -> tuple[Corner | None, Tie]:
    """Who holds the first number, as the words have it; a pronoun ties less than a name."""
    corner, tie, ref = _named_holder(talk, pair)
    if ref is not None and ref.how in ("pronoun", "home", "role") and tie == "attached":
        tie = "clause"
    elif ref is not None and ref.how in ("pronoun", "home", "role") and tie == "clause":
        tie = "near"
    return corner, tie


def _named_holder(talk: Talk, pair: _Pair) -> tuple[Corner | None, Tie, CornerRef | None]:
    a, b = pair.start, pair.end
    lo, hi = talk.segment(a)
    low_first = pair.pair[0] < pair.pair[1]
    after = talk.ref_after(b, 3)
    before = talk.ref_before(a, 3)
    if before is not None and before.about == "bench" and after is not None:
        before = None
    if after is not None and before is not None and after.corner != before.corner:
        # "five-two, Nakadera": what directly follows wins, unless a subject with a verb of leading stands in front.
        led = talk.terms.any("lead", before.end, a)
        if led and not talk.terms.any("lead", after.end, min(hi, after.end + 2)):
            return _ordered(talk, before.corner, before.end, a, low_first), "attached", before
        return _ordered(talk, after.corner, after.end, min(hi, after.end + 4), low_first), "attached", after
    if after is not None:
        return _ordered(talk, after.corner, after.end, min(hi, after.end + 4), low_first), "attached", after
    if before is not None:
        return _ordered(talk, before.corner, before.end, b + 2, low_first), "attached", before
    loose = talk.ref_after(b, 7, links_only=False)
    front = _subject(talk, a, lo)
    if front is not None:
        led = talk.terms.any("lead", front.end, a) or talk.terms.any("trail", front.end, a)
        if led or loose is None:
            close = a - front.end <= 6 and led
            return (
                _ordered(talk, front.corner, front.end, b + 2, low_first),
                "attached" if close else "clause",
                front,
            )
    if loose is not None:
        led = talk.terms.any("lead", b, min(hi, loose.end + 4))
        tie: Tie = "near" if not led else "attached" if loose.start - b <= 5 else "clause"
        return _ordered(talk, loose.corner, loose.start, min(hi, loose.end + 4), low_first), tie, loose
    return None, "none", None


def _subject(talk: Talk, a: int, lo: int) -> CornerRef | None:
    """The corner that the sentence before the pair is about: the first of two where a word of leading parts them
    ("Calloran over Nakadera, six-two"), else the last."""
    found = [r for r in talk.refs_within(max(lo, a - 14), a) if r.end <= a]
    if not found:
        return None
    last = found[-1]
    for earlier in reversed(found[:-1]):
        if earlier.corner != last.corner and talk.terms.any("lead", earlier.end, last.start):
            return earlier
    return last


def _ordered(talk: Talk, corner: Corner, a: int, b: int, low_first: bool) -> Corner:
    """Who holds the first number when ``corner`` is named: the words of leading or trailing around decide, and
    without any the one named holds the number said first."""
    if any(_trailing(talk, t.start, t.end) for t in talk.terms.within("trail", a, b)):
        return corner if low_first else other(corner)
    if low_first and talk.terms.any("lead", a, b):
        return other(corner)
    return corner


def _trailing(talk: Talk, start: int, end: int) -> bool:
    """ "back in front" and "back to" trail nobody."""
    word = talk.between(start, end)
    return not (
        word == "back"
        or (word == "behind" and talk.next_word(end) in ("him", "her", "again"))
        or word in ("needs", "loses")
    )


def find_margins(talk: Talk) -> list[MarginMention]:
    """Leads said in one number, and remarks that it is level."""
    out: list[MarginMention] = []
    for number in talk.numbers:
        if not talk.free(number) or not _plain(number) or not 0 < number.value <= 15:
            continue
        a, b = number.start, number.end
        noun = talk.terms.starting("margin_noun", b + 1 if talk.words[b : b + 1] == ["-"] else b)
        by = [t for t in talk.terms.within("margin_by", a - 2, a) if t.end == a]
        up = [
            t for t in talk.terms.within("lead", a - 1, a) if talk.between(t.start, t.end) in ("up", "ahead")
        ]
        down = talk.previous_word(a) == "down"
        if (noun is None and not by and not (up or down)) or talk.terms.any("minute", b, b + 1):
            continue
        if noun is None and not by and not (talk.closes(b) or talk.terms.any("points_word", b, b + 1)):
            continue
        end = noun.end if noun is not None else b
        lo, hi = talk.segment(a)
        ref = talk.ref_before(a, 4, links_only=False) or talk.ref_after(end, 3) or None
        losing = down or any(
            _trailing(talk, t.start, t.end)
            for t in talk.terms.within("trail", max(lo, a - 3), min(hi, end + 2))
        )
        leader = None if ref is None else other(ref.corner) if losing else ref.corner
        tie: Tie = (
            "none"
            if ref is None
            else "attached"
            if abs(ref.end - a) <= 3 or abs(ref.start - end) <= 2
            else "clause"
        )
        grade = "margin" if noun is not None or by else "up"
        out.append(
            MarginMention(a, end, talk.time(a), stance_of(talk, a, end), grade, number.value, leader, tie)
        )
        talk.take(a, b)
    for term in talk.terms.all("tied"):
        if talk.number_at(term.end) is None and talk.between(term.start, term.end) in (
            "all square",
            "dead level",
            "dead even",
            "all tied",
            "all tied up",
            "it's a tie",
            "all even",
        ):
            stance = stance_of(talk, term.start, term.end)
            out.append(
                MarginMention(term.start, term.end, talk.time(term.start), stance, "level", 0, None, "none")
            )
    return sorted(out, key=lambda m: m.start)
