"""The commands ``undial cooker``: what they print, what they write, how they fail."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner

from converter.cli_cooker import cooker
from converter.place import cookers, profiles


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(cookers, "default_path", lambda: tmp_path / "settings" / "cooker.txt")
    work = tmp_path / "work"
    work.mkdir()
    monkeypatch.chdir(work)
    return work


@pytest.fixture
def run() -> Any:
    def call(*arguments: str) -> Any:
        result = CliRunner().invoke(cooker, arguments)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        assert "Traceback" not in result.output
        return result

    return call


def fails(result: Any, code: int, *words: str) -> None:
    """One sentence on stderr that holds the words, and nothing on stdout."""
    assert result.exit_code == code
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 1
    assert all(word in result.stderr for word in words), result.stderr


def test_every_command_has_help_with_an_example_that_names_it():
    assert set(cooker.commands) == {"list", "show", "new", "check", "use"}
    for name, command in cooker.commands.items():
        text = CliRunner().invoke(cooker, [name, "--help"]).output
        assert "Example:" in text
        assert f"undial cooker {name}" in text
        assert all(item.help for item in command.params if isinstance(item, click.Option))


@pytest.mark.parametrize("name", ["list", "show", "new", "check", "use"])
def test_the_example_in_the_help_runs(run, name):
    if name == "check":
        run("new", "my-cooker.yaml")
    text = run(name, "--help").output
    line = next(line for line in text.splitlines() if line.strip().startswith(f"undial cooker {name}"))
    assert run(*line.split()[2:]).exit_code == 0


def test_list_marks_the_default(run):
    lines = run("list").stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(cookers.builtin())
    assert [line.split()[0] for line in lines if "(default)" in line] == ["four-oven"]
    run("use", "two-oven")
    assert [line.split()[0] for line in run("list").stdout.splitlines() if "(default)" in line] == ["two-oven"]


def test_show_says_each_zone_with_place_heat_and_use(run):
    text = run("show", "four-oven").stdout
    for zone in cookers.load("four-oven").zones:
        assert f"\n{zone.label} (" in text
        assert f"for {zone.use}" in text
    assert "roof 250 · high 240 · middle 235 · low 225 · floor 230 °C" in text
    assert "low, under a cold shield: about 210 °C" in text
    assert "about 190 °C on the surface" in text
    assert "ovens, seen from the front" in text


def test_show_without_a_name_shows_the_default(run):
    assert run("show").stdout == run("show", "four-oven").stdout
    run("use", "five-oven")
    assert run("show").stdout == run("show", "five-oven").stdout


def test_show_of_an_own_profile_uses_the_households_words(run, own_folder):
    run("new", "ours.yaml", "--like", "two-oven")
    path = own_folder / "ours.yaml"
    text = path.read_text(encoding="utf-8").replace("label: low oven", "label: the slow one")
    text = text.replace("    shield_c: 210", "    shield_c: 205\n    shelves: [high, middle, low]")
    path.write_text(text, encoding="utf-8")
    shown = run("show", "ours.yaml").stdout
    assert shown.startswith("ours: ")
    assert shown.count("the slow one") == 2
    assert "low oven (" not in shown
    assert "1 high · 2 middle · 3 low" in shown
    assert "about 205 °C" in shown


@pytest.mark.parametrize("name", cookers.builtin())
def test_new_writes_a_profile_that_checks_clean(run, own_folder, name):
    result = run("new", "kitchen at home.yaml", "--like", name)
    assert result.exit_code == 0
    made = cookers.load(own_folder / "kitchen at home.yaml")
    assert made.name == "kitchen at home"
    assert [zone.celsius for zone in made.zones] == [zone.celsius for zone in cookers.load(name).zones]
    assert "# zones    a list" in (own_folder / "kitchen at home.yaml").read_text(encoding="utf-8")
    checked = run("check", "kitchen at home.yaml")
    assert checked.exit_code == 0
    assert checked.stdout.count("\n") == 1


@pytest.mark.parametrize("stem", ["yes", "12", "<b>", "a 'quoted' \"name\"", "nul", "***", "x" * 60, "näher"])
def test_new_gives_any_file_name_a_usable_cooker_name(run, own_folder, stem):
    assert run("new", f"{stem}.yaml").exit_code == 0
    assert run("check", f"{stem}.yaml").exit_code == 0


def test_new_starts_from_the_default(run, own_folder):
    run("use", "three-oven")
    run("new", "a.yaml")
    assert len(cookers.load(own_folder / "a.yaml").ovens) == 3
    run("use", "a.yaml")
    run("new", "b.yaml")
    assert len(cookers.load(own_folder / "b.yaml").ovens) == 4


def test_new_refuses_to_overwrite_without_force(run, own_folder):
    path = own_folder / "a.yaml"
    path.write_text("mine\n")
    fails(run("new", "a.yaml"), 2, "exists already", "--force")
    assert path.read_text() == "mine\n"
    assert run("new", "a.yaml", "--force").exit_code == 0
    assert cookers.load(path).name == "a"


def test_new_writes_whole_or_not_at_all(run, own_folder, monkeypatch):
    path = own_folder / "a.yaml"
    path.write_text("mine\n")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(profiles.os, "replace", full)
    fails(run("new", "a.yaml", "--force"), 2, "no space left")
    assert path.read_text() == "mine\n"
    assert os.listdir(own_folder) == ["a.yaml"]


def test_new_can_be_read_by_the_family(run, own_folder):
    old = os.umask(0o022)
    try:
        run("new", "a.yaml")
    finally:
        os.umask(old)
    assert stat.S_IMODE((own_folder / "a.yaml").stat().st_mode) == 0o644


def test_new_mistakes(run, own_folder):
    fails(run("new", "a.yaml", "--like", "six-oven"), 2, "six-oven", "four-oven")
    fails(run("new", "no/such/folder/a.yaml"), 2, "cannot be written")
    fails(run("new", str(own_folder)), 2, "folder")
    assert os.listdir(own_folder) == []


def test_check_shows_every_mistake_and_ends_with_1(run, own_folder):
    run("new", "a.yaml")
    path = own_folder / "a.yaml"
    text = path.read_text(encoding="utf-8").replace("celsius: 350", "celsius: 900").replace("celsius: 70", "celsius: x")
    path.write_text(text, encoding="utf-8")
    result = run("check", "a.yaml")
    assert result.exit_code == 1
    assert result.stdout == ""
    lines = result.stderr.splitlines()
    at = [number for number, line in enumerate(text.splitlines(), start=1) if "900" in line or ": x" in line]
    assert [line.split(": ")[0] for line in lines[:2]] == [f"a.yaml:{number}" for number in at]
    assert lines[2:] == ["Error: a.yaml cannot be used: 2 mistakes"]


def test_check_notes_a_sagging_low_oven_and_accepts_it(run, own_folder):
    run("new", "a.yaml", "--like", "two-oven")
    path = own_folder / "a.yaml"
    text = path.read_text(encoding="utf-8")
    old = next(line for line in text.splitlines() if "roof: 122" in line)
    path.write_text(text.replace(old, "    celsius: 94"), encoding="utf-8")
    result = run("check", "a.yaml")
    assert result.exit_code == 0
    assert "simmering stops here" in result.stdout
    assert "a can be used: 2 plates, 2 ovens" in result.stdout


def test_wrong_use_is_2_and_a_refused_profile_is_1(run, own_folder):
    (own_folder / "bad.yaml").write_text("name: a\nzones: []\n")
    for command in ("show", "check", "use"):
        fails(run(command, "gone.yaml"), 2, "gone.yaml")
        fails(run(command, "."), 2, "folder")
        if command != "check":
            fails(run(command, "six-oven"), 2, "six-oven", "four-oven")
            fails(run(command, "bad.yaml"), 1, "bad.yaml:2", "at least one zone")
    assert run("check", "bad.yaml").exit_code == 1
    assert run("new").exit_code == 2
    assert run("melt").exit_code == 2
    assert cookers.default_name() == "four-oven"


def test_use_keeps_a_file_by_its_whole_path(run, own_folder, monkeypatch, tmp_path):
    run("new", "a.yaml")
    assert "now a." in run("use", "a.yaml").stdout
    monkeypatch.chdir(tmp_path)
    assert run("show").stdout.startswith("a: ")
    assert run("list").stdout.splitlines()[-1].startswith(str(own_folder / "a.yaml"))


def test_a_default_that_is_gone_is_said_and_can_be_mended(run, own_folder):
    run("new", "a.yaml")
    run("use", "a.yaml")
    (own_folder / "a.yaml").unlink()
    fails(run("show"), 1, "a.yaml", "undial cooker use")
    listed = run("list")
    assert listed.exit_code == 0
    assert "is gone" in listed.stderr
    assert run("use", "four-oven").exit_code == 0
    assert run("show").exit_code == 0


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="needs a user whom file modes bind")
def test_settings_that_cannot_be_written(run, tmp_path):
    tmp_path.chmod(0o500)
    try:
        fails(run("use", "two-oven"), 1, "cannot be kept")
    finally:
        tmp_path.chmod(0o700)


def test_settings_folder_that_is_a_file(run, tmp_path):
    (tmp_path / "settings").write_text("")
    fails(run("use", "two-oven"), 1, "cannot be kept")
