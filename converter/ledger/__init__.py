"""The ledger of a family's folder: recipes, flags, and decisions that last.

One SQLite file, `FILE_NAME`, in the folder that is written. A decision is tied to the words of its line, so it
outlives a new conversion, new rules and a file that is renamed or moved.
"""

from __future__ import annotations

from converter.ledger.keys import flags_with_keys, kept_flags, line_span
from converter.ledger.opening import FILE_NAME
from converter.ledger.store import Ledger
from converter.ledger.values import KINDS, Act, Conflict, Decision, Decisions, Entry, KeptFlag, LedgerError, Settings

__all__ = [
    "FILE_NAME",
    "KINDS",
    "Act",
    "Conflict",
    "Decision",
    "Decisions",
    "Entry",
    "KeptFlag",
    "Ledger",
    "LedgerError",
    "Settings",
    "flags_with_keys",
    "kept_flags",
    "line_span",
]
