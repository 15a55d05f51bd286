"""Opens the file of a ledger: looks whether it is whole, brings it up to date, puts the backup in its place."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path

from converter.ledger.schema import VERSION, migrate
from converter.ledger.values import LedgerError

FILE_NAME = "undial-ledger.sqlite"
BUSY_SECONDS = 30.0
_ROOM_BYTES = 256 * 1024


def backup_of(path: Path) -> Path:
    """Return where the backup of a ledger lies."""
    return path.with_name(f"{path.name}.backup")


def _full(path: Path) -> bool:
    """Say whether there is no room for the files that SQLite keeps beside the ledger."""
    import shutil

    try:
        return shutil.disk_usage(path.parent).free < _ROOM_BYTES
    except OSError:
        return False


class Damaged(Exception):
    """The file is no whole database."""


@contextlib.contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite says into one ``LedgerError`` sentence about `path`."""
    try:
        yield
    except sqlite3.OperationalError as error:
        words = str(error)
        if "locked" in words or "busy" in words:
            words = f"another undial has been writing for more than {BUSY_SECONDS:.0f} seconds; try again"
        elif "full" in words or (("I/O" in words or "unable to open" in words) and _full(path)):
            words = "the disk is full; nothing that was kept before is lost"
        elif "readonly" in words or "unable to open" in words:
            words = "it cannot be written here (no permission, or the disk can only be read)"
        raise LedgerError(f"{path}: {words}") from None
    except sqlite3.DatabaseError as error:
        raise LedgerError(f"{path}: the ledger is damaged ({error}); open it again to go back to its backup") from None


def _connect(path: Path, *, check: bool = True) -> sqlite3.Connection:
    # Transactions are begun by hand: BEGIN IMMEDIATE takes the write lock at once.
    connection = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute(f"PRAGMA busy_timeout = {int(BUSY_SECONDS * 1000)}")
        found = [row[0] for row in connection.execute("PRAGMA quick_check(1)")] if check else ["ok"]
        if found != ["ok"]:
            raise Damaged(found[0])
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        if version > VERSION:
            raise LedgerError(f"{path}: written by a later undial (version {version}, this one knows {VERSION})")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = NORMAL")
        migrate(connection)
        connection.execute("SELECT 1 FROM recipes, flags, decisions, history, settings LIMIT 0")
    except sqlite3.OperationalError as error:
        connection.close()
        if "no such" in str(error) or "malformed" in str(error):
            raise Damaged(str(error)) from None
        raise
    except sqlite3.DatabaseError as error:
        connection.close()
        raise Damaged(str(error)) from None
    except BaseException:
        connection.close()
        raise
    return connection


def put_back(path: Path) -> Path | None:
    """Set the file of a ledger aside and put a copy of its backup in its place; return where the old one went."""
    import shutil

    aside = None
    if path.exists():
        aside = path.with_name(f"{path.name}.damaged-{time.time_ns()}")
        os.replace(path, aside)
    for ending in ("-wal", "-shm"):
        stray = path.with_name(path.name + ending)
        if stray.exists():
            if aside is not None:
                os.replace(stray, aside.with_name(aside.name + ending))
            else:
                stray.unlink()
    half = path.with_name(f"{path.name}.{os.getpid()}")
    shutil.copyfile(backup_of(path), half)
    os.replace(half, path)
    return aside


def opened(path: Path, *, create: bool, check: bool = True) -> tuple[sqlite3.Connection, tuple[str, ...]]:
    """Return a connection to a whole ledger of the present version, and sentences about what had to be done.

    Without `check` only damage that shows at once is found: for a file that this process has looked through before.
    """
    try:
        if not path.parent.is_dir():
            raise LedgerError(f"{path.parent}: there is no such folder")
        backup = backup_of(path)
        if not path.exists() and backup.is_file():
            put_back(path)
            with told(path):
                return _connect(path), (f"{path.name} was gone; it was brought back from its backup",)
        if not path.exists() and not create:
            raise LedgerError(f"{path.parent}: no ledger is kept here; undial folder makes one")
        try:
            with told_but_damage(path):
                return _connect(path, check=check), ()
        except Damaged as error:
            if not backup.is_file():
                raise LedgerError(
                    f"{path}: the ledger is damaged ({error}) and there is no backup; "
                    "move it away, run undial folder again and bring exported decisions in with undial review --import"
                ) from None
            aside = put_back(path)
            name = aside.name if aside is not None else "nothing"
            try:
                with told_but_damage(path):
                    made = _connect(path)
            except Damaged:
                raise LedgerError(f"{path}: the ledger and its backup are both damaged; move them away") from None
            when = time.strftime("%Y-%m-%d %H:%M", time.localtime(backup.stat().st_mtime))
            return made, (f"{path.name} was damaged ({error}); restored from its backup of {when}, kept as {name}",)
    except OSError as error:
        raise LedgerError(f"{path}: {error.strerror or error}") from None


@contextlib.contextmanager
def told_but_damage(path: Path) -> Iterator[None]:
    """As `told`, but let ``Damaged`` through."""
    with told(path):
        yield
