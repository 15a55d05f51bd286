"""What is written into the ledger, inside one transaction each."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from datetime import UTC, datetime
from pathlib import Path

from converter import flagkinds
from converter.ledger.opening import told
from converter.ledger.values import KINDS, Conflict, Decision, Entry, KeptFlag, LedgerError

_RANK = {"caution": 0, "judgement": 1, "note": 2}
_COLUMNS = tuple(Decision.__slots__)
_STATE = (
    "coalesce((SELECT CASE kind WHEN 'later' THEN 1 ELSE 2 END FROM decisions d WHERE d.key = flags.key), "
    "(SELECT CASE kind WHEN 'later' THEN 1 ELSE 2 END FROM decisions d WHERE d.loose = flags.loose "
    "ORDER BY change DESC LIMIT 1), 0)"
)


def now() -> str:
    """Return this moment, ISO 8601 in UTC to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _rank(flag: KeptFlag) -> int:
    """Order of urgency: the more urgent of the flag's own level and that of its kind, since a decided one is a note."""
    kind = flagkinds.table().get(flag.name)
    return min(_RANK.get(flag.level, 2), _RANK.get(kind.level, 2) if kind is not None else 2)


class Writing:
    """The writing half of a `Ledger`."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.db = connection

    @contextlib.contextmanager
    def transaction(self, *, lasting: bool = False) -> Iterator[sqlite3.Connection]:
        """Take the write lock, then keep all that is done inside or, on any error, nothing; an inner one joins in.

        What is `lasting` is on the disk when this returns, whatever becomes of the machine.
        """
        if self.db.in_transaction:
            yield self.db
            return
        with told(self.path):
            self.db.execute(f"PRAGMA synchronous = {'FULL' if lasting else 'NORMAL'}")
            self.db.execute("BEGIN IMMEDIATE")
            try:
                yield self.db
                self.db.execute("COMMIT")
            except BaseException:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")
                raise

    def entry(self, entry: Entry) -> None:
        """Replace one recipe and its flags."""
        low, high = entry.minutes if entry.minutes is not None else (None, None)
        zones = json.dumps(entry.zones, ensure_ascii=False)
        row = self.db.execute(
            "INSERT INTO recipes (source, number, sha256, stamp, output, title, zones, minutes_low, minutes_high, "
            "status, reason, text) VALUES (?,?,?,?,?,?,?,?,?,?,?,?) "
            "ON CONFLICT (source, number) DO UPDATE SET sha256 = excluded.sha256, stamp = excluded.stamp, "
            "output = excluded.output, title = excluded.title, zones = excluded.zones, "
            "minutes_low = excluded.minutes_low, minutes_high = excluded.minutes_high, status = excluded.status, "
            "reason = excluded.reason, text = excluded.text RETURNING id",
            (
                entry.source, entry.number, entry.sha256, entry.stamp, entry.output, entry.title, zones, low, high,
                entry.status, entry.reason, entry.text,
            ),
        ).fetchone()  # fmt: skip
        self.db.execute("DELETE FROM flags WHERE recipe = ?", row)
        self.db.executemany(
            "INSERT INTO flags (recipe, place, key, loose, name, level, rank, step, text, line, phase, rule, food, "
            "message, why) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
            [
                (
                    row[0], place, flag.key, flag.loose, flag.name, flag.level, _rank(flag), flag.step,
                    flag.text, flag.line, flag.phase, flag.rule, flag.food, flag.message, flag.why,
                )
                for place, flag in enumerate(entry.flags)
            ],
        )  # fmt: skip
        self.db.execute(f"UPDATE flags SET state = {_STATE} WHERE recipe = ?", row)

    def decisions(self, made: Sequence[Decision], *, action: str = "decide") -> int:
        """Put decisions in as one act and return its number."""
        batch = self._batch()
        for decision in made:
            if decision.kind not in KINDS:
                raise LedgerError(f"unknown kind of decision '{decision.kind}'; allowed are {', '.join(KINDS)}")
            stamped = replace(decision, at=decision.at or now())
            before = self._standing(decision.key)
            change = self._log(batch, action, before, stamped)
            self._put(replace(stamped, change=change))
        return batch

    def undo(self, batch: int, *, who: str, at: str) -> list[str]:
        """Put back what stood before an act."""
        rows = self.db.execute(
            "SELECT change, key, before FROM history WHERE batch = ? ORDER BY change DESC", (batch,)
        ).fetchall()
        if not rows:
            raise LedgerError(f"there is no act {batch} to undo")
        mine = self._batch()
        keys: list[str] = []
        for change, key, before in rows:
            standing = self._standing(key)
            if standing is None or standing.change != change:
                line = standing.line if standing is not None else key
                raise Conflict(f"'{line}' was decided anew since; undo that first", standing)
            back = Decision(**json.loads(before)) if before else None
            self._log(mine, "undo", standing, back, key=key, who=who, at=at)
            if back is None:
                self.db.execute("DELETE FROM decisions WHERE key = ?", (key,))
                self._mark(key)
            else:
                self._put(back)
            keys.append(key)
        return keys

    def imported(self, made: Sequence[Decision]) -> list[str]:
        """Take decisions over where they are newer than what stands; return the keys of those."""
        batch = self._batch()
        taken: list[str] = []
        for decision in made:
            standing = self._standing(decision.key)
            if standing is not None and replace(standing, change=0) == replace(decision, change=0):
                continue
            newer = standing is None or (decision.at, decision.who) > (standing.at, standing.who)
            change = self._log(batch, "import" if newer else "import-older", standing, decision)
            if newer:
                self._put(replace(decision, change=change))
                taken.append(decision.key)
        return taken

    # ------------------------------------------------------------ rows

    def _batch(self) -> int:
        return int(self.db.execute("SELECT coalesce(max(batch), 0) + 1 FROM history").fetchone()[0])

    def _standing(self, key: str) -> Decision | None:
        row = self.db.execute(f"SELECT {', '.join(_COLUMNS)} FROM decisions WHERE key = ?", (key,)).fetchone()
        return Decision(*row) if row else None

    def _log(
        self,
        batch: int,
        action: str,
        before: Decision | None,
        after: Decision | None,
        *,
        key: str = "",
        who: str = "",
        at: str = "",
    ) -> int:
        told_by = after if after is not None and not key else Decision(key, "later", who=who, at=at or now())
        made = self.db.execute(
            "INSERT INTO history (batch, key, who, at, action, before, after) VALUES (?,?,?,?,?,?,?)",
            (
                batch, told_by.key, told_by.who, told_by.at, action,
                json.dumps(asdict(before), ensure_ascii=False) if before else "",
                json.dumps(asdict(after), ensure_ascii=False) if after else "",
            ),
        )  # fmt: skip
        return int(made.lastrowid or 0)

    def _put(self, decision: Decision) -> None:
        marks = ",".join("?" * (len(_COLUMNS) + 1))
        self.db.execute(
            f"INSERT OR REPLACE INTO decisions ({', '.join(_COLUMNS)}, loose) VALUES ({marks})",
            (*(getattr(decision, name) for name in _COLUMNS), decision.loose),
        )
        self._mark(decision.key)

    def _mark(self, key: str) -> None:
        self.db.execute(f"UPDATE flags SET state = {_STATE} WHERE loose = ?", (key.partition(".")[0],))
