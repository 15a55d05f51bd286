"""Speed of the ledger: the next open flag among 100,000, with nine of ten decided."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from converter.ledger import Decision, Entry, KeptFlag, Ledger

RECIPES, EACH = 10_000, 10
MOST_SECONDS = 0.020


@pytest.mark.benchmark
def test_next_open_flag(tmp_path: Path) -> None:
    keys: list[str] = []
    with Ledger.open(tmp_path) as ledger:
        with ledger._writing.transaction():
            for number in range(RECIPES):
                flags = []
                for place in range(EACH):
                    key = f"{number * EACH + place:018x}.00000000"
                    level = "caution" if place == 9 and number % 50 == 0 else "judgement"
                    words = f"Bake dish {number} for {place} minutes"
                    flags.append(KeptFlag(key, "case", level, place, "", place, "r", "f", "m", "w", words))
                    keys.append(key)
                ledger._writing.entry(
                    Entry(f"{number}.txt", 1, "", "", "", "t", (), None, "converted", "", "", tuple(flags))
                )
        decided = [Decision(key, "leave") for at, key in enumerate(keys) if at < 0.9 * len(keys)]
        ledger.decide(decided)
        taken = []
        for _ in range(30):
            start = time.perf_counter()
            flag = ledger.next_open()
            taken.append(time.perf_counter() - start)
            assert flag is not None
            ledger.decide([Decision(flag.key, "leave")])
        worst = max(taken)
        print(f"next open flag of {len(keys)}: median {sorted(taken)[15] * 1000:.2f} ms, worst {worst * 1000:.2f} ms")
    assert worst <= MOST_SECONDS
