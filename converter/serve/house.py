"""Lets other machines of the house in, each by a key that works once."""

from __future__ import annotations

import ipaddress
import secrets
import threading
import time
from collections.abc import Callable, Mapping
from typing import Final

from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import Scope

# No letters or digits that are taken for one another when read aloud or typed from a screen.
_SIGNS: Final = "23456789abcdefghjkmnpqrstuvwxyz"
_LENGTH = 8
MOST_TRIES = 10
PAUSE_SECONDS = 1.0
"""After a wrong key none is looked at for so long: who guesses cannot flood the terminal with new keys."""
COOKIE = "undial-house"


class TooSoon(Exception):
    """A key came right after a wrong one."""


class House:
    """The keys of the door. ``told`` is called with each new key, to be shown on the machine that runs the page.

    A key lets one machine in and is replaced; after `MOST_TRIES` wrong ones it is replaced too.
    """

    def __init__(
        self,
        *,
        open_to_house: bool,
        told: Callable[[str], None] = lambda key: None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._open, self._told, self._clock = open_to_house, told, clock
        self._devices: set[str] = set()
        self._tries = 0
        self._wrong_at = -PAUSE_SECONDS
        self._lock = threading.Lock()
        self._key = _fresh()

    def show(self) -> None:
        """Tell the key that works now."""
        self._told(f"{self._key[:4]}-{self._key[4:]}")

    def _renew(self) -> None:
        self._key, self._tries = _fresh(), 0
        self.show()

    def stops(self, scope: Scope, cookies: Mapping[str, str]) -> Response | None:
        """Return the way to the page that asks for the key, ``None`` for whom may come in.

        What is no page, under /api, is refused with 401 instead.
        """
        path = scope["path"]
        if not self._open or _is_loopback(scope) or path == "/key" or path.startswith("/assets/"):
            return None
        if cookies.get(COOKIE) in self._devices:
            return None
        if path.startswith("/api/"):
            return PlainTextResponse("this device has no key\n", 401)
        return RedirectResponse("/key", 303)

    def enter(self, key: str) -> str | None:
        """Return the cookie's value for the machine that gave `key`, ``None`` for a wrong one.

        Raises ``TooSoon`` within `PAUSE_SECONDS` of a wrong one.
        """
        given = "".join(sign for sign in key.lower() if sign.isalnum())
        with self._lock:
            if not self._open:
                return None
            now = self._clock()
            if now - self._wrong_at < PAUSE_SECONDS:
                raise TooSoon
            if not secrets.compare_digest(given.encode("utf-8", "replace"), self._key.encode()):
                self._wrong_at = now
                self._tries += 1
                if self._tries >= MOST_TRIES:
                    self._renew()
                return None
            device = secrets.token_urlsafe(24)
            self._devices.add(device)
            self._renew()
            return device


def _fresh() -> str:
    return "".join(secrets.choice(_SIGNS) for _ in range(_LENGTH))


def _is_loopback(scope: Scope) -> bool:
    client = scope.get("client")
    try:
        return client is not None and ipaddress.ip_address(client[0].partition("%")[0]).is_loopback
    except ValueError:
        return False
