"""Lets other machines of the house in, each by a key that works once."""

from __future__ import annotations

import ipaddress
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import Scope

# No letters or digits that are taken for one another when read aloud or typed from a screen.
_SIGNS: Final = "23456789abcdefghjkmnpqrstuvwxyz"
_LENGTH = 8
MOST_TRIES = 10
PAUSE_SECONDS = 1.0
"""After a wrong key none of the same machine is looked at for so long; the others are not held up by who guesses."""
SHUT_SECONDS = 600.0
"""So long no key is looked at from a machine that has given `MOST_TRIES` wrong ones."""


class TooSoon(Exception):
    """A key came right after a wrong one. ``seconds`` is how long none is looked at."""

    def __init__(self, seconds: float) -> None:
        super().__init__(seconds)
        self.seconds = seconds


@dataclass(frozen=True, slots=True)
class _Wrong:
    """The wrong keys of one machine: how many, when the last came, until when no other is looked at."""

    tries: int
    at: float
    until: float


class House:
    """The keys of the door. ``told`` is called with each new key, to be shown on the machine that runs the page.

    A key lets one machine in and is replaced; after `MOST_TRIES` wrong ones of one machine it is replaced too, and
    that machine is shut out for `SHUT_SECONDS`.
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
        self._wrong: dict[str, _Wrong] = {}
        self._lock = threading.Lock()
        self._key = _fresh()

    def show(self) -> None:
        """Tell the key that works now."""
        self._told(f"{self._key[:4]}-{self._key[4:]}")

    def _renew(self) -> None:
        self._key = _fresh()
        self.show()

    def stops(self, scope: Scope, device: str | None) -> Response | None:
        """Return the way to the page that asks for the key, ``None`` for whom may come in; `device` is its cookie.

        What is no page, under /api, is refused with 401 instead.
        """
        path = scope["path"]
        if not self._open or _is_loopback(scope) or path == "/key" or path.startswith("/assets/"):
            return None
        if device in self._devices:
            return None
        if path.startswith("/api/"):
            return PlainTextResponse("this device has no key\n", 401)
        return RedirectResponse("/key", 303)

    def enter(self, key: str, machine: str = "") -> str | None:
        """Return the cookie's value for the machine at the address `machine` that gave `key`, ``None`` for a wrong one.

        Raises ``TooSoon`` within `PAUSE_SECONDS` of a wrong one of the same machine.
        """
        given = "".join(sign for sign in key.lower() if sign.isalnum())
        with self._lock:
            if not self._open:
                return None
            now = self._clock()
            self._wrong = {name: one for name, one in self._wrong.items() if now - one.at < SHUT_SECONDS}
            before = self._wrong.get(machine)
            if before is not None and now < before.until:
                raise TooSoon(before.until - now)
            if not secrets.compare_digest(given.encode("utf-8", "replace"), self._key.encode()):
                tries = before.tries + 1 if before is not None else 1
                shut = tries >= MOST_TRIES
                until = now + (SHUT_SECONDS if shut else PAUSE_SECONDS)
                self._wrong[machine] = _Wrong(tries, now, until)
                if shut:
                    self._renew()
                return None
            self._wrong.pop(machine, None)
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
