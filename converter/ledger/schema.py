"""The tables of the ledger and the way from one version of them to the next."""

from __future__ import annotations

import sqlite3
from typing import Final

# Each text takes a file from the version before it; the number of texts is the version.
MIGRATIONS: Final = (
    """
    CREATE TABLE recipes (
        id INTEGER PRIMARY KEY,
        source TEXT NOT NULL, number INTEGER NOT NULL,
        sha256 TEXT NOT NULL, stamp TEXT NOT NULL, output TEXT NOT NULL,
        title TEXT NOT NULL, zones TEXT NOT NULL, minutes_low REAL, minutes_high REAL,
        status TEXT NOT NULL, reason TEXT NOT NULL, text TEXT NOT NULL,
        UNIQUE (source, number)
    );
    CREATE TABLE flags (
        id INTEGER PRIMARY KEY,
        recipe INTEGER NOT NULL REFERENCES recipes (id) ON DELETE CASCADE,
        place INTEGER NOT NULL, key TEXT NOT NULL, loose TEXT NOT NULL,
        name TEXT NOT NULL, level TEXT NOT NULL, step INTEGER NOT NULL, text TEXT NOT NULL, line TEXT NOT NULL,
        phase INTEGER NOT NULL, rule TEXT NOT NULL, food TEXT NOT NULL, message TEXT NOT NULL, why TEXT NOT NULL
    );
    CREATE INDEX flags_of_recipe ON flags (recipe, place);
    CREATE INDEX flags_by_key ON flags (loose, key);
    CREATE TABLE decisions (
        key TEXT PRIMARY KEY, loose TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('take', 'choice', 'words', 'leave', 'later')),
        code TEXT NOT NULL, words TEXT NOT NULL,
        line TEXT NOT NULL, title TEXT NOT NULL, name TEXT NOT NULL, rule TEXT NOT NULL, food TEXT NOT NULL,
        who TEXT NOT NULL, at TEXT NOT NULL, change INTEGER NOT NULL
    ) WITHOUT ROWID;
    CREATE INDEX decisions_by_loose ON decisions (loose);
    CREATE TABLE history (
        change INTEGER PRIMARY KEY AUTOINCREMENT,
        batch INTEGER NOT NULL, key TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL,
        action TEXT NOT NULL, before TEXT NOT NULL, after TEXT NOT NULL
    );
    """,
    # From version 1: what is open is kept with the flag, so that the next one is found at once; settings.
    """
    ALTER TABLE flags ADD COLUMN rank INTEGER NOT NULL DEFAULT 2;
    ALTER TABLE flags ADD COLUMN state INTEGER NOT NULL DEFAULT 0;
    UPDATE flags SET
        rank = CASE level WHEN 'caution' THEN 0 WHEN 'judgement' THEN 1 ELSE 2 END,
        state = coalesce(
            (SELECT CASE kind WHEN 'later' THEN 1 ELSE 2 END FROM decisions WHERE decisions.key = flags.key),
            (SELECT CASE kind WHEN 'later' THEN 1 ELSE 2 END FROM decisions WHERE decisions.loose = flags.loose
             ORDER BY change DESC LIMIT 1),
            0);
    CREATE INDEX flags_open ON flags (state, rank, recipe, place) WHERE state < 2;
    CREATE INDEX flags_like ON flags (rule, food, name) WHERE state < 2;
    CREATE INDEX history_by_batch ON history (batch);
    CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
    """,
    # From version 2: what was decided of a recipe before its words changed, found at once.
    """
    CREATE INDEX decisions_by_title ON decisions (title, name);
    """,
)
VERSION: Final = len(MIGRATIONS)


def migrate(connection: sqlite3.Connection) -> int:
    """Bring the file to `VERSION`, each step whole or not at all; return the version it had.

    The caller sees to it that no one else writes meanwhile: every step takes the write lock and looks again.
    """
    had = int(connection.execute("PRAGMA user_version").fetchone()[0])
    for number in range(had + 1, VERSION + 1):
        connection.execute("BEGIN IMMEDIATE")
        try:
            now = int(connection.execute("PRAGMA user_version").fetchone()[0])
            if now < number:
                for statement in _statements(MIGRATIONS[number - 1]):
                    connection.execute(statement)
                connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:  # on a full disk SQLite has rolled back already
                connection.execute("ROLLBACK")
            raise
    return had


def _statements(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]
