"""Changes of a transcript that leave the talk the same: how tools write it, and what does not matter in it."""

from __future__ import annotations

import random
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rapidfuzz import fuzz

from benchmarks.foreign_talk import lead_in, moved
from benchmarks.talk_files import ENDINGS, changed, read, written
from extract.talk.word_lists import is_common
from extract.transcript import BoutFile, Transcript
from extract.transcript.bout_file import Side
from extract.transcript.cue import Cue, Format
from tests.drawn.words import invented_names

Wanted = Literal["all", "most", "shown"]


@dataclass(frozen=True, slots=True)
class Told:
    """A bout as it is told: the file's text, the cues that the program reads in it, and the bout file."""

    name: str
    text: str
    transcript: Transcript
    bout: BoutFile

    @property
    def format(self) -> Format:
        return self.transcript.format


@dataclass(frozen=True, slots=True)
class Changed:
    """The same bout told otherwise: ``later`` by so many seconds, and with the corners exchanged or not."""

    transcript: Transcript
    bout: BoutFile
    later: float = 0.0
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A change of one sort. ``wanted`` says what must stay: ``all`` of the log in every bout, awards and result in 95 of
    100 (``most``), or nothing yet (``shown``)."""

    name: str
    wanted: Wanted
    make: Callable[[Told], Changed | None]


def rows() -> Iterator[Row]:
    """All changes, in the order of the table."""
    for seconds in (7.3, 200.0, 3600.0, 36000.0):
        yield Row(f"shifted {seconds:g} s", "all", lambda told, s=seconds: _shifted(told, s))
    for seconds in (30.0, 120.0, 300.0, 1200.0):
        yield Row(f"lead-in of {seconds:g} s", "all", lambda told, s=seconds: _led_in(told, s))
    for name, change, words in _CHARACTERS:
        yield Row(name, "all", lambda told, c=change, w=words: _text(told, c, w))
    for name, over in _BYTES:
        yield Row(name, "all", lambda told, o=over: _file(told, o))
    yield Row("doubled line ends", "all", _doubled_ends)
    yield Row("upper case", "most", lambda told: _text(told, _upper, True))
    yield Row("lower case", "most", lambda told: _text(told, str.lower, True))
    yield Row("lower case, no marks", "shown", lambda told: _text(told, _unmarked, False))
    for format in ENDINGS:
        yield Row(f"as {format}", "most", lambda told, f=format: _as(told, f))
    yield Row("cues split", "most", lambda told: _cues(told, _split))
    yield Row("cues joined", "most", lambda told: _cues(told, _joined))
    yield Row("one speaker", "most", lambda told: _spoken(told, ("Anna",)))
    yield Row("two speakers in turn", "most", lambda told: _spoken(told, ("Anna", "Bert")))
    yield Row("no speaker", "most", lambda told: _spoken(told, (None,)))
    yield Row('"ANNA:" in the text', "most", _label_in_text)
    yield Row("doubled captions", "most", lambda told: _doubled(told, "srt"))
    yield Row("doubled segments of JSON", "all", lambda told: _doubled(told, "asr"))
    yield Row("corners exchanged", "most", _mirrored)
    yield Row("new names", "most", _renamed)


# Characters.


def _bidi(line: str) -> str:
    return f"\u202b{line}\u202c"


def _shy(line: str) -> str:
    return re.sub(r"[A-Za-z]{8,}", lambda m: m[0][:4] + "\u00ad" + m[0][4:], line)


def _wide(line: str) -> str:
    return re.sub(r"[0-9]", lambda m: chr(ord(m[0]) + 0xFEE0), line)


def _minus(line: str) -> str:
    return re.sub(r"(?<=\d)-(?=\d)", "−", line)


def _dashed(line: str) -> str:
    return re.sub(r"(?<=\d)-(?=\d)", "–", line)


_BRITISH = {"color": "colour", "center": "centre", "defense": "defence", "gray": "grey", "favor": "favour"}


def _spelt(line: str) -> str:
    for us, uk in _BRITISH.items():
        line = re.sub(rf"\b{us}", uk, line)
    return line


def _upper(line: str) -> str:
    # Letters whose capital is two letters stay.
    return "".join(c.upper() if len(c.upper()) == 1 else c for c in line)


def _unmarked(line: str) -> str:
    return re.sub(r"[.,!?;:](?!\d)|(?<!\d)[-–—](?!\d)", " ", line.lower()).replace("  ", " ").strip() or line


#: Name, what is done to each line, whether to a recogniser's single words too.
_CHARACTERS: tuple[tuple[str, Callable[[str], str], bool], ...] = (
    ("zero-width space before", lambda line: "\u200b" + line, False),
    ("left-to-right mark before", lambda line: "\u200e" + line, False),
    ("word joiner before", lambda line: "\u2060" + line, False),
    ("byte order mark before", lambda line: "\ufeff" + line, False),
    ("zero-width space after", lambda line: line + "\u200b", False),
    ("right-to-left embedding", _bidi, False),
    ("soft hyphens", _shy, True),
    ("full-width digits", _wide, True),
    ("two blanks", lambda line: line.replace(" ", "  "), False),
    ("no-break blanks", lambda line: line.replace(" ", "\u00a0"), False),
    ("minus sign", _minus, True),
    ("en dash", _dashed, True),
    ("a dash before", lambda line: "- " + line, False),
    (">> before", lambda line: ">> " + line, False),
    ("note sign before", lambda line: "♪ " + line, False),
    ("curly quotes", lambda line: line.replace("'", "’"), True),
    ("straight quotes", lambda line: re.sub("[‘’]", "'", re.sub("[“”]", '"', line)), True),
    ("British spelling", _spelt, True),
    ("decomposed letters", lambda line: unicodedata.normalize("NFD", line), True),
    ("italics", lambda line: f"<i>{line}</i>", False),
)


def _text(told: Told, change: Callable[[str], str], words: bool) -> Changed | None:
    if change(">> <i>").startswith("<i>") and told.format not in ("srt", "vtt"):
        return None
    text = changed(told.text, told.format, change, words=words)
    if told.format in ("vtt", "ttml"):
        text = text.replace(">> ", "&gt;&gt; ") if "\n>> " in text else text
    return Changed(read(told.name, text), told.bout)


# Bytes.

_BYTES: tuple[tuple[str, Callable[[str], bytes]], ...] = (
    ("CR LF", lambda text: text.replace("\n", "\r\n").encode()),
    ("CR", lambda text: text.replace("\n", "\r").encode()),
    ("UTF-16", lambda text: text.encode("utf-16")),
    ("UTF-8 with a mark", lambda text: text.encode("utf-8-sig")),
)


def _file(told: Told, over: Callable[[str], bytes]) -> Changed:
    return Changed(read(told.name, over(told.text)), told.bout)


def _doubled_ends(told: Told) -> Changed | None:
    if told.format != "srt":
        return None
    return _file(told, lambda text: text.replace("\n", "\r\r\n").encode())


# Times.


def _shifted(told: Told, by: float) -> Changed:
    return Changed(moved(told.transcript, by), told.bout, later=by)


def _led_in(told: Told, seconds: float) -> Changed:
    talk = lead_in(told.transcript, seconds, seed=int(seconds))
    return Changed(talk, told.bout, later=talk.cues[-1].start - told.transcript.cues[-1].start)


# Cues.


def _as(told: Told, format: Format, cues: Sequence[Cue] | None = None) -> Changed:
    text = written(told.transcript.cues if cues is None else cues, format)
    return Changed(read("talk" + ENDINGS[format], text), told.bout)


def _cues(told: Told, change: Callable[[Sequence[Cue]], list[Cue]]) -> Changed | None:
    if told.format in ("block", "csv"):
        return None
    return _as(told, told.format, change(told.transcript.cues))


def _split(cues: Sequence[Cue]) -> list[Cue]:
    out = []
    for cue in cues:
        blanks = [i for i, c in enumerate(cue.text) if c.isspace()]
        if len(blanks) < 3:
            out.append(cue)
            continue
        at = min(blanks, key=lambda i: abs(i - len(cue.text) / 2))
        middle = cue.time_at(at)
        out.append(Cue(cue.index, cue.start, middle, cue.text[:at], cue.speaker))
        out.append(Cue(cue.index, middle, cue.end, cue.text[at + 1 :], cue.speaker))
    return out


def _joined(cues: Sequence[Cue]) -> list[Cue]:
    out = []
    k = 0
    while k < len(cues):
        a = cues[k]
        b = cues[k + 1] if k + 1 < len(cues) else None
        if b is not None and a.speaker == b.speaker and b.start - a.end < 1.0:
            out.append(Cue(a.index, a.start, b.end, f"{a.text}\n{b.text}", a.speaker))
            k += 2
        else:
            out.append(a)
            k += 1
    return out


def _spoken(told: Told, speakers: Sequence[str | None]) -> Changed | None:
    """Other speakers, who take turns with the sentences: where the talk has speakers already, only none or one."""
    if len(speakers) > 1 and any(cue.speaker for cue in told.transcript.cues):
        return None
    turn, cues = 0, []
    for cue in told.transcript.cues:
        cues.append(replace(cue, speaker=speakers[turn % len(speakers)]))
        turn += cue.text.rstrip().endswith((".", "!", "?"))
    return Changed(replace(told.transcript, cues=tuple(cues)), told.bout)


def _label_in_text(told: Told) -> Changed | None:
    if any(cue.speaker for cue in told.transcript.cues) or told.format == "csv":
        return None
    text = changed(told.text, told.format, lambda line: "ANNA: " + line)
    return Changed(read(told.name, text), told.bout)


def _doubled(told: Told, format: Format) -> Changed | None:
    """Each caption, or each segment of JSON, twice."""
    captions = ("srt", "vtt", "ttml")
    if told.format != format and not (format == "srt" and told.format in captions):
        return None
    cues = [cue for cue in told.transcript.cues for _ in range(2)]
    return _as(told, told.format, cues)


# Corners and names.


def _mirrored(told: Told) -> Changed:
    """Who was in red is in blue; the word for each corner in the talk is the other's."""
    red, blue = told.bout.red, told.bout.blue
    words = {(red.colour or "red").lower(): (blue.colour or "blue").lower()}
    words |= {b: a for a, b in words.items()}
    letters = {a[0]: b[0] for a, b in words.items()} if told.format == "csv" else {}
    letters |= {a.upper(): b.upper() for a, b in letters.items()}

    def other(match: re.Match[str]) -> str:
        word = match[0]
        if word in letters:
            return letters[word]
        return _like(words[word.lower()], word) if word.lower() in words else word

    # A red card is red whoever is shown it.
    pattern = re.compile("|".join(rf"\b{word}\b(?! card)" for word in [*words, *letters]), re.IGNORECASE)
    text = changed(told.text, told.format, lambda line: pattern.sub(other, line), words=True)
    bout = replace(told.bout, red=replace(blue, colour=red.colour), blue=replace(red, colour=blue.colour))
    return Changed(read(told.name, text), bout, mirrored=True)


def _like(word: str, model: str) -> str:
    """A word with the capitals of another."""
    if model.isupper() and len(model) > 1:
        return word.upper()
    return word.capitalize() if model[:1].isupper() else word


_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
#: A word of the talk as like a name as this is that name misheard.
_LIKE = 78.0


def _renamed(told: Told) -> Changed:
    """Other people from other teams. What is like a name is taken for that name misheard, and changed with it."""
    sides = (told.bout.red, told.bout.blue)
    said = [text for side in sides for text in (side.name, side.team, *side.aliases) if text]
    tokens = sorted({word for text in said for word in _WORD.findall(text)})
    names = [word for word in tokens if len(word) > 2 and not is_common(word.lower())]
    rng = random.Random(told.name)
    news = dict(zip([name.lower() for name in names], invented_names(rng, len(names)), strict=True))

    def new(match: re.Match[str]) -> str:
        word = match[0].lower().removesuffix("'s").removesuffix("’s")
        ending = match[0][len(word) :]
        if word in news:
            return _like(news[word], match[0][: len(word)]) + ending
        if len(word) < 4 or is_common(word):
            return match[0]
        best = max(news, key=lambda name: fuzz.ratio(name, word), default="")
        if not best or fuzz.ratio(best, word) < _LIKE:
            return match[0]
        heard = news[best]
        return _like(heard[:-2] + heard[-1], match[0][: len(word)]) + ending

    def of(side: Side) -> Side:
        name, team = (_WORD.sub(new, text) if text else text for text in (side.name, side.team))
        return Side(name, team, tuple(_WORD.sub(new, alias) for alias in side.aliases), side.colour)

    text = changed(told.text, told.format, lambda line: _WORD.sub(new, line), words=True)
    bout = replace(told.bout, red=of(told.bout.red), blue=of(told.bout.blue))
    return Changed(read(told.name, text), bout)
