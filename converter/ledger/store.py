"""The ledger: one SQLite file in the folder that is written, with recipes, flags, decisions and their history."""

from __future__ import annotations

import contextlib
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from converter.ledger import schema
from converter.ledger.opening import FILE_NAME, backup_of, opened, put_back, told
from converter.ledger.values import Conflict, Decision, Decisions, Entry, KeptFlag, LedgerError, Settings
from converter.ledger.writing import Writing

_FLAG = "f.key, f.name, f.level, f.step, f.text, f.phase, f.rule, f.food, f.message, f.why, f.line"
_RECIPE = "id, source, number, sha256, stamp, output, title, zones, minutes_low, minutes_high, status, reason, text"
_LEVELS = ("caution", "judgement", "note")


class Ledger:
    """An open ledger. Use it as a context manager, or call `close`; not to be shared between threads."""

    def __init__(self, path: Path, connection: sqlite3.Connection, notices: tuple[str, ...] = ()) -> None:
        self.path = path
        self.notices = notices
        self._db = connection
        self._writing = Writing(path, connection)

    @classmethod
    def open(cls, dest: Path, *, create: bool = True) -> Ledger:
        """Return the ledger of the folder `dest`, brought to the present version.

        A damaged file is set aside and its backup put in its place; `notices` say so in a sentence each. Raises
        ``LedgerError`` where there is none and `create` is False, where it is damaged beyond its backup, was written
        by a later version, or cannot be written.
        """
        path = dest / FILE_NAME
        if not create and not path.is_file() and not backup_of(path).is_file():
            raise LedgerError(f"{dest}: no ledger is kept here; undial folder makes one")
        connection, notices = opened(path, create=create)
        return cls(path, connection, notices)

    def close(self) -> None:
        """Close the file; safe to call twice."""
        self._db.close()

    def __enter__(self) -> Ledger:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ------------------------------------------------------------ recipes

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
                f"SELECT {_FLAG}, r.source, r.number FROM flags f JOIN recipes r ON r.id = f.recipe "
                "WHERE f.recipe = ? ORDER BY f.place",
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

    # ------------------------------------------------------------ flags

    def open_flags(
        self, *, notes: bool = False, words: str = "", skip: Iterable[str] = (), limit: int | None = None
    ) -> list[KeptFlag]:
        """Return flags without a decision, cautions first, what was put off last.

        `words` keeps those whose line or title has them all; `skip` are keys to leave out; `notes` adds those that
        need no judgement.
        """
        conditions, values = ["f.rank <= ?"], [2 if notes else 1]
        for word in words.split():
            conditions.append("(f.line || ' ' || f.name || ' ' || r.title || ' ' || r.source) LIKE ? ESCAPE '\\'")
            values.append("%" + word.replace("\\", r"\\").replace("%", r"\%").replace("_", r"\_") + "%")  # type: ignore[arg-type]
        left = set(skip)
        out: list[KeptFlag] = []
        with told(self.path):
            for state in (0, 1):
                rows = self._db.execute(
                    f"SELECT {_FLAG}, r.source, r.number FROM flags f JOIN recipes r ON r.id = f.recipe "
                    f"WHERE f.state < 2 AND f.state = {state} AND {' AND '.join(conditions)} "
                    "ORDER BY f.rank, f.recipe, f.place",
                    values,
                )
                for row in rows:
                    if row[0] in left:
                        continue
                    out.append(KeptFlag(*row))
                    if limit is not None and len(out) >= limit:
                        return out
        return out

    def next_open(self, *, notes: bool = False, words: str = "", skip: Iterable[str] = ()) -> KeptFlag | None:
        """Return the first of `open_flags`."""
        return next(iter(self.open_flags(notes=notes, words=words, skip=skip, limit=1)), None)

    def count_open(self) -> dict[str, int]:
        """Return how many flags of each level have no decision; what was put off counts."""
        with told(self.path):
            rows = self._db.execute("SELECT rank, count(*) FROM flags WHERE state < 2 GROUP BY rank").fetchall()
        return {_LEVELS[rank]: count for rank, count in rows}

    def find_flags(self, key: str) -> list[KeptFlag]:
        """Return the flags of this key, decided or not; a copied recipe has the same."""
        with told(self.path):
            rows = self._db.execute(
                f"SELECT {_FLAG}, r.source, r.number FROM flags f JOIN recipes r ON r.id = f.recipe "
                "WHERE f.key = ? ORDER BY f.recipe, f.place",
                (key,),
            ).fetchall()
        return [KeptFlag(*row) for row in rows]

    def alike(self, flag: KeptFlag) -> list[KeptFlag]:
        """Return the open flags of the same name, rule and class of food, `flag` among them."""
        with told(self.path):
            rows = self._db.execute(
                f"SELECT {_FLAG}, r.source, r.number FROM flags f JOIN recipes r ON r.id = f.recipe "
                "WHERE f.state < 2 AND f.rule = ? AND f.food = ? AND f.name = ? ORDER BY f.recipe, f.place",
                (flag.rule, flag.food, flag.name),
            ).fetchall()
        return [KeptFlag(*row) for row in rows]

    # ------------------------------------------------------------ decisions

    def decisions(self, about: Iterable[str] | None = None) -> Decisions:
        """Return all decisions, or those for the keys `about`; later ones do not change what was returned."""
        if about is None:
            return Decisions(self._decisions("", ()))
        found: list[Decision] = []
        for loose in sorted({key.partition(".")[0] for key in about}):
            found += self._decisions("WHERE loose = ?", (loose,))
        return Decisions(found)

    def decision(self, key: str) -> Decision | None:
        """Return the decision that holds for a flag."""
        return self.decisions((key,)).find(key)

    def _decisions(self, where: str, values: Sequence[Any]) -> list[Decision]:
        with told(self.path):
            rows = self._db.execute(f"SELECT {', '.join(_fields())} FROM decisions {where} ORDER BY change", values)
            return [Decision(*row) for row in rows]

    def suggestion(self, flag: KeptFlag, title: str) -> Decision | None:
        """Return what was decided about this line before its words changed: the nearest line of the same recipe.

        Only a decision that no present flag has, of the same flag name and title, and with 70 % of the words.
        """
        from rapidfuzz import fuzz

        found = self._decisions(
            "d WHERE name = ? AND title = ? AND kind <> 'later' "
            "AND NOT EXISTS (SELECT 1 FROM flags f WHERE f.loose = d.loose)",
            (flag.name, title),
        )
        rated = [(fuzz.token_sort_ratio(made.line, flag.line), made.change, made) for made in found]
        best = max(rated, default=None, key=lambda item: item[:2])
        return best[2] if best is not None and best[0] >= 70 else None

    def decide(self, made: Sequence[Decision], *, seen: dict[str, int] | None = None) -> int:
        """Keep these decisions as one act that can be undone; return its number.

        `seen` holds for each key the ``change`` that the reviewer was shown, 0 for none. Raises ``Conflict`` where
        another has decided meanwhile; then nothing is kept.
        """
        with self._writing.transaction() as db:
            if seen is not None:
                for decision in made:
                    if decision.key not in seen:
                        continue
                    row = db.execute(
                        f"SELECT {', '.join(_fields())} FROM decisions WHERE key = ?", (decision.key,)
                    ).fetchone()
                    standing = Decision(*row) if row else None
                    if (standing.change if standing else 0) != seen[decision.key]:
                        raise Conflict(_meanwhile(decision, standing), standing)
            return self._writing.decisions(made)

    def undo(self, batch: int, *, who: str = "", at: str = "") -> list[str]:
        """Take one act of deciding back; return the keys. What stood before it stands again.

        Raises ``Conflict`` where one of its lines was decided anew since, ``LedgerError`` for no such act.
        """
        with self._writing.transaction():
            return self._writing.undo(batch, who=who, at=at)

    def acts(self, *, limit: int = 20) -> list[tuple[int, str, str, str, int]]:
        """Return the last acts, newest first: number, who, when, what (decide, undo, import), how many lines."""
        with told(self.path):
            return self._db.execute(
                "SELECT batch, who, at, action, count(*) FROM history GROUP BY batch, who, at, action "
                "ORDER BY batch DESC LIMIT ?",
                (limit,),
            ).fetchall()

    def history(self, key: str) -> list[tuple[str, str, str, Decision | None]]:
        """Return what happened to one line, oldest first: who, when, what, and the decision after it."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT who, at, action, after FROM history WHERE key = ? ORDER BY change", (key,)
            ).fetchall()
        return [(who, at, action, Decision(**json.loads(after)) if after else None) for who, at, action, after in rows]

    def bring_in(self, made: Sequence[Decision]) -> int:
        """Take decisions over from elsewhere: a newer one wins, an older one is kept in the history alone.

        Returns how many now hold that did not before.
        """
        with self._writing.transaction():
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


def _fields() -> tuple[str, ...]:
    return tuple(Decision.__slots__)


def _meanwhile(decision: Decision, standing: Decision | None) -> str:
    if standing is None:
        return f"the decision about '{decision.line}' was taken back meanwhile"
    return f"{standing.who or 'someone'} has decided about '{decision.line}' meanwhile ({standing.kind}, {standing.at})"


__all__ = ["FILE_NAME", "Ledger", "schema"]
