"""The commands ``undial cooker``: list, show, new, check and use; those of ``cli_own`` when they are asked for.

Mistakes are one sentence on stderr: exit 2 for wrong use, 1 for a profile
that is refused.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from functools import wraps
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from converter.data import DataError

if TYPE_CHECKING:
    from converter.place.cookers import Cooker, Zone


class _Refused(click.ClickException):
    """A profile that cannot be used, said in one sentence on stderr."""

    exit_code = 1


class _WrongUse(click.ClickException):
    """A wrong name, file or option, said in one sentence on stderr."""

    exit_code = 2


def _one_sentence(command: Callable[..., None]) -> Callable[..., None]:
    """Turn ``DataError`` into a message on stderr and exit 1."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
        except DataError as error:
            raise _Refused(str(error)) from None

    return run


LEARNING = ("evidence", "reading", "readings", "took")


class _Commands(click.Group):
    """The commands; those that learn from the cook are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted({*super().list_commands(ctx), *LEARNING})

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in LEARNING:
            command = getattr(import_module("converter.cli_own"), cmd_name)
            assert isinstance(command, click.Command)
            return command
        return super().get_command(ctx, cmd_name)


@click.group("cooker", cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
def cooker() -> None:
    """Say which heat-storage range you cook on.

    A cooker is one of the built-in layouts or a YAML file of your own with
    your words for the zones and the temperatures that you measured.

    \b
    Example:
      undial cooker list
    """


@cooker.command("list")
@_one_sentence
def list_cookers() -> None:
    """List the built-in cookers and mark the default.

    \b
    Example:
      undial cooker list
    """
    from converter.place import cookers

    try:
        default, gone = cookers.default_name(), None
    except DataError as error:
        default, gone = "", error
    names = cookers.builtin()
    width = max(map(len, names))
    for name in names:
        made = cookers.load(name)
        mark = "  (default)" if name == default else ""
        click.echo(f"{name:<{width}}  {made.summary}{mark}")
    if gone:
        click.echo(f"Warning: {gone}", err=True)
    elif default not in names:
        click.echo(f"{click.format_filename(default)}  (default, your own)")


@cooker.command("show")
@click.argument("name", metavar="[NAME|FILE]", required=False)
@_one_sentence
def show(name: str | None) -> None:
    """Show the zones of a cooker, where they stand and how hot they are.

    Without a name the default cooker is shown. Zones that you have read with
    a thermometer show what it said.

    \b
    Example:
      undial cooker show two-oven
    """
    from converter.place import cookers, drawing, own_cooker

    by_profile = _load(cookers.default_name() if name is None else name)
    made, _, remarks = own_cooker.apply(by_profile, date.today())
    click.echo(f"{made.name}: {made.summary}" if made.summary else made.name)
    for zone, unread in zip(made.zones, by_profile.zones, strict=True):
        click.echo()
        click.echo(f"{zone.label} ({drawing.where(zone)})")
        for line in _facts(zone):
            click.echo(f"    {line}")
        if zone is not unread:
            click.echo(f"    by your thermometer; the profile says {unread.at():.0f} °C")
    for remark in remarks:
        click.echo(f"Note: {remark}", err=True)
    click.echo()
    click.echo(drawing.drawing(made))


def _facts(zone: Zone) -> list[str]:
    if not zone.is_oven:
        heat = f"about {zone.at():.0f} °C on the surface"
    elif len(set(zone.celsius.values())) == 1:
        heat = f"about {zone.at():.0f} °C at every height"
    else:
        heat = " · ".join(f"{height} {zone.at(height):.0f}" for height in zone.heights) + " °C"
    lines = [f"{heat}, give or take {zone.tolerance_c:.0f} K"]
    if zone.shield_c is not None:
        lines.append(f"low, under a cold shield: about {zone.shield_c:.0f} °C")
    if zone.shelves:
        shelves = " · ".join(f"{number} {height}" for number, height in enumerate(zone.shelves, start=1))
        lines.append(f"shelf positions from the top: {shelves}")
    lines.append("holds 1 large pan or tin" if zone.holds == 1 else f"holds {zone.holds} large pans or tins")
    lines.append(f"for {zone.use}")
    return lines


@cooker.command("new")
@click.argument("file", type=click.Path())
@click.option("--like", metavar="NAME", help="Built-in cooker to start from; without it the default, else four-oven.")
@click.option("--force", is_flag=True, help="Overwrite FILE if it exists.")
@_one_sentence
def new(file: str, like: str | None, force: bool) -> None:
    """Write a profile to edit: a commented YAML file like a built-in cooker.

    \b
    Example:
      undial cooker new my-cooker.yaml --like three-oven
    """
    from converter.place import cookers, profiles

    start = cookers.builtin_name(like) if like is not None else _builtin_default()
    if start is None:
        raise _WrongUse(f"'{like}' is no built-in cooker; built in are {', '.join(cookers.builtin())}")
    shown = click.format_filename(file)
    if os.path.isdir(file):
        raise _WrongUse(f"'{shown}' is a folder; give the name of a file to write")
    if os.path.lexists(file) and not force:
        raise _WrongUse(f"'{shown}' exists already; give another name, or --force to overwrite it")
    try:
        profiles.write_whole(Path(file), profiles.template(start, Path(file).stem))
    except OSError as error:
        raise _WrongUse(f"'{shown}' cannot be written: {(error.strerror or str(error)).lower()}") from None
    click.echo(f"Wrote {shown}, like {start}. Edit it, then: undial cooker check {shown}")


def _builtin_default() -> str:
    from converter.place import cookers

    try:
        return cookers.builtin_name(cookers.default_name()) or cookers.FALLBACK
    except DataError:
        return cookers.FALLBACK


@cooker.command("check")
@click.argument("file", type=click.Path())
@_one_sentence
def check(file: str) -> None:
    """Check a profile and say what is wrong or doubtful, with the line.

    Ends with exit code 1 if the profile cannot be used.

    \b
    Example:
      undial cooker check my-cooker.yaml
    """
    from converter.place import profiles

    _must_exist(file)
    shown = click.format_filename(file)
    made, findings = profiles.examine(Path(file), source=shown)
    for finding in findings:
        click.echo(str(finding), err=finding.refused)
    if made is None:
        count = sum(finding.refused for finding in findings)
        raise _Refused(f"{shown} cannot be used: {count} mistake{'s' if count != 1 else ''}")
    ovens = f"{len(made.ovens)} oven{'s' if len(made.ovens) != 1 else ''}"
    plates = f"{len(made.plates)} plate{'s' if len(made.plates) != 1 else ''}"
    click.echo(f"{made.name} can be used: {plates}, {ovens}")


@cooker.command("use")
@click.argument("name", metavar="NAME|FILE")
@_one_sentence
def use(name: str) -> None:
    """Remember a cooker as the default for all commands.

    \b
    Example:
      undial cooker use three-oven
    """
    from converter.place import cookers

    _load(name)
    made = cookers.remember(name)
    click.echo(f"The default cooker is now {made.name}.")


def _load(name: str) -> Cooker:
    """Load a cooker; a name or file that is not there is wrong use."""
    from converter.place import cookers

    if cookers.builtin_name(name) is None:
        if Path(name).suffix or len(Path(name).parts) > 1 or os.path.isdir(name):
            _must_exist(name)
        elif not os.path.exists(name):
            known = ", ".join(cookers.builtin())
            raise _WrongUse(f"'{name}' is neither a built-in cooker nor a file; built in are {known}")
    return cookers.load(name)


def _must_exist(name: str) -> None:
    shown = click.format_filename(name)
    if os.path.isdir(name):
        raise _WrongUse(f"'{shown}' is a folder; give a profile, a YAML file")
    if not os.path.exists(name):
        raise _WrongUse(f"there is no file '{shown}'")
