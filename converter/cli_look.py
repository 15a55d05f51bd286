"""The commands that look inside: trace, explain, check."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import click

from converter import cli_parts

if TYPE_CHECKING:
    from converter.flagkinds import FlagKind
    from converter.model import Clause, Mention, Phase, Placement, Range, Result, Span
    from converter.place.rules import Example, MoveRule, Rule
    from converter.place.safety_table import Caution

WIDTH = 96


def _print(lines: Iterable[str]) -> None:
    click.echo("\n".join(lines))


def _row(label: str, text: str, *, indent: int = 2, column: int = 12) -> Iterator[str]:
    lead = " " * indent + f"{label:<{column}}"
    lines = wrap(
        " ".join(text.split()).replace(" °", "\xa0°") or "-", width=WIDTH, initial_indent=lead,
        subsequent_indent=" " * len(lead), break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return (line.replace("\xa0", " ") for line in lines)


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
    def words(span: Span) -> str:
        return text[span.start : span.end].strip()

    parts = [f"{clause.act}/{clause.method or '-'}", f"'{words(clause.verb)}'"]
    for spot in clause.spots:
        said = [word for word in (spot.heat, spot.height, spot.direction) if word]
        parts.append(f"{spot.kind}='{words(spot.span)}'" + (f" ({', '.join(said)})" if said else ""))
    if clause.sign is not None:
        parts.append(f"sign='{words(clause.sign)}'")
    parts += [f"{name}={getattr(clause, name)}" for name in ("boil", "lid") if getattr(clause, name)]
    return " ".join(parts)


def _phase(phase: Phase) -> str:
    parts = [
        f"{phase.number}: {phase.method}/{phase.environment}", _range(phase.celsius, "C"), _range(phase.seconds, "s"),
        f"food={phase.food or '-'}", f"class={phase.food_class or '-'}", f"dish={phase.dish or '-'}",
        f"lid={phase.lid}",
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
                for reason in placed[phase.number].reasons:
                    yield from _row("reason", reason)
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
    if file == "-":
        cli_parts.invite()
    from converter.files import read_document
    from converter.pipeline import convert

    (chosen, slope), table = cli_parts.own_cooker(cooker), cli_parts.rule_table()
    measured = cli_parts.read_today(chosen)
    failed: list[str] = []
    with cli_parts.told(file, failed):
        result = convert(read_document(file), cooker=chosen, rules=table, slope=slope, measured=measured)
        last = len(result.reading.recipe.steps)
        if step is not None and step > last:
            raise cli_parts.WrongUse(f"--step {step}: the method has {last} steps")
        _print(trace_lines(result, step=step))
    ctx.exit(1 if failed else 0)


def _listed(kinds: dict[str, FlagKind], cautions: dict[str, Caution], rules: Iterable[Rule]) -> Iterator[str]:
    column = max(len(name) for name in (*kinds, *cautions)) + 2
    told = {name: ("caution", text.message) for name, text in cautions.items()}
    told |= {name: (kind.level, kind.summary) for name, kind in kinds.items()}
    yield "Flags"
    for name, (level, words) in sorted(told.items()):
        yield from _row(name, f"{level}: {words}", column=column)
    yield ""
    yield "Rules"
    for rule in rules:
        yield f"  {rule.id}"
        yield from _row("", rule.summary, indent=4, column=0)


def _told(rows: Iterable[tuple[str, str]]) -> Iterator[str]:
    for label, text in rows:
        if text:
            yield from _row(label, text, column=10)


def _flag_told(kind: FlagKind) -> Iterator[str]:
    yield f"{kind.level}[{kind.name}]"
    rows = [("what", kind.summary), ("why", kind.explanation), *(("choice", choice) for choice in kind.choices)]
    yield from _told([*rows, ("source", kind.source or ""), ("example", kind.example)])


def _caution_told(name: str, text: Caution) -> Iterator[str]:
    yield f"caution[{name}]"
    choices = (("choice", choice) for choice in text.choices)
    yield from _told([("what", text.message), ("why", text.why), *choices, ("source", text.source or "")])


def _condition(key: str, value: Any) -> str:
    """One condition of a rule in plain words."""
    if key == "cooker":
        both = zip(("with", "without"), value, strict=True)
        return "cooker " + " and ".join(f"{word} {', '.join(sorted(part))}" for word, part in both if part)
    if isinstance(value, tuple):
        low, high = value
        bounds = (f"from {low:g}" if low > float("-inf") else "", f"below {high:g}" if high < float("inf") else "")
        return f"{key} {' '.join(bound for bound in bounds if bound)}"
    return f"{key} {' or '.join(sorted(value))}"


def _move_told(move: MoveRule) -> str:
    parts = [", else ".join(move.zones)]
    if move.heights:
        parts.append(f"height {' or '.join(move.heights)}")
    timing = move.timing
    figures = f" {timing.low:g}-{timing.high:g}" if (timing.low, timing.high) != (1.0, 1.0) else ""
    parts.append(f"time {timing.law}{figures}")
    parts += ["under a shield"] if move.shield else []
    parts += ["covered" if move.cover else "uncovered"] if move.cover is not None else []
    parts += [f"until {move.until}"] if move.until else []
    return "; ".join(parts)


def _listing(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _example_told(example: Example) -> str:
    line = f"{example.line} ({example.cooker})"
    if example.silent:
        return f"{line} - silent: {example.silent}"
    gives = "; ".join(f"{key} {_listing(part)}" for key, part in example.gives)
    wrong = f" (known wrong: {example.known_wrong})" if example.known_wrong else ""
    return f"{line} - gives {gives}{wrong}"


def _rule_told(rule: Rule) -> Iterator[str]:
    yield f"rule {rule.id} ({rule.where})"
    yield from _told(
        [
            ("what", rule.summary),
            ("when", "; ".join(_condition(key, value) for key, value in rule.when.items())),
            *(("move", _move_told(move)) for move in rule.moves),
            *([] if rule.moves else [("move", "none: it cannot be done on this cooker")]),
            ("why", rule.why),
            *(("choice", choice) for choice in rule.choices),
            ("flags", ", ".join(rule.flags)),
            ("source", rule.source),
            *(("example", _example_told(example)) for example in rule.examples),
        ]
    )


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
    from converter.place.safety_table import caution_texts

    kinds = cli_parts.usable(flagkinds.table)
    cautions = cli_parts.usable(caution_texts)
    rules = {rule.id: rule for rule in cli_parts.rule_table(examples=word is not None).rules}
    if word is None:
        _print(_listed(kinds, cautions, rules.values()))
    elif word in kinds:
        _print(_flag_told(kinds[word]))
    elif word in cautions:
        _print(_caution_told(word, cautions[word]))
    elif word in rules:
        _print(_rule_told(rules[word]))
    else:
        likely = cli_parts.near(word, [*kinds, *cautions, *rules])
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
    if path is not None and not path.is_file():
        raise cli_parts.WrongUse(f"{path}: {'this is a folder' if path.is_dir() else 'there is no such file'}")
    table = cli_parts.rule_table(path, examples=True)
    from converter import examples

    findings = cli_parts.usable(lambda: examples.run(table))
    wrong = [finding for finding in findings if not finding.ok]
    for finding in wrong:
        where = f"{finding.example.where}: {finding.rule.id}, example {finding.number}"
        cli_parts.say_error(f"{where}: {finding.message}")
    _print([f"{len(table.rules)} rules, {len(findings)} examples, {len(wrong)} of them not as written"])
    ctx.exit(1 if wrong else 0)
