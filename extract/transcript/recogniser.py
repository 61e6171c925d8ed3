"""The JSON of a speech recogniser: segments with times, also one a line, or words with times."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import islice
from typing import Any

from extract.transcript.assemble import assemble
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText, readable
from extract.transcript.draft import LONGEST, Draft
from extract.transcript.json_lines import as_list, is_json_lines
from extract.transcript.plain import seen
from extract.transcript.recogniser_lines import line_of_item, lines_of_items
from extract.transcript.times import number_seconds, shorten, time_problem

_REMEDY = "give each segment start, end (seconds) and text"
#: A new cue begins after the end of a sentence, and after this many seconds without a word.
_PAUSE_S = 1.0
#: A cue made of words has no more than this many, even without pause or full stop.
_MOST_WORDS = 20
_SENTENCE_END = re.compile(r"[.?!…][\"'”’)]*$")


def read_recogniser(source: SourceText) -> Transcript:
    """The cues of a recogniser's JSON: an object with ``segments`` or ``words``, a list of segments, or a
    segment a line.

    A segment has ``start``, ``end``, ``text``, and may have ``words`` (``word`` or ``text``, ``start``) and
    ``speaker``. A cue's text in the source is the value of ``text``. If there are only words, it is the words joined.
    """
    if is_json_lines(source.text):
        source = replace(source, text=as_list(source.text))
    try:
        tree = json.loads(source.text, strict=False)
    except json.JSONDecodeError as error:
        raise source.error(
            f"JSON that does not parse ({error.msg})", "write it again", error.lineno
        ) from None
    except (RecursionError, ValueError):
        raise source.error(
            "JSON that does not parse (too deep, or too long a number)", "write it again"
        ) from None
    if isinstance(tree, list):
        return assemble(source, "asr", _Segments(source, None).drafts(tree), labels="captions")
    if not isinstance(tree, dict):
        raise source.error("JSON without segments", "give an object with segments, or a list of them")
    if isinstance(tree.get("segments"), list) and (tree["segments"] or not tree.get("words")):
        return assemble(
            source, "asr", _Segments(source, "segments").drafts(tree["segments"]), labels="captions"
        )
    if isinstance(tree.get("words"), list):
        return assemble(source, "asr", _RecognisedWords(source).drafts(tree["words"]), labels="captions")
    raise source.error("JSON without a list of segments or words", _REMEDY)


class _Segments:
    def __init__(self, source: SourceText, key: str | None) -> None:
        self._source = source
        self._key = key

    def drafts(self, segments: list[Any]) -> list[Draft]:
        drafts = [self._draft(k, segment) for k, segment in enumerate(segments)]
        # Finding the lines takes time, and only an error needs a line.
        latest = 0.0
        asked = []
        for draft in drafts:
            backward = draft.start < latest or (draft.end is not None and draft.end < draft.start)
            if backward or len(draft.text) > LONGEST:
                asked.append(draft)
            latest = max(latest, draft.start)
        if asked:
            lines = [0, *islice(lines_of_items(self._source.text, self._key), asked[-1].index)]
            for draft in asked:
                draft.line = lines[draft.index]
        return drafts

    def _line(self, k: int) -> int:
        return line_of_item(self._source.text, self._key, k)

    def _draft(self, k: int, segment: Any) -> Draft:
        name = f"segment {k + 1}"
        if not isinstance(segment, dict):
            raise self._source.error(f"{name} is {shorten(str(segment))}, no object", _REMEDY, self._line(k))
        start, end = (self._time(k, segment, key) for key in ("start", "end"))
        words = segment.get("words")
        words = [word for word in words if isinstance(word, dict)] if isinstance(words, list) else []
        text = segment.get("text")
        if text is None and words:
            text = _join(words)[0]
        if not isinstance(text, str):
            raise self._source.error(f"{name} has no text", _REMEDY, self._line(k))
        text = readable(text)
        draft = Draft(k + 1, 1, start, end, text, words=_timed(words))
        draft.runs = [(0, len(text), _speaker(segment))]
        return draft

    def _time(self, k: int, segment: dict[str, Any], key: str) -> float:
        value = segment.get(key)
        if value is None:
            raise self._source.error(f"segment {k + 1} has no {key} time", _REMEDY, self._line(k))
        seconds = number_seconds(value)
        if seconds is None:
            raise self._source.error(f"segment {k + 1}: {time_problem(str(value))}", _REMEDY, self._line(k))
        return seconds


def _timed(words: list[dict[str, Any]]) -> list[tuple[str, float | None]]:
    return [(readable(_word(word)), number_seconds(word.get("start"))) for word in words]


class _RecognisedWords:
    def __init__(self, source: SourceText) -> None:
        self._source = source

    def drafts(self, words: list[Any]) -> list[Draft]:
        drafts: list[Draft] = []
        group: list[dict[str, Any]] = []
        ended = 0.0
        for k, word in enumerate(words):
            self._check(k, word)
            start = number_seconds(word.get("start"))
            if group and start is not None and word == group[-1]:
                # The same word of the same moment is given twice.
                continue
            if group and start is not None and self._parts(group, word, start - ended):
                drafts.append(self._draft(len(drafts) + 1, group))
                group = []
            group.append(word)
            end = number_seconds(word.get("end"))
            ended = max(ended, start or 0.0, end or 0.0)
        if group:
            drafts.append(self._draft(len(drafts) + 1, group))
        return drafts

    def _check(self, k: int, word: Any) -> None:
        problem = None
        if not isinstance(word, dict):
            problem = f"word {k + 1} is {shorten(str(word))}, no object"
        elif k == 0 and word.get("start") is None:
            problem = "word 1 has no start time"
        else:
            for key in ("start", "end"):
                value = word.get(key)
                if value is not None and number_seconds(value) is None:
                    problem = f"word {k + 1}: {time_problem(str(value))}"
        if problem is not None:
            line = line_of_item(self._source.text, "words", k)
            raise self._source.error(problem, "give each word start and end in seconds", line)

    @staticmethod
    def _parts(group: list[dict[str, Any]], word: dict[str, Any], pause: float) -> bool:
        return (
            pause >= _PAUSE_S
            or len(group) >= _MOST_WORDS
            or _speaker(word) != _speaker(group[-1])
            or _SENTENCE_END.search(seen(_word(group[-1]))) is not None
        )

    def _draft(self, index: int, group: list[dict[str, Any]]) -> Draft:
        text, places = _join(group)
        starts = [number_seconds(word.get("start")) for word in group]
        ends = [number_seconds(word.get("end")) for word in group]
        anchors = [(at, start) for at, start in zip(places, starts, strict=True) if start is not None]
        known = [time for time in (*starts, *ends) if time is not None]
        draft = Draft(index, 1, known[0], max(known), text, anchors=anchors)
        draft.runs = [(0, len(text), _speaker(group[0]))]
        return draft


def _word(word: dict[str, Any]) -> str:
    value = word.get("word", word.get("text"))
    return value if isinstance(value, str) else ""


def _join(words: list[dict[str, Any]]) -> tuple[str, list[int]]:
    """The words as one text, and the place of each. They stay as they are if they bring their own blanks. Else one
    blank separates them, with none before a mark such as a full stop."""
    own_blanks = any(_word(word)[:1].isspace() for word in words)
    text = ""
    places = []
    for word in words:
        plain = readable(_word(word))
        mark = bool(plain) and not any(character.isalnum() for character in plain)
        if text and plain and not own_blanks and not mark:
            text += " "
        places.append(len(text) + len(plain) - len(plain.lstrip()))
        text += plain
    return text, places


def _speaker(item: dict[str, Any]) -> str | None:
    value = item.get("speaker")
    if isinstance(value, bool) or not isinstance(value, str | int):
        return None
    return readable(str(value))
