"""Stands before every request: whom it comes from, how large it is, and what the answer may do in a browser."""

from __future__ import annotations

import asyncio
import re
import secrets
import time
from collections.abc import Awaitable, Callable, Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect, Request, cookie_parser
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from converter.serve.door import MOST_BODY_BYTES, MOST_KEY_BYTES, MOST_WORDS_BYTES, Door
from converter.serve.house import House
from converter.serve.views import assets

POLICY = "; ".join(
    (
        "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data:", "connect-src 'self'",
        "worker-src 'self'", "manifest-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'",
    )
)  # fmt: skip
_ANSWERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # Not no-referrer: with it a browser sends "Origin: null" with the page's own forms (Fetch standard, 3.2).
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), screen-wake-lock=(self)",
}
CHUNK_SECONDS = 15.0
BODY_SECONDS = 120.0
"""How long the next part of a body, and the whole of it, may take."""
_SAFE = ("GET", "HEAD")
_TOKEN = re.compile(r"[0-9a-f]{32}")
_LARGE = "this is larger than any recipe that undial reads"


class _Stopped(Exception):
    """The rest of the body is not waited for."""


class Guard:
    """ASGI middleware. Puts the token of the browser, 32 hex digits, into ``scope["state"]["token"]``.

    Refuses a foreign Host (421), a change asked for by another site (403), a body that is larger than any recipe (413)
    or does not arrive (408) and, with the door open to the house, a machine without its key (to the page that
    asks for it). ``failed`` draws the answer where the app itself fails.
    """

    def __init__(
        self, app: ASGIApp, *, door: Door, house: House, failed: Callable[[Request, Exception], Awaitable[Response]]
    ) -> None:
        self._app, self._door, self._house, self._failed = app, door, house, failed

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        cookies = cookie_parser(headers.get("cookie", ""))
        refused = self._refused(scope, headers) or self._house.stops(scope, cookies.get(self._door.house_cookie))
        token = cookies.get(self._door.cookie, "")
        fresh = not _TOKEN.fullmatch(token)
        if fresh:
            token = secrets.token_hex(16)
        scope.setdefault("state", {})["token"] = token
        answer = _Answer(send, path=scope["path"])
        if refused is not None:
            # What else the client meant to send is not waited for.
            await refused(scope, receive, answer.closing)
            return
        if fresh:  # a refused one gets none, or another site could replace the one of an open form
            answer.cookie = f"{self._door.cookie}={token}; Path=/; HttpOnly; SameSite=Lax"
        body = _Body(receive, answer, most_bytes=_most_bytes(scope, headers))
        try:
            await self._app(scope, body.receive, answer.send)
        except (_Stopped, ClientDisconnect):
            pass
        except Exception as error:
            response = await self._failed(Request(scope), error)
            if not answer.begun and answer.instead is None:
                await response(scope, receive, answer.send)
        if answer.instead is not None and not answer.begun:
            await answer.instead(scope, receive, answer.closing)

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        if headers.getlist("host")[1:] or headers.get("host", "").lower() not in self._door.hosts:
            return _no(421, "this page answers under its own address only")
        if int(_digits(headers.getlist("content-length"))) > _most_bytes(scope, headers):
            return _no(413, _LARGE)
        site = headers.get("sec-fetch-site", "same-origin")
        if scope["method"] in _SAFE:
            # Another site may lead here by a link; it may not read, load or frame anything of it.
            led = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
            if site not in ("same-origin", "none") and not led:
                return _no(403, "another site asked for this")
            return None
        origins = headers.getlist("origin")
        if site not in ("same-origin", "none") or origins[1:] or not self._door.origins.issuperset(origins):
            return _no(403, "this was not asked for by undial's own page")
        return None


def _digits(lengths: Iterable[str]) -> str:
    """Return the length that is stated, "0" without one or where it is no number: the body is counted in any case."""
    found = [value.strip() for value in lengths if value.strip().isascii() and value.strip().isdigit()]
    return max(found, key=len)[:18] if found else "0"


def _most_bytes(scope: Scope, headers: Headers) -> int:
    if scope["path"] == "/key":
        return MOST_KEY_BYTES
    # Fields without a file are read in one go, which 20 MB of them would make seconds.
    with_file = headers.get("content-type", "").lower().startswith("multipart/")
    return MOST_BODY_BYTES if with_file else MOST_WORDS_BYTES


class _Answer:
    """What goes back to one client. ``instead`` takes the place of an answer that has not begun."""

    def __init__(self, send: Send, *, path: str) -> None:
        self._send, self._path = send, path
        self.begun = False
        self.cookie = ""
        self.instead: Response | None = None

    async def send(self, message: Message) -> None:
        if not self.begun and self.instead is not None:
            return
        await self._pass(message, close=False)

    async def closing(self, message: Message) -> None:
        await self._pass(message, close=True)

    async def _pass(self, message: Message, *, close: bool) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            out = MutableHeaders(scope=message)
            for name, value in _ANSWERS.items():
                out.setdefault(name, value)
            out.setdefault("Cache-Control", _kept(self._path) if message["status"] in (200, 304) else "no-store")
            if self.cookie:
                out.append("Set-Cookie", self.cookie)
            if close:
                out["Connection"] = "close"
        await self._send(message)


class _Body:
    """What comes from one client: no more than `most_bytes`, and not for ever."""

    def __init__(self, receive: Receive, answer: _Answer, *, most_bytes: int) -> None:
        self._receive, self._answer, self._most_bytes = receive, answer, most_bytes
        self._bytes = 0
        self._whole = False
        self._until = time.monotonic() + BODY_SECONDS

    async def receive(self) -> Message:
        if self._whole:  # what comes now is the client's going away, however late
            return await self._receive()
        try:
            left = min(CHUNK_SECONDS, self._until - time.monotonic())
            message = await asyncio.wait_for(self._receive(), max(left, 0.0))
        except TimeoutError:
            self._answer.instead = _no(408, "the rest of this did not arrive")
            raise _Stopped from None
        self._bytes += len(message.get("body", b""))
        self._whole = not message.get("more_body", False)
        if self._bytes > self._most_bytes:
            self._answer.instead = _no(413, _LARGE)
            raise _Stopped
        return message


def _kept(path: str) -> str:
    """Return how long a browser may keep what stands at `path`: an asset for good, where its address tells it apart."""
    if path.startswith(f"{assets()}/"):
        return "public, max-age=31536000, immutable"
    return "no-cache" if path.startswith("/assets/") else "no-store"


def _no(status: int, why: str) -> Response:
    return PlainTextResponse(f"{why}\n", status)
