"""The command ``undial review``: the flagged lines of a converted folder, one by one."""

from __future__ import annotations

import contextlib
import getpass
import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from converter import cli_parts

if TYPE_CHECKING:
    from converter.diagnostics import Style
    from converter.review import Desk


@click.command()
@click.argument("dest", type=click.Path(path_type=Path))
@click.option("--list", "listing", is_flag=True, help="Print the open lines and ask nothing.")
@click.option("--to", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="Of --list.")
@click.option("--find", "words", default="", metavar="WORDS", help="With --list: lines with all these words.")
@click.option("--notes", is_flag=True, help="Go through the notes, too.")
@click.option("--decide", "answers", type=click.Path(path_type=Path), metavar="FILE", help="Answers, YAML or JSON.")
@click.option("--export", "out", type=click.Path(path_type=Path), metavar="FILE", help="Write all decisions as YAML.")
@click.option("--import", "into", type=click.Path(path_type=Path), metavar="FILE", help="Bring decisions in.")
@click.option("--force", is_flag=True, help="With --export: overwrite a file that exists.")
@click.option("--who", metavar="NAME", help="Who decides; without it the name of this account.")
@click.pass_context
def review(
    ctx: click.Context,
    /,
    *,
    dest: Path,
    listing: bool,
    form: str,
    words: str,
    notes: bool,
    answers: Path | None,
    out: Path | None,
    into: Path | None,
    force: bool,
    who: str | None,
) -> None:
    """Go through the flagged lines of DEST, a folder that undial folder made.

    Cautions come first. What you answer is kept in DEST, tied to the words of
    the line, and the recipe is written again at once. Exit status: 0 done, 1
    an answer could not be kept, 2 wrong use.

    \b
    Example: undial review converted --list --to json
    """
    from converter.ledger import LedgerError
    from converter.review import Desk

    if sum((listing, answers is not None, out is not None, into is not None)) > 1:
        raise cli_parts.WrongUse("--list, --decide, --export and --import go one at a time")
    name = who if who is not None else _account()
    wrong = False
    try:
        desk = Desk(dest, user_rules=cli_parts.user_rules())
        for notice in desk.notices:
            cli_parts.say(f"Note: {notice}")
        if listing:
            from converter.review import answers as told

            told_words = told.as_json if form == "json" else told.as_text
            click.echo(told_words(desk, words=words, notes=notes), nl=False)
        elif out is not None:
            _export(desk, out, force=force)
        else:
            try:
                if answers is not None:
                    wrong = _decide(desk, answers, name)
                elif into is not None:
                    _import(desk, into)
                else:
                    _screen(desk, name, notes=notes)
            finally:
                desk.backup()
    except LedgerError as error:
        raise click.ClickException(str(error)) from None
    ctx.exit(1 if wrong else 0)


def _account() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def _text(path: Path) -> str:
    from converter.files import FileTrouble, trouble

    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise cli_parts.WrongUse(str(trouble(str(path), error))) from None
    except (UnicodeDecodeError, FileTrouble):
        raise cli_parts.WrongUse(f"{path}: it is not UTF-8 text") from None


def _decide(desk: Desk, path: Path, who: str) -> bool:
    from converter.data import DataError
    from converter.review.answers import answer, read_answers

    rows = cli_parts.usable(lambda: read_answers(_text(path), str(path)))
    kept = recipes = failed = 0
    for row in rows:
        try:
            done = answer(desk, row, who=who)
        except DataError as error:
            cli_parts.say_error(str(error))
            failed += 1
        else:
            kept, recipes = kept + done.lines, recipes + done.recipes
            for sentence in done.trouble:
                cli_parts.say_error(sentence)
                failed += 1
    cli_parts.say(f"{kept} flags decided, {recipes} outputs written again, {failed} answers not kept or not written")
    return bool(failed)


def _export(desk: Desk, path: Path, *, force: bool) -> None:
    from converter.files import FileTrouble, write_whole
    from converter.ledger.exchange import write_yaml

    made = desk.decisions()
    try:
        write_whole(path, write_yaml(made), force=force)
    except FileTrouble as error:
        raise cli_parts.WrongUse(str(error)) from None
    cli_parts.say(f"{len(made)} decisions written to {path}")


def _import(desk: Desk, path: Path) -> None:
    from converter.ledger.exchange import read_yaml

    made = cli_parts.usable(lambda: read_yaml(_text(path), str(path)))
    count, done = desk.bring_in(made)
    for sentence in done.trouble:
        cli_parts.say_error(sentence)
    cli_parts.say(f"{count} of {len(made)} decisions are new or newer; {done.recipes} outputs written again")


def _screen(desk: Desk, who: str, *, notes: bool) -> None:
    from converter.review import screen

    if sys.stdin is None or not sys.stdin.isatty():
        raise cli_parts.WrongUse("this is no terminal; --list shows the open lines, --decide FILE takes answers")
    try:
        screen.run(desk, ask=_ask, say=click.echo, who=who, notes=notes, style=_style)
    except KeyboardInterrupt:
        click.echo("")
        cli_parts.say("everything answered is kept")
        raise


def _ask(prompt: str) -> str:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401  # lets the cook edit what is typed

    return input(prompt)


def _style() -> Style:
    from converter.diagnostics import style_of

    out = sys.stdout
    width = shutil.get_terminal_size((80, 24)).columns
    return style_of(tty=out.isatty(), environ=os.environ, encoding=out.encoding, width=width)
