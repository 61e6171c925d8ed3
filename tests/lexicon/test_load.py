"""The lexicon of a style: which files are part of it, how entries merge, and a user's own over them."""

from __future__ import annotations

import pytest

from extract.errors import InputError
from extract.lexicon import Lexicon, load_lexicon, load_styles
from extract.lexicon.data import lexicon_names
from extract.lexicon.entries import ROLES, Meaning, rivals
from extract.rules.kinds import KINDS
from tests.lexicon.conftest import Own, Put

STYLES = ("collegiate", "foil", "freestyle", "greco", "scholastic")


def entry(role: str, forms: str, value: str = "", **more: str) -> str:
    """The text of an entry; ``more`` are further keys as they are written."""
    lines = ["[[entry]]", f'role = "{role}"', f"forms = {forms}"]
    lines += [f'value = "{value}"'] if value else []
    return "\n".join(lines + [f"{key} = {text}" for key, text in more.items()]) + "\n\n"


def meanings(lexicon: Lexicon, form: str) -> list[str]:
    return [str(e.meaning) for e in lexicon.entries if form in e.forms]


def test_the_styles_are_the_files_that_say_so() -> None:
    assert tuple(load_styles()) == STYLES
    assert [s.name for s in load_styles().values() if s.default] == ["freestyle"]


@pytest.mark.parametrize("style", STYLES)
def test_the_shipped_lexicon_loads(style: str) -> None:
    lexicon = load_lexicon(style)
    named = {e.value for e in lexicon.entries if e.role == "kind"}
    assert named <= set(KINDS)
    assert {"touch"} <= named if style == "foil" else {"takedown", "fall"} <= named
    assert lexicon.own == ()
    assert {e.role for e in lexicon.entries} <= set(ROLES)
    assert len({e.meaning for e in lexicon.entries}) == len(lexicon.entries)
    assert load_lexicon(style) is lexicon


def test_every_register_is_always_loaded() -> None:
    forms = set(load_lexicon("collegiate").forms("kind")) | set(load_lexicon("collegiate").forms("bout_end"))
    assert {"td", "victory by fall", "decked him", "that's the ball game"} <= forms
    assert "throw the brick" in load_lexicon("collegiate").forms("challenge_ask")
    assert lexicon_names("registers") == tuple(
        f"registers/{name}" for name in ("announcer", "broadcast", "corner", "notes")
    )


def test_an_entry_holds_for_the_styles_that_include_its_file(put: Put) -> None:
    put("styles/olympic", entry("more", '["one further"]'))
    put("styles/greco", '[style]\nincludes = ["olympic"]\ntells = ["greco"]\nvariant_of = "freestyle"\n')
    put("talk/calls", entry("more", '["anew"]', styles='["folkstyle", "greco"]'))
    found = {style: list(load_lexicon(style).forms("more")) for style in STYLES}
    assert found == {
        "collegiate": ["anew"], "foil": [], "freestyle": ["one further"], "greco": ["one further", "anew"],
        "scholastic": ["anew"],
    }  # fmt: skip
    # What includes no more of wrestling has none of its kinds.
    assert not list(load_lexicon("greco").forms("split_verb"))


def test_where_a_form_stands_makes_no_difference(put: Put) -> None:
    put("talk/calls", entry("more", '["anew"]') + entry("more", '["afresh"]'))
    together = [e for e in load_lexicon("greco").entries if e.role == "more"]
    assert [e.forms for e in together] == [("anew", "afresh")]
    put("talk/calls", entry("more", '["anew"]'))
    put("registers/notes", entry("more", '["afresh"]'))
    assert [e for e in load_lexicon("greco").entries if e.role == "more"] == together


def test_a_style_of_another_sport_gets_talk_and_registers_without_wrestling(put: Put) -> None:
    put("styles/judo", '[style]\nincludes = []\ntells = ["tatami"]\n\n' + entry("more", '["once more"]'))
    lexicon = load_lexicon("judo")
    assert {"once more", "another"} <= set(lexicon.forms("more"))
    assert {"knotted at", "is your winner", "chall", "give me"} <= {
        f for e in lexicon.entries for f in e.forms
    }
    assert not [e for e in lexicon.entries if ROLES[e.role].values is None]
    of_wrestling = ("takedown", "riding", "step out", "wrestl", "pinned", "passivity")
    assert not [f for e in lexicon.entries for f in e.forms if any(word in f for word in of_wrestling)]
    assert "once more" not in load_lexicon("freestyle").forms("more")


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ("includes = ['olimpic']", r"greco\.toml:2: no shared file 'olimpic'; did you mean 'olympic'\?"),
        ("includes = ['freestyle']", "no shared file 'freestyle'"),
        ("tells = 'greco'", r"greco\.toml:2: tells is not a list"),
        ("tells = [1]", r"greco\.toml:2: tells is not a list"),
        ("\nneeds = true", r"greco\.toml:3: needs is not a whole number"),
        ("variant_of = 'greco'", "no other style 'greco'"),
        ("variant = 'freestyle'", "unknown key 'variant'; did you mean 'variant_of'"),
        ("default = true", "freestyle is the default already"),
    ],
)
def test_a_malformed_style(put: Put, table: str, told: str) -> None:
    put("styles/greco", f"[style]\n{table}\n")
    with pytest.raises(InputError, match=told):
        load_lexicon("freestyle")


def test_some_style_is_the_default(put: Put) -> None:
    put("styles/freestyle", '[style]\ntells = ["freestyle"]\n')
    with pytest.raises(InputError, match="styles: no style is the default"):
        load_styles()


# A user's own words.


def test_own_forms_are_added(own: Own) -> None:
    path = own(entry("kind", '["heave ho"]', "takedown", strength='"hold"', styles='["olympic"]'))
    lexicon = load_lexicon("greco", (path,))
    assert meanings(lexicon, "heave ho") == ["kind takedown hold"]
    assert "go behind" in lexicon.forms("kind", "takedown")
    assert [file.name for file in lexicon.own] == ["own.toml"]
    assert load_lexicon("greco", (path,)) is lexicon
    assert not meanings(load_lexicon("collegiate", (path,)), "heave ho")
    assert not meanings(load_lexicon("greco"), "heave ho")


def test_a_changed_file_is_read_again(own: Own) -> None:
    first = load_lexicon("greco", (own(entry("more", '["anew"]')),))
    second = load_lexicon("greco", (own(entry("more", '["afresh"]')),))
    assert "anew" in first.forms("more")
    assert "anew" not in second.forms("more")
    assert "afresh" in second.forms("more")


def test_dropped_forms_are_gone_in_every_spelling(own: Own) -> None:
    path = own(
        entry("kind", '["tilt up"]', "exposure", strength='"hold"', styles='["greco"]', drop='["Gut Wrench"]')
    )
    forms = set(load_lexicon("greco", (path,)).forms("kind"))
    assert not forms & {"gut wrench", "gutwrench"}
    assert {"gut lock", "tilt up"} <= forms
    assert "gut wrench" in load_lexicon("freestyle", (path,)).forms("kind")


def test_an_entry_may_only_drop(own: Own) -> None:
    path = own('[[entry]]\nrole = "more"\ndrop = ["another"]\n')
    assert "another" not in load_lexicon("greco", (path,)).forms("more")


def test_an_own_form_goes_before_a_shipped_one_with_another_meaning(own: Own) -> None:
    path = own(entry("kind", '["gut-wrench", "caution"]', "throw", strength='"call"', styles='["greco"]'))
    greco, freestyle = load_lexicon("greco", (path,)), load_lexicon("freestyle", (path,))
    assert meanings(greco, "gut-wrench") == meanings(greco, "caution") == ["kind throw call"]
    assert not meanings(greco, "gut wrench")
    assert not meanings(greco, "gutwrench")
    assert meanings(freestyle, "gut wrench") == ["kind exposure hold"]
    # What means something in another role is no matter.
    path = own(entry("action", '["criteria"]'))
    assert meanings(load_lexicon("greco", (path,)), "criteria") == ["action", "criteria"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[[entry]]\nrole = "more"\ndrop = ["never"]\n', r"own\.toml:3: no shipped more has 'never'"),
        (
            '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\ndrop = ["gut wrench"]\n',
            r"own\.toml:5: no shipped kind takedown has 'gut wrench'",
        ),
        (
            '[[entry]]\nrole = "kind"\nvalue = "escape"\nstrength = "call"\nstyles = ["greco"]\ndrop = ["escape"]\n',
            "no shipped kind escape",
        ),
        (
            '[[entry]]\nrole = "more"\ndrop = ["another"]\nforms = ["another"]\n',
            "'another' stands in drop too",
        ),
        ('[[entry]]\nrole = "more"\n', "forms must be a list"),
        ('[[entry]]\nrole = "more"\ndrop = []\n', "drop must be a list"),
        ("more = ['a']\n", r"own\.toml:1: unknown key 'more'"),
        (
            entry("bound", '["circa"]', "about") + entry("bound", '["x", \n"Circa"]', "under"),
            r"own\.toml:9: 'Circa' is bound under here and bound about in .*own\.toml:3, for collegiate",
        ),
    ],
)
def test_faults_of_own_files(own: Own, text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        load_lexicon("freestyle", (own(text),))


def test_two_own_files_must_agree(own: Own) -> None:
    files = (
        own(entry("bound", '["circa"]', "about"), "one.toml"),
        own(entry("bound", '["circa"]', "under"), "two.toml"),
    )
    with pytest.raises(
        InputError, match=r"two\.toml:3: 'circa' is bound under here and bound about in .*one\.toml:3"
    ):
        load_lexicon("freestyle", files)


def test_which_meanings_exclude_each_other() -> None:
    def of(role: str, value: str = "", strength: str = "", scope: str = "", *particles: str) -> Meaning:
        return Meaning(role, value, strength, scope, particles)

    assert rivals(of("kind", "escape", "call"), of("kind", "escape", "hold"))
    assert rivals(of("bound", "over"), of("bound", "under"))
    assert not rivals(of("bound", "over"), of("lead"))
    assert not rivals(of("bound", "over"), of("bound", "over"))
    assert rivals(of("stance", "asked", "", "after"), of("stance", "hoped", "", "after"))
    assert not rivals(of("stance", "asked", "", "after"), of("stance", "hoped", "", "before"))
    assert rivals(
        of("split_verb", "takedown", "", "", "down"), of("split_verb", "exposure", "", "", "over", "down")
    )
    assert not rivals(
        of("split_verb", "takedown", "", "", "down"), of("split_verb", "exposure", "", "", "over")
    )
