"""The command: what goes where, exit statuses, and one sentence for each bad input."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from converter import __version__, cli, cli_parts
from converter.write.forms import FORMS

TART = """Lemon and oat tart

Serves 6

Ingredients

- 200 g flour
- 100 g butter
- 3 lemons

Method

1. Preheat the oven to 180°C.
2. Rub the butter into the flour and line a tin with it.
3. Bake the tart at 180°C for 30 minutes until golden.
"""
SALAD = """Bean salad

Ingredients

- 1 tin of beans
- 2 spoons of oil

Method

1. Rinse the beans.
2. Stir in the oil and serve cold.
"""
CHICKEN = """Chicken pieces with lemon

Ingredients

- 1 kg chicken thighs
- 2 lemons

Method

1. Lay the chicken thighs in a dish and roast in the oven at 200°C for 40 minutes.
"""

posix = pytest.mark.skipif(os.name == "nt", reason="POSIX signals, devices and pipes")


@dataclass
class Done:
    status: int
    out: str
    err: str


class Stream(io.TextIOWrapper):
    """A standard stream over bytes that may say that it is a terminal."""

    def __init__(self, data: bytes = b"", *, tty: bool = False, encoding: str = "utf-8") -> None:
        super().__init__(io.BytesIO(data), encoding=encoding, errors="backslashreplace", write_through=True)
        self.tty = tty

    def isatty(self) -> bool:
        return self.tty

    def shown(self) -> str:
        self.flush()
        return self.buffer.getvalue().decode(self.encoding)  # type: ignore[attr-defined]


@pytest.fixture
def undial(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., Done]:
    """Run the command as its entry point does, in an empty folder and with no configuration."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("PYTHONIOENCODING", raising=False)

    def run(*args: str, stdin: str | bytes = b"", tty: bool = False, encoding: str = "utf-8") -> Done:
        data = stdin.encode() if isinstance(stdin, str) else stdin
        out, err = Stream(encoding=encoding, tty=tty), Stream(encoding=encoding, tty=tty)
        with monkeypatch.context() as patch:
            patch.setattr(sys, "stdin", Stream(data, tty=tty))
            patch.setattr(sys, "stdout", out)
            patch.setattr(sys, "stderr", err)
            with pytest.raises(SystemExit) as stopped:
                cli.main(list(args))
        assert isinstance(stopped.value.code, int)
        assert "Traceback" not in err.shown()
        return Done(stopped.value.code, out.shown(), err.shown())

    return run


def put(name: str, text: str | bytes) -> str:
    Path(name).parent.mkdir(parents=True, exist_ok=True)
    Path(name).write_bytes(text.encode() if isinstance(text, str) else text)
    return name


def sentence(done: Done) -> str:
    """The one line on standard error."""
    (line,) = done.err.splitlines()
    assert line.startswith("error: ")
    return line


# ------------------------------------------------------------------ recipes in and out


def test_a_paste_is_converted_and_the_streams_are_kept_apart(undial: Callable[..., Done]) -> None:
    done = undial("convert", stdin=TART)
    assert done.status == 0
    assert done.out.startswith("# Lemon and oat tart")
    assert "moderate oven" in done.out
    assert "Preheat" not in done.out
    assert "standard input: " in done.err
    assert "standard input: " not in done.out
    assert undial("convert", "-", stdin=TART).out == done.out


def test_a_terminal_is_told_how_to_end_the_paste(undial: Callable[..., Done]) -> None:
    assert cli_parts.paste_hint(os.name) in undial("convert", stdin=TART, tty=True).err.splitlines()
    assert "Ctrl-" not in undial("convert", stdin=TART).err
    assert "Ctrl-D" in cli_parts.paste_hint("posix")
    assert "Ctrl-Z and then Enter" in cli_parts.paste_hint("nt")


def test_the_forms_are_those_of_the_writer() -> None:
    assert tuple(cli.ENDINGS) == FORMS


@pytest.mark.parametrize("form", FORMS)
def test_every_form_holds_the_recipe(undial: Callable[..., Done], form: str) -> None:
    done = undial("convert", put("tart.txt", TART), "--to", form)
    assert done.status == 0
    assert "Lemon and oat tart" in done.out
    assert done.out.endswith("\n")
    if form in cli.LINEWISE:
        assert json.loads(done.out)


def test_units_reach_the_output(undial: Callable[..., Done]) -> None:
    put("chicken.txt", CHICKEN)
    both, celsius, fahrenheit = (undial("convert", "chicken.txt", "--units", unit).out for unit in ("both", "c", "f"))
    assert len({both, celsius, fahrenheit}) == 3
    assert "°F" not in celsius.replace("200°C", "")
    assert "°F" in fahrenheit


def test_the_cooker_decides(undial: Callable[..., Done]) -> None:
    put("tart.txt", TART)
    zones = {}
    for name in ("two-oven", "four-oven"):
        made = json.loads(undial("convert", "tart.txt", "--cooker", name, "--to", "json").out)
        assert made["cooker"] == name
        zones[name] = [move["zone"] for placement in made["placements"] for move in placement["moves"]]
    assert "moderate-oven" in zones["four-oven"]
    assert "moderate-oven" not in zones["two-oven"]


def test_several_recipes_as_json_are_a_line_each_in_order(undial: Callable[..., Done]) -> None:
    names = [put("b.txt", TART), put("a.txt", SALAD), put("c.txt", CHICKEN)]
    done = undial("convert", *names, "--to", "json")
    rows = [json.loads(line) for line in done.out.splitlines()]
    assert [row["source"] for row in rows] == names
    assert [row["title"] for row in rows] == ["Lemon and oat tart", "Bean salad", "Chicken pieces with lemon"]


def test_a_bad_one_among_several_keeps_its_line_and_stops_none(undial: Callable[..., Done]) -> None:
    names = [put("a.txt", TART), "missing.txt", put("b.txt", SALAD)]
    done = undial("convert", *names, "--to", "json")
    assert done.status == 1
    rows = [json.loads(line) for line in done.out.splitlines()]
    assert [row["source"] for row in rows] == names
    assert rows[1]["error"] == "missing.txt: there is no such file"
    assert "error: missing.txt: there is no such file" in done.err.splitlines()


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_several_recipes_stand_apart_under_their_names(undial: Callable[..., Done], form: str) -> None:
    done = undial("convert", put("a.txt", TART), put("b.txt", SALAD), "--to", form)
    places = [done.out.index(words) for words in ("a.txt", "Lemon and oat tart", "b.txt", "Bean salad")]
    assert places == sorted(places)
    assert re.search(r"^(---|={9,})$", done.out, re.MULTILINE)


def test_a_folder_takes_each_recipe_under_its_name(undial: Callable[..., Done]) -> None:
    Path("out").mkdir()
    done = undial("convert", put("a.txt", TART), put("b.txt", SALAD), "--to", "html", "-o", "out")
    assert (done.status, done.out) == (0, "")
    assert sorted(path.name for path in Path("out").iterdir()) == ["a.html", "b.html"]
    assert "Bean salad" in Path("out/b.html").read_text(encoding="utf-8")


def test_one_file_takes_one_recipe_or_the_json_of_several(undial: Callable[..., Done]) -> None:
    put("a.txt", TART)
    put("b.txt", SALAD)
    assert undial("convert", "a.txt", "-o", "a.md").status == 0
    assert Path("a.md").read_text(encoding="utf-8") == undial("convert", "a.txt").out
    assert undial("convert", "a.txt", "b.txt", "--to", "json", "-o", "all.jsonl").status == 0
    assert len(Path("all.jsonl").read_text(encoding="utf-8").splitlines()) == 2


def test_nothing_is_written_over_unasked(undial: Callable[..., Done]) -> None:
    put("a.txt", TART)
    put("a.md", "mine")
    done = undial("convert", "a.txt", "-o", "a.md")
    assert (done.status, sentence(done)) == (2, "error: a.md exists already; --force overwrites it")
    assert Path("a.md").read_text() == "mine"
    assert undial("convert", "a.txt", "-o", "a.md", "--force").status == 0
    assert "Lemon" in Path("a.md").read_text(encoding="utf-8")
    done = undial("convert", "a.txt", "-o", "a.txt", "--force")
    assert done.status == 2
    assert Path("a.txt").read_text(encoding="utf-8") == TART


# ------------------------------------------------------------------ exit statuses and what is said


def test_strict_counts_flags(undial: Callable[..., Done]) -> None:
    put("chicken.txt", CHICKEN)
    put("salad.txt", SALAD)
    assert undial("convert", "chicken.txt").status == 0
    assert undial("convert", "chicken.txt", "--strict").status == 1
    assert undial("convert", "salad.txt", "--strict").status == 0


def test_a_recipe_without_heat_is_given_back_and_it_is_said(undial: Callable[..., Done]) -> None:
    done = undial("convert", put("salad.txt", SALAD), "--to", "json")
    assert done.status == 0
    assert "no heat in this recipe" in done.err
    steps = json.loads(done.out)["steps"]
    assert [step["rewritten"] for step in steps] == [step["original"] for step in steps]


def test_how_much_is_said(undial: Callable[..., Done]) -> None:
    put("chicken.txt", CHICKEN)
    details = ("short", "full", "none")
    said = {detail: undial("convert", "chicken.txt", "--diagnostics", detail).err for detail in details}
    default = undial("convert", "chicken.txt").err
    flags = json.loads(undial("convert", "chicken.txt", "--to", "json").out)["flags"]
    cautions = [flag for flag in flags if flag["level"] == "caution"]
    assert cautions, "roast poultry always bears a caution"
    assert said["none"] == ""
    assert default.count("caution[") == len(cautions)
    assert len(default.splitlines()) == len(cautions) + 1
    assert len(said["short"].splitlines()) == len(flags) + 1
    assert said["full"].count("| ") >= 2 * len(flags)
    assert "^^" in said["full"]
    assert f"undial explain {cautions[0]['name']}" in said["full"]
    assert "\x1b" not in said["full"]


def test_colours_only_where_they_can_be_shown(undial: Callable[..., Done], monkeypatch: pytest.MonkeyPatch) -> None:
    put("chicken.txt", CHICKEN)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b[" in undial("convert", "chicken.txt", tty=True).err
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[" not in undial("convert", "chicken.txt", tty=True).err
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b[" not in undial("convert", "chicken.txt", tty=True).err


BAD = {
    "empty": (b"", "empty"),
    "blank": (b" \n\n\t\n", "empty"),
    "picture": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "picture"),
    "binary": (bytes(range(256)) * 40, "not plain text"),
    "half a character": (b"\xff\xfe\x00\xd8\x41\x00\x42\x00", "damaged"),
    "not a recipe": (b"Dear Ann,\n\nthank you for the book about rivers.\n\nYours, Bob\n", ""),
    "five megabytes": (b"Stir well. " * 480_000, "longer than 1 MB"),
}


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("way", ["file", "paste"])
def test_a_bad_input_is_one_sentence_that_says_what_and_where(undial: Callable[..., Done], kind: str, way: str) -> None:
    data, words = BAD[kind]
    start = time.monotonic()
    done = undial("convert", put("in.txt", data)) if way == "file" else undial("convert", stdin=data)
    assert (done.status, done.out) == (1, "")
    assert words in sentence(done)
    assert ("in.txt" if way == "file" else "standard input") in sentence(done)
    assert time.monotonic() - start < 5


@pytest.mark.parametrize(
    ("args", "status", "words"),
    [
        (["convert", "none.txt"], 1, "none.txt: there is no such file"),
        (["convert", "."], 1, "this is a folder"),
        (["convert", "tart.txt", "-o", "none/tart.md"], 1, "the folder none does not exist"),
        (["convert", "tart.txt", "--cooker", "nine-oven"], 2, "nine-oven"),
        (["convert", "tart.txt", "--cooker", "none.yaml"], 2, "none.yaml"),
        (["convert", "tart.txt", "--to", "pdf"], 2, "'markdown'"),
        (["convert", "tart.txt", "--frob"], 2, "--frob"),
        (["convert", "-", "-"], 2, "only once"),
        (["convert", "tart.txt", "tart.txt", "-o", "tart.md"], 2, "folder"),
        (["convert", "tart.txt", "tart.txt", "-o", "."], 2, "two of the recipes"),
        (["convert", "tart.txt", "tart.txt", "--to", "html"], 2, "-o FOLDER"),
        (["convrt", "tart.txt"], 2, "did you mean convert"),
        (["tart.txt"], 2, "undial convert tart.txt"),
        (["trace", "none.txt"], 1, "none.txt: there is no such file"),
        (["trace", "tart.txt", "--step", "9"], 2, "the method has 3 steps"),
        (["explain", "zzz"], 2, "'zzz'"),
        (["check", "none.yaml"], 2, "none.yaml: there is no such file"),
    ],
)
def test_wrong_use_is_one_sentence(undial: Callable[..., Done], args: list[str], status: int, words: str) -> None:
    put("tart.txt", TART)
    done = undial(*args)
    assert (done.status, done.out) == (status, "")
    assert words in sentence(done)


def test_a_broken_cooker_names_file_line_and_key(undial: Callable[..., Done]) -> None:
    put("mine.yaml", "name: mine\nzoness: []\n")
    done = undial("convert", put("tart.txt", TART), "--cooker", "mine.yaml")
    assert done.status == 2
    assert "mine.yaml:2" in sentence(done)
    assert "zoness" in sentence(done)


@pytest.mark.parametrize("command", [["check"], ["convert", "tart.txt"], ["explain"], ["trace", "tart.txt"]])
def test_a_broken_rule_file_of_ones_own_names_file_and_line(undial: Callable[..., Done], command: list[str]) -> None:
    put("tart.txt", TART)
    put("config/undial/rules.yaml", "- id: oven/mine\n  frob: 1\n")
    done = undial(*command)
    assert done.status == 2
    assert re.search(r"rules\.yaml:\d", sentence(done))


def test_a_fault_of_ours_is_said_as_such(undial: Callable[..., Done], monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("zone")

    monkeypatch.setattr("converter.pipeline.convert", broken)
    done = undial("convert", put("tart.txt", TART))
    assert done.status == 1
    assert re.search(r"tart\.txt: undial itself failed \(KeyError at test_cli\.py:\d+\)", sentence(done))


def test_a_terminal_with_few_signs_gets_others_for_them(undial: Callable[..., Done]) -> None:
    put("chicken.txt", CHICKEN.replace("in a dish", "in a dish (⅔ full, “Röhre”)"))
    done = undial("convert", "chicken.txt", "--diagnostics", "full", encoding="latin-1", tty=True)
    assert done.status == 0
    assert '2/3 full, "Röhre"' in done.err
    assert "Röhre" in done.out


# ------------------------------------------------------------------ trace, explain, check


def test_trace_shows_every_stage_of_every_step(undial: Callable[..., Done]) -> None:
    put("tart.txt", TART)
    done = undial("trace", "tart.txt")
    assert done.status == 0
    assert [line.split()[1] for line in done.out.splitlines() if line.startswith("step ")] == ["1", "2", "3"]
    third = undial("trace", "tart.txt", "--step", "3").out
    assert "step 2" not in third
    for label in ("temperature '180°C' oven 180 C", "duration    '30 minutes' cook 1800 s", "clause", "phase", "edit"):
        assert label in third
    made = json.loads(undial("convert", "tart.txt", "--to", "json").out)
    (placement,) = made["placements"]
    assert placement["moves"][0]["zone"] in third
    assert f"rule {placement['rule']}" in " ".join(third.split())
    assert undial("trace", stdin=TART).out == done.out


def test_trace_gives_the_reason_of_each_stay_below_its_place(undial: Callable[..., Done]) -> None:
    text = TART.replace("Lemon and oat tart", "Roast beef").replace("200 g flour", "2 kg rib of beef")
    lines = undial("trace", stdin=text.replace("Bake the tart at 180°C for 30", "Roast the beef at 180°C for 90")).out
    rows = [line.split()[0] for line in lines.splitlines() if re.match(r"  \w", line)]
    assert rows[rows.index("placed") + 1] == "reason"
    assert re.search(r"^  reason +clock: 90 min at 180 °C -> \d+ min at 17\d °C", lines, flags=re.MULTILINE)


def test_a_zone_that_was_read_today_has_a_narrower_range(undial: Callable[..., Done]) -> None:
    text = TART.replace("200 g flour", "2 kg rib of beef")
    text = text.replace("Bake the tart at 180°C for 30", "Roast the rib of beef at 180°C for 90")

    def spread() -> float:
        (placement,) = json.loads(undial("convert", "--to", "json", stdin=text).out)["placements"]
        (move,) = placement["moves"]
        return float(move["minutes"][1]) / float(move["look"])

    before = spread()
    assert undial("cooker", "reading", "moderate-oven", "middle", "175").status == 0
    assert spread() < before
    assert "reason" in undial("trace", stdin=text).out


def test_explain_lists_and_explains_flags_and_rules(undial: Callable[..., Done]) -> None:
    from converter import flagkinds
    from converter.place import rules

    listed = undial("explain")
    assert listed.status == 0
    kinds, table = flagkinds.table(), rules.load()
    for name in [*kinds, *(rule.id for rule in table.rules)]:
        assert re.search(rf"^  {re.escape(name)}(\s|$)", listed.out, re.MULTILINE), name
    name, kind = next(iter(kinds.items()))
    told = " ".join(undial("explain", name).out.split())
    assert " ".join(kind.explanation.split()) in told
    rule = table.rules[0]
    told = " ".join(undial("explain", rule.id).out.split())
    assert " ".join(rule.why.split()) in told
    assert rule.where in told
    assert told.count(" example ") >= 2


def test_explain_suggests_near_words(undial: Callable[..., Done]) -> None:
    from converter import flagkinds

    name = max(flagkinds.table(), key=len)
    done = undial("explain", name[:-2] + name[-1])
    assert done.status == 2
    assert f"did you mean {name}" in sentence(done)


def test_check_runs_the_examples(undial: Callable[..., Done]) -> None:
    done = undial("check")
    assert (done.status, done.err) == (0, "")
    rules, examples, wrong = (int(figure) for figure in re.findall(r"\d+", done.out))
    assert rules > 20
    assert examples >= 2 * rules
    assert wrong == 0


def test_version(undial: Callable[..., Done]) -> None:
    assert __version__ in undial("--version").out


# ------------------------------------------------------------------ as a program of its own

START = [sys.executable, "-c", "from converter.cli import main; main()"]


@pytest.mark.parametrize("line", ["--help", "convert --help", "cooker --help", "check -h", "--version"])
def test_help_imports_nothing_heavy(line: str) -> None:
    code = (
        "import sys\nfrom converter.cli import main\n"
        "try:\n    main(sys.argv[1:])\nfinally:\n"
        "    print('LOADED', *{name.split('.')[0] for name in sys.modules})\n"
    )
    done = subprocess.run([sys.executable, "-c", code, *line.split()], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.partition("LOADED")[2].split())
    assert "click" in loaded
    assert loaded & {"spacy", "thinc", "pint", "numpy", "rapidfuzz", "jsonschema"} == set()


@posix
def test_a_closed_pipe_is_no_error_to_read_about(tmp_path: Path) -> None:
    names = []
    for number in range(60):
        names.append(str(tmp_path / f"{number}.txt"))
        Path(names[-1]).write_text(TART)
    command = [*START, "convert", *names, "--to", "json", "--diagnostics", "none"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stdout is not None
        assert run.stderr is not None
        assert run.stdout.read(1) == b"{"
        run.stdout.close()
        assert run.stderr.read() == b""
    assert run.returncode == 1


@posix
def test_a_stop_from_the_keyboard_is_one_word(tmp_path: Path) -> None:
    with subprocess.Popen([*START, "convert"], stdin=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        assert run.stderr is not None
        deadline = time.monotonic() + 20
        while "pipe_read" not in waits_in(run.pid) and time.monotonic() < deadline:
            time.sleep(0.1)
        run.send_signal(signal.SIGINT)
        said = run.stderr.read()
    assert run.returncode == cli.STOPPED
    assert said.strip() == "stopped"


def waits_in(pid: int) -> str:
    """What the process waits for, as far as the system tells; else a wait long enough to be reading."""
    try:
        return Path(f"/proc/{pid}/wchan").read_text()
    except OSError:
        time.sleep(5)
        return "pipe_read"


@posix
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
def test_a_full_disk_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "tart.txt").write_text(TART)
    with open("/dev/full", "w") as full:
        command = [*START, "convert", "tart.txt", "--diagnostics", "none"]
        done = subprocess.run(command, cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, "error: standard output: the disk is full\n")


@posix
@pytest.mark.parametrize(("closed", "status"), [("<&-", 1), (">&-", 0), ("2>&-", 0)])
def test_a_closed_standard_stream_is_borne(tmp_path: Path, closed: str, status: int) -> None:
    (tmp_path / "tart.txt").write_text(TART)
    name = "-" if closed == "<&-" else "tart.txt"
    line = f'"$0" -c "from converter.cli import main; main()" convert {name} {closed}'
    done = subprocess.run(["sh", "-c", line, sys.executable], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == status
    assert "Traceback" not in done.stderr
