"""The manual is true: each command has help with an example and stands in the README, whose commands run."""

from __future__ import annotations

import ast
import io
import re
import shlex
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from converter import cli

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
KEBAB = re.compile(r"[a-z]+(-[a-z]+)*")


def commands(group: click.Group, words: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    ctx = click.Context(group)
    for name in group.list_commands(ctx):
        command = group.get_command(ctx, name)
        assert command is not None, name
        yield (*words, name), command
        if isinstance(command, click.Group):
            yield from commands(command, (*words, name))


COMMANDS = list(commands(cli.cli))


def fenced() -> list[str]:
    """The lines of the README's fenced blocks, backslashed line ends joined."""
    blocks = re.findall(r"^```(?:sh|bash|console|text)?\n(.*?)^```", README, flags=re.MULTILINE | re.DOTALL)
    return [line.strip() for block in blocks for line in block.replace("\\\n", " ").splitlines()]


def shown() -> list[str]:
    """The `undial ...` commands of the README, without a prompt or the folder of an environment before them."""
    found = [re.fullmatch(r"(?:\$ )?(?:\S*/)?(undial(?: .*)?)", line) for line in fenced()]
    return [match[1] for match in found if match]


@pytest.mark.parametrize(("words", "command"), COMMANDS, ids=[" ".join(words) for words, _ in COMMANDS])
def test_every_command_has_help_with_an_example_that_is_its_own(words: tuple[str, ...], command: click.Command) -> None:
    text = command.get_help(click.Context(command, info_name=" ".join(("undial", *words))))
    example = re.search(rf"undial {' '.join(words)}\b.*", text.partition("Example")[2])
    assert example, f"undial {' '.join(words)} --help shows no example of it"
    for option in re.findall(r"(?<!\S)(--?[a-z][a-z-]*)", example[0]):
        known = {name for parameter in command.params for name in (*parameter.opts, *parameter.secondary_opts)}
        assert option in known or isinstance(command, click.Group), f"the example of {words} uses {option}"


@pytest.mark.parametrize("words", [words for words, _ in COMMANDS], ids=" ".join)
def test_every_command_stands_in_the_readme(words: tuple[str, ...]) -> None:
    assert re.search(rf"undial {' '.join(words)}\b", README)


def test_the_readme_begins_with_two_blocks_to_run() -> None:
    use, tests = re.findall(r"^```sh\n(.*?)^```", README, flags=re.MULTILINE | re.DOTALL)[:2]
    assert "undial convert" in use
    assert "pytest" in tests
    assert "--cov" in tests


def test_the_readme_shows_commands() -> None:
    assert len(shown()) >= 3


def parts(line: str) -> tuple[list[str], str | None, str | None]:
    """A command line as words, the file it reads and the file it writes; other shell signs are not expected."""
    words, reads, writes = [], None, None
    tokens = iter(shlex.split(line, comments=True))
    for token in tokens:
        if token == "<":
            reads = next(tokens)
        elif token in (">", "2>"):
            writes = next(tokens)
        else:
            assert token not in ("|", "&&", ";"), f"this test cannot run: {line}"
            words.append(token)
    return words[1:], reads, writes


@pytest.mark.parametrize("line", dict.fromkeys(shown()))
def test_every_command_in_the_readme_runs(line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("sample_recipes", "rules"):
        shutil.copytree(ROOT / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    for name in ("XDG_CONFIG_HOME", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    words, reads, _ = parts(line)
    sample = min((ROOT / "sample_recipes").glob("*.txt"))
    data = Path(reads).read_bytes() if reads else sample.read_bytes()
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        with pytest.raises(SystemExit) as stopped:
            cli.main(words)
    said = err.buffer.getvalue().decode()
    assert stopped.value.code == 0 or ("--strict" in words and stopped.value.code == 1), said
    assert out.buffer.getvalue() or "-o" in words


# ------------------------------------------------------------------ flags


def explained() -> set[str]:
    from converter.flagkinds import table
    from converter.place.safety_table import caution_texts

    return {*table(), *caution_texts()}


def flag_calls(tree: ast.AST) -> Iterator[str]:
    """Literal names given to `Flag(...)`, `Hit(...)` or a function whose name ends in `flag`."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if called in ("Flag", "Hit") or called.rstrip("s").endswith("flag"):
            named = [keyword.value for keyword in node.keywords if keyword.arg == "name"]
            for value in (*named, *node.args[:1]):
                for part in ast.walk(value):
                    if isinstance(part, ast.Constant) and isinstance(part.value, str) and KEBAB.fullmatch(part.value):
                        yield part.value


def names_in_code() -> dict[str, str]:
    found = {}
    for path in sorted((ROOT / "converter").rglob("*.py")):
        for name in flag_calls(ast.parse(path.read_text(encoding="utf-8"))):
            found.setdefault(name, path.name)
    return found


def test_every_flag_name_in_code_and_rules_is_explained() -> None:
    from converter.place import rules

    used = names_in_code()
    for rule in rules.load().rules:
        used |= dict.fromkeys(rule.flags, rule.where)
    assert len(used) > 10
    missing = {name: where for name, where in used.items() if name not in explained()}
    assert missing == {}


def test_every_explained_flag_is_raised_somewhere() -> None:
    from converter.flagkinds import table
    from converter.place import rules

    words = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "converter").rglob("*.py"))
    used = {name for rule in rules.load().rules for name in rule.flags}
    assert [name for name in table() if name not in used and f'"{name}"' not in words] == []


def test_flag_texts_are_whole() -> None:
    from converter.flagkinds import table

    for kind in table().values():
        assert KEBAB.fullmatch(kind.name), kind.name
        for words in (kind.summary, kind.message, kind.why):
            assert words.strip(), kind.name
            assert not words.rstrip().endswith("."), f"{kind.name}: {words}"
        longest = max(len(kind.summary), len(kind.message))
        assert len(kind.explanation) > longest, f"{kind.name}: an explanation says more than its message"
        assert kind.example.strip(), kind.name
