"""TTML. Time expressions and timing are checked against W3C Timed Text Markup Language 2 (TTML2), section 12, its
examples, and the W3C's tests of IMSC 1 (w3c/imsc-tests)."""

from __future__ import annotations

import pytest

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<tt xmlns="http://www.w3.org/ns/ttml" '
    'xmlns:ttp="http://www.w3.org/ns/ttml#parameter" xmlns:ttm="http://www.w3.org/ns/ttml#metadata" '
    'xmlns:tts="http://www.w3.org/ns/ttml#styling" xml:lang="en"'
)


def ttml(body: str, attributes: str = "", head: str = "") -> str:
    return f"{HEAD} {attributes}><head>{head}</head><body>\n{body}\n</body></tt>"


def test_time_expressions(read) -> None:
    # w3c/imsc-tests, imsc1/ttml/timing/TimeExpressions001.ttml: each text gives its own length. Left out are its
    # last two, the second of which has more frames than a second has.
    lines = {
        "1.2s": 1.2,
        "1.2m": 72,
        "1.2h": 4320,
        "24f": 1.001,
        "120t": 2,
        "01:02:03": 3723,
        "01:02:03.235": 3723.235,
        "01:02:03.2350": 3723.235,
        "01:02:03:20": 3723.83416667,
        "100:00:00.1": 360000.1,
    }
    body = "".join(f'<p dur="{dur}">{dur} = {seconds}s</p>\n' for dur, seconds in lines.items())
    rates = 'ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001" ttp:tickRate="60"'
    cues = read(ttml(f'<div timeContainer="seq">{body}</div>', rates)).cues
    assert [cue.end - cue.start for cue in cues] == pytest.approx(list(lines.values()), abs=1e-4)
    assert cues[0].start == 0
    assert [cue.start for cue in cues[1:]] == [cue.end for cue in cues[:-1]]


def test_times_are_relative_to_the_container(read) -> None:
    # TTML2, spec/examples/ex1.xml.
    body = (
        '<div begin="0s" dur="2s"><p>Text 1</p><p>Text 2</p></div>'
        '<div begin="1s" dur="2s"><p begin="0.5s">Text 3</p><p end="9s">Text 4</p></div>'
    )
    cues = read(ttml(body)).cues
    assert [(cue.text, cue.start, cue.end) for cue in cues] == [
        ("Text 1", 0.0, 2.0),
        ("Text 2", 0.0, 2.0),
        ("Text 4", 1.0, 3.0),
        ("Text 3", 1.5, 3.0),
    ]


def test_roll_up_of_spans_gives_anchors(read) -> None:
    # TTML2, spec/examples/ex2-roll-up.xml.
    body = """<div region="r1">
      <p>
        <span begin="0s" end="8s">Lorem ipsum dolor sit</span>
        <span begin="4s" end="12s"><br/>Amet consectetur adipiscing elit</span>
        <span begin="8s" end="18s"><br/>Sed do eiusmod tempor incididunt labore</span>
        <span begin="14s" end="25s"><br/>et dolore magna aliqua</span>
        <span begin="18s" end="29s"><br/>Ut enim ad minim veniam quis, nostrud</span>
      </p>
    </div>"""
    (cue,) = read(ttml(body)).cues
    assert (cue.start, cue.end) == (0.0, 29.0)
    assert cue.text.split("\n")[1] == "Amet consectetur adipiscing elit"
    assert cue.time_at(cue.text.index("Sed")) == 8.0
    assert cue.time_at(cue.text.index("Ut")) == 18.0


def test_text_and_positions(read) -> None:
    inner = ' é Two\n   for &amp; <span tts:color="red">red</span> <br/>\n now &#x2014;<![CDATA[ & <then>]]> '
    (cue,) = read(ttml(f'<div><p begin="1s" end="2s" tts:a=">">{inner}</p></div>')).cues
    assert cue.text == "é Two for & red\nnow — & <then>"
    stands_for = {"&amp;": "& red", "<br/>": "\nnow", "&#x2014;": "— &"}
    for reference, text in stands_for.items():
        assert inner[cue.source_position(cue.text.index(text)) :].startswith(reference)
    entities = {cue.text.index(text) for text in stands_for.values()}
    for i, character in enumerate(cue.text):
        assert i in entities or inner[cue.source_position(i)] == character
    assert inner[: cue.source_position(len(cue.text))].endswith("<then>")


def test_preserved_space_and_metadata(read) -> None:
    inner = "a\nb<metadata><ttm:desc>no talk</ttm:desc></metadata>"
    body = f'<div><p begin="1s" end="2s" xml:space="preserve">{inner}</p></div>'
    assert read(ttml(body)).cues[0].text == "a\nb"


def test_agents_are_speakers(read) -> None:
    head = (
        '<metadata><ttm:agent xml:id="a" type="person"><ttm:name type="full">Ida Voss</ttm:name></ttm:agent>'
        '<ttm:agent xml:id="b" type="person"/></metadata>'
    )
    body = (
        '<div ttm:agent="b"><p begin="1s" end="2s" ttm:agent="a">One</p><p begin="2s" end="3s">Two</p></div>'
        '<div><p begin="3s" end="4s"><span ttm:agent="a">Three</span></p><p begin="4s" end="5s">Four</p></div>'
    )
    assert [cue.speaker for cue in read(ttml(body, head=head)).cues] == ["Ida Voss", "b", "Ida Voss", None]


def test_paragraph_without_end_lasts_to_the_next(read) -> None:
    cues = read(ttml('<div><p begin="1s">One</p><p begin="3s">Two</p></div>')).cues
    assert cues[0].end == 3.0
    assert cues[1].end > 3.0


def test_older_namespace_and_prefix(read) -> None:
    text = (
        '<t:tt xmlns:t="http://www.w3.org/2006/10/ttaf1"><t:body><t:div>'
        '<t:p begin="0:01.5" end="0:02">Two</t:p></t:div></t:body></t:tt>'
    )
    (cue,) = read(text).cues
    assert (cue.text, cue.start, cue.end) == ("Two", 1.5, 2.0)


@pytest.mark.parametrize(
    ("paragraph", "problem"),
    [
        ('<p begin="5s" end="4s">x</p>', "before its start"),
        ('<p begin="1x" end="4s">x</p>', "broken time '1x'"),
        ('<p begin="-1s" end="4s">x</p>', "is negative"),
        ('<p begin="wallclock(2020-01-01)" end="4s">x</p>', "broken time"),
        ('<p begin="0.5s" end="4s">x</p>', "goes back from 2 s to 0.5 s"),
        ('<p begin="3s" end="4s">x &nbsp;</p>', "XML that cannot be read"),
        ('<p begin="3s" end="4s">x </q>', "XML that cannot be read"),
    ],
)
def test_bad_paragraph_names_line(fail, paragraph: str, problem: str) -> None:
    error = fail(ttml(f'<div><p begin="2s" end="3s">One</p>\n{paragraph}</div>'))
    assert problem in error.problem
    assert error.line == 4


def test_document_type_is_refused(fail) -> None:
    text = '<!DOCTYPE tt [<!ENTITY a "aaaa">]>\n<tt xmlns="http://www.w3.org/ns/ttml"><body/></tt>'
    assert "document type" in fail(text).problem


def test_no_cue(fail) -> None:
    assert "no cue" in fail(ttml("<div/>")).problem
