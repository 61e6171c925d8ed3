"""Rows of a lexicon: their example sentences, what is wrong with one and where, and rows of a user's own."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.lexicon import Lexicon, load_lexicon
from extract.lexicon.load import shipped_rows
from extract.mentions.lexicon_check import check_files
from extract.mentions.row_check import hear_sentence, is_found, sentence_faults, style_of
from tests.labelled.hand_made import SAMPLES
from tests.lexicon.conftest import Own

#: The shipped rows.
ROWS = {placed.row.id: placed for placed in shipped_rows()}

HEAD = '[[phrase]]\nid = "own.score"\ngives = "score"\nform = "to"\n'
WORDS = 'words = "<x=number> gegen <y=number>"\n'
WHOSE = '[[phrase]]\nid = "own.whose"\ngives = "whose"\nof = ["points"]\n'


@cache
def lexicon(style: str) -> Lexicon:
    return load_lexicon(style)


@pytest.mark.parametrize("name", ROWS)
def test_a_row_is_found_in_what_it_says_and_not_in_what_it_says_not(name: str) -> None:
    assert [str(fault) for fault in sentence_faults([ROWS[name]], lexicon)] == []


def test_sentences_are_heard_in_a_style_of_the_row() -> None:
    assert style_of(ROWS["score.named"].row, lexicon) == "freestyle"
    styles = {style_of(placed.row, lexicon) for placed in ROWS.values() if placed.row.styles}
    assert styles <= {"freestyle", "greco", "collegiate", "scholastic", "foil"}


def test_sentences_are_heard_in_the_style_that_has_their_words() -> None:
    # "P" is a mark of the collegiate score sheet alone.
    assert style_of(ROWS["no-mark.period"].row, lexicon) == "collegiate"


def told(text: str, own: Own) -> list[str]:
    """The problems of an own file, without its path."""
    path = own(text)
    return [str(error).removeprefix(f"{path}:") for error in check_files([path]).problems]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("[phrase]\na = 1\n", "1: phrase is no list of tables; write [[phrase]]"),
        ("phrase = [1]\n", "1: phrase is no list of tables; write [[phrase]]"),
        ('[[phrase]]\nid = "a"\n', "1: no gives; use one of "),
        ('[[phrase]]\nid = "a"\ngives = "scores"\n', "3: unknown 'scores' in gives; did you mean 'score'?"),
        ('[[phrase]]\nid = "a"\ngives = 3\n', "3: unknown 3 in gives; use one of "),
        ('[[phrase]]\nid = "a"\ngives = ["score"]\n', "3: unknown ['score'] in gives; did you mean 'score'?"),
        (HEAD + WORDS + 'frist = "a"\n', "6: unknown key 'frist'; did you mean 'first'?"),
        (HEAD + WORDS + "across = 1\n", "6: across is not true or false; write it as in another row"),
        (HEAD + WORDS + "says = [3]\n", "6: says is not a list of texts; write it as in another row"),
        (HEAD + WORDS + 'says = "three"\n', "6: says is not a list of texts; write it as in another row"),
        (HEAD + WORDS + "not_before = [3]\n", "6: not_before is not a list of texts;"),
        (HEAD + WORDS + "near = [3]\n", "6: near is not a list of tables; write it as in another row"),
        (HEAD + "words = 3\n", "5: words is not a text; write it as in another row"),
        (WHOSE + "nearest = [true, false]\n", "5: nearest is no list of 2 whole numbers;"),
        ('[[phrase]]\ngives = "no pair"\n', '1: a row without id; write id = "...", a name of your own'),
        (HEAD + WORDS + 'styles = ["grecco"]\n', "6: unknown style 'grecco' in styles; did you mean 'greco'?"),
        (HEAD.replace("to", "two") + WORDS, "4: unknown form 'two' of a score; did you mean 'to'?"),
        (HEAD.replace('form = "to"', "") + WORDS, "1: unknown form '' of a score; use one of "),
        (HEAD, '1: a row without words; write words = "...", what is said'),
        (HEAD + 'words = "<y=number>"\n', "5: no part 'x' in the words; write <x=...> there"),
        (HEAD + WORDS + 'differ = ["a", "x"]\n', "5: no part 'a' in the words; write <a=...> there"),
        (HEAD + WORDS + 'same = ["b"]\n', "5: no part 'b' in the words; write <b=...> there"),
        (HEAD + WORDS + 'first = "a"\n', "6: no part 'a' in the words; use one of x, y"),
        (HEAD + WORDS + 'first = "x"\n', "5: the part 'x' is no corner; write <x=corner> there"),
        (HEAD + 'words = "<x=any> gegen <y=number>"\n', "5: the part 'x' is no number; write <x=number> there"),
        (
            HEAD + 'words = "<x=number>? gegen <y=number>"\n',
            "5: the part 'x' may be missing; write <x=...> in every way of it",
        ),
        (
            HEAD + 'words = "(<x=number> vor|gegen) <y=number>"\n',
            "5: the part 'x' may be missing; write <x=...> in every way of it",
        ),
        (WHOSE + 'after = "<c=number>"\n', "1: the part 'c' is no corner; write <c=corner> there"),
        (WHOSE + 'tie = "near"\n', "1: no part 'c' in the words; write <c=...> there"),
        (WHOSE + 'tie = "nearly"\nafter = "<c=corner>"\n', "5: unknown 'nearly' in tie; did you mean 'near'?"),
        (WHOSE + "nearest = [3]\n", "5: nearest is no list of 2 whole numbers; write 2 numbers in it"),
        (
            '[[phrase]]\nid = "a"\ngives = "no score"\nforms = ["bear"]\n',
            "4: unknown 'bear' in forms; did you mean 'bare'?",
        ),
        (HEAD + WORDS + 'near = [{is = "lead"}]\n', "6: it is not said how near; write before = N, after = N, or"),
        (HEAD + WORDS + 'near = [{is = "lead", befor = 3}]\n', "6: 'befor' cannot be so in near; did you mean"),
        (HEAD + WORDS + 'near = [{is = "lead", before = true}]\n', "6: 'before' cannot be so in near; did you"),
        (
            HEAD + WORDS + 'not_near = [\n{is = "lead", before = 3},\n{is = "lead", before = 3, over = [1]}]\n',
            "8: over is not two numbers; write over = [N, N], words before and after the segment",
        ),
        (HEAD + WORDS + 'near = [{is = "leed", before = 3}]\n', "6: no feature 'leed' of words in "),
        (HEAD + WORDS + "near = [{before = 3}]\n", "6: nothing between the brackets in "),
        (HEAD + 'words = "(<x=number> <y=number>"\n', "5: '(' without ')' in '(<x=number> <y=number>'; write the"),
        (HEAD + 'words = "<x=number>) <y=number>"\n', "5: ')' without '(' in '<x=number>) <y=number>'; take it"),
        (HEAD + 'words = "<x=number <y=number>"\n', "5: '<x=number <y=number>' cannot be read in "),
        (HEAD + 'words = "<x=number> * <y=number>"\n', "5: '* <y=number>' cannot be read in "),
        (HEAD + 'words = "<x=numbr> <y=number>"\n', "5: no feature 'numbr' of words in "),
        (HEAD + 'words = "<x=number\\nopens> <y=number>"\n', "5: no feature 'opens' of words in "),
        (HEAD + 'words = "[number] <x=number> <y=number>"\n', "5: no feature 'number' of a place in "),
        (HEAD + 'words = "<> <x=number> <y=number>"\n', "5: nothing between the brackets in "),
        (HEAD + 'words = "<x=number>{3,1} <y=number>"\n', "5: {3,1} in '<x=number>{3,1} <y=number>' is no range;"),
        (HEAD + 'words = "<x=number>{1,99} <y=number>"\n', "5: {1,99} in '<x=number>{1,99} <y=number>' is no"),
        (HEAD + 'words = "(<x=number> <y=number>*)*"\n', "5: a repeated group in '(<x=number> <y=number>*)*' has"),
        (HEAD + f'words = "{"(" * 30}<x=number> <y=number>{")" * 30}"\n', "5: more than 20 groups within one"),
        (HEAD + WORDS + 'not_after = ["one", "(two"]\n', "6: '(' without ')' in '(two'; write the ')'"),
        (HEAD + WORDS + "\n" + HEAD + WORDS, "8: a second row 'own.score'; give it another id"),
    ],
)  # fmt: skip
def test_faults_in_the_form_of_a_row(own: Own, text: str, wanted: str) -> None:
    [problem] = told(text, own)
    assert problem.startswith(wanted)


@pytest.mark.parametrize(
    ("kind", "wanted"),
    [
        (
            'kind = "step_uot"\n',
            "5: no edition of freestyle has the kind 'step_uot'; did you mean 'step_out'?",
        ),
        ('kind = "escape"\n', "5: no edition of freestyle has the kind 'escape'; use one of "),
        ("", "1: no edition of freestyle has the kind ''; use one of "),
    ],
)
def test_a_row_that_tells_of_no_kind_of_its_styles(own: Own, kind: str, wanted: str) -> None:
    row = '[[phrase]]\nid = "a"\ngives = "told kind"\nform = "call"\n' + kind
    [problem] = told(row + 'styles = ["freestyle"]\nwords = "over it goes"\n', own)
    assert problem.startswith(wanted)


def test_a_row_of_two_files(own: Own) -> None:
    one, two = own(HEAD + WORDS, "one.toml"), own("\n" + HEAD + WORDS, "two.toml")
    [problem] = check_files([one, two]).problems
    assert str(problem) == f"{two}:3: 'own.score' is a row of {one} too; give it another id"


@pytest.mark.parametrize(
    ("sentences", "wanted"),
    [
        ('says = ["Two gegen one.", "Three gegen one."]\n', []),
        ('says = ["Two gegen one.",\n"Rain gegen wind."]\n', [
            "7: 'own.score' is not found in 'Rain gegen wind.': nothing is heard there; mend its words, or the sentence",
        ]),
        ('says = ["It\'s four-two."]\n', [
            "6: 'own.score' is not found in \"It's four-two.\": heard is 'four-two' as pair.hyphen; mend its words, or "
            "the sentence",
        ]),
        ('says_not = ["Two gegen them.",\n"Two gegen one."]\n', [
            "7: 'own.score' is found in 'Two gegen one.', which it says not; mend its words, or take the sentence out",
        ]),
    ],
)  # fmt: skip
def test_example_sentences_of_a_users_row(own: Own, sentences: str, wanted: list[str]) -> None:
    assert told(HEAD + WORDS + sentences, own) == wanted


def test_a_row_that_always_comes_too_late(own: Own) -> None:
    first = (HEAD + WORDS).replace("own.score", "own.first").replace("gegen", "<any>")
    assert told(first + HEAD + WORDS + 'says = ["Two gegen one."]\n', own) == [
        "11: 'own.score' is not found in 'Two gegen one.': it fits there, and another row goes first; mend its words, "
        "or the sentence",
    ]


def test_a_new_line_is_a_new_caption_and_notes_are_tried_too(own: Own) -> None:
    lines = HEAD + 'across = true\nwords = "<x=number> [line] gegen <y=number>"\n'
    assert told(lines + 'says = ["four\\ngegen two"]\nsays_not = ["four gegen two"]\n', own) == []
    notes = HEAD + 'words = "[notes] <x=number> gegen <y=number>"\nsays = ["4 gegen 2"]\n'
    assert told(notes, own) == []
    assert told(notes.replace("says", "says_not"), own) != []


def test_a_row_about_the_words_of_others_must_fit_where_it_is_asked(own: Own) -> None:
    veto = '[[phrase]]\nid = "own.veto"\ngives = "no score"\nafter = "sheep"\n'
    assert (
        told(veto + 'says = ["Four-two sheep."]\nsays_not = ["Four-two Okomfo.", "Four sheep."]\n', own) == []
    )
    [problem] = told(veto + 'says = ["Four sheep."]\n', own)
    assert problem.startswith("5: 'own.veto' is not found in 'Four sheep.': ")


def test_a_users_row_with_a_shipped_id_takes_its_place(own: Own) -> None:
    text = (
        '[[phrase]]\nid = "pair.hyphen"\ngives = "score pair"\nform = "hyphen"\nbinds = true\n'
        'words = "<x=number> gegen <y=number>"\nsays = ["four gegen two"]\nsays_not = ["It\'s four-two."]\n'
    )
    path = own(text)
    done = check(path)
    note, last = done.stdout.splitlines()
    shipped = ROWS["pair.hyphen"]
    assert note == (
        f"{path}:2: note: 'pair.hyphen' takes the place of the row in {shipped.source.file}:{shipped.line('id')}; "
        "nothing need be done"
    )
    assert last == "0 entries, 0 forms, 1 row: no problem"
    assert done.exit_code == 0
    rows = load_lexicon("freestyle", (path,)).rows
    assert rows.by_id["pair.hyphen"].words is not None
    assert "gegen" in rows.by_id["pair.hyphen"].words.text


def test_own_rows_are_tried_first(own: Own) -> None:
    path = own(
        HEAD.replace('score"\nform = "to', 'score pair"\nform = "to') + 'words = "<x=number> - <y=number>"\n'
    )
    mine = load_lexicon("freestyle", (path,))
    assert mine.rows.of("score pair")[0].id == "own.score"
    [score] = hear_sentence("It's four-two.", mine).mentions
    assert (score.row, score.grade) == ("own.score", "to")
    [shipped] = hear_sentence("It's four-two.", lexicon("freestyle")).mentions
    assert (shipped.row, shipped.grade) == ("pair.hyphen", "hyphen")


def check(*files: Any) -> Any:
    return CliRunner().invoke(app, ["lexicon", "check", *map(str, files)])


@pytest.mark.parametrize("command", ["log", "check", "measure", "fit"])
def test_a_wrong_row_stops_everything_with_one_line(
    own: Own, tmp_path: Any, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    monkeypatch.chdir(tmp_path)
    path = own(HEAD + 'words = "<x=number> gegen"\nfirst = "a"\n')
    out = ["--out", "mine.toml"] if command == "fit" else []
    what = SAMPLES if command in ("measure", "fit") else SAMPLES / "shed-notes.csv"
    done = CliRunner().invoke(app, [command, str(what), "--lexicon", str(path), *out])
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == f"saidscore: {path}:6: no part 'a' in the words; use one of x\n"
    assert [p.name for p in tmp_path.iterdir()] == ["own.toml"]


def test_what_is_found_is_told_by_the_mention_or_by_what_fitted() -> None:
    heard = hear_sentence("Okomfo leads four-two, and on we go.", lexicon("freestyle"))
    assert is_found(ROWS["pair.hyphen"].row, heard)
    assert is_found(ROWS["score-sign.leading"].row, heard)
    assert not is_found(ROWS["pair.to"].row, heard)
    assert not is_found(ROWS["score-sign.trailing"].row, heard)
