"""The live desk: follows a stream of captions, and says what there is to show."""

from __future__ import annotations

import contextlib
import threading
import time
from bisect import bisect_left
from dataclasses import replace
from pathlib import Path

from extract.decisions.make import Refused
from extract.errors import InputError
from extract.live.bouts import Bouts
from extract.live.feed import Feed
from extract.live.flags import flags_in_order
from extract.live.model import Answer, Board, Notice, StreamState, View
from extract.live.options import LiveOptions
from extract.live.parameters import live_parameters
from extract.live.sources import Source, open_source
from extract.live.state import SCHEMA, DeskState, read_state, write_state
from extract.live.written import decided_path, write_bout, write_session
from extract.paths import beside
from extract.record.model import Pair
from extract.record.plain import printable
from extract.recording.sheet import read_sheet
from extract.transcript import BoutFile, Transcript, read_bout_file, read_transcript

#: So long is waited for bytes before the stream is looked at again, seconds.
_WAIT_S = 0.25
#: So many lines and notices are shown.
_LINES, _NOTICES = 6, 8
#: The file that keeps the captions of a stream that is no file.
CAPTIONS = "captions"
_GONE_S = 0.001
#: A reader that takes longer to take a view is left behind, seconds.
_STEP_S = 30.0


class LiveDesk:
    """A stream as it is followed. ``run`` is for one thread; everything else may be called from any (see ``Shown``)."""

    def __init__(self, options: LiveOptions, source: Source, feed: Feed, name: str) -> None:
        """``name`` is what the records are to be called."""
        self._options, self._source, self._feed, self._name = options, source, feed, name
        self._sheet = read_sheet(options.sheet) if options.sheet is not None else None
        self._known = _bout_file(options)
        self._changed = threading.Condition(threading.RLock())
        self._stop = threading.Event()
        self._notices: list[Notice] = []
        self._taken = 0
        self._read = 0
        self._known_captions = 0
        #: The thread that is to see every view, and the last that it has seen.
        self._in_step: int | None = None
        self._seen = 0
        self.written: list[Path] = []
        self._bouts = Bouts(options, self._known, self._sheet, self._decided, self._tell)
        self.resumed = self._restored()
        self._view = View(0, feed.name, "waiting", 0.0, None)

    # What screens ask.

    def view(self) -> View:
        """See ``Shown``."""
        with self._changed:
            return self._view

    def wait(self, revision: int, timeout_s: float) -> View:
        """See ``Shown``."""
        with self._changed:
            if threading.get_ident() == self._in_step:
                self._seen = revision
                self._changed.notify_all()
            self._changed.wait_for(lambda: self._view.revision != revision, timeout_s)
            return self._view

    def keep_step(self) -> None:
        """Show no view before the one before it was seen by the thread that calls this. Nothing is left out then, and a
        desk whose reader is slow falls behind."""
        self._in_step = threading.get_ident()

    def at(self, t: float) -> Board | None:
        """See ``Shown``."""
        with self._changed:
            return self._bouts.running.at(t)

    def answer(self, flag: str, answer: Answer) -> str:
        """See ``Shown``."""
        with self._changed:
            bout = self._bouts.running
            found = next((f for f in bout.flags.raised if f.id == flag), None)
            if found is None:
                raise Refused("that flag is not of the running bout")
            said = self._bouts.given.answer(found, answer, bout)
            self._after_decision()
            return said

    def correct(self, score: Pair) -> str:
        """See ``Shown``."""
        with self._changed:
            said = self._bouts.given.correct(score, self._bouts.running)
            self._after_decision()
            return said

    def undo(self) -> str:
        """See ``Shown``."""
        with self._changed:
            said = self._bouts.given.undo(self._bouts.running)
            self._after_decision()
            return said

    # The stream.

    def run(self) -> None:
        """Follow the stream until it ends or ``stop`` is called; then write the records. Raises InputError where the stream
        cannot be read."""
        try:
            going = True
            while going and not self._stop.is_set():
                changed = self._feed.pull(self._source, _WAIT_S)
                going = changed is not None
                self._take_up()
            if going and self._feed.close():
                self._take_up()
            if not self._feed.captions and not self._stop.is_set():
                raise InputError(self._feed.name, "no caption came", "give captions with times and text")
            with self._changed:
                self._finish()
                self._show("ended")
        finally:
            self._source.close()

    def stop(self) -> None:
        """Let ``run`` come to its end soon."""
        self._stop.set()

    @property
    def told_path(self) -> Path | None:
        """Where to keep what was told, beside the desk's own state."""
        return self._path("told.jsonl")

    def _take_up(self) -> None:
        """Read the captions that came, one after the other; all at once where the desk is behind."""
        with self._changed:
            for notice in self._feed.notices[self._taken :]:
                self._tell(notice.t, notice.kind, notice.text)
            self._taken = len(self._feed.notices)
            self._read = min(self._read, self._feed.first_changed)
            self._show()
        began = time.monotonic()
        while self._read < len(self._feed.captions) and not self._stop.is_set():
            # Others may ask for something between two captions.
            with self._changed:
                self._read_next(time.monotonic() - began)

    def _read_next(self, behind_s: float) -> None:
        captions = self._feed.captions
        waiting = len(captions) - self._read
        most = live_parameters().get("stream", "behind_s")
        behind = self._options.is_live and waiting > 1 and behind_s > most
        if behind:
            said = f"The desk was behind: {waiting} captions were read at once."
            self._tell(captions[-1].start, "skipped", said)
        known = min(self._known_captions, len(captions))
        self._read = len(captions) if behind else max(self._read + 1, known)
        if self._read < self._known_captions and self._feed.state != "ended":
            return
        self._bouts.hear(self._talk)
        self._bouts.look(self._talk, self._read, captions[self._read - 1].end)
        self._show()

    def _talk(self, begins: float) -> Transcript:
        """The talk since a moment, of the captions that were read."""
        first = bisect_left(self._feed.captions, begins - _GONE_S, 0, self._read, key=lambda c: c.start)
        return self._feed.transcript(first, self._read)

    def _after_decision(self) -> None:
        self._bouts.running.forget()
        self._bouts.hear(self._talk)
        self._save()
        self._show()

    def _tell(self, t: float, kind: str, text: str) -> None:
        number = self._notices[-1].number + 1 if self._notices else 1
        self._notices = [*self._notices[1 - _NOTICES :], Notice(number, round(t, 2), kind, text)]

    def _show(self, state: StreamState | None = None) -> None:
        """Put what there is to show now in place of what was shown."""
        captions, bout, before = self._feed.captions[: self._read], self._bouts.running, self._view
        now = View(
            revision=before.revision,
            source=self._feed.name,
            state=state or ("running" if self._feed.state == "ended" else self._feed.state),
            t=round(captions[-1].end, 2) if captions else 0.0,
            board=bout.board,
            flags=tuple(flags_in_order(bout.flags.raised)),
            calls=bout.calls.held[::-1],
            notices=tuple(self._notices),
            heard=tuple((c.start, printable(c.text)) for c in captions[-_LINES:]),
            bouts=self._bouts.ended,
            captions=len(captions),
        )
        if now == before:
            return
        if now.flags != before.flags or now.bouts != before.bouts:
            self._save()
        if self._in_step is not None:
            self._changed.wait_for(lambda: self._seen >= before.revision or self._stop.is_set(), _STEP_S)
        self._view = replace(now, revision=before.revision + 1)
        self._changed.notify_all()

    # The disk.

    def _path(self, ending: str) -> Path | None:
        return self._options.keep / f"{self._name}.{ending}" if self._options.keeps_state else None

    def _decided(self, number: int) -> Path | None:
        if not self._options.keeps_state:
            return None
        return decided_path(self._options.keep, self._name, number, several=number > 1)

    def _save(self) -> None:
        path, bout = self._path("live.json"), self._bouts.running
        if path is None:
            return
        state = DeskState(
            SCHEMA,
            bout.number,
            bout.begins,
            self._bouts.row,
            bout.calls.held,
            bout.flags.raised,
            self._bouts.ended,
            self._read,
        )
        try:
            write_state(path, state)
        except InputError as error:
            self._tell(self._view.t, "kept", f"The state is no longer kept: {error}.")

    def _restored(self) -> bool:
        path = self._path("live.json")
        state = read_state(path) if path is not None else None
        if state is None:
            return False
        self._bouts.restore(state)
        # What was read before is not told again.
        self._known_captions = state.captions
        self._read = min(state.captions, len(self._feed.captions))
        if self._read:
            self._bouts.hear(self._talk)
        return True

    def _finish(self) -> None:
        """Write the records of the stream that is over."""
        if not self._options.keeps_state or not self._feed.captions:
            return
        transcript = self._whole()
        if self._bouts.single or not self._bouts.ended:
            self.written = write_bout(transcript, self._known, self._options, self._options.keep, self._name)
        else:
            self.written = write_session(
                transcript, self._sheet, self._options, self._options.keep, self._name
            )
        path = self._path("live.json")
        if path is not None:
            # It is over: the next desk begins anew.
            with contextlib.suppress(OSError):
                path.unlink()

    def _whole(self) -> Transcript:
        """The transcript of all of the stream, as the file has it."""
        path = Path(self._options.source)
        if not path.is_file():
            path = self._options.keep / f"{self._name}.{CAPTIONS}"
        with contextlib.suppress(InputError):
            return read_transcript(path)
        return self._feed.transcript(0)


def open_desk(options: LiveOptions) -> LiveDesk:
    """A desk for a stream; it reads nothing before ``run``. Raises InputError if the stream, a file beside it or what was
    kept of it cannot be used."""
    source = open_source(options.source, follow=options.follow)
    is_file = Path(options.source).is_file()
    if is_file and not options.follow:
        # A file that is finished is refused as ``saidscore log`` refuses it.
        read_transcript(options.source)
    name = Path(options.source).stem if is_file else "live"
    kept = options.keep / f"{name}.{CAPTIONS}" if options.keeps_state and not is_file else None
    feed = Feed.resume(kept, source.name) if kept is not None else Feed(source.name)
    return LiveDesk(options, source, feed, name)


def _bout_file(options: LiveOptions) -> BoutFile | None:
    """What is known of the one bout beforehand."""
    path = options.bout
    if path is None and options.sheet is None and Path(options.source).is_file():
        path = beside(Path(options.source), "bout.toml")
    if path is not None:
        return read_bout_file(path)
    return None
