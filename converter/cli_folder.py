"""The command ``undial folder``: all recipes of one folder into another."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from converter import cli_parts

if TYPE_CHECKING:
    from converter.folder.engines import Engine

FORMS = ("text", "markdown", "html", "json", "jsonld")
_MOST_NAMED = 20


@click.command()
@click.argument("src", type=click.Path(path_type=Path))
@click.argument("dest", type=click.Path(path_type=Path))
@click.option("--cooker", metavar="NAME|FILE.yaml", help="Built-in cooker or your own profile (undial cooker --help).")
@click.option("--to", "form", type=click.Choice(FORMS), default="markdown", show_default=True, help="Form.")
@click.option("--units", type=click.Choice(["c", "f", "both"]), default="both", show_default=True, help="Degrees.")
@click.option("--jobs", type=click.IntRange(1, 256), metavar="N", help="Files at once; without it one for each core.")
@click.option("--cluster", metavar="ADDRESS", help="Let a running Dask cluster do the work: tcp://machine:8786.")
@click.pass_context
def folder(
    ctx: click.Context,
    /,
    *,
    src: Path,
    dest: Path,
    cooker: str | None,
    form: str,
    units: str,
    jobs: int | None,
    cluster: str | None,
) -> None:
    """Convert all recipes of the folder SRC into the folder DEST.

    Nothing in SRC is changed. DEST gets the same tree with one file for each
    recipe, an index, and report.json for programs. Run it again after a change
    or a break: only what is new or different is done. DEST is a new or empty
    folder, or one that this command made. Exit status: 0 all converted, 1
    something was not, 2 wrong use.

    \b
    Example: undial folder recipes converted --cooker three-oven
    """
    from converter.folder import FolderTrouble, NoCluster, Setup, convert_folder

    chosen, slope = cli_parts.own_cooker(cooker)
    setup = Setup(chosen, cli_parts.rule_table(), form=form, units=units, slope=slope)
    try:
        with _engine(jobs, cluster) as engine, _progress() as told:
            done = convert_folder(src, dest, setup=setup, engine=engine, cooker_name=cooker or chosen.name, told=told)
    except (FolderTrouble, NoCluster) as error:
        raise click.ClickException(str(error)) from None
    for notice in done.notices:
        cli_parts.say(f"Note: {notice}")
    failed = done.listed.failed
    for one in failed[:_MOST_NAMED]:
        reason = getattr(one, "reason", "") or getattr(one, "sentence", "")
        cli_parts.say_error(f"{one.source}: {reason}")
    if len(failed) > _MOST_NAMED:
        cli_parts.say(f"and {len(failed) - _MOST_NAMED} more; report.json in {dest} names them all")
    click.echo(_summary(done.converted, done.unchanged, done.gone, len(failed)))
    ctx.exit(1 if failed else 0)


def _summary(converted: int, unchanged: int, gone: int, failed: int) -> str:
    def count(number: int, word: str) -> str:
        return f"{number} {word}{'' if number == 1 else 's'}"

    parts = [f"{count(converted, 'recipe')} converted"]
    if unchanged:
        parts.append(f"{count(unchanged, 'file')} unchanged")
    if gone:
        parts.append(f"{count(gone, 'file')} gone")
    if failed:
        parts.append(f"{failed} not converted")
    return ", ".join(parts)


@contextlib.contextmanager
def _engine(jobs: int | None, address: str | None) -> Iterator[Engine]:
    from converter import folder

    if address is not None:
        if jobs is not None:
            raise cli_parts.WrongUse("--jobs is for this machine alone; with --cluster the cluster decides")
        with folder.cluster(address) as engine:
            yield engine
        return
    made = folder.Processes(jobs or folder.cores())
    try:
        yield made
    finally:
        made.stop()


@contextlib.contextmanager
def _progress() -> Iterator[Callable[[int, int], None]]:
    """Show a bar on a terminal, nothing elsewhere."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        BarColumn(), MofNCompleteColumn(), TextColumn("files, {task.fields[rate]:.0f} a second, left:"),
        TimeRemainingColumn(),
    )  # fmt: skip
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        row = bar.add_task("", total=None, rate=0.0)

        def told(done: int, total: int) -> None:
            bar.update(row, completed=done, total=total, rate=bar.tasks[0].speed or 0.0)

        yield told
