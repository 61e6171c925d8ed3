"""What a page sends: JSON of a bounded length."""

from __future__ import annotations

import json
from typing import Any

from starlette.requests import ClientDisconnect, Request

#: No request is longer, in bytes.
LONGEST = 65536


class Unusable(ValueError):
    """A request whose body is not used. The message is for the person at the page, ``status`` for the browser."""

    def __init__(self, message: str, status: int) -> None:
        super().__init__(message)
        self.status = status


async def json_of(request: Request, what: str) -> Any:
    """The JSON that a request brings. ``what`` it ought to be is named in messages ("a decision"). Raises Unusable."""
    if request.headers.get("content-type", "").split(";")[0].strip() != "application/json":
        raise Unusable(f"{what} is sent as application/json", 415)
    too_long = Unusable(f"that is too long for {what}", 413)
    if _is_too_long(request.headers.get("content-length", "")):
        raise too_long
    body = b""
    try:
        async for part in request.stream():
            body += part
            if len(body) > LONGEST:
                raise too_long
    except ClientDisconnect:
        # The page is gone, so there is nobody to answer.
        raise Unusable("the page has gone", 400) from None
    try:
        tree = json.loads(body)
        # Half a surrogate pair is not a character and could not be shown again.
        json.dumps(tree, ensure_ascii=False).encode()
    except (ValueError, RecursionError) as error:
        raise Unusable(f"Not kept: {error}.", 422) from None
    return tree


def _is_too_long(length: str) -> bool:
    """Whether a request says that it is too long. Its number may have any number of digits."""
    digits = length.strip().lstrip("0")
    return digits.isdecimal() and (len(digits) > len(str(LONGEST)) or int(digits) > LONGEST)
