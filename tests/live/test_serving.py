"""Serving the page beside the screen."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from urllib.request import urlopen

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import StreamingResponse
from starlette.routing import Route

from extract.cli.serving import address_of, listening, served


def test_a_page_that_stays_open_does_not_keep_the_server_or_print_anything(
    capfd: pytest.CaptureFixture[str],
) -> None:
    async def endless() -> AsyncIterator[str]:
        yield "data: first\n\n"
        await asyncio.Event().wait()

    def events(request: Request) -> StreamingResponse:
        return StreamingResponse(endless(), media_type="text/event-stream")

    with listening(0) as listener:
        address = address_of(listener, "token")
        with served(Starlette(routes=[Route("/token/", events)]), listener):
            page = urlopen(address, timeout=30)
            assert page.readline() == b"data: first\n"
    with pytest.raises(OSError, match="refused"):
        urlopen(address, timeout=5)
    page.close()
    assert capfd.readouterr() == ("", "")
