"""The ledger: one SQLite file in the folder that is written, with recipes, flags, decisions and their history."""

from __future__ import annotations

import contextlib
import json
import os
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from converter.ledger import schema
from converter.ledger.looking import FLAGS, Looking
from converter.ledger.opening import FILE_NAME, backup_of, opened, put_back, told
from converter.ledger.values import Conflict, Decision, Entry, KeptFlag, LedgerError, Settings
from converter.ledger.writing import Writing

_RECIPE = "id, source, number, sha256, stamp, output, title, zones, minutes_low, minutes_high, status, reason, text"


class Ledger(Looking):
    """An open ledger. Use it as a context manager, or call `close`; not to be shared between threads."""

    def __init__(self, path: Path, connection: sqlite3.Connection, notices: tuple[str, ...] = ()) -> None:
        super().__init__(path, connection)
        self.notices = notices
        self._writing = Writing(path, connection)

    @classmethod
    def open(cls, dest: Path, *, create: bool = True, check: bool = True) -> Ledger:
        """Return the ledger of the folder `dest`, brought to the present version; not looked through without `check`.

        A damaged file is set aside and its backup put in its place; `notices` say so in a sentence each. Raises
        ``LedgerError`` where there is none and `create` is False, where it is damaged beyond its backup, was written
        by a later version, or cannot be written.
        """
        path = dest / FILE_NAME
        if not create and not path.is_file() and not backup_of(path).is_file():
            raise LedgerError(f"{dest}: no ledger is kept here; undial folder makes one")
        connection, notices = opened(path, create=create, check=check)
        return cls(path, connection, notices)

    def close(self) -> None:
        """Close the file; safe to call twice."""
        self._db.close()

    def __enter__(self) -> Ledger:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ------------------------------------------------------------ recipes

    @contextlib.contextmanager
    def together(self) -> Iterator[None]:
        """Make one transaction of all that is written inside: all of it is kept or nothing."""
        with self._writing.transaction():
            yield

    def keep(self, entry: Entry) -> None:
        """Put one recipe and its flags in, in place of what was kept of it; decisions stay. One transaction."""
        with self._writing.transaction():
            self._writing.entry(entry)

    def forget(self, source: str) -> None:
        """Take the recipes of one file out, with their flags; decisions stay."""
        with self._writing.transaction() as db:
            db.execute("DELETE FROM recipes WHERE source = ?", (source,))

    def entries(self) -> Iterator[Entry]:
        """Return every recipe, by source and number; read one at a time."""
        with told(self.path):
            names = self._db.execute("SELECT source, number FROM recipes ORDER BY source, number").fetchall()
        for source, number in names:
            entry = self.entry(source, number)
            if entry is not None:
                yield entry

    def entry(self, source: str, number: int) -> Entry | None:
        """Return one recipe."""
        with told(self.path):
            row = self._db.execute(
                f"SELECT {_RECIPE} FROM recipes WHERE source = ? AND number = ?", (source, number)
            ).fetchone()
            if row is None:
                return None
            flags = self._db.execute(
                f"{FLAGS} WHERE f.recipe = ? ORDER BY f.place",
                (row[0],),
            )
            kept = tuple(KeptFlag(*part) for part in flags)
        _, source, number, sha256, stamp, output, title, zones, low, high, status, reason, text = row
        minutes = None if low is None else (low, high)
        zones = tuple(json.loads(zones))
        return Entry(source, number, sha256, stamp, output, title, zones, minutes, status, reason, text, kept)

    def settings(self) -> Settings | None:
        """Return how the folder was converted last, ``None`` before that."""
        with told(self.path):
            found = dict(self._db.execute("SELECT name, value FROM settings"))
        if "src" not in found:
            return None
        return Settings(**{name: found[name] for name in Settings.__slots__ if name in found})

    def remember(self, settings: Settings) -> None:
        """Keep how the folder is converted."""
        with self._writing.transaction() as db:
            for name in Settings.__slots__:
                db.execute("INSERT OR REPLACE INTO settings VALUES (?, ?)", (name, getattr(settings, name)))

    # ------------------------------------------------------------ decisions

    def decide(self, made: Sequence[Decision], *, seen: dict[str, int] | None = None) -> int:
        """Keep these decisions as one act that can be undone; return its number.

        `seen` holds for each key the ``change`` that the reviewer was shown, 0 for none. Raises ``Conflict`` where
        another has decided meanwhile; then nothing is kept.
        """
        with self._writing.transaction(lasting=True):
            if seen is not None:
                for decision in made:
                    if decision.key not in seen:
                        continue
                    standing = next(iter(self._decisions("WHERE key = ?", (decision.key,))), None)
                    if (standing.change if standing else 0) != seen[decision.key]:
                        raise Conflict(_meanwhile(decision, standing), standing)
            return self._writing.decisions(made)

    def undo(self, batch: int, *, who: str = "", at: str = "") -> list[str]:
        """Take one act of deciding back; return the keys. What stood before it stands again.

        Raises ``Conflict`` where one of its lines was decided anew since, ``LedgerError`` for no such act.
        """
        with self._writing.transaction(lasting=True):
            return self._writing.undo(batch, who=who, at=at)

    def bring_in(self, made: Sequence[Decision]) -> list[str]:
        """Take decisions over from elsewhere: a newer one wins, an older one is kept in the history alone.

        Returns the keys of those that now hold and did not before.
        """
        with self._writing.transaction(lasting=True):
            return self._writing.imported(made)

    # ------------------------------------------------------------ keeping it safe

    def backup(self) -> None:
        """Write a copy beside the ledger, whole or not at all."""
        target = backup_of(self.path)
        half = target.with_name(f"{target.name}.{os.getpid()}")
        try:
            with told(self.path), contextlib.closing(sqlite3.connect(half)) as copy:
                self._db.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
            with open(half, "rb") as stream:
                os.fsync(stream.fileno())
            os.replace(half, target)
        except OSError as error:
            raise LedgerError(f"{target}: the backup cannot be written: {error.strerror}") from None
        finally:
            half.unlink(missing_ok=True)

    def restore(self) -> None:
        """Go back to the backup; the present file is set aside. Raises ``LedgerError`` where there is no backup."""
        if not backup_of(self.path).is_file():
            raise LedgerError(f"{self.path}: there is no backup to go back to")
        self._db.close()
        put_back(self.path)
        self._db, self.notices = opened(self.path, create=False)
        self._writing = Writing(self.path, self._db)

    @property
    def version(self) -> int:
        """The version of the tables in the file."""
        with told(self.path):
            return int(self._db.execute("PRAGMA user_version").fetchone()[0])


def _meanwhile(decision: Decision, standing: Decision | None) -> str:
    if standing is None:
        return f"the decision about '{decision.line}' was taken back meanwhile"
    return f"{standing.who or 'someone'} has decided about '{decision.line}' meanwhile ({standing.kind}, {standing.at})"


__all__ = ["FILE_NAME", "Ledger", "schema"]
