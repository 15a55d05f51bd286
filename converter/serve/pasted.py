"""Keeps pasted recipes and what was decided about them in one file, so that an address outlives the page's process."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, datetime
from pathlib import Path

from converter.ledger import Decision, Decisions

MOST_RECIPES = 200
MOST_BYTES = 20_000_000
_BUSY_SECONDS = 10.0
_ENDINGS = ("", "-wal", "-shm")
_MOST_ANSWERS_SIGNS = 2_000_000
_TABLE = """
CREATE TABLE IF NOT EXISTS pasted (
  number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, text TEXT NOT NULL, name TEXT NOT NULL,
  cooker TEXT NOT NULL, units TEXT NOT NULL, answers TEXT NOT NULL DEFAULT '[]', at TEXT NOT NULL,
  batch TEXT NOT NULL, notices TEXT NOT NULL DEFAULT '[]'
) STRICT
"""
_DECISION = frozenset(field.name for field in fields(Decision))

Change = Callable[[tuple[Decision, ...]], tuple[Decision, ...]]


class NotKept(Exception):
    """The file cannot be read or written; the text is one sentence."""


@dataclass(frozen=True, slots=True)
class Pasted:
    """One pasted recipe. ``cooker`` is a name of ``kitchen.cookers``, ``units`` c, f or both, ``at`` ISO 8601 in UTC.

    ``answers`` are the decisions about it; those of one act have the same ``change``. ``notices`` are sentences about
    what was left out when its file was read.
    """

    id: str
    text: str
    name: str
    cooker: str
    units: str
    at: str
    answers: tuple[Decision, ...] = ()
    notices: tuple[str, ...] = ()

    @property
    def decisions(self) -> Decisions:
        """The answers as the pipeline takes them."""
        return Decisions(self.answers)


def default_path() -> Path:
    """Return where pasted recipes are kept."""
    from platformdirs import user_state_dir

    return Path(user_state_dir("undial", appauthor=False)) / "pasted.sqlite"


class PastedStore:
    """The file of pasted recipes. Safe between threads and processes; what a call has returned from is on the disk.

    Only the owner may read the file. At most `MOST_RECIPES` and `MOST_BYTES` of text are kept; the oldest go. Methods
    raise ``NotKept``. ``notice`` is a sentence to show: that a damaged file was put aside.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._lock = threading.Lock()
        self._open: sqlite3.Connection | None = None
        self._held: dict[str, tuple[int, int] | None] = {}
        self.notice = ""

    # ------------------------------------------------------------ the file

    @contextlib.contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """Hold the file for one change, which is there whole or not at all."""
        with self._reading() as file:
            file.execute("BEGIN IMMEDIATE")
            try:
                yield file
            except BaseException:
                if file.in_transaction:  # a full disk has ended it already
                    file.execute("ROLLBACK")
                raise
            file.execute("COMMIT")

    @contextlib.contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        with self._lock:
            try:
                if self._open is not None and _file(self.path) != self._held[""]:
                    self._leave()
                if self._open is None:
                    self._open = self._opened()
                    self._held = {ending: _file(Path(f"{self.path}{ending}")) for ending in _ENDINGS}
                yield self._open
            except (sqlite3.Error, OSError) as error:
                self._let_go()
                raise NotKept(f"Pasted recipes cannot be kept in {self.path.name}: {_why(error)}.") from None

    def _let_go(self) -> None:
        if self._open is not None:
            with contextlib.suppress(sqlite3.Error):
                self._open.close()
            self._open = None

    def _leave(self) -> None:
        """Let a file go that was removed or replaced: what is written to it now would be gone with it.

        What SQLite kept beside it would be taken for that of the new one, which it would spoil.
        """
        self._let_go()
        for ending in _ENDINGS[1:]:
            beside = Path(f"{self.path}{ending}")
            if self._held[ending] is not None and _file(beside) == self._held[ending]:
                beside.unlink(missing_ok=True)

    def _opened(self) -> sqlite3.Connection:
        self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        try:
            return self._connected()
        except sqlite3.DatabaseError as error:
            if isinstance(error, sqlite3.OperationalError):
                raise
            # Not a database, or a damaged one: it is put aside, never thrown away.
            aside = self.path.with_name(f"{self.path.name}.damaged-{time.time_ns()}")
            for ending in _ENDINGS:
                with contextlib.suppress(FileNotFoundError):
                    os.replace(f"{self.path}{ending}", f"{aside}{ending}")
            self.notice = f"The file of pasted recipes was damaged. It is kept as {aside.name}; a new one was begun."
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
            return self._connected()

    def _connected(self) -> sqlite3.Connection:
        file = sqlite3.connect(self.path, timeout=_BUSY_SECONDS, isolation_level=None, check_same_thread=False)
        try:
            file.execute("PRAGMA journal_mode = WAL")
            file.execute("PRAGMA synchronous = FULL")
            file.execute("PRAGMA secure_delete = ON")
            file.execute(_TABLE)
            (found,) = file.execute("PRAGMA quick_check(1)").fetchone()
            if found != "ok":
                raise sqlite3.DatabaseError(found)
        except BaseException:
            file.close()
            raise
        return file

    def close(self) -> None:
        """Close the file; the next call opens it again."""
        with self._lock:
            self._let_go()

    # ------------------------------------------------------------ the recipes

    def keep(
        self, recipes: Sequence[tuple[str, str]], *, cooker: str, units: str, notices: Sequence[str] = ()
    ) -> tuple[tuple[str, ...], str]:
        """Keep recipes, (name, text), that came together; return their ids and the id of all, which none can guess."""
        batch, at = secrets.token_urlsafe(12), datetime.now(UTC).isoformat(timespec="seconds")
        ids = tuple(secrets.token_urlsafe(12) for _ in recipes)
        rows = [
            (id, _storable(text), _storable(name)[:200], cooker, units, at, batch, json.dumps(list(notices)))
            for id, (name, text) in zip(ids, recipes, strict=True)
        ]
        with self._writing() as file:
            file.executemany(
                "INSERT INTO pasted (id, text, name, cooker, units, at, batch, notices) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                reversed(rows),  # the first of them is the newest
            )
            sizes = file.execute(
                "SELECT number, length(CAST(text AS BLOB)) + length(answers) FROM pasted ORDER BY number DESC"
            ).fetchall()
            held = 0
            for count, (number, size) in enumerate(sizes, start=1):
                held += size
                if count > len(rows) and (count > MOST_RECIPES or held > MOST_BYTES):
                    file.execute("DELETE FROM pasted WHERE number <= ?", (number,))
                    break
        return ids, batch

    def find(self, id: str) -> Pasted | None:
        """Return the recipe with this id, ``None`` where there is none (any more)."""
        with self._reading() as file:
            row = file.execute(
                "SELECT id, text, name, cooker, units, at, answers, notices FROM pasted WHERE id = ?", (id,)
            ).fetchone()
        if row is None:
            return None
        id, text, name, cooker, units, at, told, notices = row
        return Pasted(id, text, name, cooker, units, at, _answers(told), tuple(json.loads(notices)))

    def latest(self, *, limit: int = 20) -> tuple[Pasted, ...]:
        """Return the recipes pasted last, newest first, without their text and answers."""
        return self._listed("ORDER BY number DESC LIMIT ?", limit)

    def batch(self, batch: str) -> tuple[Pasted, ...]:
        """Return the recipes that came together, in their order, without their text and answers."""
        return self._listed("WHERE batch = ? ORDER BY number DESC", batch)

    def _listed(self, which: str, value: object) -> tuple[Pasted, ...]:
        with self._reading() as file:
            rows = file.execute(f"SELECT id, name, cooker, units, at, notices FROM pasted {which}", (value,)).fetchall()
        return tuple(
            Pasted(id, "", name, cooker, units, at, (), tuple(json.loads(notices)))
            for id, name, cooker, units, at, notices in rows
        )

    def set_for(self, id: str, *, cooker: str, units: str) -> bool:
        """Put another cooker and other degrees to a recipe; ``False`` where there is no such recipe."""
        with self._writing() as file:
            done = file.execute("UPDATE pasted SET cooker = ?, units = ? WHERE id = ?", (cooker, units, id))
            return done.rowcount > 0

    def answer(self, id: str, change: Change) -> bool:
        """Replace the answers by what `change` makes of them, with no one between; ``False`` for no such recipe."""
        with self._writing() as file:
            row = file.execute("SELECT answers FROM pasted WHERE id = ?", (id,)).fetchone()
            if row is None:
                return False
            told = json.dumps([asdict(decision) for decision in change(_answers(row[0]))], ensure_ascii=True)
            if len(told) > _MOST_ANSWERS_SIGNS:
                raise NotKept("This recipe has more answers than can be kept.")
            file.execute("UPDATE pasted SET answers = ? WHERE id = ?", (told, id))
            return True

    def forget(self, id: str) -> bool:
        """Take a recipe and its answers out of the file; ``False`` where there is none."""
        with self._writing() as file:
            gone = file.execute("DELETE FROM pasted WHERE id = ?", (id,)).rowcount > 0
        self._shorten()
        return gone

    def forget_all(self) -> int:
        """Take all recipes out of the file and return how many there were."""
        with self._writing() as file:
            count = file.execute("DELETE FROM pasted").rowcount
        self._shorten()
        return count

    def _shorten(self) -> None:
        """Leave nothing of what was forgotten in the file or beside it."""
        with self._reading() as file:
            file.execute("VACUUM")
            file.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def settle(answers: tuple[Decision, ...], made: tuple[Decision, ...], *, at: str) -> tuple[Decision, ...]:
    """Return the answers with those of one more act, which replace older ones about the same words."""
    act = max((decision.change for decision in answers), default=0) + 1
    loose = {decision.loose for decision in made}
    new = tuple(replace(decision, change=act, at=at) for decision in made)
    return (*(decision for decision in answers if decision.loose not in loose), *new)


def taken_back(answers: tuple[Decision, ...], key: str) -> tuple[Decision, ...]:
    """Return the answers without the act that decided the flag `key`."""
    found = Decisions(answers).find(key)
    return answers if found is None else tuple(one for one in answers if one.change != found.change)


def _storable(text: str) -> str:
    """Return text that UTF-8 can carry: halves of a character become the sign for a lost one."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _answers(told: str) -> tuple[Decision, ...]:
    """Read kept answers; those of another version of the program are read as far as they are the same."""
    try:
        return tuple(Decision(**{name: row[name] for name in _DECISION & row.keys()}) for row in json.loads(told))
    except (ValueError, TypeError, AttributeError):
        raise NotKept(
            "What was decided about this recipe cannot be read; its file was changed by another hand."
        ) from None


def _file(path: Path) -> tuple[int, int] | None:
    """Return what tells a file from another that takes its name, ``None`` where there is none."""
    try:
        about = os.stat(path)
    except OSError:
        return None
    return about.st_dev, about.st_ino


def _why(error: Exception) -> str:
    if isinstance(error, OSError):
        return (error.strerror or str(error)).lower()
    code = getattr(error, "sqlite_errorname", "") or ""
    known = {
        "SQLITE_FULL": "the disk is full",
        "SQLITE_BUSY": "another page holds the file",
        "SQLITE_READONLY": "the file can only be read",
        "SQLITE_CANTOPEN": "the file cannot be opened",
    }
    return next((words for name, words in known.items() if code.startswith(name)), str(error))
