"""The command ``undial folder``: all recipes of one folder into another."""

from __future__ import annotations

import contextlib
import signal
import sys
import threading
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
    folder, or one that this command made. Ctrl-C stops it; what is finished
    is kept. Exit status: 0 all converted, 1 something was not, 2 wrong use,
    130 stopped.

    \b
    Example: undial folder recipes converted --cooker three-oven
    """
    from converter.folder import FolderTrouble, NoCluster, Setup, convert_folder

    chosen, slope = cli_parts.own_cooker(cooker)
    measured = cli_parts.read_today(chosen)
    setup = Setup(chosen, cli_parts.rule_table(), form=form, units=units, slope=slope, measured=measured)
    try:
        with _engine(jobs, cluster) as engine, _ctrl_c() as stopped, _progress() as told:
            done = convert_folder(
                src, dest, setup=setup, engine=engine, cooker_name=cli_parts.lasting_name(cooker), told=told,
                stopped=stopped,
            )  # fmt: skip
    except (FolderTrouble, NoCluster) as error:
        raise click.ClickException(str(error)) from None
    for notice in done.notices:
        cli_parts.say(f"Note: {notice}")
    if done.stopped:
        left = len(done.listed.waiting)
        what = f"; {_count(left, 'file')} left, the same command goes on from there" if left else ""
        cli_parts.say(f"stopped: {_count(done.converted, 'recipe')} converted and kept{what}")
        ctx.exit(cli_parts.STOPPED)
    failed = done.listed.failed
    for one in failed[:_MOST_NAMED]:
        reason = getattr(one, "reason", "") or getattr(one, "sentence", "")
        cli_parts.say_error(f"{one.source}: {reason}")
    if len(failed) > _MOST_NAMED:
        cli_parts.say(f"and {len(failed) - _MOST_NAMED} more; report.json in {dest} names them all")
    click.echo(_summary(done.converted, done.unchanged, done.gone, len(failed)))
    ctx.exit(1 if failed else 0)


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _summary(converted: int, unchanged: int, gone: int, failed: int) -> str:
    parts = [f"{_count(converted, 'recipe')} converted"]
    if unchanged:
        parts.append(f"{_count(unchanged, 'file')} unchanged")
    if gone:
        parts.append(f"{_count(gone, 'file')} gone")
    if failed:
        parts.append(f"{failed} not converted")
    return ", ".join(parts)


@contextlib.contextmanager
def _ctrl_c() -> Iterator[Callable[[], bool]]:
    """Give what says whether Ctrl-C was pressed; pressed once more it ends the program at once."""
    pressed = threading.Event()
    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler or threading.current_thread() is not threading.main_thread():
        yield pressed.is_set
        return

    def note(*_: object) -> None:
        pressed.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, note)
    try:
        yield pressed.is_set
    finally:
        signal.signal(signal.SIGINT, before)


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
    from rich.live import Live

    from converter.folder.progress import Progress

    made = Progress()
    with Live(made, console=Console(stderr=True), transient=True, refresh_per_second=8):
        yield made.told
