"""The command `undial`: convert, and the way to the other commands. Imports nothing heavy before it is needed."""

from __future__ import annotations

import contextlib
import errno
import gc
import os
import sys
from importlib import import_module
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from converter import __version__, cli_parts

if TYPE_CHECKING:
    from converter.model import Result

# The forms of converter.write.forms and how their files end; a test holds the two together.
ENDINGS = {"text": ".txt", "markdown": ".md", "html": ".html", "json": ".json", "jsonld": ".jsonld"}
LINEWISE = ("json", "jsonld")
START_OBJECTS = 1_000_000  # loading makes objects that stay; looking for garbage among them is a quarter of the start
STOPPED = cli_parts.STOPPED
ELSEWHERE = {
    "check": "converter.cli_look",
    "cooker": "converter.cli_cooker",
    "explain": "converter.cli_look",
    "folder": "converter.cli_folder",
    "heat": "converter.cli_heat",
    "review": "converter.cli_review",
    "serve": "converter.cli_serve",
    "trace": "converter.cli_look",
}


class Commands(click.Group):
    """The commands; those of other modules are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted({*super().list_commands(ctx), *ELSEWHERE})

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in ELSEWHERE:
            command = getattr(import_module(ELSEWHERE[cmd_name]), cmd_name)
            assert isinstance(command, click.Command)
            return command
        return super().get_command(ctx, cmd_name)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        word = args[0]
        if not word.startswith("-") and word not in self.list_commands(ctx):
            likely = cli_parts.near(word, self.list_commands(ctx))
            hint = f"; did you mean {' or '.join(likely)}?" if likely else ""
            if not likely and Path(word).exists():
                hint = f"; to convert a recipe: undial convert {word}"
            raise click.UsageError(f"there is no command '{word}'{hint}", ctx)
        return super().resolve_command(ctx, args)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="undial")
def cli() -> None:
    """Rewrite recipes for a dial oven so that they suit the fixed zones of a heat-storage range.

    \b
    Example: undial convert pie.txt
    Without a file the recipe is read from a paste: undial convert
    """


def _targets(inputs: list[str], output: Path | None, *, form: str, force: bool) -> list[Path | None]:
    """Return the file for each input; ``None`` is the common output. Refuses before any work is done."""
    from converter.files import same_file

    if output is None:
        if form == "html" and len(inputs) > 1:
            raise cli_parts.WrongUse("several recipes as html need a folder: -o FOLDER")
        return [None] * len(inputs)
    if output.is_dir():
        names = [output / ((Path(path).stem if path != "-" else "recipe") + ENDINGS[form]) for path in inputs]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise cli_parts.WrongUse(f"two of the recipes would both be written to {twice}")
        targets: list[Path | None] = list(names)
    elif len(inputs) > 1 and form not in LINEWISE:
        raise cli_parts.WrongUse(f"several recipes need a folder that exists after -o; {output} is none")
    else:
        names = [output]
        targets = [output] if len(inputs) == 1 else [None] * len(inputs)
    for name in names:
        if any(same_file(path, name) for path in inputs if path != "-"):
            raise cli_parts.WrongUse(f"{name} is a recipe to be read; it is never written over")
        if name.is_file() and not force:
            raise cli_parts.WrongUse(f"{name} exists already; --force overwrites it")
    return targets


def _piece(text: str, path: str, form: str, *, first: bool, alone: bool) -> str:
    """Return one recipe as it goes to the common output: on its line, or under its name and apart from the others."""
    whole = text if text.endswith("\n") else text + "\n"
    if alone or form in LINEWISE:
        return whole
    if form == "markdown":
        return ("" if first else "\n---\n\n") + f"<!-- {path.replace('--', '- -')} -->\n\n{whole}"
    return ("" if first else f"\n{'=' * 72}\n\n") + f"{path}\n\n{whole}"


def _tell(result: Result, detail: str) -> None:
    """Say on standard error what the cook should know about one conversion."""
    from converter import diagnostics

    if detail == "none":
        return
    style = cli_parts.style()
    document = result.reading.recipe.document
    flags = diagnostics.by_level(result.flags)
    if detail == "full":
        for flag in flags:
            cli_parts.say(diagnostics.flag_block(flag, document, style=style) + "\n")
    else:
        for flag in flags:
            if detail == "short" or flag.level == "caution":
                cli_parts.say(diagnostics.flag_line(flag, document, style=style))
    cli_parts.say(diagnostics.spell(diagnostics.summary(result), style.encoding))


def _failure(path: str, message: str) -> str:
    import json

    return json.dumps({"undial": __version__, "source": path, "error": message}, ensure_ascii=False)


@cli.command()
@click.argument("files", nargs=-1, metavar="[FILE]...")
@click.option("--cooker", metavar="NAME|FILE.yaml", help="Built-in cooker or your own profile (undial cooker --help).")
@click.option("--to", "form", type=click.Choice(list(ENDINGS)), default="markdown", show_default=True, help="Form.")
@click.option("--units", type=click.Choice(["c", "f", "both"]), default="both", show_default=True, help="Degrees.")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="File to write, or the folder for several.")
@click.option("--force", is_flag=True, help="Overwrite a file that exists.")
@click.option("--decisions", "dest", type=click.Path(path_type=Path), metavar="DEST", help="Folder of undial folder.")
@click.option("--strict", is_flag=True, help="Exit with 1 if anything was flagged.")
@click.option(
    "--diagnostics",
    "detail",
    type=click.Choice(["cautions", "short", "full", "none"]),
    default="cautions",
    show_default=True,
    help="What is said beside the recipe: the cautions, each flag on a line, each flag in full, or nothing.",
)
@click.pass_context
def convert(
    ctx: click.Context,
    /,
    *,
    files: tuple[str, ...],
    cooker: str | None,
    form: str,
    units: str,
    output: Path | None,
    force: bool,
    dest: Path | None,
    strict: bool,
    detail: str,
) -> None:
    """Convert recipes for your cooker.

    Without a FILE, or for -, the recipe is read from standard input. It goes
    to standard output, what is to be said about it to standard error. Exit
    status: 0 converted, 1 something could not be converted (with --strict: or
    was flagged), 2 wrong use.

    \b
    Example: undial convert pie.txt --cooker two-oven -o pie.md
    """
    inputs = list(files) or ["-"]
    if inputs.count("-") > 1:
        raise cli_parts.WrongUse("standard input (-) can be read only once")
    targets = _targets(inputs, output, form=form, force=force)
    if "-" in inputs:
        cli_parts.invite()
    from converter.files import read_document, write_whole
    from converter.pipeline import convert as convert_document
    from converter.write.forms import render

    chosen, slope = cli_parts.own_cooker(cooker, quiet=detail == "none")
    measured = cli_parts.read_today(chosen)
    table = cli_parts.rule_table()
    failed: list[str] = []
    kept: list[str] = []
    given = flagged = False
    alone = len(inputs) == 1

    def hand_over(text: str, path: str, target: Path | None) -> None:
        nonlocal given
        piece = _piece(text, path, form, first=not given, alone=alone or target is not None)
        if target is not None:
            write_whole(target, piece, force=force)
        elif output is not None:
            kept.append(piece)
        else:
            click.echo(piece, nl=False)
        given = True

    for path, target in zip(inputs, targets, strict=True):
        before = len(failed)
        with cli_parts.told(path, failed):
            result = convert_document(
                read_document(path), cooker=chosen, units=units, rules=table, slope=slope, measured=measured,
                decisions=cli_parts.decisions_for(path, dest, cooker=cooker),
            )  # fmt: skip
            hand_over(render(result, form), path, target)
            _tell(result, detail)
            flagged = flagged or bool(result.flags)
        if len(failed) > before and target is None and form in LINEWISE and not alone:
            hand_over(_failure(path, failed[-1]), path, None)  # so that line n is file n
    if kept and output is not None:
        with cli_parts.told(str(output), failed):
            write_whole(output, "".join(kept), force=force)
    ctx.exit(1 if failed or (strict and flagged) else 0)


def _as_utf8() -> None:
    """Piped output is UTF-8 on every system; a terminal keeps its own encoding and never stops the command."""
    stream: Any = sys.stdout
    with contextlib.suppress(AttributeError, ValueError, OSError):
        if os.environ.get("PYTHONIOENCODING") or stream.isatty():
            stream.reconfigure(errors="replace")
        else:
            stream.reconfigure(encoding="utf-8", errors="replace")


def _abandon(stream: IO[str]) -> None:
    # What is left in its buffer must go nowhere, or Python complains at exit.
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def main(args: list[str] | None = None) -> None:
    """Run the command and exit; no bad input shows a traceback."""
    status = 1
    gc.set_threshold(START_OBJECTS)
    _as_utf8()
    try:
        made = cli.main(args=args, prog_name="undial", standalone_mode=False)
        if sys.stdout is not None:  # None where the caller closed it
            sys.stdout.flush()
        status = made if isinstance(made, int) else 0
    except click.exceptions.Abort:
        cli_parts.say("stopped")
        status = STOPPED
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        status = error.exit_code
    except click.UsageError as error:
        how = f" ({error.ctx.command_path} --help shows how)" if error.ctx else ""
        cli_parts.say_error(error.format_message() + how)
        status = error.exit_code
    except click.ClickException as error:
        cli_parts.say_error(error.format_message())
        status = error.exit_code
    except SystemExit:  # click's own answer to a closed pipe
        _abandon(sys.stdout)
    except OSError as error:
        _abandon(sys.stdout)
        if error.errno != errno.EPIPE:
            from converter.files import trouble

            cli_parts.say_error(str(trouble(str(error.filename or "standard output"), error)))
    sys.exit(status)
