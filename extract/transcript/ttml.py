"""TTML (W3C). Read by hand with expat: pysubs2 gives neither positions, lines, speakers nor the times of spans,
and knows no frames, ticks or ``seq``."""

from __future__ import annotations

from dataclasses import dataclass
from xml.parsers import expat

from extract.errors import InputError
from extract.transcript.assemble import assemble, too_long
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import LONGEST, Draft
from extract.transcript.plain import plain
from extract.transcript.times import time_problem
from extract.transcript.ttml_time import TimeRates

_REMEDY = "give a well-formed TTML file"
_TIMED = frozenset({"body", "div", "p", "span"})


def read_ttml(source: SourceText) -> Transcript:
    """The cues of a TTML file, one for each ``p`` with text. A cue's text in the source is all that stands between
    ``<p ...>`` and ``</p>``. White space is collapsed unless ``xml:space`` keeps it. ``br`` is a line break, the
    times of spans are anchors, and ``ttm:agent`` is the speaker. A document type is refused."""
    reader = _TtmlReader(source)
    try:
        reader.parse()
    except expat.ExpatError as error:
        problem = f"XML that cannot be read ({expat.errors.messages[error.code]})"
        raise source.error(problem, _REMEDY, error.lineno) from None
    for draft in reader.drafts:
        draft.runs = [(0, len(draft.text), reader.speaker(draft.index))]
    return assemble(source, "ttml", reader.drafts, labels="captions", rolling=True)


@dataclass(slots=True)
class _Element:
    """An open element: its time, and where the next child begins where children follow each other."""

    name: str
    begin: float
    end: float | None
    seq: bool = False
    keep: bool = False
    agent: str | None = None
    cursor: float = 0.0
    latest: float = 0.0


class _TtmlReader:
    def __init__(self, source: SourceText) -> None:
        self.drafts: list[Draft] = []
        self._source = source
        self._bytes = source.text.encode("utf-8", "replace")
        self._parser = expat.ParserCreate("utf-8", " ")
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._text
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.StartCdataSectionHandler = self._start_cdata
        self._parser.EndCdataSectionHandler = self._end_cdata
        self._clock = TimeRates()
        self._open: list[_Element] = []
        self._ignored = 0
        self._names: dict[str, str] = {}
        self._agents: dict[int, str | None] = {}
        self._agent: str | None = None
        self._naming = False
        self._count = 0
        # The paragraph that is open, and the furthest place of which both byte and character are known.
        self._paragraph: Draft | None = None
        self._characters: list[str] = []
        self._origin: list[int] = []
        self._inner = 0
        self._literal = False
        self._span_end = 0.0
        self._known = (0, 0)

    def parse(self) -> None:
        self._parser.Parse(self._bytes, True)

    def speaker(self, index: int) -> str | None:
        agent = self._agents[index]
        return self._names.get(agent, agent) if agent is not None else None

    def _doctype(self, *_: object) -> None:
        raise self._error("a document type, which TTML has no use for", "take the <!DOCTYPE ...> out")

    def _start_cdata(self) -> None:
        self._literal = True

    def _end_cdata(self) -> None:
        self._literal = False

    def _error(self, problem: str, remedy: str) -> InputError:
        return self._source.error(problem, remedy, self._parser.CurrentLineNumber)

    def _position(self, byte: int) -> int:
        """The position of a byte in the source's text. Each byte asked for must come after the one before."""
        known_byte, known = self._known
        if byte > known_byte:
            known += len(self._bytes[known_byte:byte].decode("utf-8", "replace"))
            self._known = (byte, known)
        return known

    def _start(self, full_name: str, attributes: dict[str, str]) -> None:
        name = full_name.rsplit(" ", 1)[-1]
        values = {key.rsplit(" ", 1)[-1]: value for key, value in attributes.items()}
        if self._ignored:
            self._ignored += 1
        elif name in _TIMED:
            self._timed(name, values)
        elif name == "tt":
            self._clock = TimeRates.of(values)
        elif self._paragraph is not None:
            if name == "br":
                self._break()
            else:
                # Metadata and animation within a paragraph are not part of its text.
                self._ignored = 1
        elif name == "agent":
            self._agent = values.get("id")
        elif name == "name" and self._agent is not None:
            self._naming = True

    def _timed(self, name: str, values: dict[str, str]) -> None:
        parent = self._open[-1] if self._open else _Element("tt", 0.0, None)
        base = parent.cursor if parent.seq else parent.begin
        begin = base + (self._time(values, "begin") or 0.0)
        until, lasting = self._time(values, "end"), self._time(values, "dur")
        ends = [base + until] if until is not None else []
        if lasting is not None:
            ends.append(begin + lasting)
        if ends and min(ends) < begin:
            problem = f"a {name} ends at {min(ends):g} s, before its start at {begin:g} s"
            raise self._error(problem, "give it an end after its start")
        if parent.end is not None:
            ends.append(parent.end)
        end = round(min(ends), 6) if ends else None
        keep = values["space"] == "preserve" if "space" in values else parent.keep
        seq = values.get("timeContainer") == "seq"
        begin = round(begin, 6)
        agent = (values.get("agent") or "").split()
        own = agent[0] if agent else parent.agent
        self._open.append(_Element(name, begin, end, seq, keep, own, begin, begin))
        if name == "p" and self._paragraph is None:
            self._count += 1
            self._agents[self._count] = own
            self._paragraph = Draft(self._count, self._parser.CurrentLineNumber, begin, end, "")
            self._characters, self._origin = [], []
            self._span_end = begin
            tag_end = self._tag_end(self._parser.CurrentByteIndex)
            self._inner = self._position(tag_end)
        elif self._paragraph is not None:
            if "begin" in values or parent.seq:
                self._paragraph.anchors.append((len(self._characters), begin))
            if own is not None and self._agents[self._count] is None:
                self._agents[self._count] = own

    def _time(self, values: dict[str, str], key: str) -> float | None:
        if key not in values:
            return None
        seconds = self._clock.seconds(plain(values[key]))
        if seconds is None:
            raise self._error(
                time_problem(values[key]), f"write {key} as in 00:01:02.500, 62.5s or 00:01:02:12 (frames)"
            )
        return seconds

    def _tag_end(self, byte: int) -> int:
        """The byte after a tag that begins at ``byte``; a ``>`` in quotes does not end it."""
        quote = 0
        for i in range(byte, len(self._bytes)):
            character = self._bytes[i]
            if quote:
                quote = 0 if character == quote else quote
            elif character in b"\"'":
                quote = character
            elif character == 0x3E:
                return i + 1
        return len(self._bytes)

    def _end(self, full_name: str) -> None:
        name = full_name.rsplit(" ", 1)[-1]
        if self._ignored:
            self._ignored -= 1
        elif name in _TIMED:
            self._close(self._open.pop())
        elif name == "agent":
            self._agent = None
        elif name == "name":
            self._naming = False

    def _close(self, element: _Element) -> None:
        end = element.latest if element.end is None else element.end
        if self._open:
            parent = self._open[-1]
            parent.latest = max(parent.latest, end)
            if parent.seq:
                parent.cursor = end
        draft = self._paragraph
        if draft is None:
            return
        if element.name == "span":
            self._span_end = max(self._span_end, end)
        elif element.name == "p":
            self._paragraph = None
            draft.text, draft.origin = "".join(self._characters), self._origin
            first = draft.anchors[0] if draft.anchors else None
            if first is not None and not draft.text[: first[0]].strip():
                draft.start = first[1]
            if draft.end is None and self._span_end > draft.start:
                draft.end = self._span_end
            # What begins after the end of its container is never shown.
            if draft.end is None or draft.end >= draft.start:
                self.drafts.append(draft)

    def _break(self) -> None:
        if self._characters and self._characters[-1] == " " and not self._open[-1].keep:
            self._characters.pop()
            self._origin.pop()
        byte = self._parser.CurrentByteIndex
        self._standing_for("\n", byte, self._tag_end(byte))

    def _text(self, data: str) -> None:
        if self._naming and self._agent is not None:
            self._names[self._agent] = (self._names.get(self._agent, "") + data).strip()
        if self._paragraph is None or self._ignored:
            return
        if len(self._characters) + len(data) > LONGEST:
            raise too_long(self._source, self._paragraph.line)
        byte = self._parser.CurrentByteIndex
        if self._bytes[byte : byte + 1] == b"&" and not self._literal:
            self._standing_for(data, byte, self._bytes.find(b";", byte) + 1)
            return
        at = self._position(byte) - self._inner
        for place, character in enumerate(data, at):
            previous = self._characters[-1] if self._characters else ""
            if self._open[-1].keep or character not in " \t\n" or not previous.isspace():
                self._characters.append(character)
                self._origin.append(place)
            elif character == " " != previous and len(self._characters) - 1 not in self._paragraph.wide:
                # A run of white space keeps its blank and not the line end before it.
                self._characters[-1] = character
                self._origin[-1] = place

    def _standing_for(self, text: str, byte: int, stop: int) -> None:
        """Note text for which a reference or an element stands in the source."""
        assert self._paragraph is not None
        at = self._position(byte) - self._inner
        length = self._position(stop) - self._inner - at
        for character in text:
            self._paragraph.wide[len(self._characters)] = length
            self._characters.append(character)
            self._origin.append(at)
