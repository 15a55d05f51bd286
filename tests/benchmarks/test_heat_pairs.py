"""Times between ovens beside the simpler rules, on published pairs: prints the whole table."""

from __future__ import annotations

import pytest
from conftest import Ledger
from heat_pairs import STARTS, pairs, range_score, report, scores, steps, weight_scores, worst

pytestmark = pytest.mark.benchmark


def test_pairs(ledger: Ledger) -> None:
    core = pairs()
    print("\n" + "\n".join([*report(), "furthest off:", *("  " + line for line in worst(core))]))
    found = scores(core)
    for rule, one in found.items():
        bound = "mean 7.2, p90 15" if rule.startswith("ours") else ""
        ledger.row(f"heat pairs, {rule}", f"mean {one.mean:.1f} %, p90 {one.p90:.1f} %", bound)
    for rule, one in found.items():
        if rule.startswith("ours"):
            assert one.mean <= 7.2
            assert one.p90 <= 15.0
        elif rule != "clock alone":
            assert found["ours"].mean < one.mean
            assert found["ours"].p90 < one.p90


def test_range(ledger: Ledger) -> None:
    found = range_score(pairs())
    ledger.row("heat pairs, range", f"holds {found.holds:.0f} %, median width x{found.width:.2f}", "85 %, x1.4")
    assert found.holds >= 85
    assert found.width <= 1.4


def test_weights(ledger: Ledger) -> None:
    for start in STARTS:
        found = weight_scores(steps(start))
        bound = "" if start.startswith("lightest") else "8 %"
        ledger.row(f"weight, {start}", f"{found['ours']:.1f} %", bound, f"per pound {found['minutes per pound']:.1f} %")
        assert found["ours"] < 0.5 * found["minutes per pound"]
        if bound:
            assert found["ours"] <= 8.0
