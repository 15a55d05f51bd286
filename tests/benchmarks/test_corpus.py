"""Every recipe of the corpus: no fault, no heat lost, no dial words left over in silence."""

from __future__ import annotations

import difflib
from collections import Counter
from typing import Any

import pytest
from dial_words import Leftover, leftovers, sentence_of

from converter.model import Clause, Flag, Result, Span, WrittenStep

pytestmark = pytest.mark.benchmark

COOKERS = ("four-oven", "two-oven")
# What a clause asks of the cooker: heat it, change the heat, keep it hot; the reader may say more after a hyphen.
HEATS = ("heat", "change", "hold")
MOST_LEFT = 0.01
SHOWN = 12


@pytest.fixture(scope="module", params=COOKERS)
def converted(request: pytest.FixtureRequest, corpus: list[str]) -> tuple[str, list[Result]]:
    """All recipes converted; a recipe that the converter stops at fails here with its title."""
    from converter import pipeline
    from converter.place import cookers, rules
    from converter.read.text import document
    from converter.write.forms import FORMS, render

    cooker, table = cookers.load(request.param), rules.load()
    made, faults = [], []
    for number, text in enumerate(corpus):
        title = text.partition("\n")[0]
        try:
            result = pipeline.convert(document(text, name=title), cooker=cooker, rules=table)
            for form in FORMS if number % 20 == 0 else ("markdown", "json"):
                render(result, form)
            made.append(result)
        except Exception as error:
            faults.append(f"{title}: {type(error).__name__}: {error}")
    assert faults == [], f"{len(faults)} recipes stopped the converter"
    return request.param, made


def touches(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


def meets(edit: Span, clause: Span) -> bool:
    """Say whether words are put in, taken out or changed within the clause or at its edge."""
    return edit.start <= clause.end and clause.start <= edit.end


def asks_for_heat(clause: Clause) -> bool:
    return clause.act.split("-")[0] in HEATS


def lost(result: Result) -> list[Clause]:
    """Clauses about heat in no placed phase, under no flag and, where they heat nothing anew, not rewritten."""
    placed = {placement.phase for placement in result.placements if placement.moves}
    told = {flag.phase for flag in result.flags}
    safe = {
        clause.span
        for phase in result.reading.phases
        for clause in phase.clauses
        if phase.number in placed or phase.number in told
    }
    edits = [edit.span for step in result.steps for edit in step.edits]
    return [
        clause
        for clause in result.reading.clauses
        if asks_for_heat(clause)
        and clause.span not in safe
        and not any(touches(flag.span, clause.span) for flag in result.flags)
        and (clause.act == "heat" or not any(meets(span, clause.span) for span in edits))
    ]


def test_every_heat_clause_is_placed_or_flagged(converted: tuple[str, list[Result]], ledger: Any) -> None:
    cooker, results = converted
    every = sum(1 for result in results for clause in result.reading.clauses if asks_for_heat(clause))
    assert every > len(results), "the reader finds almost no heat: the check would pass on nothing"
    missing = [(result, clause) for result in results for clause in lost(result)]
    ledger.row(f"{cooker}: heat clauses neither placed nor flagged", f"{len(missing)} of {every}", "0")
    for result, clause in missing[:SHOWN]:
        text = result.reading.recipe.document.text
        print(f"  {result.reading.recipe.title} step {clause.step}: {text[clause.span.start : clause.span.end]!r}")
    assert len(missing) == 0


def home_of(words: Leftover, step: WrittenStep) -> tuple[int, int] | None:
    """Where in the original step the left-over words stood; ``None`` where the converter wrote them itself."""
    blocks = difflib.SequenceMatcher(None, step.original, step.rewritten, autojunk=False).get_matching_blocks()
    for block in blocks:
        if block.b <= words.start and words.end <= block.b + block.size:
            return block.a + words.start - block.b, block.a + words.end - block.b
    return None


def in_silence(result: Result) -> list[tuple[WrittenStep, Leftover]]:
    """Dial words left in the rewritten steps whose sentence bears no flag for a cook's judgement."""
    starts = {step.number: step.span.start for step in result.reading.recipe.steps}
    found = []
    for step in result.steps:
        flags = [flag for flag in result.flags if flag.step == step.number and flag.level != "note"]
        for words in leftovers(step.rewritten):
            home = home_of(words, step)
            if home is not None and any(told(flag, home, step, starts[step.number]) for flag in flags):
                continue
            found.append((step, words))
    return found


def told(flag: Flag, home: tuple[int, int], step: WrittenStep, start: int) -> bool:
    begin, end = sentence_of(step.original, home[0])
    return touches(flag.span, Span(start + begin, start + max(end, home[1])))


def test_dial_words_are_gone_or_flagged(converted: tuple[str, list[Result]], ledger: Any) -> None:
    cooker, results = converted
    before = sum(1 for result in results if any(leftovers(step.text) for step in result.reading.recipe.steps))
    assert before > len(results) / 3, "the checker sees almost no dial words in the originals: it proves nothing"
    left = [(result, found) for result in results if (found := in_silence(result))]
    kinds = Counter(words.kind for _, found in left for _, words in found)
    share = len(left) / len(results)
    beside = f"{before / len(results):.0%} have them before"
    ledger.row(f"{cooker}: recipes with dial words left in silence", f"{share:.2%}", "<= 1 %", beside)
    print("  " + ", ".join(f"{kind} {count}" for kind, count in kinds.most_common()))
    for result, found in left[:SHOWN]:
        step, words = found[0]
        around = step.rewritten[max(0, words.start - 50) : words.end + 30]
        print(f"  {result.reading.recipe.title} step {step.number} [{words.kind}] ...{around}...")
    assert share <= MOST_LEFT


def test_how_much_is_flagged(converted: tuple[str, list[Result]], ledger: Any) -> None:
    cooker, results = converted
    placements = [placement for result in results for placement in result.placements]
    assert placements
    flagged = sum(1 for placement in placements if placement.flag)
    beside = f"{sum(1 for placement in placements if not placement.moves)} cannot be done here"
    ledger.row(f"{cooker}: placements flagged", f"{flagged / len(placements):.1%} of {len(placements)}", "", beside)
    for level in ("caution", "judgement", "note"):
        having = sum(1 for result in results if any(flag.level == level for flag in result.flags))
        ledger.row(f"{cooker}: recipes with a {level}", f"{having / len(results):.1%}")
    names = Counter(flag.name for result in results for flag in result.flags)
    print("  " + ", ".join(f"{name} {count}" for name, count in names.most_common()))
    silent = sum(1 for result in results if not result.flags)
    ledger.row(f"{cooker}: recipes with no flag", f"{silent / len(results):.1%}")
    # A tool that flags all of them says nothing by it.
    assert flagged < len(placements)
