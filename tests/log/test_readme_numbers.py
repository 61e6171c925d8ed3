"""The numbers of ``extract/log/README.md`` are those that the code computes."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import extract.log
from tests.log.worked_example import TALK

README = Path(extract.log.__file__).with_name("README.md")


def test_every_number_of_the_worked_bout_is_the_programs() -> None:
    found = doctest.testfile(str(README), module_relative=False)
    assert found.attempted > 15
    assert found.failed == 0


def test_the_talk_of_the_worked_bout_is_the_one_that_is_read() -> None:
    shown = re.findall(r"^(\d):(\d\d)  (.+)$", README.read_text(encoding="utf-8"), re.MULTILINE)
    assert [(60.0 * int(minutes) + int(seconds), text) for minutes, seconds, text in shown] == list(TALK)
