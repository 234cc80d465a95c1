"""The commands of the rack as a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import document, run


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "workshop.toml").write_text("")
    return tmp_path


def said(*words: str) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_a_day_at_the_rack(shop: Path) -> None:
    first = said("rack", "add", "SHS 40x40x3", "1240", "--place", "B2", "--who", "Ines")
    assert first == f"Mark to paint: A1\nA new ledger is begun: {shop / 'rack.ledger'}\n"
    assert said("rack", "add", "FL 50x6", "600", "--quantity", "2") == "Marks to paint: C1, E1\n"
    assert "A1           1240 mm  place B2" in said("rack", "show", "--section", "40x40x3 SHS")
    assert said("rack", "move", "a1", "c1", "--place", "C3").count("Moved to C3") == 2
    assert "Now: A1, SHS 40x40x3, black, 1238 mm" in said("rack", "correct", "A1", "--length", "1238")
    assert said("rack", "take", "E1").startswith("Taken: E1")
    assert said("rack", "return", "E1", "250 mm").startswith("Back on the rack: E1, FL 50x6, black, 250 mm")
    assert said("rack", "scrap", "C1", "--reason", "bent").startswith("Scrapped: C1")
    assert "reason: bent" in said("rack", "history", "C1")
    assert said("undo").startswith("Taken back: scrap of ")
    verdict, *sections = said("rack", "verify").splitlines()
    assert verdict.endswith("rack.ledger: holds")
    assert [line.split(":")[0] for line in sections] == ["  FL 50x6, black", "  SHS 40x40x3, black"]
    assert "came 1238 mm, 4.1 kg; on the rack 1238 mm, 4.1 kg" in sections[1]


def test_a_list(shop: Path) -> None:
    (shop / "old.csv").write_text("Mark,Section,Length\nR1,SHS 40x40x3,1240\n")
    begun = f"A new ledger is begun: {shop / 'rack.ledger'}"
    assert said("rack", "read", "old.csv") == f"Put on the rack: R1\n{begun}\n"
    (shop / "old.csv").write_text("Mark,Section,Length\nR2,SHS 40x40x3,1240\n")
    assert document(run("rack", "read", "old.csv", "--json")) == {"marks": ["R2"]}


def test_as_json() -> None:
    assert document(run("rack", "add", "SHS 40x40x3", "1240.5", "--json")) == {"marks": ["A1"]}
    (piece,) = document(run("rack", "show", "--json"))["pieces"]
    assert (piece["mark"], piece["section"], piece["length_mm"], piece["grade"]) == ("A1", "SHS 40x40x3", "1240.5", "")
    changed = document(run("rack", "correct", "A1", "--wall", "2.8", "--json"))
    assert (changed["before"]["wall_mm"], changed["after"]["wall_mm"]) == (None, "2.8")
    assert document(run("rack", "scrap", "A1", "--json"))["pieces"][0]["mark"] == "A1"
    life = document(run("rack", "history", "A1", "--json"))
    assert (life["on_hand"], [move["kind"] for move in life["movements"]]) == (
        0, ["put on the rack", "corrected", "scrapped"],
    )  # fmt: skip
    undone = document(run("undo", "--json"))
    assert (undone["undone"], undone["marks"]) == ("scrap", ["A1"])
    assert document(run("rack", "verify", "--json"))["holds"] is True


def test_refusals_name_their_place(shop: Path) -> None:
    result = run("rack", "show")
    assert result.exit_code == 1
    assert result.stderr.splitlines()[0].endswith("rack.ledger: found no ledger.")
    assert run("rack", "scrap", "K7", "--json").exit_code == 1
    run("rack", "add", "SHS 40x40x3", "1240")
    assert 'mark: found "K7"' in run("rack", "history", "K7").stderr
    assert document(run("rack", "scrap", "K7", "K8", "--json"))["problems"][1]["found"] == "K8"
    assert run("rack").exit_code == 2


def test_a_ledger_that_does_not_hold(shop: Path) -> None:
    import contextlib
    import sqlite3

    run("rack", "add", "SHS 40x40x3", "1240")
    with contextlib.closing(sqlite3.connect(shop / "rack.ledger", isolation_level=None)) as db:
        db.execute("UPDATE on_hand SET quantity = 9")
    result = run("rack", "verify")
    assert result.exit_code == 4
    assert result.stdout.splitlines()[1] == "  A1: 9 said to be on hand, the movements add up to 1"
    assert "1 put right from the movements" in said("rack", "verify", "--rebuild")


def test_copies_holds_and_old_pieces(shop: Path) -> None:
    run("rack", "add", "SHS 40x40x3", "1240")
    assert said("rack", "backup", "copy") == "Copied to copy\n"
    assert "is kept as" in said("rack", "restore", "copy")
    assert document(run("rack", "restore", "copy", "--json"))["restored"] == "copy"
    assert document(run("rack", "backup", "copy 2", "--json")) == {"copy": "copy 2"}
    assert said("rack", "old") == "Nothing has been on the rack that long.\n"
    assert document(run("rack", "old", "--months", "3", "--json")) == {"pieces": []}
    assert run("rack", "release").exit_code == 2
    assert "nothing held for gate" in run("rack", "release", "--job", "gate").stderr


def test_a_count_and_a_list_written() -> None:
    run("rack", "add", "SHS 40x40x3", "1240", "--place", "B2")
    assert "1 row" in said("rack", "count", "B2", "--sheet", "count.xlsx")
    assert document(run("rack", "count", "B2", "--sheet", "c2.xlsx", "--json"))["rows"] == 1
    result = run("rack", "count", "B2", "--read", "count.xlsx")
    assert result.exit_code == 1
    assert 'column D "Found": found a blank cell' in result.stderr
    assert run("rack", "count", "B2").exit_code == 2
    assert said("rack", "write", "rack.xlsx") == "Written: rack.xlsx, 1 row\n"
    assert document(run("rack", "write", "r2.xlsx", "--json"))["rows"] == 1
    import openpyxl

    book = openpyxl.load_workbook("count.xlsx")
    book["Count"]["D4"] = 0
    book.save("count.xlsx")
    assert "1 expected, 0 found, -1" in said("rack", "count", "B2", "--read", "count.xlsx")
    assert document(run("rack", "count", "B2", "--read", "count.xlsx", "--json"))["differences"] == []
