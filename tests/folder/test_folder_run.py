"""A folder converted: the tree, what is redone, what is refused, and that SRC stays as it is."""

from __future__ import annotations

import json
import os
import socket
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from cookery import converted, entries, fill, recipe, setup, snapshot, tree

from converter.folder import FolderTrouble, Given, Processes, convert_folder, names, work, writing
from converter.ledger import FILE_NAME, Decision, Decisions, Ledger
from converter.pipeline import convert
from converter.place import cookers
from converter.read.text import document
from converter.write.forms import render

posix = pytest.mark.skipif(os.name != "posix", reason="needs links and pipes of a POSIX system")


@pytest.fixture
def src(tmp_path: Path) -> Path:
    made = tmp_path / "src"
    fill(made, 12)
    return made


@pytest.fixture
def dest(tmp_path: Path) -> Path:
    return tmp_path / "dest"


def report(dest: Path) -> dict[str, Any]:
    made = json.loads((dest / names.REPORT).read_text(encoding="utf-8"))
    assert isinstance(made, dict)
    return made


def file_of(dest: Path, source: str) -> dict[str, Any]:
    (found,) = [one for one in report(dest)["files"] if one["source"] == source]
    assert isinstance(found, dict)
    return found


def test_the_tree_is_mirrored_and_src_stays_as_it_was(src: Path, dest: Path) -> None:
    before = snapshot(src)
    done = converted(src, dest)
    assert snapshot(src) == before
    assert (done.converted, done.unchanged, done.listed.failed) == (14, 0, [])
    made = tree(dest)
    assert {"cakes/card 1.md", "cakes/old/card 2.md", "Suppers/card 3.md", "index.md", "report.json"} <= made.keys()
    assert {"card 0+01-baked-leeks-no-0.md", "card 0+02-baked-leeks-no-1000.md"} <= made.keys()
    assert len(made) == 14 + 2
    assert {entry.output for entry in entries(dest)} == made.keys() - {"index.md", "report.json"}


def test_an_output_is_that_of_the_single_recipe(src: Path, dest: Path) -> None:
    converted(src, dest)
    text = (src / "cakes" / "card 1.txt").read_text(encoding="utf-8")
    alone = render(convert(document(text, name="card 1.txt"), cooker=cookers.load("four-oven")), "markdown")
    assert tree(dest)["cakes/card 1.md"].decode() == alone


def test_the_index_leads_to_every_recipe_with_zones_time_flags_and_source(src: Path, dest: Path) -> None:
    (src / "sly | [name].txt").write_text(recipe(40, title="Sly | [title](x) <b>"), encoding="utf-8")
    converted(src, dest)
    index = (dest / "index.md").read_text(encoding="utf-8")
    rows = [line for line in index.splitlines() if line.startswith("| [")]
    assert len(rows) == 15
    (row,) = [line for line in rows if "card 1.txt" in line]
    assert row.startswith("| [Baked parsnips no. 1](cakes/card%201.md) | ")
    assert " oven" in row
    assert " min " in row or " h " in row
    (sly,) = [line for line in rows if "sly" in line]
    assert "(sly%20-%20%5Bname%5D.md)" in sly
    assert sly.count(" | ") == 4
    converted(src, dest, form="html")
    assert not (dest / "index.md").exists()
    page = (dest / "index.html").read_text(encoding="utf-8")
    assert page.count('<tr><th scope="row"') == 15
    assert "<b>" not in page


@posix
@pytest.mark.parametrize("form", ["markdown", "html"])
def test_no_name_and_no_title_turns_the_words_of_the_index(src: Path, dest: Path, form: str) -> None:
    """Unseen signs in a name or title let one file pass for another, and its line say what no one wrote."""
    (src / "plum\u202etrap.txt").write_text(recipe(40, title="Sly \u202e\u2067title"), encoding="utf-8")
    (src / "lost\u2066\u200b\x1b[2J.txt").write_text("nothing to cook", encoding="utf-8")
    converted(src, dest, form=form)
    (index,) = dest.glob("index.*")
    words = index.read_text(encoding="utf-8")
    assert [sign for sign in words if sign in "\u200b\x1b\u202e\u2066\u2067"] == []
    assert "plum\ufffdtrap.txt" in words
    assert "Sly title" in words
    assert "lost\ufffd\ufffd\ufffd" in words
    assert "plum\u202etrap.txt" in {one["source"] for one in json.loads((dest / "report.json").read_bytes())["files"]}


def test_a_second_run_does_nothing_and_writes_nothing(src: Path, dest: Path) -> None:
    (src / "note.txt").write_text("Buy string.\n", encoding="utf-8")
    converted(src, dest)
    dates = {path: path.stat().st_mtime_ns for path in dest.rglob("*.md")}
    ledger = entries(dest)
    done = converted(src, dest)
    assert (done.converted, done.unchanged, done.gone, len(done.listed.failed)) == (0, 13, 0, 1)
    assert {path: path.stat().st_mtime_ns for path in dest.rglob("*.md")} == dates
    assert entries(dest) == ledger


def test_only_what_changed_is_redone(src: Path, dest: Path) -> None:
    converted(src, dest)
    (src / "cakes" / "card 1.txt").write_text(recipe(77), encoding="utf-8")
    (dest / "Suppers" / "card 3.md").unlink()
    done = converted(src, dest)
    assert (done.converted, done.unchanged) == (2, 10)
    assert b"no. 77" in tree(dest)["cakes/card 1.md"]
    assert "Suppers/card 3.md" in tree(dest)


def test_another_cooker_and_form_redo_all_and_leave_nothing_behind(src: Path, dest: Path, tmp_path: Path) -> None:
    converted(src, dest)
    assert converted(src, dest, cooker="two-oven").converted == 14
    converted(src, dest, form="html", cooker="two-oven")
    fresh = tmp_path / "fresh"
    converted(src, fresh, form="html", cooker="two-oven")
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


def test_files_that_go_move_shrink_or_get_a_neighbour_end_as_in_a_fresh_folder(
    src: Path, dest: Path, tmp_path: Path
) -> None:
    converted(src, dest)
    (src / "cakes" / "old" / "card 2.txt").unlink()
    (src / "cakes" / "old" / "card 6.txt").rename(src / "moved.txt")
    (src / "cakes" / "old" / "card 10.txt").unlink()
    (src / "card 0.txt").write_text(recipe(0), encoding="utf-8")
    (src / "card 4.md").write_text(recipe(44), encoding="utf-8")
    done = converted(src, dest)
    assert done.gone == 3
    fresh = tmp_path / "fresh"
    converted(src, fresh)
    assert tree(dest) == tree(fresh)
    assert not (dest / "cakes" / "old").exists()
    assert {"card 4.txt.md", "card 4.md.md", "card 0.md"} <= tree(dest).keys()
    assert entries(dest) == entries(fresh)


def test_two_sources_may_swap_their_outputs(src: Path, dest: Path, tmp_path: Path) -> None:
    (src / "pie.docx.txt").write_text(recipe(50), encoding="utf-8")
    (src / "pie.md").write_text(recipe(51), encoding="utf-8")
    converted(src, dest)
    (src / "pie.docx").write_bytes(b"")
    (src / "pie.md").rename(src / "pie.docx.md")
    converted(src, dest)
    fresh = tmp_path / "fresh"
    converted(src, fresh)
    assert tree(dest) == tree(fresh)


def test_a_decision_redoes_the_recipes_it_is_about_and_no_other(src: Path, dest: Path) -> None:
    (src / "stew.txt").write_text(
        "Mutton stew\n\nIngredients\n\n- 900 g mutton\n\nMethod\n\n1. Braise in the oven until tender.\n",
        encoding="utf-8",
    )
    converted(src, dest)
    (entry,) = [entry for entry in entries(dest) if entry.source == "stew.txt"]
    assert entry.flags, "this recipe is here for its flag"
    flag = entry.flags[0]
    with Ledger.open(dest) as ledger:
        made = Decision(flag.key, "leave", line=flag.line, title=entry.title, name=flag.name, rule=flag.rule,
                        who="Ida", at="2026-01-05T10:00:00Z")  # fmt: skip
        ledger.decide([made])
    about = {other.source for other in entries(dest) if flag.key in {one.key for one in other.flags}}
    done = converted(src, dest)
    assert about == {"stew.txt"}
    assert (done.converted, done.unchanged) == (1, 12)
    assert converted(src, dest).converted == 0


# ------------------------------------------------------------------ what cannot be read


def test_one_bad_file_is_listed_with_its_reason_and_the_rest_goes_on(src: Path, dest: Path) -> None:
    (src / "empty.txt").write_bytes(b"")
    (src / "noise.txt").write_bytes(bytes(range(256)) * 9)
    (src / "cakes" / "cut.docx").write_bytes(b"PK\x03\x04" + b"word/" * 20)
    (src / "song.mp3").write_bytes(b"ID3")
    done = converted(src, dest)
    assert done.converted == 14
    assert {one.source for one in done.listed.failed} == {"empty.txt", "noise.txt", "cakes/cut.docx"}
    for source, code in (("empty.txt", "empty"), ("cakes/cut.docx", "truncated"), ("song.mp3", "other-kind")):
        assert file_of(dest, source)["status"] == code
        assert file_of(dest, source)["reason"]
    assert "- cakes/cut.docx: " in (dest / "index.md").read_text(encoding="utf-8")
    assert report(dest)["failed"] == 3


def test_a_fault_of_ours_in_one_recipe_stops_no_other(src: Path, dest: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from converter import pipeline

    def faulty(given: Any, **rest: Any) -> Any:
        if "no. 1000" in given.text:
            raise ZeroDivisionError
        return convert(given, **rest)

    monkeypatch.setattr(pipeline, "convert", faulty)
    done = converted(src, dest)
    (row,) = done.listed.failed
    assert done.converted == 13
    assert (row.source, getattr(row, "number", 0)) == ("card 0.txt", 2)
    assert "ZeroDivisionError" in row.reason  # type: ignore[union-attr]
    monkeypatch.undo()
    assert converted(src, dest).converted == 2, "it is tried again by the next run"


@posix
def test_links_are_not_followed_out_of_src_nor_round_in_circles(src: Path, dest: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    fill(outside, 3)
    (src / "away").symlink_to(outside)
    (src / "away.txt").symlink_to(outside / "card 0.txt")
    (src / "round").symlink_to(src / "cakes" / "..")
    (src / "self.txt").symlink_to("self.txt")
    (src / "nowhere.txt").symlink_to("gone.txt")
    (src / "again.txt").symlink_to("card 4.txt")
    os.mkfifo(src / "pipe.txt")
    done = converted(src, dest)
    assert done.converted == 14
    told = {name: file_of(dest, name)["status"] for name in ("away", "away.txt", "round", "self.txt", "pipe.txt")}
    assert told == {
        "away": "link", "away.txt": "link", "round": "link-loop", "self.txt": "link-loop", "pipe.txt": "not-a-file",
    }  # fmt: skip
    assert file_of(dest, "again.txt")["failed"] is False
    assert file_of(dest, "nowhere.txt")["failed"] is True
    assert not any("outside" in name for name in tree(dest))


@posix
def test_a_link_in_dest_is_not_written_through(src: Path, dest: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    converted(src, dest)
    for path in (dest / "Suppers").iterdir():
        path.unlink()
    (dest / "Suppers").rmdir()
    (dest / "Suppers").symlink_to(outside)
    (dest / "cakes" / "card 1.md").unlink()
    (dest / "cakes" / "card 1.md").symlink_to(outside / "made.md")
    done = converted(src, dest)
    assert list(outside.iterdir()) == []
    failed = {one.source for one in done.listed.failed}
    assert failed == {"Suppers/card 3.txt", "Suppers/card 7.txt", "Suppers/card 11.txt"}
    assert (dest / "cakes" / "card 1.md").is_file()
    assert not (dest / "cakes" / "card 1.md").is_symlink()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may open everything")
def test_what_may_not_be_opened_is_listed(src: Path, dest: Path) -> None:
    (src / "card 4.txt").chmod(0)
    (src / "Suppers").chmod(0)
    try:
        converted(src, dest)
    finally:
        (src / "Suppers").chmod(0o755)
    assert file_of(dest, "card 4.txt")["status"] == file_of(dest, "Suppers")["status"] == "no-permission"


@pytest.mark.skipif(sys.platform != "linux", reason="needs names that are no text")
def test_odd_names_are_written_under_plain_ones_and_told(src: Path, dest: Path) -> None:
    odd = {b"caf\xe9.txt": 1, b"a:b?.txt": 2, b"CON.txt": 3, "n\u0303.txt".encode(): 4, b"x" * 240 + b".txt": 5}
    for name, number in odd.items():
        Path(os.fsdecode(os.fsencode(src) + b"/" + name)).write_text(recipe(200 + number), encoding="utf-8")
    (src / "Index.txt").write_text(recipe(206), encoding="utf-8")
    done = converted(src, dest)
    assert done.listed.failed == []
    assert done.converted == 14 + 6
    assert {"caf-.md", "a-b-.md", "CON_.md", "\u00f1.md", "Index.txt.md"} <= tree(dest).keys()
    for name in ("caf\\xe9.txt", "a:b?.txt", "CON.txt", "x" * 240 + ".txt", "Index.txt"):
        assert file_of(dest, name)["renamed"] is True
    assert converted(src, dest).converted == 0


# ------------------------------------------------------------------ where is written


@pytest.mark.parametrize("where", ["", "cakes/converted", ".."])
def test_folders_that_lie_in_one_another_are_refused(src: Path, where: str) -> None:
    before = snapshot(src.parent)
    with pytest.raises(FolderTrouble, match="never written to"):
        converted(src, src / where)
    assert snapshot(src.parent) == before


def test_a_folder_with_other_files_is_refused(src: Path, dest: Path) -> None:
    dest.mkdir()
    (dest / "letters.md").write_text("mine", encoding="utf-8")
    with pytest.raises(FolderTrouble, match=r"letters\.md"):
        converted(src, dest)
    assert [path.name for path in dest.iterdir()] == ["letters.md"]


def test_a_second_run_at_the_same_time_says_so(src: Path, dest: Path) -> None:
    converted(src, dest)
    with writing.held(dest), pytest.raises(FolderTrouble, match="another undial is at work"):
        converted(src, dest)
    assert converted(src, dest).unchanged == 12


def test_a_full_disk_is_one_sentence_and_what_was_finished_stays(
    src: Path, dest: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import errno

    left = 7
    sync = os.fsync

    def full(handle: int) -> None:
        nonlocal left
        left -= 1
        if left < 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        sync(handle)

    monkeypatch.setattr(writing.os, "fsync", full)
    with pytest.raises(FolderTrouble, match="the disk is full; what was finished is kept"):
        converted(src, dest)
    monkeypatch.undo()
    assert not list(dest.rglob(".undial-????????"))
    kept = {entry.source for entry in entries(dest)}
    assert kept
    done = converted(src, dest)
    assert done.unchanged >= 1
    fresh = tmp_path / "fresh"
    converted(src, fresh)
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


def test_strays_of_a_killed_run_are_removed_and_files_of_others_are_not(src: Path, dest: Path) -> None:
    converted(src, dest)
    strays = [dest / ".undial-abcd_123", dest / "cakes" / ".undial-12345678", dest / f"{FILE_NAME}.backup.4711"]
    others = [dest / ".undial-notes.md", dest / "cakes" / ".gitkeep"]
    for path in (*strays, *others):
        path.write_bytes(b"half")
    converted(src, dest)
    assert not any(path.exists() for path in strays)
    assert all(path.exists() for path in others)


# ------------------------------------------------------------------ workers


class _Fragile(ThreadPoolExecutor):
    """Loses every bundle with one of the `bad` sources in it, as a worker that dies does."""

    def __init__(self, bad: str, *, times: int) -> None:
        super().__init__(1)
        self.bad, self.times = bad, times

    def submit(self, fn: Any, /, *args: Any, **rest: Any) -> Any:
        def run(*given: Any) -> Any:
            if self.times and any(task.source == self.bad for task in given[0]):
                self.times -= 1
                raise RuntimeError("the worker is gone")
            return fn(*given)

        return super().submit(run, *args, **rest)


@pytest.mark.parametrize(("times", "failed"), [(1, []), (9, ["cakes/card 5.txt"])])
def test_the_files_of_a_lost_worker_are_done_again(src: Path, dest: Path, times: int, failed: list[str]) -> None:
    with _Fragile("cakes/card 5.txt", times=times) as pool:
        done = convert_folder(src, dest, setup=setup(), engine=Given(pool, width=2))
    assert [one.source for one in done.listed.failed] == failed
    assert done.converted == 14 - len(failed)


def test_processes_give_the_same_bytes_whatever_their_number(src: Path, dest: Path, tmp_path: Path) -> None:
    fresh = tmp_path / "fresh"
    converted(src, fresh)
    engine = Processes(2)
    try:
        convert_folder(src, dest, setup=setup(), engine=engine)
    finally:
        engine.stop()
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


def test_a_worker_of_another_version_is_refused(src: Path, dest: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    packed = work.pack(setup("text", "two-oven"), Decisions())  # unpacked by no other test
    monkeypatch.setattr(work, "program", lambda: "another")
    with pytest.raises(work.OtherProgram):
        work.work((), packed)


def test_nothing_asks_the_network(src: Path, dest: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []

    def refuse(*words: object, **_: object) -> None:
        asked.append(words)
        raise OSError("no network in this test")

    for name in ("connect", "connect_ex", "sendto", "bind"):
        monkeypatch.setattr(socket.socket, name, refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    assert converted(src, dest).converted == 14
    assert asked == []
