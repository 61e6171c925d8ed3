"""Properties of all readers: what is written comes back, positions are true, and nothing but InputError is raised."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from html import escape
from pathlib import Path

import pysubs2
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from extract.errors import InputError
from extract.transcript import Cue, Format, Transcript, read_transcript

Said = tuple[float, float, str]

_LETTERS = "abcdeFGH 019'’é—,.!?-"
_MARKS = '&<>{}\\;:"[](#'


def _texts(alphabet: str) -> st.SearchStrategy[str]:
    # Single blanks, and no sign of a change of speaker: neither stays in the text.
    line = st.text(alphabet, min_size=1, max_size=20).map(lambda text: " ".join(text.split()).lstrip("-—>#"))
    line = line.filter(lambda text: text == text.strip() != "" and " >>" not in text)
    return st.lists(line, min_size=1, max_size=3).map("\n".join)


@st.composite
def talks(draw: st.DrawFn, alphabet: str = _LETTERS + _MARKS, fraction: int = 1000) -> list[Said]:
    """Cues in order, parted by more than captions that roll are; times in steps of 1 / ``fraction`` seconds."""
    out = []
    now = draw(st.integers(0, 9000 * fraction))
    for _ in range(draw(st.integers(1, 6))):
        start = now + draw(st.integers(fraction, 30 * fraction))
        now = start + draw(st.integers(1, 30 * fraction))
        out.append((start / fraction, now / fraction, draw(_texts(alphabet))))
    return out


def _stamp(seconds: float, point: str, hours: bool = True) -> str:
    milliseconds = round(seconds * 1000)
    minutes, rest = divmod(milliseconds, 60000)
    tail = f"{rest // 1000:02d}{point}{rest % 1000:03d}" if point else f"{rest // 1000:02d}"
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{tail}" if hours else f"{minutes}:{tail}"


# One writer per format, each with the cue's text in the source as it is written.
def _srt(talk: list[Said]) -> tuple[str, list[str]]:
    sources = [text.replace("&", "&amp;").replace("<", "&lt;").replace("{", "&lcub;") for _, _, text in talk]
    blocks = [
        f"{n}\n{_stamp(start, ',')} --> {_stamp(end, ',')}\n{source}\n"
        for n, ((start, end, _), source) in enumerate(zip(talk, sources, strict=True), 1)
    ]
    return "\n".join(blocks), sources


def _vtt(talk: list[Said]) -> tuple[str, list[str]]:
    sources = ["<v.loud Ida><i>" + escape(text).replace("{", "&#123;") + "</i>" for _, _, text in talk]
    blocks = [
        f"{_stamp(start, '.')} --> {_stamp(end, '.')} align:start\n{source}\n"
        for (start, end, _), source in zip(talk, sources, strict=True)
    ]
    return "WEBVTT\n\n" + "\n".join(blocks), sources


def _ttml(talk: list[Said]) -> tuple[str, list[str]]:
    sources = [
        "<span>" + "</span><br />\n <span>".join(map(escape, text.split("\n"))) + "</span>"
        for _, _, text in talk
    ]
    body = "".join(
        f'<p begin="{_stamp(start, ".")}" end="{_stamp(end, ".")}">{source}</p>\n'
        for (start, end, _), source in zip(talk, sources, strict=True)
    )
    return f'<tt xmlns="http://www.w3.org/ns/ttml"><body><div>\n{body}</div></body></tt>', sources


def _asr(talk: list[Said]) -> tuple[str, list[str]]:
    sources = [" " + text for _, _, text in talk]
    segments = [
        {"start": start, "end": end, "text": source}
        for (start, end, _), source in zip(talk, sources, strict=True)
    ]
    return json.dumps({"segments": segments}), sources


def _block(talk: list[Said]) -> tuple[str, list[str]]:
    sources = [text for _, _, text in talk]
    return "".join(f"[{_stamp(start, '', False)}] {text}\n\n" for start, _, text in talk), sources


def _notes(talk: list[Said]) -> tuple[str, list[str]]:
    sources = [text for _, _, text in talk]
    file = io.StringIO()
    writer = csv.writer(file)
    writer.writerow(["time", "note"])
    writer.writerows((f"{start:.3f}", text) for start, _, text in talk)
    return file.getvalue(), sources


_WRITERS: dict[Format, Callable[[list[Said]], tuple[str, list[str]]]] = {
    "srt": _srt,
    "vtt": _vtt,
    "ttml": _ttml,
    "asr": _asr,
    "block": _block,
    "csv": _notes,
}
_ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be")


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("talks") / "talk"


def _check_positions(cue: Cue, source: str) -> None:
    """That each character is the one at its place in the source, unless a reference or ``<br />`` stands there."""
    for i, character in enumerate(cue.text):
        there = source[cue.source_position(i)]
        assert there == character or there in "&<"
    start, end = cue.source_position(0), cue.source_position(len(cue.text))
    assert source[start:end].strip() == source[start:end]
    assert source[end - 1] in (cue.text[-1], ";", ">")


@pytest.mark.parametrize("format", _WRITERS)
@given(data=st.data())
@settings(max_examples=60)
def test_round_trip_and_positions(path: Path, format: Format, data: st.DataObject) -> None:
    # Times of paragraphs are whole seconds; a label or stamp within a paragraph would be one.
    talk = data.draw(talks(_LETTERS, 1) if format == "block" else talks())
    content, sources = _WRITERS[format](talk)
    encoding = data.draw(st.sampled_from(_ENCODINGS))
    newline = data.draw(st.sampled_from(["\n", "\r\n", "\r"])) if format != "csv" else "\n"
    path.write_bytes(content.replace("\n", newline).encode(encoding))
    found = read_transcript(path)
    assert found.format == format
    assert [cue.text for cue in found.cues] == [text for _, _, text in talk]
    assert [cue.start for cue in found.cues] == pytest.approx([start for start, _, _ in talk], abs=1e-6)
    if format not in ("block", "csv"):
        assert [cue.end for cue in found.cues] == pytest.approx([end for _, end, _ in talk], abs=1e-6)
    else:
        assert all(cue.end <= after.start for cue, after in zip(found.cues, found.cues[1:], strict=False))
    for cue, source in zip(found.cues, sources, strict=True):
        assert cue.index == found.cues.index(cue) + 1
        _check_positions(cue, source)


@pytest.mark.parametrize("format", ["srt", "vtt", "ttml"])
@given(talk=talks(_LETTERS + ":;()"))
@settings(max_examples=60)
def test_reads_what_pysubs2_writes(path: Path, format: str, talk: list[Said]) -> None:
    # Reference: the writers of pysubs2.
    subtitles = pysubs2.SSAFile()
    for start, end, text in talk:
        event = pysubs2.SSAEvent(start=round(start * 1000), end=round(end * 1000))
        event.plaintext = text
        subtitles.append(event)
    path.write_text(subtitles.to_string(format), encoding="utf-8")
    found = read_transcript(path)
    assert found.format == format
    assert [(cue.start, cue.end, cue.text) for cue in found.cues] == [
        (pytest.approx(start, abs=1e-6), pytest.approx(end, abs=1e-6), text) for start, end, text in talk
    ]


@given(
    lines=st.lists(
        st.lists(st.sampled_from(["two", "red", "blue", "is", "up", "now"]), min_size=1, max_size=5),
        min_size=1,
        max_size=8,
    ),
    format=st.sampled_from(["srt", "vtt"]),
)
def test_rolling_captions_double_no_words(path: Path, lines: list[list[str]], format: str) -> None:
    # A number for each line, that no line is said twice by chance.
    said = [f"{n} {' '.join(words)}" for n, words in enumerate(lines)] + ["end"]
    shown = []
    for before, line in zip([None, *said], said, strict=False):
        shown.append(f"{before}\n{line}" if before is not None else line)
        shown.append(line)
    point = "," if format == "srt" else "."
    text = "" if format == "srt" else "WEBVTT\n\n"
    for n, caption in enumerate(shown):
        text += f"{_stamp(n, point)} --> {_stamp(n + 1, point)}\n{caption}\n\n"
    path.write_text(text)
    found = read_transcript(path)
    assert [cue.text for cue in found.cues] == said
    assert [cue.index for cue in found.cues] == list(range(1, 2 * len(said), 2))
    for cue in found.cues:
        _check_positions(cue, shown[cue.index - 1])


_ASR_WORDS = (
    '{"words": [{"word": "Two", "start": 1.0, "end": 1.5}, {"word": "up.", "start": 2.0, "end": 2.5}]}'
)
_SEEDS = [
    "1\n00:00:01,000 --> 00:00:02,000\n<i>Two</i> &amp; one\n\n2\n00:00:02,000 --> 00:00:03,000\nUp\n",
    "WEBVTT\n\nNOTE x\n\n00:01.000 --> 00:02.000\n<v Ida>Two <00:01.500><c>up</c></v> <v Mo>Yes\n",
    '<tt xmlns="http://www.w3.org/ns/ttml"><body><div><p begin="1s" end="2s">T<br/>w &amp; '
    '<span begin="0.5s">o</span></p></div></body></tt>',
    '{"segments": [{"start": 1, "end": 2.5, "text": " Two up", "words": [{"word": "up", "start": 2}]}]}',
    _ASR_WORDS,
    "[0:04] IDA: Two.\nMO: Yes.\n\n[0:09]\nUp\n",
    "0:04 Two\n0:09 Up\n",
    'time,speaker,note\n0:04,Ida,"Two, up"\n0:09,,Up\n',
]


def _check_sound(found: Transcript) -> None:
    starts = [cue.start for cue in found.cues]
    assert starts == sorted(starts)
    assert found.cues
    for cue in found.cues:
        assert 0 <= cue.start <= cue.end < float("inf")
        assert cue.text
        assert cue.text == cue.text.strip()
        cue.text.encode("utf-8")
        assert len(cue.origin) in (0, len(cue.text) + 1)
        assert list(cue.origin) == sorted(cue.origin)
        assert [p for p, _ in cue.anchors] == sorted({p for p, _ in cue.anchors})
        times = [cue.start, *(t for _, t in cue.anchors), cue.end]
        assert times == sorted(times)
        said = [cue.time_at(i) for i in range(len(cue.text) + 1)]
        assert said == sorted(said)


def _read_any(path: Path, data: bytes, ending: str) -> None:
    file = path.with_suffix(ending)
    file.write_bytes(data)
    error = None
    try:
        _check_sound(read_transcript(file))
    except InputError as caught:
        error = caught
    if error is not None:
        assert error.file == str(file)
        assert "\n" not in str(error)
        assert error.line is None or error.line >= 1


_ENDINGS = st.sampled_from(["", ".srt", ".vtt", ".ttml", ".json", ".csv", ".txt"])


@given(data=st.binary(max_size=300), ending=_ENDINGS)
@example(b"\xff\xfe\x00", "")
def test_any_bytes(path: Path, data: bytes, ending: str) -> None:
    _read_any(path, data, ending)


@given(
    seed=st.sampled_from(_SEEDS),
    edits=st.lists(
        st.tuples(
            st.integers(0, 400),
            st.integers(0, 12),
            st.text(alphabet="0123456789:.,;-><&/[](){}\"\n \t'aé\\\ud83dn", max_size=6),
        ),
        max_size=5,
    ),
    ending=_ENDINGS,
)
@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
def test_damaged_transcripts(path: Path, seed: str, edits: list[tuple[int, int, str]], ending: str) -> None:
    for at, cut, insert in edits:
        at %= len(seed) + 1
        seed = seed[:at] + insert + seed[at + cut :]
    _read_any(path, seed.encode("utf-8", "surrogatepass"), ending)
