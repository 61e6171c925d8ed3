"""Telling a reader of lines, who may be slow."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from threading import Thread

from extract.live.changes import Change, NoticeTold, changes
from extract.live.model import View
from extract.live.tell import SLOW_S, Teller, tell
from extract.live.told import Told
from tests.live.made_views import MadeDesk, story


class Reader:
    """A reader that takes ``seconds`` for each view by its own clock. While it reads, the desk goes on by so many views."""

    def __init__(self, seconds: float, goes_on: int = 1) -> None:
        self.now, self.seconds, self.goes_on = 0.0, seconds, goes_on
        self.views = story()
        self.desk = MadeDesk(self.views)
        self.at = 0
        self.told: list[Change] = []

    def write(self, told: Sequence[Change], view: View) -> None:
        self.told += told
        self.now += self.seconds
        self.at = min(self.at + self.goes_on, len(self.views) - 1)
        self.desk._set(self.views[self.at])

    def read(self) -> None:
        last = len(self.views) - 1
        tell(self.desk, Teller(self.write, Told(), lambda: self.now), lambda: self.at == last)


def test_every_view_is_told_to_a_reader_that_keeps_up() -> None:
    reader = Reader(0.0)
    reader.read()
    wanted: list[Change] = []
    before = None
    for now in story():
        wanted += changes(before, now)
        before = now
    assert [change.id for change in reader.told] == [change.id for change in wanted]


def test_a_slow_reader_skips_to_now_and_hears_of_it() -> None:
    reader = Reader(SLOW_S + 10, goes_on=7)
    reader.read()
    late = [c.notice for c in reader.told if isinstance(c, NoticeTold) and c.notice.kind == "skipped"]
    assert [notice.text for notice in late] == [
        "the reader of these lines was 12 s late; they go on with what is so now"
    ]
    # The call that came and went meanwhile is not told.
    assert not any("e2" in change.about for change in reader.told)


def test_nothing_is_told_again_while_a_desk_reads_again_what_it_had_read(tmp_path: Path) -> None:
    whole = Reader(0.0)
    whole.read()
    path = tmp_path / "told.jsonl"
    Told(path).keep(change for change in whole.told if change.now <= 80)
    desk, heard = MadeDesk(story(), paced=True), list[Change]()
    running = Thread(target=desk.run)
    running.start()
    teller = Teller(lambda new, view: heard.extend(new), Told(path))
    tell(desk, teller, lambda: not running.is_alive())
    assert [change.id for change in heard] == [change.id for change in whole.told if change.now > 80]
