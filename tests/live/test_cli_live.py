"""The command ``saidscore live``: its options, what it prints, how it ends."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import types
from pathlib import Path
from urllib.request import urlopen

import pytest
from click.testing import Result
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from typer.testing import CliRunner

from extract.cli.app import app
from extract.errors import InputError
from tests.docs import ROOT
from tests.foreground import foreground
from tests.live.made_views import MadeDesk, put_in_place, story


@pytest.fixture
def stream(tmp_path: Path) -> Path:
    path = tmp_path / "match.srt"
    path.write_text("")
    return path


def run(monkeypatch: pytest.MonkeyPatch, desk: MadeDesk, *args: object) -> Result:
    monkeypatch.setitem(sys.modules, "extract.live.desk", put_in_place(desk))
    return CliRunner().invoke(app, ["live", *map(str, args)])


def test_lines_where_there_is_no_terminal(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    desk = MadeDesk(story(), paced=True)
    desk.written = [Path("out/match.record.json"), Path("out/match.events.csv")]
    done = run(monkeypatch, desk, stream)
    assert done.exit_code == 0, done.output
    lines = done.stdout.splitlines()
    assert lines[0] == "[0:10] bout 1: Freestyle, rules of 2026"
    assert lines[-2:] == [
        "[6:40] stream: ended; 120 captions",
        "Written: out/match.record.json and 1 other file",
    ]
    assert done.stderr == ""


def test_json_lines(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    desk = MadeDesk(story(), paced=True)
    desk.written = [Path("out/match.record.json")]
    done = run(monkeypatch, desk, stream, "--jsonl")
    assert done.exit_code == 0, done.output
    events = [json.loads(line) for line in done.stdout.splitlines()]
    assert [events[0]["event"], events[-1]["event"]] == ["start", "end"]
    assert events[0]["source"] == str(stream)
    assert events[-1]["written"] == ["out/match.record.json"]
    assert "flag" in [event["event"] for event in events]


def test_the_options_reach_the_desk(monkeypatch: pytest.MonkeyPatch, stream: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "bouts.csv"
    sheet.write_text("red,blue\n")
    desk = MadeDesk(story())
    done = run(
        monkeypatch, desk, stream, "--follow", "--sheet", sheet, "--rules", "greco", "--red", "A. One", "--blue", "B. Two",
        "--flag-at", "0.8", "--keep", tmp_path / "kept", "--by", "Pim",
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    given = desk.options
    assert given is not None
    assert (given.source, given.follow, given.sheet, given.bout) == (str(stream), True, sheet, None)
    assert (given.rules, given.red, given.blue, given.by) == ("greco", "A. One", "B. Two", "Pim")
    assert (given.flag_at, given.keep, given.keeps_state) == (0.8, tmp_path / "kept", True)


def test_captions_on_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    desk = MadeDesk(story())
    assert run(monkeypatch, desk).exit_code == 0
    assert desk.options is not None
    assert desk.options.source == "-"


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["nowhere.srt"], "nowhere.srt: no such file; give the path of a transcript; it may still be empty"),
        (["{dir}"], "{dir}: is a folder; give the path of one transcript"),
        (["{file}", "--bout", "no.toml"], "no.toml: no such file; give the path of a bout file"),
        (["{file}", "--sheet", "no.csv"], "no.csv: no such file; give the path of a bout sheet"),
        (["{file}", "--plain", "--jsonl"], "--jsonl: does not go with --plain; give one of them"),
        (["{file}", "--at", "1:00", "--follow"], "--follow: does not go with --at; give one of them"),
        (["{file}", "--at", "1:00", "--port", "0"], "--port: does not go with --at; give one of them"),
        (["{file}", "--no-page", "--port", "0"], "--port: does not go with --no-page; give one of them"),
        (["{file}", "--at", "soon"], "--at: 'soon' is no time; write it as m:ss, h:mm:ss or seconds"),
        (["{file}", "--flag-at", "80"], "--flag-at: 80 is not from 0 to 1; give how sure it must be, like 0.8"),
        (["{file}", "--flag-at", "nan"], "--flag-at: nan is not from 0 to 1; give how sure it must be, like 0.8"),
        (["{file}", "--keep", "{file}"], "{file}: is no folder; give a folder with --keep"),
        (["{file}", "--by", " "], "--by: the name is empty; give the name, or leave the option out"),
        (["{file}", "--red", "A", "--blue", "A"], "--blue: the same name as --red, 'A'; give each side the name of its"),
        (["{file}", "--rules", "judo"], "--rules: "),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_line(
    args: list[str], said: str, monkeypatch: pytest.MonkeyPatch, stream: Path
) -> None:
    places = {"file": str(stream), "dir": str(stream.parent)}
    desk = MadeDesk(story())
    done = run(monkeypatch, desk, *(arg.format(**places) for arg in args))
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"saidscore: {said.format(**places)}")
    assert done.stderr.count("\n") == 1
    assert desk.options is None


def test_a_port_that_is_taken(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = run(monkeypatch, MadeDesk(story()), stream, "--port", port)
    assert done.exit_code == 2
    assert done.stderr.startswith(f"saidscore: --port: {port} cannot be used")


def test_a_stream_that_cannot_be_read_is_one_line(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    error = InputError("match.srt", "is no transcript", "give one")
    done = run(monkeypatch, MadeDesk(story()[:3], error=error), stream, "--jsonl")
    assert done.exit_code == 2
    assert done.stderr == "saidscore: match.srt: is no transcript; give one\n"
    assert '"event": "end"' not in done.stdout


def test_a_moment(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    desk = MadeDesk(story())
    done = run(monkeypatch, desk, stream, "--at", "0:55")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[:3] == [
        "0:55",
        "The score is 4-0 Skelvara (confidence 93 %, tentative)",
        "Skelvara leads by points: more points",
    ]
    assert desk.options is not None
    assert not desk.options.keeps_state


def test_a_moment_for_a_program(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    done = run(monkeypatch, MadeDesk(story()), stream, "--at", "0:55", "--jsonl")
    (event,) = map(json.loads, done.stdout.splitlines())
    assert (event["event"], event["score"], event["t"]) == ("board", [0, 4], 55)


def test_a_moment_when_nothing_ran(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    done = run(monkeypatch, MadeDesk(story()), stream, "--at", "0:02")
    assert done.exit_code == 2
    assert "--at: no bout was running at 0:02; what there is goes to 6:40" in done.stderr


def test_nothing_is_told_twice_when_it_is_started_again(
    monkeypatch: pytest.MonkeyPatch, stream: Path, tmp_path: Path
) -> None:
    told = tmp_path / "told.jsonl"
    error = InputError("match.srt", "was lost", "begin again")
    first = run(monkeypatch, MadeDesk(story()[:6], paced=True, told_path=told, error=error), stream)
    assert "OLD SCORE" in first.stdout
    again = run(monkeypatch, MadeDesk(story(), paced=True, told_path=told), stream)
    assert again.stdout.splitlines()[0] == "[2:00] stream: no captions come"
    assert not told.exists(), "the stream has ended"
    whole = run(monkeypatch, MadeDesk(story(), paced=True, told_path=told), stream)
    assert whole.stdout == first.stdout + again.stdout


def page_module(desks: list[object]) -> types.ModuleType:
    module = types.ModuleType("extract.live.page")

    def live_app(shown: object, token: str) -> Starlette:
        desks.append(shown)

        def page(request: Request) -> PlainTextResponse:
            return PlainTextResponse("the page")

        return Starlette(routes=[Route(f"/{token}/", page)])

    module.live_app = live_app  # type: ignore[attr-defined]
    return module


def test_the_page_is_served_beside_the_lines(monkeypatch: pytest.MonkeyPatch, stream: Path) -> None:
    desks: list[object] = []
    monkeypatch.setitem(sys.modules, "extract.live.page", page_module(desks))
    opened: list[str] = []

    def look(address: str) -> None:
        with urlopen(address, timeout=30) as page:
            opened.append(page.read().decode())

    monkeypatch.setattr("extract.cli.live_run.open_browser", look)
    # The page stays until Ctrl-C.
    monkeypatch.setattr("extract.cli.live_run._stay", lambda: (_ for _ in ()).throw(KeyboardInterrupt))
    desk = MadeDesk(story(), paced=True)
    done = run(monkeypatch, desk, stream, "--page", "--jsonl")
    assert done.exit_code == 0, done.output
    assert opened == ["the page"]
    assert desks == [desk]
    address = json.loads(done.stdout.splitlines()[0])["page"]
    assert done.stderr.splitlines() == [
        f"Live desk: {address}",
        "The stream has ended. Ctrl-C ends the page.",
    ]
    with pytest.raises(OSError, match="refused"):
        urlopen(address, timeout=5)


@pytest.mark.parametrize(("sent", "status"), [(signal.SIGINT, 0), (signal.SIGTERM, 143)])
def test_it_ends_at_once_when_it_is_asked_to(sent: signal.Signals, status: int, stream: Path) -> None:
    running = subprocess.Popen(
        foreground([sys.executable, "-m", "tests.live.made_views", "live", str(stream), "--plain"]),
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT), "DESK": "stays"}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    try:
        assert running.stdout is not None
        # A line is there as soon as it is told, though the stream goes on.
        while "OLD SCORE" not in running.stdout.readline():
            assert running.poll() is None
        running.send_signal(sent)
        _, errors = running.communicate(timeout=60)
    finally:
        running.kill()
    assert (running.returncode, errors) == (status, "")


def test_a_reader_that_goes_away_ends_it(stream: Path) -> None:
    command = (
        f"{sys.executable} -m tests.live.made_views live {stream} --jsonl | head -1; exit ${{PIPESTATUS[0]}}"
    )
    done = subprocess.run(
        ["bash", "-c", command], cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, text=True,
        capture_output=True, timeout=60, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (141, "")
    assert json.loads(done.stdout)["event"] == "start"
