"""Listens: the sockets of a start, the server on them, and how long a client may take or how many come from one."""

from __future__ import annotations

import asyncio
import errno
import ipaddress
import logging
import os
import socket
from collections.abc import Callable
from typing import Any

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_SECONDS = 10.0
"""A client that has not sent a whole request head by then is let go."""
IDLE_SECONDS = 20
HEAD_BYTES = 32_768
MOST_AT_ONCE = 600
MOST_FROM_HOUSE = 200
MOST_FROM_ONE = 40
"""Connections at once: of one other machine, of all of them; this machine always finds room beside them."""
PORTS = 20
_STOP_SECONDS = 2


class Patient(H11Protocol):
    """One connection. Lets go a client that dawdles over its request head, and those too many of the house."""

    _dawdling: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        if self._too_many():
            transport.abort()
            return
        self._watch()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self._watch()

    def send_400_response(self, msg: str) -> None:
        """Answer what is no request; where an answer is under way or was given already, only hang up."""
        if self.conn.our_state in (h11.IDLE, h11.SEND_RESPONSE):
            super().send_400_response(msg)
        else:
            self.transport.abort()
        if self.cycle is not None:  # what the app still has to say to this client has nowhere to go
            self.cycle.disconnected = True

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        if self._dawdling is not None:
            self._dawdling.cancel()
        super().connection_lost(exc)

    def _watch(self) -> None:
        """Time the client from the moment that a request head is awaited to the moment that it is whole.

        A body that comes after its answer is not waited for any longer than that either.
        """
        answered = self.cycle is not None and self.cycle.response_complete
        if self.conn.their_state is not h11.IDLE and not answered:
            if self._dawdling is not None:
                self._dawdling.cancel()
                self._dawdling = None
        elif self._dawdling is None:
            # Between two requests the keep-alive time, which is longer, may pass first.
            seconds = HEAD_SECONDS if self.cycle is None else HEAD_SECONDS + IDLE_SECONDS
            self._dawdling = self.loop.call_later(seconds, self.transport.abort)

    def _too_many(self) -> bool:
        if _at_home(self.client):
            return False
        others = [one.client for one in self.connections if isinstance(one, Patient) and not _at_home(one.client)]
        assert self.client is not None
        same = sum(1 for other in others if other is not None and other[0] == self.client[0])
        return same > MOST_FROM_ONE or len(others) > MOST_FROM_HOUSE


def _at_home(client: tuple[str, int] | None) -> bool:
    try:
        return client is not None and ipaddress.ip_address(client[0].partition("%")[0]).is_loopback
    except ValueError:
        return False


class Server(uvicorn.Server):
    """Calls ``ready`` once it listens."""

    ready: Callable[[], None] = staticmethod(lambda: None)

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self.ready()


def server(app: Any) -> Server:
    """Return the server of `app`. No header that a client sends makes it someone else (``proxy_headers``)."""
    _quieten()
    return Server(
        uvicorn.Config(
            app, http=Patient, ws="none", loop="asyncio", lifespan="off", log_config=None, access_log=False,
            proxy_headers=False, server_header=False, date_header=False, limit_concurrency=MOST_AT_ONCE, backlog=256,
            timeout_keep_alive=IDLE_SECONDS, timeout_graceful_shutdown=_STOP_SECONDS,
            h11_max_incomplete_event_size=HEAD_BYTES,
        )
    )  # fmt: skip


def _quieten() -> None:
    if not os.environ.get("UNDIAL_DEBUG"):
        for name in ("uvicorn", "python_multipart"):  # what a broken client sends is no news for the terminal
            log = logging.getLogger(name)
            log.addHandler(logging.NullHandler())
            log.propagate = False


def listen(address: str, port: int) -> socket.socket:
    """Return a socket that listens there. Raises ``OSError``: EADDRINUSE, EADDRNOTAVAIL, EACCES."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    # asyncio sets TCP_NODELAY only where the protocol is named; without it each answer waits 40 ms for its second half.
    made = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":  # elsewhere the option would let two listen at one port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        made.bind((address, port))
        made.listen(256)
        made.setblocking(False)
    except BaseException:
        made.close()
        raise
    return made


def listen_all(addresses: tuple[str, ...], port: int, *, tries: int = 1) -> tuple[int, list[socket.socket]]:
    """Return the port, `port` or one of the next `tries` - 1, and a socket at it for each of `addresses`.

    Raises ``OSError`` as `listen` where none is free.
    """
    for number in range(port, port + tries):
        made: list[socket.socket] = []
        try:
            for address in addresses:
                made.append(listen(address, number))
            return number, made
        except OSError as error:
            for one in made:
                one.close()
            if error.errno not in (errno.EADDRINUSE, errno.EACCES) or number == min(port + tries, 65_536) - 1:
                raise
    raise OSError(errno.EADDRINUSE, "no port")
