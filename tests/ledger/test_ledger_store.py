"""The ledger keeps decisions by the words of the line, through damage, two writers, undo and older files."""

from __future__ import annotations

import multiprocessing
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from converter.data import DataError
from converter.ledger import FILE_NAME, Conflict, Decision, Entry, KeptFlag, Ledger, LedgerError, kept_flags
from converter.ledger.exchange import read_yaml, write_yaml
from converter.ledger.keys import flags_with_keys
from converter.ledger.schema import MIGRATIONS, VERSION
from converter.pipeline import convert
from converter.place.cookers import load
from converter.read.text import document

TEXT = """Plain cake

Ingredients

- 250 g flour
- 150 g butter
- 200 g sugar
- 3 eggs

Method

1. Cream the butter and sugar, beat in the eggs and fold in the flour.
2. Bake at 180°C for 45 minutes, until risen. Cool in the tin.
"""


def kept(text: str = TEXT, cooker: str = "two-oven") -> tuple[KeptFlag, ...]:
    return kept_flags(convert(document(text, name="bun.txt"), cooker=load(cooker)))


def entry(source: str = "bun.txt", text: str = TEXT) -> Entry:
    flags = kept(text)
    return Entry(source, 1, "0", "s", "bun.md", "Plain cake", ("hot oven",), (40.0, 50.0), "converted", "", text, flags)


def a_flag() -> KeptFlag:
    return next(flag for flag in kept() if flag.level == "judgement")


def decided(flag: KeptFlag, kind: str = "leave", who: str = "Ann") -> Decision:
    return Decision(flag.key, kind, line=flag.line, title="Plain cake", name=flag.name, rule=flag.rule, who=who)


def test_an_entry_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    with Ledger.open(tmp_path) as ledger:
        ledger.keep(entry())
        found = ledger.entry("bun.txt", 1)
        assert found is not None
        assert [replace(flag, source="", number=0) for flag in found.flags] == list(kept())
        assert replace(found, flags=()) == replace(entry(), flags=())
        assert ledger.entry("bun.txt", 2) is None


def test_the_key_follows_the_words_not_the_file_or_the_layout() -> None:
    spaced = TEXT.replace("for 45 minutes, until", "for  45 minutes until")
    assert [flag.key for flag in kept(spaced)] == [flag.key for flag in kept()]
    other = TEXT.replace("45 minutes", "50 minutes")
    assert {flag.key for flag in kept(other)}.isdisjoint({a_flag().key})


def test_the_same_words_twice_have_two_keys() -> None:
    result = convert(document(TEXT, name="x"), cooker=load("two-oven"))
    flag = next(flag for flag in result.flags if flag.level == "judgement")
    one, two = flags_with_keys(result.reading, result.placements, (flag, flag))
    assert one.key != two.key


def test_a_decision_outlives_conversion_renaming_and_another_rule(tmp_path: Path) -> None:
    flag = a_flag()
    with Ledger.open(tmp_path) as ledger:
        ledger.keep(entry())
        assert flag.key in {open_.key for open_ in ledger.open_flags()}
        ledger.decide([decided(flag)])
        ledger.keep(entry())
        assert flag.key not in {open_.key for open_ in ledger.open_flags()}
        ledger.forget("bun.txt")
        ledger.keep(entry("cakes/loaf.docx"))
        assert flag.key not in {open_.key for open_ in ledger.open_flags()}
        other_rule = replace(flag, key=f"{flag.loose}.00000000", rule="oven/other")
        ledger.keep(replace(entry("cakes/loaf.docx"), flags=(other_rule,)))
        assert ledger.open_flags() == []
        found = ledger.decisions().find(other_rule.key)
        assert found is not None
        assert found.key == flag.key


def test_changed_words_are_open_again_with_the_old_decision_as_a_suggestion(tmp_path: Path) -> None:
    flag = a_flag()
    changed = TEXT.replace("45 minutes", "50 minutes")
    with Ledger.open(tmp_path) as ledger:
        ledger.keep(entry())
        ledger.decide([decided(flag)])
        ledger.keep(entry(text=changed))
        again = next(one for one in ledger.open_flags() if one.name == flag.name)
        found = ledger.suggestion(again, "Plain cake")
        assert found is not None
        assert (found.kind, found.line) == ("leave", flag.line)
        assert ledger.suggestion(again, "Another dish") is None
        assert ledger.suggestion(replace(again, line="Quite other words stand here now"), "Plain cake") is None


def test_undo_brings_back_what_stood_and_the_history_has_it_all(tmp_path: Path) -> None:
    flag = a_flag()
    with Ledger.open(tmp_path) as ledger:
        ledger.keep(entry())
        ledger.decide([decided(flag, "leave", "Ann")])
        second = ledger.decide([decided(flag, "take", "Ben")])
        ledger.undo(second, who="Ben")
        standing = ledger.decision(flag.key)
        assert standing is not None
        assert (standing.kind, standing.who) == ("leave", "Ann")
        assert [(who, action) for who, _, action, _ in ledger.history(flag.key)] == [
            ("Ann", "decide"), ("Ben", "decide"), ("Ben", "undo"),
        ]  # fmt: skip
        with pytest.raises(LedgerError, match="no act 99"):
            ledger.undo(99)


def test_a_conflicting_decision_is_told_and_keeps_nothing(tmp_path: Path) -> None:
    flag = a_flag()
    with Ledger.open(tmp_path) as one, Ledger.open(tmp_path) as two:
        one.keep(entry())
        two.decide([decided(flag, "leave", "Ben")], seen={flag.key: 0})
        with pytest.raises(Conflict, match="Ben has decided") as told:
            one.decide([decided(flag, "take", "Ann")], seen={flag.key: 0})
        assert told.value.standing is not None
        assert len(one.history(flag.key)) == 1


def _many(dest: str, who: str) -> None:
    with Ledger.open(Path(dest)) as ledger:
        for number in range(60):
            key = f"{number:018x}.{'a' if who == 'Ann' else 'b'}0000000"
            ledger.decide([Decision(key, "take", who=who)])


def test_two_processes_at_once_lose_nothing(tmp_path: Path) -> None:
    Ledger.open(tmp_path).close()
    context = multiprocessing.get_context("spawn")
    running = [context.Process(target=_many, args=(str(tmp_path), who)) for who in ("Ann", "Ben")]
    for process in running:
        process.start()
    for process in running:
        process.join(60)
        assert process.exitcode == 0
    with Ledger.open(tmp_path) as ledger:
        made = list(ledger.decisions())
        assert len(made) == 120
        assert len({decision.change for decision in made}) == 120


def test_a_damaged_ledger_is_said_and_restored(tmp_path: Path) -> None:
    with Ledger.open(tmp_path) as ledger:
        ledger.keep(entry())
        ledger.decide([decided(a_flag())])
        ledger.backup()
    (tmp_path / FILE_NAME).write_bytes(b"no database at all" * 400)
    with Ledger.open(tmp_path) as ledger:
        assert len(ledger.notices) == 1
        assert "damaged" in ledger.notices[0]
        assert len(ledger.decisions()) == 1
    assert len(list(tmp_path.glob(f"{FILE_NAME}.damaged-*"))) == 1


def test_a_damaged_ledger_without_a_backup_is_an_error_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / FILE_NAME
    path.write_bytes(b"no database at all" * 400)
    with pytest.raises(LedgerError, match="no backup"):
        Ledger.open(tmp_path)
    assert path.read_bytes().startswith(b"no database")


def test_restore_goes_back_to_the_backup(tmp_path: Path) -> None:
    with Ledger.open(tmp_path) as ledger:
        ledger.decide([decided(a_flag())])
        ledger.backup()
        ledger.decide([decided(replace(a_flag(), key=f"{'0' * 18}.00000000"))])
        ledger.restore()
        assert [made.key for made in ledger.decisions()] == [a_flag().key]


def test_version_1_is_brought_up_to_date_with_its_decisions(tmp_path: Path) -> None:
    db = sqlite3.connect(tmp_path / FILE_NAME)
    db.executescript(MIGRATIONS[0])
    db.execute("INSERT INTO recipes VALUES (1, 'a.txt', 1, '', '', '', 'A', '[]', NULL, NULL, 'converted', '', '')")
    for place, (key, level) in enumerate((("1.a", "note"), ("2.a", "judgement"), ("3.a", "caution"))):
        db.execute(
            "INSERT INTO flags VALUES (NULL, 1, ?, ?, ?, 'n', ?, 1, '', '', 0, '', '', '', '')",
            (place, key, key[0], level),
        )
    db.execute("INSERT INTO decisions VALUES ('2.b', '2', 'leave', '', '', '', '', '', '', '', '', '', 1)")
    db.execute("PRAGMA user_version = 1")
    db.commit()
    db.close()
    with Ledger.open(tmp_path) as ledger:
        assert ledger.version == VERSION > 1
        assert [flag.key for flag in ledger.open_flags(notes=True)] == ["3.a", "1.a"]
        assert len(ledger.decisions()) == 1


def test_a_later_version_is_refused(tmp_path: Path) -> None:
    Ledger.open(tmp_path).close()
    db = sqlite3.connect(tmp_path / FILE_NAME)
    db.execute(f"PRAGMA user_version = {VERSION + 1}")
    db.close()
    with pytest.raises(LedgerError, match="later undial"):
        Ledger.open(tmp_path)


def test_without_a_ledger_nothing_is_made(tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match="no ledger"):
        Ledger.open(tmp_path, create=False)
    assert list(tmp_path.iterdir()) == []


def test_yaml_out_and_in_again(tmp_path: Path) -> None:
    flag = a_flag()
    with Ledger.open(tmp_path) as ledger:
        ledger.decide([replace(decided(flag, "words"), words='Bake till it smells right: "done".')])
        text = write_yaml(ledger.decisions())
    other = tmp_path / "other"
    other.mkdir()
    with Ledger.open(other) as ledger:
        ledger.keep(entry())
        assert ledger.bring_in(read_yaml(text, "d.yaml")) == [flag.key]
        assert ledger.bring_in(read_yaml(text, "d.yaml")) == []
        assert write_yaml(ledger.decisions()) == text
        assert flag.key not in {open_.key for open_ in ledger.open_flags()}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("decisions:\n- kind: maybe\n  key: \"000000000000000000.00000000\"\n", r"d.yaml:2.*unknown kind 'maybe'"),
        ("decisions:\n- kind: take\n  key: abc\n", r"d.yaml:3.*a key is 18"),
        ("decisions:\n- kind: take\n  colour: red\n  key: abc\n", r"d.yaml:3.*unknown key 'colour'"),
        ("decisions:\n- kind: words\n  key: \"000000000000000000.00000000\"\n", r"d.yaml:2.*needs 'words'"),
    ],
)
def test_yaml_of_another_shape_is_refused_with_its_line(text: str, wanted: str) -> None:
    with pytest.raises(DataError, match=wanted):
        read_yaml(text, "d.yaml")
