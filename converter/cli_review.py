"""The command ``undial review``: the flagged lines of a converted folder, one by one."""

from __future__ import annotations

import getpass
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from converter import cli_parts

if TYPE_CHECKING:
    from converter.folder.work import Setup
    from converter.ledger import Ledger
    from converter.review import Item, Sitting


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
    from converter.ledger import Ledger, LedgerError
    from converter.review import Sitting

    if sum((listing, answers is not None, out is not None, into is not None)) > 1:
        raise cli_parts.WrongUse("--list, --decide, --export and --import go one at a time")
    try:
        with Ledger.open(dest, create=False) as ledger:
            for notice in ledger.notices:
                cli_parts.say(f"Note: {notice}")
            sitting = Sitting(ledger, dest, _setup(ledger), who=who or _account())
            wrong = False
            if listing:
                from converter.review import answers as told

                told_words = told.as_json if form == "json" else told.as_text
                click.echo(told_words(sitting, words=words, notes=notes), nl=False)
            elif answers is not None:
                wrong = _decide(sitting, answers)
            elif out is not None:
                _export(ledger, out, force=force)
            elif into is not None:
                _import(sitting, into)
            else:
                _screen(sitting, notes=notes)
            if not listing and out is None:
                ledger.backup()
    except LedgerError as error:
        raise click.ClickException(str(error)) from None
    ctx.exit(1 if wrong else 0)


def _account() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def _setup(ledger: Ledger) -> Setup:
    from converter.folder.work import Setup
    from converter.ledger import Settings

    kept = ledger.settings() or Settings("")
    chosen, slope = cli_parts.own_cooker(kept.cooker or None)
    return Setup(chosen, cli_parts.rule_table(), form=kept.form, units=kept.units, slope=slope)


def _text(path: Path) -> str:
    from converter.files import FileTrouble, trouble

    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise cli_parts.WrongUse(str(trouble(str(path), error))) from None
    except (UnicodeDecodeError, FileTrouble):
        raise cli_parts.WrongUse(f"{path}: it is not UTF-8 text") from None


def _decide(sitting: Sitting, path: Path) -> bool:
    from converter.data import DataError
    from converter.review.answers import answer, read_answers

    rows = cli_parts.usable(lambda: read_answers(_text(path), str(path)))
    kept = recipes = failed = 0
    for row in rows:
        try:
            lines, written = answer(sitting, row)
        except DataError as error:
            cli_parts.say_error(str(error))
            failed += 1
        else:
            kept, recipes = kept + lines, recipes + written
    cli_parts.say(f"{kept} flags decided, {recipes} outputs written again, {failed} answers not kept")
    return bool(failed)


def _export(ledger: Ledger, path: Path, *, force: bool) -> None:
    from converter.files import FileTrouble, write_whole
    from converter.ledger.exchange import write_yaml

    made = ledger.decisions()
    try:
        write_whole(path, write_yaml(made), force=force)
    except FileTrouble as error:
        raise cli_parts.WrongUse(str(error)) from None
    cli_parts.say(f"{len(made)} decisions written to {path}")


def _import(sitting: Sitting, path: Path) -> None:
    from converter.ledger.exchange import read_yaml

    made = cli_parts.usable(lambda: read_yaml(_text(path), str(path)))
    count = sitting.ledger.bring_in(made)
    recipes = sitting.rewrite(decision.key for decision in made)
    cli_parts.say(f"{count} of {len(made)} decisions are new or newer; {recipes} outputs written again")


def _screen(sitting: Sitting, *, notes: bool) -> None:
    from converter.review import screen

    if sys.stdin is None or not sys.stdin.isatty():
        raise cli_parts.WrongUse("this is no terminal; --list shows the open lines, --decide FILE takes answers")

    def ask(prompt: str) -> str:
        return input(prompt)

    screen.run(
        sitting, ask=ask, say=lambda text: click.echo(text), house=lambda i, c: _house(sitting, i, c), notes=notes
    )


def _house(sitting: Sitting, item: Item, code: str) -> str:
    from converter.review.house import make_rule

    return make_rule(sitting, item, code, cli_parts.user_rules())
