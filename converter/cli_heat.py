"""The command ``undial heat``: one question about heat, answered with a table and a drawing in plain characters."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from textwrap import wrap
from typing import TYPE_CHECKING

import click

from converter import cli_parts, cli_words
from converter.cli_parts import WrongUse

if TYPE_CHECKING:
    from converter.heat.times import Estimate
    from converter.heat_answer import Answer, Question
    from converter.place.cookers import Cooker, Zone
    from converter.place.core_curve import Planned

DEFAULT_COLUMNS, MOST_COLUMNS = 80, 110
NO_CORE = "No core is drawn: it is done when soft, or the recipe's time and oven leave the size of the food open."

Way = list[tuple["Zone", str, float | None]]


@click.command(context_settings=cli_words.FIGURES)
@click.argument("food", metavar="FOOD")
@click.option("--minutes", metavar="MINUTES", help="The recipe's time: 90 or 1h30.")
@click.option("--dial", metavar="OVEN", help="The recipe's oven: 180, 350F, gas 4 or '160 fan'.")
@click.option("--weight", metavar="WEIGHT", help="What your piece weighs: 2kg, 800g, 4lb. Enough without a time.")
@click.option("--recipe-weight", metavar="WEIGHT", help="The weight that the recipe's time is for, if another.")
@click.option("--zone", "ways", metavar="'ZONE [HEIGHT] [MINUTES]'", multiple=True,
              help="A stay; give it once for each zone, in order. The last may be left without minutes. "
                   "Without it each oven is shown by itself.")  # fmt: skip
@click.option("--core", metavar="CELSIUS", help="Core temperature at which it comes out; without it the usual one.")
@click.option("--start", metavar="CELSIUS", help="Temperature of the food when it goes in; without it the usual one.")
@click.option("--cooker", metavar="NAME|FILE.yaml", help="Built-in cooker or your own profile.")
@click.option("--no-drawing", is_flag=True, help="Only tables and sentences, as for a screen reader.")
def heat(
    food: str,
    minutes: str | None,
    dial: str | None,
    weight: str | None,
    recipe_weight: str | None,
    ways: tuple[str, ...],
    core: str | None,
    start: str | None,
    cooker: str | None,
    no_drawing: bool,
) -> None:
    """Say how long a food takes in your zones, and how hot its middle gets.

    FOOD is a word such as 'leg of lamb', or a class such as red-meat. Give the
    recipe's time and oven, or the weight. All times are estimates: a
    thermometer decides.

    \b
    Example:
      undial heat lamb --minutes 90 --dial 180 --zone "hot-oven middle 20" --zone low-oven
    """
    from converter.data import DataError
    from converter.heat.errors import HeatError
    from converter.heat_answer import NoAnswer, Question, food_of

    made, slope = cli_parts.own_cooker(cooker)
    way = [cli_words.stay(made, words) for words in ways]
    for _, _, length in way[:-1]:
        if length is None:
            raise WrongUse("only the last --zone may be left without minutes; write e.g. 'hot-oven middle 20'")
    grams = None if weight is None else cli_words.grams(weight, "--weight")
    time = None if minutes is None else cli_words.minutes(minutes, "--minutes")
    try:
        question = Question(
            food_of(food, grams=grams, minutes=time),
            time,
            None if dial is None else cli_words.oven_c(dial, "--dial"),
            grams,
            None if recipe_weight is None else cli_words.grams(recipe_weight, "--recipe-weight"),
            None if core is None else cli_words.celsius(core, "--core"),
            None if start is None else cli_words.celsius(start, "--start"),
        )
        lines = list(_answered(question, made, way, slope=slope, drawing=not no_drawing))
    except (HeatError, NoAnswer, DataError) as error:
        raise WrongUse(str(error)) from None
    click.echo("\n".join(lines))


def _columns() -> int:
    if sys.stdout is None or not sys.stdout.isatty():
        return DEFAULT_COLUMNS
    return min(shutil.get_terminal_size((DEFAULT_COLUMNS, 24)).columns - 1, MOST_COLUMNS)


def _planned(way: Way) -> list[Planned]:
    from converter.place.core_curve import Planned

    return [Planned(f"{zone.label}, {height}", zone.at(height), length) for zone, height, length in way]


def _answered(question: Question, cooker: Cooker, way: Way, *, slope: float | None, drawing: bool) -> Iterator[str]:
    from converter.heat_answer import sentences

    read = cli_parts.read_today(cooker)
    ways: list[Way] = [way] if way else [[(zone, "middle", None)] for zone in cooker.ovens]
    for zone, height, _ in way if len(way) > 1 else ():
        if [(zone, height, None)] not in ways:
            ways.append([(zone, height, None)])
    rows = [(one, _row_answer(question, one, read, slope)) for one in ways]
    columns = _columns()
    yield from _paragraph(_heading(question, cooker), columns)
    yield ""
    yield from _table([(one, made.prediction.times) for one, made in rows], columns)
    shown, made = _best(question, rows) if not way else rows[0]
    hottest = max(zone.at(height) for zone, height, _ in shown)
    if not way:
        yield ""
        yield f"What follows is for the {shown[0][0].label}, {shown[0][1]}."
    yield ""
    for said in sentences(question, made, hottest):
        yield from _paragraph(said[:1].upper() + said[1:].rstrip(".") + ".", columns)
    yield from _drawn(made, columns, drawing)


def _row_answer(question: Question, way: Way, read: frozenset[tuple[str, str]], slope: float | None) -> Answer:
    from converter.heat_answer import answer

    recently = all((zone.id, height) in read for zone, height, _ in way)
    return answer(question, _planned(way), measured_recently=recently, slope=slope)


def _best(question: Question, rows: list[tuple[Way, Answer]]) -> tuple[Way, Answer]:
    """Of the zones that finish the food the one nearest to the recipe's oven, else to a usual one; else the first."""
    from converter.heat_answer import USUAL_C

    done = [row for row in rows if row[1].prediction.times.finishes]
    dial_c = USUAL_C if question.dial_c is None else question.dial_c
    return min(done, key=lambda row: abs(row[0][0][0].at(row[0][0][1]) - dial_c)) if done else rows[0]


def _heading(question: Question, cooker: Cooker) -> str:
    food = question.food
    given = [f"{question.grams / 1000:.3g} kg"] if question.grams is not None else []
    if question.minutes is not None and question.dial_c is not None:
        given.append(f"{question.minutes:g} minutes at {question.dial_c:.0f} °C in the recipe")
    taken = f"taken as {food.material.summary}, to {question.target_c:g} °C in the middle"
    return f"{food.words[:1].upper()}{food.words[1:]} ({', '.join(given)}), {taken}. Cooker: {cooker.name}."


def _table(rows: list[tuple[Way, Estimate]], columns: int) -> Iterator[str]:
    """The table and under it the numbered reasons."""
    from converter.write.curve import kitchen_minutes, time_words

    heads = ("zone", "°C", "look at", "expect at", "latest", "done", "why")
    notes: list[str] = []
    cells: list[tuple[str, ...]] = [heads]
    for way, times in rows:
        name = ", then ".join(
            f"{zone.label}, {height}" + (f", {time_words(length)}" if length is not None else "")
            for zone, height, length in way
        )
        heat = " > ".join(f"{zone.at(height):.0f}" for zone, height, _ in way)
        numbers = []
        for reason in times.reasons:
            if reason not in notes:
                notes.append(reason)
            numbers.append(notes.index(reason) + 1)
        three = (times.look_minutes, times.expect_minutes, times.latest_minutes)
        said = [
            time_words(kitchen_minutes(at, up=up)) if times.finishes else "-"
            for at, up in zip(three, (False, None, True), strict=True)
        ]
        cells.append((name, heat, *said, "yes" if times.finishes else "no", " ".join(map(str, sorted(numbers))) or "-"))
    widths = [max(len(row[at]) for row in cells) for at in range(len(heads))]
    widths[0] = min(widths[0], max(columns - sum(widths[1:]) - 2 * (len(heads) - 1), 16))
    for row in cells:
        first, *more = wrap(row[0], widths[0]) or [""]
        rest = "  ".join(f"{cell:>{width}}" for cell, width in zip(row[1:], widths[1:], strict=True))
        yield f"{first:<{widths[0]}}  {rest}"
        yield from (f"  {line}" for line in more)
    for number, note in enumerate(notes, start=1):
        yield from _paragraph(f"{number} {note}", columns, indent="  ")


def _paragraph(words: str, columns: int, *, indent: str = "") -> list[str]:
    bound = words.replace(" °C", "\xa0°C")
    lines = wrap(bound, columns, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
    return [line.replace("\xa0", " ") for line in lines]


def _drawn(made: Answer, columns: int, drawing: bool) -> Iterator[str]:
    from converter.write import curve_text
    from converter.write.curve import HEADING

    curve = made.prediction.curve
    if curve is None:
        yield from _paragraph(NO_CORE, columns)
        return
    yield ""
    yield f"{HEADING}:"
    if drawing:
        yield from curve_text.drawing(curve, columns=columns)
        yield ""
    yield from curve_text.table(curve)
