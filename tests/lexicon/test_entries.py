"""What a malformed lexicon file says, and on which line."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from extract.errors import InputError
from extract.lexicon import data, load_lexicon
from tests.lexicon.conftest import Put

GOOD = '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["takedown"]\n\n'
KIND = '[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "call"\n'

#: An entry, what is told of it, and on which line after the entry's first.
FAULTS = [
    ('[[entry]]\nrole = "sort"\nforms = ["a"]\n', "unknown role 'sort'", 1),
    ('[[entry]]\nvalue = "takedown"\nforms = ["a"]\n', "no role", 0),
    ('[[entry]]\nrole = 3\nforms = ["a"]\n', "unknown role 3", 1),
    (KIND + "forms = []\n", "forms must be", 4),
    ('[[entry]]\nrole = "more"\n', "forms must be", 0),
    (KIND + 'forms = "takedown"\n', "forms must be", 4),
    (KIND + 'forms = ["takedown",\n " "]\n', "forms must be", 5),
    (KIND + 'forms = ["takedown", 2]\n', "forms must be", 4),
    (KIND + 'forms = ["go by",\n"Go-by"]\n', "'Go-by' is the same as 'go by'", 5),
    ('[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "strong"\nforms = ["a"]\n', "strength 'strong'", 3),
    ('[[entry]]\nrole = "kind"\nvalue = "escape"\nforms = ["a"]\n', "no strength", 0),
    ('[[entry]]\nrole = "kind"\nstrength = "call"\nforms = ["a"]\n', "no value", 0),
    ('[[entry]]\nrole = "kind"\nvalue = 1\nstrength = "call"\nforms = ["a"]\n', "value is no text", 2),
    ('[[entry]]\nrole = "stance"\nvalue = "negated"\nscope = "behind"\nforms = ["a"]\n', "scope 'behind'", 3),
    ('[[entry]]\nrole = "stance"\nvalue = "negated"\nforms = ["a"]\n', "no scope", 0),
    ('[[entry]]\nrole = "stance"\nvalue = "doubted"\nscope = "after"\nforms = ["a"]\n', "value 'doubted'", 2),
    (KIND + 'styles = "freestyle"\nforms = ["a"]\n', "styles must be", 4),
    (KIND + 'forms = ["a"]\nstyles = ["freestile"]\n', "unknown style 'freestile' in styles; did you mean", 5),
    ('[[entry]]\nrole = "bound"\nvalue = "beneath"\nforms = ["a"]\n', "value 'beneath'", 2),
    ('[[entry]]\nrole = "more"\nvalue = "much"\nforms = ["a"]\n', "value 'much'; take value out", 2),
    ('[[entry]]\nrole = "ordinal"\nvalue = "first"\nforms = ["a"]\n', "value 'first' is no number", 2),
    (KIND + 'form = ["takedown"]\nforms = ["td"]\n', "unknown key 'form'; did you mean 'forms'?", 4),
    (KIND + 'drop = ["takedown"]\nforms = ["td"]\n', "unknown key 'drop'", 4),
    ('[[entry]]\nrole = "split_verb"\nvalue = "escape"\nforms = ["a"]\n', "particles must be", 0),
    (KIND + 'particles = ["out"]\nforms = ["a"]\n', "a kind has no particles", 4),
    ('[style]\ntells = ["a"]\n', "unknown key 'style'", 0),
]  # fmt: skip


@pytest.mark.parametrize(("entry", "told", "line"), FAULTS)
def test_a_malformed_entry_names_file_and_line(put: Put, entry: str, told: str, line: int) -> None:
    path = put("talk/calls", GOOD + entry)
    with pytest.raises(InputError) as caught:
        load_lexicon("freestyle")
    assert (caught.value.file, caught.value.line) == (str(path), GOOD.count("\n") + 1 + line)
    assert told in str(caught.value)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)


def test_a_file_of_a_style_says_itself_for_which_style_it_is(put: Put) -> None:
    put("styles/olympic", GOOD.replace("forms", 'styles = ["greco"]\nforms'))
    with pytest.raises(InputError, match=r"olympic\.toml:5: unknown key 'styles'"):
        load_lexicon("freestyle")


def test_text_that_is_no_toml_names_file_and_line(put: Put) -> None:
    put("talk/calls", '[[entry]]\nrole = "kind\n')
    with pytest.raises(InputError, match=r"calls\.toml:2: TOML that does not parse"):
        load_lexicon("freestyle")


def test_entry_must_be_a_list_of_tables(put: Put) -> None:
    put("talk/calls", '\nentry = "takedown"\n')
    with pytest.raises(InputError, match=r"calls\.toml:2: entry is no list of tables"):
        load_lexicon("freestyle")


def test_a_lexicon_that_is_not_there() -> None:
    with pytest.raises(InputError, match=r"weather\.toml: no such lexicon"):
        data.load_toml("talk/weather")
    with pytest.raises(InputError, match="no such folder of lexicons"):
        data.lexicon_names("weather")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"# \xe9", r"own\.toml:1: a byte that is no UTF-8"),
        (b"\n\n# \xff\xfe", r"own\.toml:3: a byte that is no UTF-8"),
        (b"#" * (1024 * 1024 + 1), "more than the limit of 1 MB; write less"),
        (b"a = " + b"[" * 5000, "TOML that does not parse"),
    ],
)
def test_a_file_that_cannot_be_used(tmp_path: Path, content: bytes, told: str) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match=told):
        load_lexicon("freestyle", (path,))


def test_a_folder_or_nothing_is_no_lexicon(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        load_lexicon("freestyle", (tmp_path,))
    with pytest.raises(InputError, match="cannot be read"):
        load_lexicon("freestyle", (tmp_path / "none.toml",))


def test_a_pipe_is_no_lexicon(tmp_path: Path) -> None:
    """It could be read once only."""
    pipe = tmp_path / "own.toml"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="is no plain file"):
        load_lexicon("freestyle", (pipe,))


def test_a_byte_order_mark_is_no_matter(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(
        b"\xef\xbb\xbf" + GOOD.replace("takedown", "fall").replace('["fall"]', '["flat"]').encode()
    )
    assert "flat" in load_lexicon("freestyle", (path,)).forms("kind", "fall")
