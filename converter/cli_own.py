"""The commands of ``undial cooker`` that learn: reading, readings, took, evidence."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import click

from converter import cli_parts
from converter.cli_parts import WrongUse

if TYPE_CHECKING:
    from converter.place.cookers import Cooker, Zone
    from converter.place.own_cooker import Cooked, OwnRecord

COOKER = click.option("--cooker", "name", metavar="NAME|FILE.yaml", help="Cooker; without it the default one.")
DATE = click.option("--date", "day", metavar="YYYY-MM-DD", help="Day of it; without it today.")
_DEGREES = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*(?:°|º)?\s*([cCfF]?)")
_NUMBERS = {"ignore_unknown_options": True}  # so that -5 is a figure and no option


@contextlib.contextmanager
def _plainly() -> Iterator[None]:
    """Turn what a record or file has against it into one sentence."""
    from converter.data import DataError
    from converter.files import FileTrouble

    try:
        yield
    except (DataError, FileTrouble) as error:
        raise WrongUse(str(error)) from None


def celsius(words: str, name: str) -> float:
    """Return °C from "108", "108 °C" or "225F"; raises ``WrongUse``."""
    from converter.units import to_celsius

    match = _DEGREES.fullmatch(words.strip())
    if not match:
        raise WrongUse(f"{name} must be a temperature in °C such as 108, or in °F such as 225F, not '{words}'")
    value = float(match[1].replace(",", "."))
    return round(to_celsius(value), 1) if match[2] in ("f", "F") else value


def day_of(words: str | None) -> date:
    """Return a day, today for None; raises ``WrongUse`` for words that are none and for a day to come."""
    if words is None:
        return date.today()
    try:
        made = date.fromisoformat(words.strip())
    except ValueError:
        raise WrongUse(f"the date must be a day such as 2026-01-31, not '{words}'") from None
    if made > date.today():
        raise WrongUse(f"the date {made.isoformat()} has not come yet")
    return made


def zone_of(cooker: Cooker, words: str) -> Zone:
    """Return the one zone of a cooker that is meant; raises ``WrongUse``."""
    from converter.place.own_cooker import zone_named

    found = zone_named(cooker, words)
    if len(found) == 1:
        return found[0]
    idents = [zone.id for zone in cooker.zones]
    if found:
        raise WrongUse(f"{cooker.name} has several zones '{words}': {', '.join(zone.id for zone in found)}")
    near = cli_parts.near(words, idents, limit=1)
    hint = f"; did you mean {near[0]}?" if near else ""
    raise WrongUse(f"{cooker.name} has no zone '{words}'; it has {', '.join(idents)}{hint}")


def height_of(zone: Zone, words: str) -> str:
    """Return the height in a zone, ``any`` on a plate; raises ``WrongUse``."""
    plain = words.strip().casefold()
    if not zone.is_oven:
        if plain not in ("any", "-", "surface"):
            raise WrongUse(f"the {zone.label} is a plate and has no heights; write 'any'")
        return "any"
    if plain in ("", "any"):
        return "middle"
    if plain not in zone.heights:
        raise WrongUse(f"the {zone.label} has no height '{words}'; it has {', '.join(zone.heights)}")
    return plain


def _say(remarks: tuple[str, ...]) -> None:
    for remark in remarks:
        cli_parts.say(f"Note: {remark}")


def _remarks(cooker: Cooker, record: OwnRecord) -> None:
    from converter.place import own_cooker

    _say(own_cooker.apply(cooker, date.today(), record=record).remarks)


@click.command(context_settings=_NUMBERS)
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
    from converter.place.own_cooker import ZoneReading
    from converter.readings import change

    made = cli_parts.cooker_named(name)
    there = zone_of(made, zone)
    at, heat, on = height_of(there, height), celsius(degrees, "CELSIUS"), day_of(day)
    if reason := own_cooker.impossible(there, at, heat):
        hint = ""
        if own_cooker.impossible(there, at, (heat - 32) / 1.8) is None:
            hint = f"; if it is °F, write {heat:g}F"
        raise WrongUse(f"{heat:g} °C is not kept: {reason}{hint}")
    new = ZoneReading(there.id, at, heat, on)
    with _plainly():
        record = change(made, lambda old: replace(old, readings=(*old.readings, new)))
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
    from converter.readings import change

    made = cli_parts.cooker_named(name)
    with _plainly():
        record = own_cooker.load(made)
        if undo:
            if not record.readings:
                raise WrongUse(f"there is no reading of {made.name} to remove")
            gone = record.readings[-1]
            record = change(made, lambda old: replace(old, readings=_without_last(old, gone)))
            click.echo(f"Removed: {gone.zone}, {gone.height}, {gone.celsius:g} °C of {gone.date.isoformat()}.")
    if not record.readings:
        click.echo(f"No readings of {made.name}. Keep one with: undial cooker reading ZONE HEIGHT CELSIUS")
        return
    used = set(map(id, own_cooker.usable(made, record, date.today(), []).values()))
    width = max(len(one.zone) for one in record.readings)
    click.echo(f"Readings of {made.name}, in the order in which they were entered:")
    for one in record.readings:
        mark = "  in use" if id(one) in used else ""
        click.echo(f"  {one.date.isoformat()}  {one.zone:<{width}}  {one.height:<6}  {one.celsius:>5g} °C{mark}")
    _remarks(made, record)


def _without_last(record: OwnRecord, gone: object) -> tuple[object, ...]:
    """The readings without the last one that equals `gone`; another writer may have added some since."""
    kept = list(record.readings)
    for at in range(len(kept) - 1, -1, -1):
        if kept[at] == gone:
            del kept[at]
            break
    return tuple(kept)


@click.command(context_settings=_NUMBERS)
@click.argument("dish", metavar="DISH")
@click.option("--zone", "zone", required=True, metavar="ZONE", help="Where it was cooked.")
@click.option("--height", default="middle", show_default=True, metavar="HEIGHT", help="At which height.")
@click.option("--dial", required=True, metavar="CELSIUS", help="The recipe's oven.")
@click.option("--fan", is_flag=True, help="The recipe's oven is a fan oven: counted 20 °C hotter.")
@click.option("--minutes", type=float, required=True, metavar="MINUTES", help="The recipe's minutes.")
@click.option("--took", type=float, required=True, metavar="MINUTES", help="The minutes until it was done.")
@DATE
@COOKER
def took(
    dish: str,
    zone: str,
    height: str,
    dial: str,
    fan: bool,
    minutes: float,
    took: float,
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
    from converter.place.own_cooker import Cooked
    from converter.readings import change

    made = cli_parts.cooker_named(name)
    there = zone_of(made, zone)
    if not there.is_oven:
        raise WrongUse(f"the {there.label} is a plate; only what an oven took tells about the clock")
    at, on = height_of(there, height), day_of(day)
    words = " ".join(dish.split())
    if not words or not words.isprintable() or len(words) > own_file.LONGEST_DISH:
        raise WrongUse(f"DISH must be a few words, at most {own_file.LONGEST_DISH} characters")
    dial_c = celsius(dial, "--dial") + (20.0 if fan else 0.0)
    kept: list[Cooked] = []

    def add(old: OwnRecord) -> OwnRecord:
        zone_c, read = own_cooker.zone_c_for_log(made, there.id, at, record=old, day=on)
        new = Cooked(words, there.id, at, zone_c, read, dial_c, minutes, took, on)
        kept[:] = [own_file.checked(new, where=words)]
        return replace(old, cooked=(*old.cooked, new))

    with _plainly():
        record = change(made, add)
    zone_c, how = kept[0].zone_c, "as read" if kept[0].zone_read else "the profile's figure, not read"
    click.echo(
        f"Kept as log {len(record.cooked)}: {words}, {minutes:g} minutes at {dial_c:g} °C in the recipe, {took:g} in "
        f"the {own_cooker.told(there, at)} ({zone_c:.0f} °C, {how})."
    )
    click.echo(f"Slope of the clock: {own_cooker.evidence(record).words()}.")
    if zone_c == dial_c:
        _say(("the zone was as hot as the recipe's oven, so that this log tells nothing about the slope",))


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
    from converter.readings import change

    made = cli_parts.cooker_named(name)
    with _plainly():
        record = own_cooker.load(made)
        if undo is not None:
            if undo > len(record.cooked):
                count = len(record.cooked)
                raise WrongUse(f"there is no log {undo} of {made.name}; there are {count}" if count else
                               f"there is no log of {made.name} to take out")  # fmt: skip
            gone = record.cooked[undo - 1]
            record = change(made, lambda old: replace(old, cooked=_without(old.cooked, gone)))
            click.echo(f"Taken out: {gone.dish} of {gone.date.isoformat()}.")
        found = own_cooker.evidence(record)
    n = found.n
    click.echo(f"Clock of {made.name}: change of a recipe's hour for each degree that a zone is hotter than its oven")
    click.echo(f"  before any log     {100 * found.prior.mean:.2f} ± {100 * found.prior.sd:.2f} % per °C (published)")
    click.echo(f"  after {n} log{' ' if n == 1 else 's'}{' ' * (11 - len(str(n)))}"
               f"{100 * found.mean:.2f} ± {100 * found.sd:.2f} % per °C")  # fmt: skip
    click.echo(f"  in use             {100 * (found.slope if n else found.prior.mean):.2f} % per °C")
    for number, (one, sds) in enumerate(zip(record.cooked, found.surprises, strict=True), start=1):
        click.echo(
            f"{number:>3}  {one.date.isoformat()}  {one.dish}: {one.minutes:g} min at {one.dial_c:g} °C in the recipe, "
            f"{one.took:g} min in {one.zone}, {one.height} ({one.zone_c:.0f} °C{'' if one.zone_read else ', not read'})"
            f"{_surprise(one, sds)}"
        )
    click.echo("Only estimated minutes move by this; core temperatures and limits of safety stay as published.")


def _without(cooked: tuple[Cooked, ...], gone: Cooked) -> tuple[Cooked, ...]:
    at = cooked.index(gone) if gone in cooked else len(cooked)
    return cooked[:at] + cooked[at + 1 :]


def _surprise(one: Cooked, sds: float) -> str:
    from converter.place.own_cooker import SURPRISE

    if one.zone_c == one.dial_c:
        return "; tells nothing, the zone was as hot as the recipe's oven"
    if abs(sds) < SURPRISE:
        return ""
    return f"; a surprise: {abs(sds):.1f} standard deviations from what the prior and the other logs lead one to expect"
