"""What one start of the page is bound to: where it listens, who may come in, which folder it shows."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass, field
from pathlib import Path

LOOPBACK = "127.0.0.1"
PORT = 8437
MOST_BODY_BYTES = 21_000_000
"""The largest document that the reader takes is a PDF of 20 MB; the rest is for the other fields."""
MOST_WORDS_BYTES = 4_000_000
"""Of a request without a file: 300,000 signs, the longest recipe, at 12 bytes each as JSON may write them."""
MOST_KEY_BYTES = 2_000
"""Of a request for the page of the key, which any machine of the house may send."""


@dataclass(frozen=True, slots=True)
class Door:
    """``address`` and ``port`` are what is listened on; ``folder`` is a folder made by ``undial folder``, if any.

    ``kept`` is the file that pasted recipes are kept in, without one the household's. ``house`` says that other
    machines of the house may come in, each with a key of its own.
    """

    port: int = PORT
    address: str = LOOPBACK
    folder: Path | None = None
    kept: Path | None = None
    house: bool = False
    hosts: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        names = {"127.0.0.1", "localhost", "[::1]"}
        ip = ipaddress.ip_address(self.address)
        if not ip.is_loopback:
            if not self.house:
                raise ValueError("an address other than loopback needs the house door")
            names.add(f"[{ip}]" if ip.version == 6 else str(ip))
        ends = {f"{name}:{self.port}" for name in names}
        object.__setattr__(self, "hosts", frozenset(ends | names) if self.port == 80 else frozenset(ends))

    @property
    def origins(self) -> frozenset[str]:
        """The values of the header Origin that may change something."""
        return frozenset(f"http://{host}" for host in self.hosts)

    @property
    def cookie(self) -> str:
        """The name of this page's cookie; cookies do not tell ports apart, so the name does."""
        return f"undial-{self.port}"

    @property
    def house_cookie(self) -> str:
        """The name of the cookie of a machine that a key let in."""
        return f"{self.cookie}-house"
