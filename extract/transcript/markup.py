"""The plain text of a caption's payload: tags taken out, character references resolved, positions kept."""

from __future__ import annotations

import re
from html import unescape
from html.entities import html5

from extract.transcript.draft import LONGEST, Draft
from extract.transcript.times import clock_seconds

_TOKEN = re.compile(
    r"<([^<>\n]*)>|&(#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,31});|\{\\[^{}\n]*\}"
)
#: The same with references that lack their semicolon, which WebVTT takes as HTML does.
_LOOSE = re.compile(
    r"<([^<>\n]*)>|&(#[0-9]{1,7}(?![0-9]);?|#[xX][0-9a-fA-F]{1,6}(?![0-9a-fA-F]);?|[A-Za-z][A-Za-z0-9]{1,31};?)"
    r"|\{\\[^{}\n]*\}"
)
_KNOWN = re.compile(r"/?(?:b|i|u|s|c|v|em|strong|font|span|ruby|rt|lang)(?![A-Za-z0-9-])", re.IGNORECASE)
_VOICE = re.compile(r"v(?:\.[^\s]*)?\s+(.*\S)\s*")
_BREAK = re.compile(r"br\s*/?", re.IGNORECASE)


def mark_up(draft: Draft, *, standard: bool = False) -> Draft:
    """``draft``, whose ``text`` is a payload as it stands in the source, with the plain text instead.

    Tags (WebVTT's, and those of HTML that captions use) and ``{\\...}`` overrides are taken out. Voice tags become
    runs, time tags anchors. With ``standard``, any tag goes and a reference may lack its semicolon, as the standard
    of WebVTT has it. A ``<`` that no ``>`` closes stays, so that no word is lost.
    """
    payload = draft.text
    # What is too long for a cue is refused later.
    if len(payload) > LONGEST or not any(character in payload for character in "<&{"):
        return draft
    scan = _MarkupScan(draft, standard)
    at = 0
    for match in (_LOOSE if standard else _TOKEN).finditer(payload):
        scan.literal(at, match.start())
        at = scan.token(match)
    scan.literal(at, len(payload))
    scan.close()
    return draft


def resolve(reference: str) -> str | None:
    """The character of ``&name;`` or ``&#number;``, given without ``&`` and ``;``; None where there is none."""
    if reference.startswith("#"):
        return unescape(f"&{reference};")
    return html5.get(reference + ";")


def _loosely(reference: str) -> tuple[str | None, int]:
    """As ``resolve`` for what follows the ``&``, with its semicolon or without, and how many characters of it count.
    Of an unknown name the longest beginning counts that needs no semicolon."""
    if reference.startswith("#") or reference in html5:
        return unescape(f"&{reference}"), len(reference)
    known = next((n for n in range(len(reference), 1, -1) if reference[:n] in html5), len(reference))
    return html5.get(reference[:known]), known


class _MarkupScan:
    def __init__(self, draft: Draft, standard: bool) -> None:
        self._draft = draft
        self._payload = draft.text
        self._standard = standard
        self._parts: list[str] = []
        self._origin: list[int] = []
        self._speaker: str | None = None
        self._since = 0
        self._runs: list[tuple[int, int, str | None]] = []

    def literal(self, a: int, b: int) -> None:
        self._parts.append(self._payload[a:b])
        self._origin.extend(range(a, b))

    def token(self, match: re.Match[str]) -> int:
        """Take in one token; the position in the payload up to which it goes."""
        tag, reference = match.groups()
        start, stop = match.span()
        if reference is not None and self._standard:
            character, length = _loosely(reference)
            stop = start + 1 + length
            self._standing_for(start, stop, character)
        elif reference is not None:
            self._standing_for(start, stop, resolve(reference))
        elif tag is None:
            return stop
        elif _BREAK.fullmatch(tag):
            self._standing_for(start, stop, "\n")
        elif (seconds := clock_seconds(tag.strip())) is not None:
            self._draft.anchors.append((len(self._origin), seconds))
        elif voice := _VOICE.fullmatch(tag):
            self._speak(_TOKEN.sub(_named, voice[1]))
        elif tag.strip() == "/v":
            self._speak(None)
        elif not self._standard and not _KNOWN.match(tag):
            self.literal(start, stop)
        return stop

    def _standing_for(self, start: int, stop: int, text: str | None) -> None:
        if text is None:
            self.literal(start, stop)
            return
        self._parts.append(text)
        for _ in text:
            self._draft.wide[len(self._origin)] = stop - start
            self._origin.append(start)

    def _speak(self, speaker: str | None) -> None:
        here = len(self._origin)
        if here > self._since:
            self._runs.append((self._since, here, self._speaker))
        self._since, self._speaker = here, speaker

    def close(self) -> None:
        self._speak(None)
        self._draft.text = "".join(self._parts)
        self._draft.origin = self._origin
        self._draft.runs = self._runs


def _named(match: re.Match[str]) -> str:
    return (resolve(match[2]) if match[2] is not None else None) or match[0]
