"""Names in DEST: what no system holds is replaced, no two meet, and they follow from the names in SRC alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import cli
from converter.folder import names


def test_the_forms_end_as_those_of_the_single_recipe() -> None:
    assert names.ENDINGS == cli.ENDINGS


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("plum tart", "plum tart"),
        ('a/b:c*?"<d>|', "a-b-c----d--"),
        ("  trailing. . ", "trailing"),
        ("con", "con_"),
        ("LPT1", "LPT1_"),
        ("aux.old", "aux_.old"),
        ("tab\tand\nline", "tab-and-line"),
        ("cre\u0301me", "créme"),
        ("cards+02", "cards-02"),
        ("gin\u202efdp", "gin-fdp"),
    ],
)
def test_a_name_is_made_fit(name: str, made: str) -> None:
    assert names.clean(name) == made


@pytest.mark.parametrize(
    ("name", "seen"),
    [
        ("plum tart.txt", "plum tart.txt"),
        ("crème brûlée.txt", "crème brûlée.txt"),
        ("עוגה 1.txt", "עוגה 1.txt"),
        ("gin\u202efdp.txt", "gin\ufffdfdp.txt"),
        ("pie\u200b.txt", "pie\ufffd.txt"),
        ("pi\u200de.txt", "pi\ufffde.txt"),
        ("می\u200cخواهم.txt", "می\u200cخواهم.txt"),
        ("\U0001f469\u200d\U0001f373.txt", "\U0001f469\u200d\U0001f373.txt"),
        ("tab\tand\nline\x1b[2J", "tab\ufffdand\ufffdline\ufffd[2J"),
    ],
)
def test_a_name_that_could_pass_for_another_shows_it(name: str, seen: str) -> None:
    assert names.seen(name) == seen


def test_a_long_name_is_cut_and_two_long_ones_stay_two() -> None:
    one, other = names.clean("ü" * 200 + "a"), names.clean("ü" * 200 + "b")
    assert one != other
    assert len(one.encode()) <= names.MOST_BYTES


def test_files_that_would_share_a_name_keep_their_endings() -> None:
    made = names.file_names(["pie.txt", "pie.docx", "tart.txt"], ending=".md")
    assert made == {"pie.txt": "pie.txt", "pie.docx": "pie.docx", "tart.txt": "tart"}


def test_names_that_differ_by_case_alone_are_told_apart() -> None:
    made = names.file_names(["Pie.txt", "pie.txt"], ending=".md")
    assert len({name.casefold() for name in made.values()}) == 2
    folders = names.folder_names(["Cakes", "cakes"])
    assert folders["Cakes"] == "Cakes"
    assert len({name.casefold() for name in folders.values()}) == 2


def test_an_output_never_takes_the_name_of_the_index_or_of_a_folder() -> None:
    made = names.file_names(["index.txt", "pie.txt"], ending=".md", folders=["pie.md"], taken=["index"])
    assert made == {"index.txt": "index.txt", "pie.txt": "pie.txt"}
    assert names.folder_names(["index.md"], taken=["index.md"])["index.md"] != "index.md"


_NAMES = st.lists(
    st.text(st.sampled_from("aAäÄ\u0308ßsS .-+01:?\udcff"), min_size=1, max_size=6).map(lambda name: name + ".txt")
    | st.sampled_from(["pie.txt", "PIE.txt", "pie.md", "pie.txt.md", "pie+01.txt", "con.txt", "CON.md"]),
    unique=True, max_size=12,
)  # fmt: skip


@given(_NAMES, st.lists(st.sampled_from(["a.md", "pie.md", "S.md"]), unique=True))
def test_no_two_outputs_meet_on_any_system(files: list[str], folders: list[str]) -> None:
    beside = names.folder_names(folders)
    made = names.file_names(files, ending=".md", folders=beside.values())
    assert made.keys() == set(files)
    outputs = [
        names.output(base, number=number, of=of, title="A pie", ending=".md")
        for base in made.values()
        for of in (1, 2)
        for number in range(1, of + 1)
    ]
    keys = [names.key(name) for name in (*outputs, *beside.values())]
    assert len(set(keys)) == len(keys)
    assert all(len(name.encode()) < 220 and name.strip(" .") == name for name in outputs)
    assert names.file_names(reversed(files), ending=".md", folders=beside.values()) == made


def test_several_recipes_of_a_file_are_numbered_and_titled() -> None:
    made = names.output("old cards", number=3, of=12, title="Plum & Ginger: Tart", ending=".md")
    assert made == "old cards+03-plum-ginger-tart.md"
    assert names.output("old cards", number=1, of=1, title="Plum", ending=".md") == "old cards.md"
