"""The looking half of the ledger: open flags, those alike, decisions and their history."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from converter.ledger.opening import told
from converter.ledger.values import Act, Decision, Decisions, KeptFlag

FLAGS = (
    "SELECT f.key, f.name, f.level, f.step, f.text, f.phase, f.rule, f.food, f.message, f.why, f.line, "
    "r.source, r.number FROM flags f JOIN recipes r ON r.id = f.recipe"
)
_LEVELS = ("caution", "judgement", "note")
_FIELDS = tuple(Decision.__slots__)
_HELD = 500  # values in one question to SQLite
_ALIKE = "WHERE f.state < 2 AND f.rule = ? AND f.food = ? AND f.name = ?"
_NEAR_PERCENT = 70  # of the words, for a line to be taken for one that was changed


class Looking:
    """What can be asked of an open ledger. `Ledger` is made of it."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._db = connection

    # ------------------------------------------------------------ flags

    def open_flags(
        self, *, notes: bool = False, words: str = "", skip: Iterable[str] = (), start: int = 0,
        limit: int | None = None,
    ) -> list[KeptFlag]:
        """Return flags without a decision, cautions first, what was put off last.

        `words` keeps those whose line, title, name or file has them all; `skip` are keys to leave out; `notes` adds
        those that need no judgement. `start` and `limit` give a part of them.
        """
        conditions, values = _conditions(notes=notes, words=words)
        left = set(skip)
        out: list[KeptFlag] = []
        passed = 0
        with told(self.path):
            for state in (0, 1):
                # The first condition lets SQLite use the index of open flags.
                rows = self._db.execute(
                    f"{FLAGS} WHERE f.state < 2 AND f.state = {state} AND {conditions} "
                    "ORDER BY f.rank, f.recipe, f.place",
                    values,
                )
                for row in rows:
                    if row[0] in left:
                        continue
                    if limit is not None and len(out) >= limit:
                        return out
                    passed += 1
                    if passed > start:
                        out.append(KeptFlag(*row))
        return out

    def next_open(self, *, notes: bool = False, words: str = "", skip: Iterable[str] = ()) -> KeptFlag | None:
        """Return the first of `open_flags`."""
        return next(iter(self.open_flags(notes=notes, words=words, skip=skip, limit=1)), None)

    def count_open(self) -> dict[str, int]:
        """Return how many flags of each level have no decision; what was put off counts."""
        with told(self.path):
            rows = self._db.execute("SELECT rank, count(*) FROM flags WHERE state < 2 GROUP BY rank").fetchall()
        return {_LEVELS[rank]: count for rank, count in rows}

    def count_found(self, *, notes: bool = False, words: str = "") -> int:
        """Return how many flags `open_flags` would give."""
        conditions, values = _conditions(notes=notes, words=words)
        join = "JOIN recipes r ON r.id = f.recipe" if words.split() else ""
        with told(self.path):
            row = self._db.execute(f"SELECT count(*) FROM flags f {join} WHERE f.state < 2 AND {conditions}", values)
            return int(row.fetchone()[0])

    def count_put_off(self, *, notes: bool = False) -> int:
        """Return how many of the open flags were put off."""
        with told(self.path):
            row = self._db.execute(
                "SELECT count(*) FROM flags WHERE state < 2 AND state = 1 AND rank <= ?", (2 if notes else 1,)
            )
            return int(row.fetchone()[0])

    def same_words(self, key: str) -> list[KeptFlag]:
        """Return the flags of the same words whatever the rule is now, those of this very key first."""
        found = self._flags("WHERE f.loose = ? ORDER BY f.recipe, f.place", (key.partition(".")[0],))
        return sorted(found, key=lambda flag: flag.key != key)

    def alike(self, flag: KeptFlag, *, limit: int = -1) -> list[KeptFlag]:
        """Return the open flags of the same name, rule and class of food, `flag` among them; at most `limit`."""
        about = (flag.rule, flag.food, flag.name)
        return self._flags(f"{_ALIKE} ORDER BY f.recipe, f.place LIMIT ?", (*about, limit))

    def count_alike(self, flag: KeptFlag) -> int:
        """Return how many flags `alike` gives."""
        with told(self.path):
            row = self._db.execute(f"SELECT count(*) FROM flags f {_ALIKE}", (flag.rule, flag.food, flag.name))
            return int(row.fetchone()[0])

    def beside(self, flag: KeptFlag, *, decided: bool = False) -> list[KeptFlag]:
        """Return the other flags for judgement of the same stretch of heat: open ones, or the `decided`."""
        if not flag.phase:
            return []
        return self._flags(
            f"WHERE f.state {'= 2' if decided else '< 2'} AND f.rank = 1 AND f.phase = ? AND f.key <> ? AND f.recipe = "
            "(SELECT id FROM recipes WHERE source = ? AND number = ?) ORDER BY f.place",
            (flag.phase, flag.key, flag.source, flag.number),
        )

    def _flags(self, where: str, values: Sequence[Any]) -> list[KeptFlag]:
        with told(self.path):
            return [KeptFlag(*row) for row in self._db.execute(f"{FLAGS} {where}", values)]

    # ------------------------------------------------------------ decisions

    def decisions(self, about: Iterable[str] | None = None) -> Decisions:
        """Return all decisions, or those for the keys `about`; later ones do not change what was returned."""
        if about is None:
            return Decisions(self._decisions("", ()))
        found: list[Decision] = []
        loose = sorted({key.partition(".")[0] for key in about})
        for at in range(0, len(loose), _HELD):
            some = loose[at : at + _HELD]
            found += self._decisions(f"WHERE loose IN ({','.join('?' * len(some))})", some)
        return Decisions(found)

    def changes(self, keys: Iterable[str]) -> dict[str, int]:
        """Return for each of these very keys the ``change`` of the decision that stands, 0 for none."""
        wanted = list(dict.fromkeys(keys))
        standing = {made.key: made.change for made in self.decisions(wanted)}
        return {key: standing.get(key, 0) for key in wanted}

    def decision(self, key: str) -> Decision | None:
        """Return the decision that holds for a flag."""
        return self.decisions((key,)).find(key)

    def _decisions(self, where: str, values: Sequence[Any]) -> list[Decision]:
        with told(self.path):
            rows = self._db.execute(f"SELECT {', '.join(_FIELDS)} FROM decisions {where} ORDER BY change", values)
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
        return best[2] if best is not None and best[0] >= _NEAR_PERCENT else None

    def acts(self, *, limit: int = 20) -> list[Act]:
        """Return the last acts, newest first, each with the title and line of its first decision."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT batch, who, at, action, count(*), min(change) FROM history GROUP BY batch, who, at, action "
                "ORDER BY batch DESC LIMIT ?",
                (limit,),
            ).fetchall()
            firsts = [
                self._db.execute("SELECT before, after FROM history WHERE change = ?", (row[5],)).fetchone()
                for row in rows
            ]
            standing = {
                int(row[0])
                for row in rows
                if row[3] != "undo"
                and self._db.execute(
                    "SELECT NOT EXISTS (SELECT 1 FROM history h LEFT JOIN decisions d ON d.key = h.key "
                    "WHERE h.batch = ? AND d.change IS NOT h.change)",
                    (row[0],),
                ).fetchone()[0]
            }
        made = []
        for (number, who, at, what, lines, _), (before, after) in zip(rows, firsts, strict=True):
            about = json.loads(after or before or "{}")
            told_of = (about.get("title", ""), about.get("line", ""), about.get("kind", ""))
            made.append(Act(number, who, at, what, lines, *told_of, stands=number in standing))
        return made

    def act_of(self, key: str) -> int | None:
        """Return the act that made the decision that holds for a flag, ``None`` where none holds."""
        made = self.decision(key)
        if made is None:
            return None
        with told(self.path):
            row = self._db.execute("SELECT batch FROM history WHERE change = ?", (made.change,)).fetchone()
        return int(row[0]) if row is not None else None

    def last_act(self) -> int:
        """Return the number of the newest act, 0 before the first."""
        with told(self.path):
            return int(self._db.execute("SELECT coalesce(max(batch), 0) FROM history").fetchone()[0])

    def history(self, key: str) -> list[tuple[str, str, str, Decision | None]]:
        """Return what happened to one line, oldest first: who, when, what, and the decision after it."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT who, at, action, after FROM history WHERE key = ? ORDER BY change", (key,)
            ).fetchall()
        return [(who, at, action, Decision(**json.loads(after)) if after else None) for who, at, action, after in rows]


def _conditions(*, notes: bool, words: str) -> tuple[str, list[Any]]:
    made = ["f.rank <= ?"]
    out: list[Any] = [2 if notes else 1]
    for word in words.split():
        made.append("(f.line || ' ' || f.name || ' ' || r.title || ' ' || r.source) LIKE ? ESCAPE '\\'")
        out.append("%" + word.replace("\\", r"\\").replace("%", r"\%").replace("_", r"\_") + "%")
    return " AND ".join(made), out
