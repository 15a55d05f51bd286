"""Files in and out: whole or not at all, and one sentence for whatever is wrong."""

from __future__ import annotations

import errno
import io
import os
import stat
import sys
from pathlib import Path

import pytest

from converter import files
from converter.files import MOST_BYTES, FileTrouble, read_bytes, read_document, same_file, write_whole

as_user = pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="permissions do not bind this user")
posix = pytest.mark.skipif(os.name == "nt", reason="POSIX modes, links and pipes")


def left(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


class Pipe(io.TextIOWrapper):
    """Standard input with these bytes waiting."""

    def __init__(self, data: bytes) -> None:
        super().__init__(io.BytesIO(data), encoding="utf-8")


def test_a_file_is_read_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "tart.txt"
    path.write_bytes(b"Tart\r\n\r\nBake at 180\xc2\xb0C.\r\n")
    assert read_bytes(str(path)) == b"Tart\r\n\r\nBake at 180\xc2\xb0C.\r\n"
    document = read_document(str(path))
    assert document.name == str(path)
    assert "180°C" in document.source


def test_standard_input_is_read_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", Pipe("Purée\n\nSimmer 5 minutes.\n".encode()))
    document = read_document("-")
    assert (document.name, document.source) == ("standard input", "Purée\n\nSimmer 5 minutes.\n")


@pytest.mark.parametrize(
    ("name", "words"),
    [("missing.txt", "there is no such file"), ("folder", "this is a folder, not a file"), ("bad\0name", "null")],
)
def test_what_cannot_be_read_is_one_sentence(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileTrouble, match=words) as caught:
        read_bytes(str(tmp_path / name))
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith(str(tmp_path / name))


@as_user
def test_a_file_without_permission(tmp_path: Path) -> None:
    path = tmp_path / "locked.txt"
    path.write_text("secret")
    path.chmod(0)
    with pytest.raises(FileTrouble, match="no permission"):
        read_bytes(str(path))


def test_too_much_is_refused_and_not_read_to_its_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "book.txt"
    path.write_bytes(b"x" * (MOST_BYTES + 1))
    with pytest.raises(FileTrouble, match="longer than 1 MB"):
        read_bytes(str(path))
    path.write_bytes(b"x" * MOST_BYTES)
    assert len(read_bytes(str(path))) == MOST_BYTES
    pipe = Pipe(b"y" * (MOST_BYTES * 5))
    monkeypatch.setattr(sys, "stdin", pipe)
    with pytest.raises(FileTrouble, match="standard input: longer than 1 MB"):
        read_bytes("-")
    assert pipe.buffer.read(1) == b"y"


@pytest.mark.parametrize(("size", "fine"), [(4_999, True), (5_000, False), (160_000, False)])
def test_an_endless_word_is_refused(tmp_path: Path, size: int, fine: bool) -> None:
    path = tmp_path / "tart.md"
    path.write_text(f"Tart\n\nBake it.\n\n{'{' * size}\n")
    if fine:
        assert "{" * size in read_document(str(path)).text
        return
    with pytest.raises(FileTrouble, match=r"tart\.md: it holds a word of 5,000 signs"):
        read_document(str(path))


def test_a_new_file_is_whole_and_nothing_else_is_left(tmp_path: Path) -> None:
    write_whole(tmp_path / "tart.md", "# Tart ½\n")
    assert (tmp_path / "tart.md").read_bytes() == "# Tart ½\n".encode()
    assert left(tmp_path) == ["tart.md"]


def test_an_existing_file_is_kept_without_force(tmp_path: Path) -> None:
    path = tmp_path / "tart.md"
    path.write_text("old")
    with pytest.raises(FileTrouble, match="--force"):
        write_whole(path, "new")
    assert path.read_text() == "old"
    write_whole(path, "new", force=True)
    assert path.read_text() == "new"
    assert left(tmp_path) == ["tart.md"]


def test_a_file_that_appears_meanwhile_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "tart.md"
    real = os.fsync

    def slow(handle: int) -> None:
        if not path.exists():
            path.write_text("of another program")
        real(handle)

    monkeypatch.setattr(os, "fsync", slow)
    with pytest.raises(FileTrouble, match="exists already"):
        write_whole(path, "ours")
    assert path.read_text() == "of another program"
    assert left(tmp_path) == ["tart.md"]


@pytest.mark.parametrize("force", [False, True])
def test_a_full_disk_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, force: bool) -> None:
    path = tmp_path / "tart.md"
    if force:
        path.write_text("old")

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileTrouble, match=r"tart\.md: the disk is full"):
        write_whole(path, "new", force=force)
    assert left(tmp_path) == (["tart.md"] if force else [])
    assert not force or path.read_text() == "old"


def test_a_disk_without_hard_links_still_keeps_what_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(files.os, "link", no_links)
    write_whole(tmp_path / "a.md", "one")
    with pytest.raises(FileTrouble, match="exists already"):
        write_whole(tmp_path / "a.md", "two")
    assert (tmp_path / "a.md").read_text() == "one"
    assert left(tmp_path) == ["a.md"]


@pytest.mark.parametrize(
    ("name", "words"),
    [("folder", "this is a folder"), ("none/tart.md", "the folder .*none does not exist"), ("file.txt/x.md", ".")],
)
def test_where_nothing_can_be_written(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file.txt").write_text("a file")
    with pytest.raises(FileTrouble, match=words) as caught:
        write_whole(tmp_path / name, "text")
    assert "\n" not in str(caught.value)
    assert left(tmp_path) == ["file.txt", "folder"]


@as_user
def test_a_folder_without_permission(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o500)
    with pytest.raises(FileTrouble, match="no permission"):
        write_whole(folder / "tart.md", "text")


@posix
def test_modes_follow_the_mask_and_the_file_that_is_replaced(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        write_whole(tmp_path / "new.md", "text")
    finally:
        os.umask(mask)
    assert stat.S_IMODE((tmp_path / "new.md").stat().st_mode) == 0o640
    (tmp_path / "new.md").chmod(0o604)
    write_whole(tmp_path / "new.md", "again", force=True)
    assert stat.S_IMODE((tmp_path / "new.md").stat().st_mode) == 0o604


@posix
def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "shelf").mkdir()
    (tmp_path / "shelf" / "tart.md").write_text("old")
    (tmp_path / "link.md").symlink_to(tmp_path / "shelf" / "tart.md")
    write_whole(tmp_path / "link.md", "new", force=True)
    assert (tmp_path / "link.md").is_symlink()
    assert (tmp_path / "shelf" / "tart.md").read_text() == "new"
    (tmp_path / "round.md").symlink_to(tmp_path / "round.md")
    with pytest.raises(FileTrouble, match=r"round\.md"):
        write_whole(tmp_path / "round.md", "text")


@posix
def test_a_device_is_written_straight() -> None:
    write_whole(Path(os.devnull), "text")
    assert stat.S_ISCHR(Path(os.devnull).stat().st_mode)


def test_same_file(tmp_path: Path) -> None:
    path = tmp_path / "tart.txt"
    path.write_text("x")
    assert same_file(str(path), tmp_path / "." / "tart.txt")
    assert not same_file(str(path), tmp_path / "other.txt")
