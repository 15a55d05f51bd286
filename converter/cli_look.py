"""The commands that look inside: trace, explain, check."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import click

from converter import cli_parts

if TYPE_CHECKING:
    from converter.flagkinds import FlagKind
    from converter.model import Clause, Mention, Phase, Placement, Range, Result
    from converter.place.rules import Rule

WIDTH = 96


def _print(lines: Iterable[str]) -> None:
    click.echo("\n".join(lines))


def _row(label: str, text: str, *, indent: int = 2, column: int = 12) -> Iterator[str]:
    lead = " " * indent + f"{label:<{column}}"
    return iter(
        wrap(
            " ".join(text.split()) or "-", width=WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead),
            break_long_words=False, break_on_hyphens=False,
        )
    )  # fmt: skip


def _range(value: Range | None, unit: str) -> str:
    if value is None:
        return "-"
    low, high = (f"{part:g}" for part in value)
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"


def _value(mention: Mention) -> str:
    return _range(mention.celsius, "C") if mention.kind == "temperature" else _range(mention.seconds, "s")


def _mention(mention: Mention) -> str:
    known = ("fan", "conditional", "more", "last", "disagrees", "unit_guessed")
    marks = [name for name in known if getattr(mention, name)]
    return f"'{mention.text}' {mention.role} {_value(mention)}" + (f" [{', '.join(marks)}]" if marks else "")


def _clause(clause: Clause, text: str) -> str:
    parts = [f"{clause.act}/{clause.method}/{clause.environment}", f"'{text[clause.verb.start : clause.verb.end]}'"]
    for name in ("place", "sign"):
        span = getattr(clause, name)
        if span is not None:
            parts.append(f"{name}='{text[span.start : span.end]}'")
    for name in ("heat", "height", "lid", "vessel", "appliance"):
        if getattr(clause, name):
            parts.append(f"{name}={getattr(clause, name)}")
    return " ".join([*parts, *clause.marks])


def _phase(phase: Phase) -> str:
    parts = [
        f"{phase.number}: {phase.method}/{phase.environment}", _range(phase.celsius, "C"), _range(phase.seconds, "s"),
        f"food={phase.food or '-'}", f"class={phase.food_class or '-'}", f"lid={phase.lid}",
    ]  # fmt: skip
    for name in ("heat", "height", "appliance"):
        if getattr(phase, name):
            parts.append(f"{name}={getattr(phase, name)}")
    if phase.core_c:
        parts.append(f"core={_range(phase.core_c, 'C')}")
    return " ".join([*parts, *phase.marks])


def _placement(placement: Placement) -> str:
    moves = []
    for move in placement.moves:
        words = [move.zone, *([move.height] if move.height else [])]
        if move.minutes:
            words.append(_range((move.minutes.low, move.minutes.high), "min"))
        words += [word for word, yes in (("shield", move.shield), ("covered", move.cover)) if yes]
        words += [f"until {move.until}"] if move.until else []
        moves.append(" ".join(words))
    shown = " > ".join(moves) or "nothing on this cooker"
    return f"{placement.phase}: {shown} (rule {placement.rule}{', flagged' if placement.flag else ''}) {placement.why}"


def trace_lines(result: Result, *, step: int | None = None) -> Iterator[str]:
    """Return what each stage made of each step of the method, line by line."""
    reading = result.reading
    text = reading.recipe.document.text
    yield f"{reading.recipe.title or '(no title)'} | {result.cooker} | {len(reading.recipe.ingredients)} ingredients"
    written = {made.number: made for made in result.steps}
    placed = {placement.phase: placement for placement in result.placements}
    for part in reading.recipe.steps:
        number = part.number
        if step not in (None, number):
            continue
        yield ""
        yield from _row(f"step {number}", part.text, indent=0)
        for mention in (item for item in reading.mentions if item.step == number):
            yield from _row(mention.kind[:11], _mention(mention))
        for clause in (item for item in reading.clauses if item.step == number):
            yield from _row("clause", _clause(clause, text))
        for phase in (item for item in reading.phases if item.step == number):
            yield from _row("phase", _phase(phase))
            if phase.number in placed:
                yield from _row("placed", _placement(placed[phase.number]))
        for edit in written[number].edits if number in written else ():
            yield from _row("edit", f"'{text[edit.span.start : edit.span.end]}' -> '{edit.words}'")
        for flag in (item for item in result.flags if item.step == number):
            yield from _row("flag", f"{flag.level}[{flag.name}] '{flag.text}': {flag.message}")
        if number in written:
            yield from _row("written", written[number].rewritten)
    loose = [flag for flag in result.flags if flag.step not in {part.number for part in reading.recipe.steps}]
    if loose and step is None:
        yield ""
        for flag in loose:
            yield from _row("flag", f"{flag.level}[{flag.name}]: {flag.message}", indent=0)


@click.command()
@click.argument("file", required=False, default="-")
@click.option("--cooker", metavar="NAME|FILE.yaml", help="Built-in cooker or your own profile.")
@click.option("--step", type=click.IntRange(min=1), help="Only this step of the method.")
@click.pass_context
def trace(ctx: click.Context, /, *, file: str, cooker: str | None, step: int | None) -> None:
    """Show what each stage makes of each step.

    \b
    Example: undial trace pie.txt --step 3
    """
    from converter.pipeline import convert

    chosen, table = cli_parts.cooker_named(cooker), cli_parts.rule_table()
    failed: list[str] = []
    with cli_parts.told(file, failed):
        result = convert(cli_parts.recipe_from(file), cooker=chosen, rules=table)
        last = len(result.reading.recipe.steps)
        if step is not None and step > last:
            raise cli_parts.WrongUse(f"--step {step}: the method has {last} steps")
        _print(trace_lines(result, step=step))
    ctx.exit(1 if failed else 0)


def _listed(kinds: dict[str, FlagKind], rules: Iterable[Rule]) -> Iterator[str]:
    yield "Flags"
    width = max(len(name) for name in kinds) + 2
    for name, kind in sorted(kinds.items()):
        yield from _row(name, f"{kind.level}: {kind.summary}", column=width)
    yield ""
    yield "Rules"
    for rule in rules:
        yield f"  {rule.id}"
        yield from _row("", rule.summary, column=width)


def _plain(value: Any) -> str:
    """A value of a rule in the words of its file."""
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_plain(part)}" for key, part in value.items())
    if isinstance(value, (list, tuple)):
        return " or ".join(_plain(part) for part in value)
    fields = getattr(value, "__dataclass_fields__", None)
    if fields:
        got = {name: getattr(value, name) for name in fields}
        return _plain({name: part for name, part in got.items() if part not in (None, False, (), "")})
    return f"{value:g}" if isinstance(value, float) else str(value)


def _flag_told(kind: FlagKind) -> Iterator[str]:
    yield f"{kind.level}[{kind.name}]"
    for label, text in (("what", kind.summary), ("why", kind.explanation), ("example", _plain(kind.example))):
        yield from _row(label, text, column=10)


def _rule_told(rule: Rule) -> Iterator[str]:
    yield f"rule {rule.id} ({rule.where})"
    rows = [("what", rule.summary), ("when", _plain(rule.when))]
    rows += [("move", _plain(move)) for move in rule.moves] or [("move", "none: this cooker cannot do it")]
    rows += [("why", rule.why), ("source", _plain(rule.source))]
    rows += [("example", _plain(example)) for example in rule.examples]
    for label, text in rows:
        yield from _row(label, text, column=10)


@click.command()
@click.argument("word", required=False)
@click.pass_context
def explain(ctx: click.Context, /, *, word: str | None) -> None:
    """Explain a flag or a rule.

    A worked example is shown with it. Without a WORD, all are listed.

    \b
    Example: undial explain no-time
    """
    from converter import flagkinds

    kinds = cli_parts.usable(flagkinds.table)
    rules = {rule.id: rule for rule in cli_parts.rule_table().rules}
    if word is None:
        _print(_listed(kinds, rules.values()))
    elif word in kinds:
        _print(_flag_told(kinds[word]))
    elif word in rules:
        _print(_rule_told(rules[word]))
    else:
        likely = cli_parts.near(word, [*kinds, *rules])
        hint = f"; did you mean {' or '.join(likely)}?" if likely else "; undial explain lists them all"
        raise cli_parts.WrongUse(f"no flag and no rule is called '{word}'{hint}")
    ctx.exit(0)


@click.command()
@click.argument("path", required=False, type=click.Path(path_type=Path))
@click.pass_context
def check(ctx: click.Context, /, *, path: Path | None) -> None:
    """Run the examples inside the rule files.

    Your own rules are read from PATH, without one from rules.yaml in the
    configuration folder of undial. Exit status 1 where an example fails.

    \b
    Example: undial check my-rules.yaml
    """
    from converter.place import examples

    if path is not None and not path.is_file():
        raise cli_parts.WrongUse(f"{path}: {'this is a folder' if path.is_dir() else 'there is no such file'}")
    table = cli_parts.rule_table(path)
    findings = list(examples.run(table))
    for finding in findings:
        cli_parts.say_error(str(finding))
    count = sum(len(rule.examples) for rule in table.rules)
    sys.stdout.flush()
    _print([f"{len(table.rules)} rules, {count} examples, {len(findings)} of them not as written"])
    ctx.exit(1 if findings else 0)
