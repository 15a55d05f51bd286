"""The commands of ``undial cooker`` that learn: reading, readings, took, evidence."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

import click

from converter import cli_parts, cli_words
from converter.cli_parts import WrongUse

if TYPE_CHECKING:
    from converter.place.cookers import Cooker
    from converter.place.own_cooker import Cooked, OwnRecord

COOKER = click.option("--cooker", "name", metavar="NAME|FILE.yaml", help="Cooker; without it the default one.")
DATE = click.option("--date", "day", metavar="YYYY-MM-DD", help="Day of it; without it today.")


@contextlib.contextmanager
def _plainly() -> Iterator[None]:
    """Turn what a record or file has against it into one sentence."""
    from converter.data import DataError
    from converter.files import FileTrouble

    try:
        yield
    except (DataError, FileTrouble) as error:
        raise WrongUse(str(error)) from None


def _say(remarks: tuple[str, ...]) -> None:
    for remark in remarks:
        cli_parts.say(f"Note: {remark}")


def _remarks(cooker: Cooker, record: OwnRecord) -> None:
    from converter.place import own_cooker

    _say(own_cooker.apply(cooker, date.today(), record=record).remarks)


@click.command(context_settings=cli_words.FIGURES)
@click.argument("zone", metavar="ZONE")
@click.argument("height", metavar="HEIGHT")
@click.argument("degrees", metavar="CELSIUS")
@DATE
@COOKER
def reading(zone: str, height: str, degrees: str, day: str | None, name: str | None) -> None:
    """Keep what an oven thermometer said at one height of a zone.

    HEIGHT is roof, high, middle, low or floor; on a plate it is any. All
    later recipes are placed and timed by it, for 90 days.

    \b
    Example:
      undial cooker reading low-oven middle 108
    """
    from converter.place import own_cooker
    from converter.readings import Impossible, keep_reading

    made = cli_parts.cooker_named(name)
    there = cli_words.zone(made, zone)
    at, heat, on = cli_words.height(there, height), cli_words.celsius(degrees, "CELSIUS"), cli_words.day(day)
    try:
        with _plainly():
            record = keep_reading(made, there, at, celsius=heat, day=on)
    except Impossible as error:
        hint = f"; if it is °F, write {heat:g}F" if error.fahrenheit else ""
        raise WrongUse(f"{heat:g} °C is not kept: {error.reason}{hint}") from None
    click.echo(f"Kept: {own_cooker.told(there, at)}, {heat:g} °C, read on {on.isoformat()} ({made.name}).")
    _remarks(made, record)


@click.command()
@click.option("--undo", is_flag=True, help="Remove the reading that was entered last.")
@COOKER
def readings(undo: bool, name: str | None) -> None:
    """List the thermometer readings of a cooker and say which are in use.

    \b
    Example:
      undial cooker readings --undo
    """
    from converter.place import own_cooker
    from converter.readings import remove_reading

    made = cli_parts.cooker_named(name)
    with _plainly():
        record = own_cooker.load(made)
        if undo:
            if not record.readings:
                raise WrongUse(f"there is no reading of {made.name} to remove")
            gone = record.readings[-1]
            record = remove_reading(made, gone)
            click.echo(f"Removed: {gone.zone}, {gone.height}, {gone.celsius:g} °C of {gone.date.isoformat()}.")
    if not record.readings:
        click.echo(f"No readings of {made.name}. Keep one with: undial cooker reading ZONE HEIGHT CELSIUS")
        return
    used = set(map(id, own_cooker.usable(made, record, date.today(), []).values()))
    width = max(len(one.zone) for one in record.readings)
    click.echo(f"Readings of {made.name}, in the order in which they were entered:")
    for one in record.readings:
        mark = "  in use" if id(one) in used else ""
        by = f"  ({one.by})" if one.by else ""
        click.echo(f"  {one.date.isoformat()}  {one.zone:<{width}}  {one.height:<6}  {one.celsius:>5g} °C{mark}{by}")
    _remarks(made, record)


@click.command(context_settings=cli_words.FIGURES)
@click.argument("dish", metavar="DISH")
@click.option("--zone", "zone", required=True, metavar="ZONE", help="Where it was cooked.")
@click.option("--height", default="middle", show_default=True, metavar="HEIGHT", help="At which height.")
@click.option("--dial", required=True, metavar="OVEN", help="The recipe's oven: 180, 350F, gas 4 or '160 fan'.")
@click.option("--minutes", required=True, metavar="MINUTES", help="The recipe's time: 90 or 1h30.")
@click.option("--took", required=True, metavar="MINUTES", help="The time until it was done.")
@DATE
@COOKER
def took(
    dish: str,
    zone: str,
    height: str,
    dial: str,
    minutes: str,
    took: str,
    day: str | None,
    name: str | None,
) -> None:
    """Log what a dish really took, so that later estimates suit your cooker.

    For food that was taken out because it was done, not because the time was
    up, and that stayed in one zone. Dishes that must get soft tell nothing.

    \b
    Example:
      undial cooker took "roast lamb" --zone moderate-oven --dial 200 --minutes 90 --took 110
    """
    from converter.place import own_cooker, own_file
    from converter.readings import keep_log

    made = cli_parts.cooker_named(name)
    there = cli_words.zone(made, zone)
    if not there.is_oven:
        raise WrongUse(f"the {there.label} is a plate; only what an oven took tells about the clock")
    at, on = cli_words.height(there, height), cli_words.day(day)
    words = " ".join(dish.split())
    if not words or not words.isprintable() or len(words) > own_file.LONGEST_DISH:
        raise WrongUse(f"DISH must be a few words, at most {own_file.LONGEST_DISH} characters")
    dial_c = cli_words.oven_c(dial, "--dial")
    planned, spent = cli_words.minutes(minutes, "--minutes"), cli_words.minutes(took, "--took")
    with _plainly():
        record, kept = keep_log(made, there, at, dish=words, dial_c=dial_c, minutes=planned, took=spent, day=on)
    zone_c, how = kept.zone_c, "as read" if kept.zone_read else "the profile's figure, not read"
    click.echo(
        f"Kept as log {len(record.cooked)}: {words}, {planned:g} minutes at {dial_c:g} °C in the recipe, {spent:g} in "
        f"the {own_cooker.told(there, at)} ({zone_c:.0f} °C, {how})."
    )
    found = own_cooker.evidence(record)
    click.echo(f"Slope of the clock: {found.words()}.")
    if abs(found.surprises[-1]) >= own_cooker.SURPRISE:
        undo = f"undial cooker evidence --undo {len(record.cooked)}"
        _say((f"log {len(record.cooked)} is a surprise; if it was a slip, take it out with: {undo}",))
    if _not_by_the_clock(words):
        _say((f"the clock is for food that is done at a core temperature; {words} may be done by other signs",))
    if zone_c == dial_c:
        _say(("the zone was as hot as the recipe's oven, so that this log tells nothing about the slope",))


def _not_by_the_clock(dish: str) -> bool:
    """Whether the words name a food that is done when soft, brown or set."""
    from converter.place.heat_classes import heat_class
    from converter.read.foods import find

    hits = find(dish, 0, len(dish))
    return bool(hits) and heat_class(hits[0].food).serve == "rule-of-thumb"


@click.command()
@click.option("--undo", type=click.IntRange(min=1), metavar="N", help="Take log N out.")
@COOKER
def evidence(undo: int | None, name: str | None) -> None:
    """Show what the logs say about the clock of a cooker.

    The clock turns a recipe's minutes into yours: so many per cent a degree.
    It begins with what published recipes show, and each log moves it.

    \b
    Example:
      undial cooker evidence --undo 1
    """
    from converter.place import own_cooker
    from converter.readings import remove_log

    made = cli_parts.cooker_named(name)
    with _plainly():
        record = own_cooker.load(made)
        if undo is not None:
            if undo > len(record.cooked):
                count = len(record.cooked)
                raise WrongUse(f"there is no log {undo} of {made.name}; there are {count}" if count else
                               f"there is no log of {made.name} to take out")  # fmt: skip
            gone = record.cooked[undo - 1]
            record = remove_log(made, gone)
            click.echo(f"Taken out: {gone.dish} of {gone.date.isoformat()}.")
        found = own_cooker.evidence(record)
    rows = [("before any log", found.prior.mean, found.prior.sd)]
    if found.n:
        rows.append((f"after {found.n} log{'' if found.n == 1 else 's'}", found.mean, found.sd))
    click.echo(f"Clock of {made.name}: a recipe's hour changes by so much for each degree that the zone is hotter")
    for label, mean, sd in rows:
        click.echo(f"  {label:<16}{100 * mean:.2f} ± {100 * sd:.2f} % per °C")
    click.echo(f"  {'in use':<16}{100 * (found.slope if found.n else found.prior.mean):.2f} % per °C")
    for number, (one, sds) in enumerate(zip(record.cooked, found.surprises, strict=True), start=1):
        click.echo(
            f"{number:>3}  {one.date.isoformat()}  {one.dish}: {one.minutes:g} min at {one.dial_c:g} °C in the recipe, "
            f"{one.took:g} min in {one.zone}, {one.height} ({one.zone_c:.0f} °C{'' if one.zone_read else ', not read'})"
            f"{_surprise(one, sds)}"
        )
    click.echo("Only estimated minutes move by this; core temperatures and limits of safety stay as published.")


def _surprise(one: Cooked, sds: float) -> str:
    from converter.place.own_cooker import SURPRISE

    if one.zone_c == one.dial_c:
        return "; tells nothing, the zone was as hot as the recipe's oven"
    if abs(sds) < SURPRISE:
        return ""
    return f"; a surprise: {abs(sds):.1f} standard deviations from what the prior and the other logs lead one to expect"
