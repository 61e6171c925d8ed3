"""``saidscore lexicon check``: each kind of problem with its place, and the shipped lexicons without any."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.lexicon import data
from extract.mentions import lexicon_check
from extract.mentions.lexicon_check import check_files, check_shipped
from tests.labelled.hand_made import SAMPLES
from tests.lexicon.conftest import Own, Put

HEAD = '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\n'


def check(*files: Path) -> Any:
    return CliRunner().invoke(app, ["lexicon", "check", *map(str, files)])


def told(text: str, own: Own) -> list[str]:
    """The problems of an own file, without its path."""
    path = own(text)
    return [str(error).removeprefix(f"{path}:") for error in check_files([path]).problems]


def test_a_kind_without_styles_holds_where_the_rules_have_it(own: Own) -> None:
    """No style of its own named, "escape" is of the collegiate and scholastic lexicons, and of no other."""
    text = '[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "call"\nforms = ["gone walkabout"]\n'
    assert told(text, own) == []


def test_the_shipped_lexicons_have_no_problem(monkeypatch: pytest.MonkeyPatch) -> None:
    report = check_shipped()
    assert [str(error) for error in report.problems] == []
    # The command checks the same: what it found is not found once more.
    monkeypatch.setattr(lexicon_check, "check_shipped", lambda: report)
    done = check()
    assert (done.exit_code, done.stdout) == (
        0, f"{report.entries} entries, {report.forms} forms, {report.rows} rows: no problem\n",
    )  # fmt: skip
    assert report.rows > 50
    assert report.entries > 200
    assert report.forms > 2500


def test_shipped_sentences_are_checked(put: Put) -> None:
    # After the test before, so that the forms, which are the same, are not tried once more.
    text = (SAMPLES.parent / "lexicons/phrases/scores.toml").read_text("utf-8")
    path = put(
        "phrases/scores", text.replace('says = ["It\'s six to four."]', 'says = ["It\'s six of four."]')
    )
    [problem] = check_shipped().problems
    line = text.split('says = ["It\'s six to four."]')[0].count("\n") + 1
    assert str(problem).startswith(f"{path}:{line}: 'pair.to' is not found in \"It's six of four.\"")


def test_an_own_lexicon_without_problems(own: Own) -> None:
    done = check(own(HEAD + 'forms = ["heave ho", "Old Heave-Ho", "don\'t you know"]\n'))
    assert (done.exit_code, done.stdout) == (0, "1 entry, 3 forms: no problem\n")


def test_each_problem_is_a_line_and_status_1(own: Own) -> None:
    path = own(HEAD + 'forms = ["heave  ho",\n  "heave."]\n\n' + HEAD + 'form = ["a"]\n')
    done = check(path)
    assert done.exit_code == 1
    assert done.stdout.splitlines() == [
        f"{path}:5: 'heave ho' has a space too many; write one space between words, none at the ends",
        f'{path}:8: forms must be a list of words or phrases; write forms = ["..."]',
        f"{path}:12: unknown key 'form'; did you mean 'forms'?",
    ]


@pytest.mark.parametrize(
    ("forms", "wanted"),
    [
        ('[" heave"]', "5: ' heave' has a space too many"),
        ('["heave\\tho"]', "5: 'heave\\tho' has a space too many"),
        (
            '["heave",\n"a b c d e f g h i j k l m"]',
            "6: 'a b c d e f g h i j k l m' has 13 words, more than 12",
        ),
        ('["fireman\u2019s"]', 'has a mark that transcripts are read without; write "fireman\'s"'),
        ('["two\u2013point"]', "has a mark that transcripts are read without; write 'two-point'"),
    ],
)
def test_forms_that_never_match(own: Own, forms: str, wanted: str) -> None:
    [problem] = told(HEAD + f"forms = {forms}\n", own)
    assert wanted in problem


def test_forms_that_look_odd_and_do_match(own: Own) -> None:
    forms = (
        '["3pts", "t.d.", "Rev.", "o.k", "2-0\'d", "50/50", "#1 move", "caf\u00e9", "$5", "he\'s", "...boom"]'
    )
    assert told(HEAD + f"forms = {forms}\n", own) == []


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            '[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "call"\nstyles = ["freestyle", "collegiate"]\n'
            'forms = ["gone walkabout"]\n',
            '3: no edition of freestyle has the kind \'escape\'; write styles = ["collegiate"]',
        ),
        (
            '[[entry]]\nrole = "kind"\nstyles = ["olympic"]\nvalue = "excape"\nstrength = "call"\nforms = ["gone by"]\n',
            "4: no edition of freestyle, greco has the kind 'excape'; use one of",
        ),
        (
            '[[entry]]\nrole = "split_verb"\nvalue = "takdown"\nparticles = ["by"]\nforms = ["pops"]\n',
            "3: no edition of collegiate, foil, freestyle, greco, scholastic has the kind 'takdown'; did you mean",
        ),
        ('[[entry]]\nrole = "not_kind"\nvalue = "pin"\nforms = ["pin number"]\n', "3: no edition of"),
        ('[[entry]]\nrole = "sheet_mark"\nvalue = "takedown"\nforms = ["t2"]\n', "4: the sheet mark 't2' is no single"),
        ('[[entry]]\nrole = "sheet_mark"\nvalue = "takedown"\nforms = ["t/d"]\n', "4: the sheet mark 't/d' is no"),
        ('[[entry]]\nrole = "sheet_mark"\nvalue = "takedown"\nforms = ["take d"]\n', "4: the sheet mark 'take d'"),
        ('[[entry]]\nrole = "more"\ndrop = ["never"]\n', "3: no shipped more has 'never'; take it out of drop"),
        ('[[entry]]\nrole = "moar"\nforms = ["anew"]\n', "2: unknown role 'moar'; did you mean 'more'?"),
        (
            '[[entry]]\nrole = "lead"\nforms = ["atop"]\n\n[[entry]]\nrole = "winner"\nforms = ["atop it"]\n\n'
            '[[entry]]\nrole = "winner"\nscope = "after"\nforms = [\n  "Atop it"]\n',
            "13: 'Atop it' is winner after here and winner in ",
        ),
    ],
)  # fmt: skip
def test_problems_of_meaning(own: Own, text: str, wanted: str) -> None:
    [problem] = told(text, own)
    assert problem.startswith(wanted)


def test_a_form_that_takes_the_place_of_a_shipped_one_is_noted(own: Own) -> None:
    path = own('[[entry]]\nrole = "bound"\nvalue = "over"\nforms = ["next to",\n  "roughly"]\n')
    done = check(path)
    assert done.exit_code == 0
    note, last = done.stdout.splitlines()
    assert note.startswith(f"{path}:5: note: 'roughly' takes the place of 'roughly', bound about, in ")
    file, line = note.split(" in ")[1].split(";")[0].rsplit(":", 1)
    assert '"roughly"' in Path(file).read_text("utf-8").splitlines()[int(line) - 1]
    assert last == "1 entry, 2 forms: no problem"


def test_clashes_between_files_name_the_other(own: Own) -> None:
    one = own('[[entry]]\nrole = "bound"\nvalue = "over"\nforms = ["circa"]\n', "one.toml")
    two = own('[[entry]]\nrole = "bound"\nvalue = "under"\nforms = ["circa"]\n', "two.toml")
    [problem] = check_files([one, two]).problems
    assert str(problem).startswith(f"{two}:4: 'circa' is bound under here and bound over in {one}:4, for ")
    assert check_files([one, one]).problems == check_files([one]).problems == ()


@pytest.mark.parametrize("content", [b"a = ", b"\xff\xfe\xff", b"#" * 2_000_000])
def test_what_cannot_be_read_is_status_2(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(content)
    for given in (path, tmp_path, tmp_path / "none.toml"):
        done = check(given)
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr.startswith(f"saidscore: {given}")
        assert done.stderr.count("\n") == 1


def test_an_empty_file_has_no_problem(own: Own) -> None:
    assert check(own("# nothing yet\n")).stdout == "0 entries, 0 forms: no problem\n"


# Problems of the shipped files.


def shipped_problems(path: Path) -> list[str]:
    problems = [str(error) for error in check_shipped().problems]
    assert all(problem.startswith(f"{path}:") for problem in problems)
    return [problem.removeprefix(f"{path}:") for problem in problems]


def test_words_that_never_tell_a_style(put: Put) -> None:
    tells = ["Par terre", "par-terre", "par  terre", "par terre!", "", " par"]
    lines = "".join(f'"{tell}",\n' for tell in tells)
    path = put(
        "styles/greco",
        f'[style]\nincludes = ["olympic", "wrestling"]\nvariant_of = "freestyle"\ntells = ["greco",\n{lines}]\n',
    )
    assert shipped_problems(path) == [
        f"{line}: {tell!r} is never found; write it in small letters with single spaces, without marks and hyphens"
        for line, tell in enumerate(tells, 5)
    ]


def test_a_style_without_rules(put: Put) -> None:
    path = put("styles/judo", '[style]\ntells = ["tatami"]\n')
    [problem] = shipped_problems(path)
    assert problem.startswith("1: unknown ruleset 'judo'")


def test_a_clash_of_shipped_forms_names_both_places(put: Put) -> None:
    text = (data._CHECKOUT / "talk/calls.toml").read_text("utf-8")
    path = put("talk/calls", text + '\n[[entry]]\nrole = "bound"\nvalue = "over"\nforms = ["circa", "ca"]\n')
    line = text.count("\n") + 5
    [problem] = [str(error) for error in check_shipped().problems]
    # The place that is read later is told, and names the earlier one.
    assert problem.startswith(f"{path.parent.parent}/registers/notes.toml:")
    assert f"'ca' is bound about here and bound over in {path}:{line}, for collegiate; " in problem


def test_every_fault_of_a_shipped_file_is_told(put: Put) -> None:
    path = put(
        "talk/calls", '[[entry]]\nrole = "moar"\nforms = ["a"]\n[[entry]]\nrole = "more"\nform = ["a"]\n'
    )
    assert [problem.split(":")[0] for problem in shipped_problems(path)] == ["2", "4", "6"]


@pytest.mark.parametrize("form", ["the", "two", "red", "green", "5", ".", "And"])
def test_words_that_are_said_all_the_time_name_no_event(own: Own, form: str) -> None:
    text = f'[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["{form}"]\n'
    (line,) = told(text, own)
    assert line.startswith("5: ")
    assert "said all the time" in line or "no letter or figure" in line


def test_a_common_word_may_be_part_of_a_phrase(own: Own) -> None:
    text = '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["and down he is", "two up"]\n'
    assert told(text, own) == []
