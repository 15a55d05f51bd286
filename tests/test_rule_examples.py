"""Every example of the rule table, by the user's door: fires, stays silent, known wrong."""

from __future__ import annotations

import pytest

from converter.examples import Finding, run_example
from converter.place.rules import Example, Rule, load


def cases() -> list[object]:
    table = load(examples=True)
    return [
        pytest.param(rule, example, number, id=f"{rule.id}#{number}")
        for rule in table.rules
        for number, example in enumerate(rule.examples, start=1)
    ]


@pytest.mark.parametrize(("rule", "example", "number"), cases())
def test_example_in_rule(rule: Rule, example: Example, number: int) -> None:
    finding: Finding = run_example(rule, example, number, load(examples=True))
    assert finding.ok, f"{example.where}: {rule.id} {finding.message}"
