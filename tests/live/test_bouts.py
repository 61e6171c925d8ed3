"""Bouts one after another are cut as they come."""

from __future__ import annotations

from pathlib import Path

from extract.live.desk import open_desk
from extract.live.options import LiveOptions

SESSION = Path(__file__).parents[2] / "sample_transcripts" / "session"


def test_a_bout_is_closed_when_the_next_is_under_way(tmp_path: Path) -> None:
    """The first three bouts of the session and the start of the fourth; the third is a forfeit."""
    whole = (SESSION / "pebble-cup.srt").read_text(encoding="utf-8")
    source = tmp_path / "cup.srt"
    source.write_text("".join(block + "\n\n" for block in whole.split("\n\n")[:100]), encoding="utf-8")
    desk = open_desk(LiveOptions(str(source), sheet=SESSION / "pebble-cup.sheet.csv", keep=tmp_path))
    desk.run()
    view = desk.view()
    assert view.board is not None
    ended = [line.partition(":")[0] for line in view.bouts]
    assert ended == ["Orrell v Pell", "Crewe v Maddock-Lane", "Penhallick v Rudge"]
    assert (view.board.bout, view.board.red.name, view.board.blue.name) == (4, "Storlander", "Teague")
    records = [path.name for path in desk.written if path.name.endswith(".record.json")]
    assert records == [f"cup.0{n}.record.json" for n in range(1, 5)]
