"""The forms of an export: what each needs, and the function that makes its text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from extract.export.captions import When, captions_srt, captions_vtt
from extract.export.clips import clips_csv
from extract.export.markers import markers_csv
from extract.export.timecode import RATES, FrameRate
from extract.export.tracks import chapters_vtt, metadata_vtt
from extract.record.model import Record
from extract.transcript import Transcript


@dataclass(frozen=True, slots=True)
class Options:
    """``rate`` and ``start`` (frames) are for time code, ``before`` and ``after`` (seconds) for clips. ``transcript``
    is the one that the record was made from, and ``when`` says which score stands where, for captions."""

    transcript: Transcript | None = None
    rate: FrameRate = RATES["25"]
    start: int = 0
    before: float = 6.0
    after: float = 4.0
    when: When = When.start


@dataclass(frozen=True, slots=True)
class ExportForm:
    """A form: the options of the command that matter for it, and the text of a record in it."""

    takes: frozenset[str]
    text: Callable[[Record, Options], str]


def _captions(make: Callable[[Record, Transcript, When], str]) -> ExportForm:
    def text(record: Record, options: Options) -> str:
        if options.transcript is None:
            raise ValueError("captions need the transcript")
        return make(record, options.transcript, options.when)

    return ExportForm(frozenset({"--transcript", "--when"}), text)


_TIMECODE = frozenset({"--fps", "--start-timecode"})

#: Every form by its name.
FORMS: Mapping[str, ExportForm] = MappingProxyType(
    {
        "captions-vtt": _captions(captions_vtt),
        "captions-srt": _captions(captions_srt),
        "chapters-vtt": ExportForm(frozenset(), lambda record, _: chapters_vtt(record)),
        "metadata-vtt": ExportForm(frozenset(), lambda record, _: metadata_vtt(record)),
        "markers-csv": ExportForm(_TIMECODE, lambda record, o: markers_csv(record, o.rate, o.start)),
        "clips-csv": ExportForm(
            _TIMECODE | {"--before", "--after"},
            lambda record, o: clips_csv(record, o.rate, o.start, o.before, o.after),
        ),
    }
)
