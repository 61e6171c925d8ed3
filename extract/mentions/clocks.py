"""Finds times left on a clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

from extract.lexicon import small_words
from extract.mentions.clock_sorts import bound_of, is_of_activity, is_of_another, is_past, which_clock
from extract.mentions.model import Bound, ClockMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.talk.numbers import Number

#: Ways to leave a number open: "forty-odd left".
_ABOUT = ("- odd", "- something", "- some", "odd", "- ish")
_PERIODS = small_words("periods")
_OR_SO = ("or so", "or thereabouts")
#: Longest time left that any style's period has, in seconds, with a margin for age groups.
_LONGEST = 310
#: Least and most seconds that a number without a unit may mean.
_BARE_LEAST, _BARE_MOST = 3, 120
_ORDINALS = {"first": 1, "opening": 1, "one": 1, "second": 2, "two": 2, "third": 3, "final": 3, "last": 3}


@dataclass(frozen=True, slots=True)
class _Time:
    """A stretch of words that can be a time: ``form`` says what it is made of."""

    start: int
    end: int
    seconds: int
    form: str


def find_clocks(talk: Talk) -> list[ClockMention]:
    """All times left that are said; marks their numbers as taken."""
    out: list[ClockMention] = []
    stop = 0
    for time in _times(talk):
        if time.start < stop or time.seconds > _LONGEST:
            continue
        mention = _read(talk, time)
        if mention is not None:
            out.append(mention)
            talk.take(time.start, time.end)
            stop = time.end
    return out


def _times(talk: Talk) -> Iterator[_Time]:
    words, terms = talk.words, talk.terms
    begins = {number.start for number in talk.numbers} | {term.start for term in terms.all("minute")}
    begins.update(i for i, word in enumerate(words) if word == "half")
    for i in sorted(begins):
        k = talk.number_at(i)
        number = talk.numbers[k] if k is not None and talk.numbers[k].start == i else None
        if number is None:
            minute = terms.starting("minute", i)
            if minute is not None and talk.previous_word(i) != "per":
                yield from _minute(talk, i, minute.end)
            elif words[i] == "half" and talk.between(i + 1, i + 3) == "a minute":
                yield _Time(i, i + 3, 30, "words")
            continue
        if number.form == "clock":
            yield _Time(number.start, number.end, number.value, "m:ss")
            continue
        if (
            number.form == "homophone"
            and words[i] in ("to", "too", "won")
            and words[i + 1 : i + 2] in (["minutes"], ["minute"])
        ):
            yield _Time(i, i + 2, 60 * number.value, "minutes")
            continue
        if number.form in ("zero", "homophone"):
            continue
        quarters = talk.between(number.end, number.end + 5) if number.value == 3 else ""
        if quarters.removeprefix("- ").startswith("quarters of a minute"):
            end = number.end + 4 + (talk.words[number.end] == "-")
            yield _Time(number.start, end, 45, "words")
            continue
        after = number.end + 1 if talk.next_word(number.end) == "-" else number.end
        half = terms.starting("half", number.end)
        if half is not None and terms.starting("minute", half.end) and number.value <= 4:
            yield _Time(number.start, half.end + 1, 60 * number.value + 30, "words")
            continue
        if talk.words[after : after + 1] in (["full"], ["whole"], ["more"]):
            after += 1
        if _minutes_follow(talk, number, after):
            minute = terms.starting("minute", after)
            assert minute is not None
            yield from _rest_of_minutes(talk, number.start, minute.end, number.value)
            continue
        odd = words[after : after + 1] in (["odd"], ["some"], ["something"], ["ish"])
        unit = after + 1 if odd else after
        if terms.starting("second", unit) and talk.next_word(unit + 1) not in _PERIODS:
            second = terms.starting("second", unit)
            assert second is not None
            yield _Time(number.start, second.end, number.value, "seconds")
            continue
        pair = _minute_second(talk, cast(int, k))
        if pair is not None:
            yield pair
            continue
        yield _Time(number.start, number.end, number.value, "bare")


def _minutes_follow(talk: Talk, number: Number, after: int) -> bool:
    """Whether the number counts the minutes named next: "two / minute thirty" is two captions, not a time."""
    unit = talk.terms.starting("minute", after)
    if unit is None or number.value > 6:
        return False
    return number.value == 1 or talk.words[after] != "minute"


def _minute(talk: Talk, i: int, end: int) -> Iterator[_Time]:
    """ "a minute forty-three", "minute thirty-eight", "a minute", "the last minute"."""
    start = i
    if talk.previous_word(i) in ("a", "one", "last", "final", "full"):
        start = i - 1
    yield from _rest_of_minutes(talk, start, end, 1)


def _rest_of_minutes(talk: Talk, start: int, end: int, minutes: int) -> Iterator[_Time]:
    part = talk.terms.starting("half", end)
    if part is not None:
        yield _Time(start, part.end, 60 * minutes + int(part.entry.value), "words")
        return
    after = end
    while after < len(talk) and talk.words[after] in ("and", ","):
        after += 1
    k = talk.number_at(after)
    if k is not None and talk.numbers[k].start == after:
        number = talk.numbers[k]
        if number.form in ("figure", "word") and number.value < 60:
            stop = number.end
            second = talk.terms.starting("second", stop)
            follows = talk.words[after - 1] != ","
            if (second is not None or follows) and not talk.lines(end - 1, after):
                yield _Time(start, second.end if second else stop, 60 * minutes + number.value, "words")
                return
    yield _Time(start, end, 60 * minutes, "minutes")


def _minute_second(talk: Talk, k: int) -> _Time | None:
    """ "two forty-eight", "one oh five", "one-fifty"."""
    first = talk.numbers[k]
    if not 1 <= first.value <= 4 or k + 1 >= len(talk.numbers) or first.form == "homophone":
        return None
    second = talk.numbers[k + 1]
    if talk.words[first.start].startswith("+") or (
        talk.document.notes and talk.lines(first.end - 1, second.start)
    ):
        return None
    gap = talk.between(first.end, second.start)
    if gap not in ("", "-") or second.start - first.end > 2:
        return None
    if gap == "-" and "figure" in (first.form, second.form):
        # "1-16" in figures is a score; a time would have a colon.
        return None
    if second.form in ("figure", "word") and 10 <= second.value <= 59:
        return _Time(first.start, second.end, 60 * first.value + second.value, "pair")
    if second.form == "zero" and talk.words[second.start] in ("oh", "o") and k + 2 < len(talk.numbers):
        third = talk.numbers[k + 2]
        whole = talk.between(second.end, third.start) in ("", "-") and 1 <= third.value <= 9
        if (
            whole
            and not talk.terms.any("points_word", third.end, third.end + 1)
            and third.form in ("word", "figure")
        ):
            return _Time(first.start, third.end, 60 * first.value + third.value, "oh")
    return None


def _read(talk: Talk, time: _Time) -> ClockMention | None:
    """The mention that a time is, or None where the words speak of something else."""
    a, b = time.start, time.end
    if time.form == "bare" and not _BARE_LEAST <= time.seconds <= _BARE_MOST:
        return None
    segment_start, segment_end = talk.segment(a)
    before = max(segment_start, a - 6)
    after = min(segment_end, b + 7)
    bound = bound_of(talk, a, b, before, after)
    remain = any(t.start - b <= 3 for t in talk.terms.within("remain", b, min(after, b + 4)))
    if not remain:
        remain = talk.next_word(b) in ("left", "remaining", "remains")
    bare = _bare_grade(talk, time, bound, remain) if time.form == "bare" else ""
    if bare is None:
        return None
    lead_in = talk.between(max(segment_start, a - 3), a)
    clock = which_clock(talk, a, b, before, after, remain)
    if clock == "bout" and is_of_activity(talk, a, b, time.seconds):
        clock = "activity"
    if is_of_another(talk, a, b, segment_start, segment_end):
        return None
    if clock == "bout" and not remain and is_past(talk, a, b, lead_in):
        return None
    stance = stance_of(talk, a, b)
    if time.form == "bare":
        grade = bare
    elif time.form == "pair":
        # "two forty-eight" can be a score only up to a point, and a time needs no more words.
        if (
            not remain
            and time.seconds % 60 < 16
            and bound == "exact"
            and not talk.terms.any("remain", before, a)
        ):
            return None
        grade = "time pair+remain" if remain else "time pair"
    elif time.form == "minutes":
        if not remain and (talk.between(a, b) in ("minutes", "minute") or stance == "negated"):
            return None
        if not remain and bound == "exact" and not talk.closes(b):
            return None
        grade = "minutes+remain" if remain else "minutes+bound" if bound != "exact" else "minutes"
    else:
        if time.form == "oh" and not remain and not (talk.opens(a) and talk.closes(b)):
            return None
        grade = f"{time.form}+remain" if remain else time.form
    if stance == "asked" and not remain:
        grade = "asked"
    return ClockMention(
        a, b, talk.time(a), stance, grade, time.seconds, bound, clock, _period(talk, b, after)
    )


def _bare_grade(talk: Talk, time: _Time, bound: Bound, remain: bool) -> str | None:
    """A number without a unit: only with words for what is left, or alone in its sentence."""
    a, b = time.start, time.end
    if any(t.end == a for t in talk.terms.within("tied", a - 2, a)):
        return None
    if talk.terms.at("tie_up", a) or talk.terms.any("points_word", b, b + 2):
        return None
    if talk.previous_word(a) in ("to", "-", "too") and talk.number_at(a - 2) is not None:
        return None
    after = b + 2 if talk.between(b, b + 2) in (*_ABOUT, *_OR_SO) else b
    near = next((t for t in talk.terms.within("remain", after, after + 3) if t.start <= after + 1), None)
    k = talk.number_at(after)
    if (k is not None and talk.numbers[k].form != "homophone") or talk.words[a].startswith("+"):
        near = None
    if near is not None and time.seconds >= 10 and talk.between(near.start, near.end) == "showing":
        return "bare+remain"
    if near is not None and talk.between(near.start, near.end) not in (
        "showing",
        "to find",
        "in one",
        "on there",
        "to get",
    ):
        return "bare+remain"
    if after > b and talk.opens(a) and time.seconds >= 10:
        # "Twenty or so. Red's backing up."
        return "bare+bound"
    alone = talk.previous_word(a) in ("", "about", "maybe", "under", "inside") and talk.closes(b)
    if (
        alone
        and time.seconds >= 10
        and talk.document.punctuated
        and talk.words[b : b + 1]
        in (
            ["."],
            ["!"],
            [
                ",",
            ],
        )
    ):
        return "bare+bound" if bound != "exact" else "bare sentence"
    if (
        bound == "under"
        and talk.previous_word(a) in ("under", "inside")
        and talk.closes(b)
        and time.seconds >= 5
    ):
        return "bare+bound"
    return None


def _period(talk: Talk, b: int, after: int) -> int | None:
    """The period that the words after the time name."""
    words = talk.between(b, after).split()
    for i, word in enumerate(words[:-1]):
        if word in ("the", "opening", "in", "of") and words[i + 1] in _ORDINALS:
            return _ORDINALS[words[i + 1]]
    return None
