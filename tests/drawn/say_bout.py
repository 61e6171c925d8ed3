"""Commentary for a drawn bout, from the templates of ``grammar.toml``, with the truth about it."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from extract.rules import CORNERS, Corner, other
from extract.transcript import BoutFile, Cue, Format, Side, Transcript
from tests.drawn.drawn_bout import DrawnBout, DrawnEvent
from tests.drawn.truth import truth_of
from tests.drawn.voice import Noise, Register, Voice
from tests.drawn.words import ORDINALS, people, time_in_words

#: What is called without a point.
WARNINGS = ("passivity_warning", "activity_clock_start", "stalling_warning")
#: Characters spoken in a second (common practice).
_RATE = 15.0
_FORMATS: Mapping[Register, Format] = {"cased": "srt", "lower": "asr", "notes": "csv"}


@dataclass(frozen=True, slots=True)
class Told:
    """A bout as told: the transcript, the bout file, and the truth in the form of a label file."""

    transcript: Transcript
    bout: BoutFile
    truth: dict[str, Any]


class Spoken(NamedTuple):
    """Words, and what goes into the truth with them: which list, and the row without its time."""

    text: str
    key: str | None = None
    row: dict[str, Any] | None = None


class Beat(NamedTuple):
    """Something to say at ``t``, and not after ``until``; the words may depend on the moment."""

    t: float
    until: float
    say: Callable[[float], Spoken | None]


def say_bout(
    bout: DrawnBout, register: Register = "cased", noise: Noise | None = None, seed: int = 0
) -> Told:
    """The commentary over ``bout`` in one register."""
    rng = random.Random(f"{bout.rules.name} {bout.seed} {register} {seed}")
    cast = people(rng)
    voice = Voice(bout, register, noise or Noise(), rng, cast)
    # Notes have digits, captions mostly; a recogniser writes words.
    voice.digits = register == "notes" or (register == "cased" and rng.random() < 0.7)
    called = {k: _manner(voice) for k, e in enumerate(bout.events) if e.move.points}
    cues = _spoken(voice, _beats(voice, called))
    name = f"drawn-{bout.rules.name}-{bout.seed}"
    transcript = Transcript(name, _FORMATS[register], "0" * 64, tuple(cues))
    sides = {corner: Side(cast[corner].name, cast[corner].team) for corner in CORNERS}
    sheet = BoutFile(bout.rules.name, bout.rules.edition, None, sides["red"], sides["blue"])
    return Told(transcript, sheet, truth_of(voice, called, name, transcript))


def _manner(voice: Voice) -> str:
    """How an award is called."""
    chance, noise = voice.rng.random(), voice.noise
    for manner, share in (
        ("missed", noise.uncalled), ("points only", noise.points_only), ("kind only", noise.kind_only)
    ):  # fmt: skip
        if chance < share:
            return manner
        chance -= share
    return "full call"


def _spoken(voice: Voice, beats: list[Beat]) -> list[Cue]:
    """The beats on time: one at a time, what comes too late left out, longer gaps filled with talk."""
    cues: list[Cue] = []
    free = 0.5

    def put(t: float, spoken: Spoken) -> float:
        text = voice.heard(spoken.text)
        end = t + max(len(spoken.text) / _RATE, 1.0)
        cues.append(Cue(len(cues) + 1, round(t, 2), round(end, 2), text))
        if spoken.key is not None and spoken.row is not None:
            voice.truth.setdefault(spoken.key, []).append({"t": round(t, 1), **spoken.row})
        return end + 0.1

    for beat in sorted(beats, key=lambda b: b.t):
        while beat.t - free > 8.0 and voice.rng.random() < 0.75:
            free = put(free + voice.rng.uniform(1.0, 2.0), Spoken(_filler(voice)))
        at = max(beat.t, free)
        if at > beat.until:
            continue
        spoken = beat.say(at)
        if spoken is not None:
            free = put(at, spoken)
    return cues


def _filler(voice: Voice) -> str:
    kind = "distractor" if voice.rng.random() < voice.noise.distractors else "filler"
    rng = voice.rng
    return voice.say(
        voice.templates(kind, "any"), rng.choice(CORNERS), x=voice.number(rng.randint(8, 19)),
        y=voice.number(rng.randint(1, 7)),
    )  # fmt: skip


def _beats(voice: Voice, called: Mapping[int, str]) -> list[Beat]:
    """All that there is to say, each with its moment."""
    bout, rng = voice.bout, voice.rng
    beats = [Beat(1.0, 9.0, lambda t: Spoken(_opening(voice)))]
    moments = [e.t for e in bout.events] + [e.off for e in bout.events if e.off is not None] + [bout.end + 60]
    for k, event in enumerate(bout.events):
        after = min(m for m in moments if m > event.t + 0.05) if event.t < bout.end else bout.end + 60
        kind = event.move.kind
        if event.move.points:
            _add_award(voice, beats, event, called[k], after)
        elif kind in WARNINGS:
            beats.append(Beat(event.t + 1.0, after, _fixed(_warning(voice, event))))
        elif kind == "period_start":
            _add_start(voice, beats, event)
        elif kind == "period_end":
            beats.append(Beat(event.t + 0.3, after, _fixed(_mark(voice, "end", event.period))))
            _add_score(voice, beats, event.t + 3.5, after)
        elif kind == "fall":
            beats.append(
                Beat(
                    event.t + 0.5, after, _fixed(voice.say(voice.templates("end", "fall"), event.move.corner))
                )
            )
        told = bool(event.move.points) or kind in WARNINGS
        if told and rng.random() < voice.noise.clocks and bout.clock_at(event.t) is not None:
            beats.append(Beat(event.t + 5.2, after - 2.5, lambda t: _clock(voice, t)))
    _add_challenges(voice, beats)
    _add_end(voice, beats)
    return beats


def _fixed(text: str) -> Callable[[float], Spoken]:
    return lambda t: Spoken(text)


def _opening(voice: Voice) -> str:
    red, blue = voice.cast["red"], voice.cast["blue"]
    template: str = voice.rng.choice(voice.templates("opening", "any"))
    return template.format(R=red.name, B=blue.name, RT=red.team, BT=blue.team)


def _mark(voice: Voice, what: str, period: int) -> str:
    return voice.say(voice.templates("mark", what), p=ORDINALS[period - 1], o=voice.number(period))


def _add_start(voice: Voice, beats: list[Beat], event: DrawnEvent) -> None:
    beats.append(Beat(event.t + 0.2, event.t + 5, _fixed(_mark(voice, "start", event.period))))
    # Each period but the first of a style with positions begins with a choice.
    if voice.bout.rules.rest_seconds == 0 and event.period > 1:
        top = event.move.corner
        text = voice.say(voice.templates("mark", "neutral" if top is None else "top"), top)
        beats.append(Beat(event.t + 0.3, event.t + 6, _fixed(text)))


def _warning(voice: Voice, event: DrawnEvent) -> str:
    assert event.move.against is not None
    return voice.say(voice.templates("warning", event.move.kind), other(event.move.against))


def _phrase(voice: Voice, kind: str) -> str:
    phrase: str = voice.rng.choice(voice.templates("phrase", kind))
    return phrase


def _call(voice: Voice, event: DrawnEvent, manner: str) -> str:
    corner, kind = event.move.corner, event.move.kind
    words = {"k": _phrase(voice, kind), **voice.worth(event.move.points)}
    table = voice.templates({"full call": "full", "points only": "points", "kind only": "kind"}[manner])
    own = table.get(kind, [])
    if event.move.against is not None:
        # Beside the name of the offender a second name needs words that part the two.
        table = (
            table.get("offence", table)
            if manner == "kind only"
            else {"any": table.get("offence", table["any"])}
        )
    return voice.say(own if own and voice.rng.random() < 0.6 else table["any"], corner, **words)


def _add_award(voice: Voice, beats: list[Beat], event: DrawnEvent, manner: str, after: float) -> None:
    rng, noise = voice.rng, voice.noise
    if event.move.kind == "challenge_point":
        return
    late = rng.uniform(0.5, 1.2) + rng.uniform(0, 8 * noise.call_delay)
    if manner != "missed":
        beats.append(Beat(event.t + late, after + 8 * noise.call_delay, _fixed(_call(voice, event, manner))))
    if rng.random() < noise.statements:
        _add_score(voice, beats, event.t + late + 2.5, after)
    if manner != "missed" and rng.random() < noise.replays:
        words = {"k": _phrase(voice, event.move.kind), **voice.worth(event.move.points)}
        told = voice.say(voice.templates("replay", "any"), event.move.corner, **words)
        beats.append(Beat(event.t + late + rng.uniform(4, 12), after - 4, _fixed(told)))


def _add_score(voice: Voice, beats: list[Beat], t: float, until: float) -> None:
    """A score, said before anything else happens."""
    beats.append(Beat(t, until - 0.3, lambda at: _score(voice, at)))


def _score(voice: Voice, t: float) -> Spoken | None:
    """The score on the board, or a slip of one of the four kinds."""
    score, slip = voice.bout.score_at(t), None
    if voice.rng.random() < voice.noise.slips:
        said = _slipped(voice, score, t)
        if said is not None:
            score, slip = said
    return Spoken(_score_text(voice, score), "scores", {"said": list(score), "slip": slip})


def _score_text(voice: Voice, score: tuple[int, int], table: str = "score") -> str:
    red, blue = score
    if red == blue:
        return voice.say(voice.templates("score", "level"), a=voice.number(red))
    leader: Corner = "red" if red > blue else "blue"
    options = voice.templates(table, "final" if table == "end" else "lead")
    if not voice.digits and max(score) >= 20 and 0 < min(score) < 10:
        # Twenty and seven is not to be heard as twenty-seven.
        options = (
            ["{w} {a} to {b}", "{a} to {b} {w}"]
            if voice.register == "notes"
            else [o for o in options if " to " in o]
        )
    return voice.say(options, leader, a=voice.number(max(score)), b=voice.number(min(score)))


def _slipped(voice: Voice, score: tuple[int, int], t: float) -> tuple[tuple[int, int], str] | None:
    rng = voice.rng
    red, blue = score
    kind = rng.choice(("stale", "swapped", "ahead", "wrong"))
    earlier = [s for at, s in voice.bout.board() if at <= t and s != score]
    if kind == "stale" and earlier:
        return earlier[-1], kind
    if kind == "swapped" and red != blue:
        return (blue, red), kind
    side, points = rng.randrange(2), rng.choice((1, 2))
    if kind == "ahead":
        return ((red + points, blue) if side else (red, blue + points)), kind
    said = (max(red + rng.choice((-1, 1)), 0), max(blue + rng.choice((-1, 0, 1)), 0))
    return None if said in (score, *earlier[-4:], score[::-1]) else (said, "wrong")


def _clock(voice: Voice, t: float) -> Spoken | None:
    known = voice.bout.clock_at(t)
    if known is None or not 5 <= known[1] < known[1] + 10:
        return None
    period, left = known[0], round(known[1])
    minutes, rest = divmod(left, 60)
    text = f"{minutes}:{rest:02d}" if voice.digits else time_in_words(left)
    row = {"seconds_left": left, "bound": "exact", "period": period}
    return Spoken(voice.say(voice.templates("clock", "left"), time=text), "clocks", row)


def _add_challenges(voice: Voice, beats: list[Beat]) -> None:
    for challenge in voice.bout.challenges:
        move = voice.bout.events[challenge.about].move
        points = voice.bout.rules.lost_challenge_points
        how = "won" if challenge.outcome == "won" else "lost_point" if points else "lost"
        worth = voice.worth(move.points)
        asked = voice.say(voice.templates("challenge", "ask"), challenge.by, **worth)
        told = voice.say(voice.templates("challenge", how), challenge.by, **worth)
        beats.append(Beat(challenge.t, challenge.t + 6, _fixed(asked)))
        beats.append(Beat(challenge.t_outcome + 0.5, challenge.t_outcome + 8, _fixed(told)))
        if voice.rng.random() < voice.noise.statements:
            moments = [e.t for e in voice.bout.events if e.t > challenge.t_outcome] or [voice.bout.end]
            _add_score(voice, beats, challenge.t_outcome + 4.5, min(moments))


def _add_end(voice: Voice, beats: list[Beat]) -> None:
    bout, end = voice.bout, voice.bout.end
    by, winner = bout.outcome.by, bout.outcome.winner
    family = "olympic" if bout.rules.rest_seconds else "folkstyle"
    if by in ("points", "criteria"):
        # An award that ends the bout, as in sudden victory, is called first.
        late = (
            3.0
            if any(e.t == end and e.move.points and e.move.kind != "riding_time" for e in bout.events)
            else 0.3
        )
        beats.append(Beat(end + late, end + 30, _fixed(voice.say(voice.templates("mark", "bout_end")))))
    if by != "fall":
        way = f"superiority_{family}" if by == "superiority" else by
        beats.append(Beat(end + 5, end + 40, _fixed(voice.say(voice.templates("end", way), winner))))
    final = bout.score_at(end)
    row = {"said": list(final), "slip": None}
    wins = final[0] != final[1] and (winner == "red") == (final[0] > final[1])
    table = "end" if wins else "score"
    beats.append(Beat(end + 8, end + 60, lambda t: Spoken(_score_text(voice, final, table), "scores", row)))
