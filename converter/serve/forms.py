"""Reads what a form sends and checks that it is a form of ours."""

from __future__ import annotations

import secrets

from fastapi import HTTPException, Request
from python_multipart.multipart import parse_options_header
from starlette.datastructures import FormData

MOST_FIELDS = 60


async def form(request: Request) -> FormData:
    """Return the fields of a form of ours; a dependency of every route that changes something.

    Raises ``HTTPException`` 403 where the field ``token`` is not that of the browser's cookie, 400 for what is no form
    or not in UTF-8.
    """
    from converter.serve.door import MOST_BODY_BYTES

    _, said = parse_options_header(request.headers.get("content-type", ""))
    if said.get(b"charset", b"utf-8").lower() not in (b"utf-8", b"utf8", b"us-ascii"):
        # Decoders that Python knows besides fail in ways of their own, or make halves of characters.
        raise HTTPException(400, "What was sent here cannot be read.")
    fields = await request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=MOST_BODY_BYTES)
    given, token = fields.get("token"), str(request.scope["state"]["token"])
    if not isinstance(given, str) or not secrets.compare_digest(given.encode(), token.encode()):
        raise HTTPException(403, "This page is from an earlier visit. Load it again, then send it once more.")
    return fields


def text(fields: FormData, name: str, *, most: int = 2_000, default: str = "") -> str:
    """Return the field `name` as text of at most `most` signs, `default` where it is missing or a file.

    Raises ``HTTPException`` 400 for a longer one.
    """
    found = fields.get(name, default)
    if not isinstance(found, str):
        return default
    if len(found) > most:
        raise HTTPException(400, f"One field holds {len(found)} signs; at most {most} can be read.")
    return found
