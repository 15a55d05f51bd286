"""The frozen values of the ledger: recipes, flags and the decisions about them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

# take: the proposal; choice: another of the computed ways; words: the cook's own; leave: as the recipe has it; later.
KINDS = ("take", "choice", "words", "leave", "later")


class LedgerError(Exception):
    """A ledger that cannot be used; the text is one sentence."""


class Conflict(LedgerError):
    """Someone else has decided the same line meanwhile; ``standing`` is that decision, ``None`` where it was undone."""

    def __init__(self, message: str, standing: Decision | None) -> None:
        super().__init__(message)
        self.standing = standing


@dataclass(frozen=True, slots=True)
class KeptFlag:
    """A flag as the ledger keeps it.

    ``key`` is made from the words of the line, the title, the flag's name and, after the dot, the rule. ``text`` are
    the flag's own words, ``line`` the sentence of the recipe that holds them; ``phase`` counts from 1, 0 is none.
    ``food`` is a class of lexicon/foods.yaml or "". ``source`` and ``number`` name the recipe where the flag was
    taken from a ledger.
    """

    key: str
    name: str
    level: str
    step: int
    text: str
    phase: int
    rule: str
    food: str
    message: str
    why: str = ""
    line: str = ""
    source: str = ""
    number: int = 0

    @property
    def loose(self) -> str:
        """The key without the rule."""
        return self.key.partition(".")[0]


@dataclass(frozen=True, slots=True)
class Entry:
    """One recipe of a family's folder.

    ``source`` is the posix path below the folder that is read, ``number`` the recipe in that file, from 1; ``sha256``
    is that of the file's bytes, ``stamp`` what the output was made with; ``output`` is the posix path below the
    folder that is written, "" if none. ``minutes`` is the whole time [low, high]. ``status`` is ``converted`` or the
    code of a reason, ``reason`` its sentence, ``text`` the recipe as plain text.
    """

    source: str
    number: int
    sha256: str
    stamp: str
    output: str
    title: str
    zones: tuple[str, ...]
    minutes: tuple[float, float] | None
    status: str
    reason: str
    text: str
    flags: tuple[KeptFlag, ...] = ()


@dataclass(frozen=True, slots=True)
class Settings:
    """How a folder was converted last: the folder that is read, the cooker as it was named, form and degrees."""

    src: str
    cooker: str = ""
    form: str = "markdown"
    units: str = "both"


@dataclass(frozen=True, slots=True)
class Decision:
    """What the household decided about one flagged line.

    ``kind`` is one of `KINDS`. ``code`` says the stays of take and choice (place/options.py), ``words`` are the cook's
    own. ``line``, ``title``, ``name``, ``rule`` and ``food`` say what it was about; ``who`` and ``at`` (ISO 8601,
    UTC) who decided and when. ``change`` numbers it in the history, 0 before it is kept.
    """

    key: str
    kind: str
    code: str = ""
    words: str = ""
    line: str = ""
    title: str = ""
    name: str = ""
    rule: str = ""
    food: str = ""
    who: str = ""
    at: str = ""
    change: int = 0

    @property
    def loose(self) -> str:
        """The key without the rule."""
        return self.key.partition(".")[0]

    @property
    def settles(self) -> bool:
        """False for what was put off."""
        return self.kind != "later"


@dataclass(frozen=True, slots=True)
class Act:
    """One act in the history, which can be taken back as one: what (decide, undo, import), how many lines.

    ``title``, ``line`` and ``kind`` are those of its first decision. ``stands`` says that each of its decisions still
    holds as this act left it, so that it can be taken back.
    """

    number: int
    who: str
    at: str
    what: str
    lines: int
    title: str
    line: str
    kind: str
    stands: bool = False


class Decisions:
    """Decisions by the key of their flag; never changed once made, and they can be pickled."""

    __slots__ = ("_by_key", "_by_loose")

    def __init__(self, decisions: Iterable[Decision] = ()) -> None:
        self._by_key: dict[str, Decision] = {}
        self._by_loose: dict[str, Decision] = {}
        for decision in sorted(decisions, key=lambda made: (made.at, made.change)):
            self._by_key[decision.key] = decision
            self._by_loose[decision.loose] = decision

    def __len__(self) -> int:
        return len(self._by_key)

    def __iter__(self) -> Iterator[Decision]:
        return iter(self._by_key.values())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Decisions) and self._by_key == other._by_key

    __hash__ = None  # type: ignore[assignment]

    def find(self, key: str) -> Decision | None:
        """Return the decision for a flag; one made under another rule for the same words counts too."""
        return self._by_key.get(key) or self._by_loose.get(key.partition(".")[0])

    def only(self, keys: Iterable[str]) -> Decisions:
        """Return those for these keys, for handing to another process."""
        found = (self.find(key) for key in keys)
        return Decisions(made for made in found if made is not None)

    def stamp(self, keys: Iterable[str]) -> str:
        """Return a short text that changes whenever a decision for one of these keys does; "" without any."""
        told = sorted(
            f"{made.loose}\0{made.kind}\0{made.code}\0{made.words}\0{made.who}\0{made.at[:10]}"
            for made in (self.find(key) for key in set(keys))
            if made is not None and made.settles
        )
        return hashlib.blake2b("\1".join(told).encode(), digest_size=12).hexdigest() if told else ""
