"""Rows added to a list: in its own columns, delimiter and encoding, or not at all."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job
from cutplan.writing import append
from cutplan.writing.append import append_parts
from tests.effort import some
from tests.input_files import PARTS, write_csv, write_list, write_xlsx

ROW: dict[str, str | int] = {"Mark": "Brace", "Quantity": 2, "Section": "SHS 40x40x3", "Length": "1280 mm"}
MITRED: dict[str, str | int] = {**ROW, "Cut A": "49.55", "Cut B": "49.55", "Length is": "long point"}
H = ("Length", "Profile", "Item", "Qty", "Cut A", "Cut B", "Length is")


def refusal(path: Path, *rows: dict[str, Any]) -> str:
    before = path.read_bytes()
    with pytest.raises(ProblemsFound) as found:
        append_parts(path, rows)
    assert path.read_bytes() == before
    assert [other.name for other in path.parent.iterdir() if other.name.startswith(".")] == []
    return str(found.value)


@pytest.mark.parametrize(("delimiter", "encoding"), [(",", "utf-8"), (";", "cp1252"), ("\t", "utf-16")])
def test_csv_keeps_its_delimiter_and_encoding(delimiter: str, encoding: str, tmp_path: Path) -> None:
    rows = (("Rahmen für Tor",), H, (900, "SHS 40x40x3", "Türpfosten", 1, "", "", ""))
    path = write_csv(tmp_path / "gate.csv", rows, delimiter, encoding)
    before = path.read_bytes()
    append_parts(path, [MITRED])
    assert path.read_bytes().startswith(before)
    first, second = read_job(path, stock=["6 m"]).parts
    assert (first.mark, second.mark) == ("Türpfosten", "Brace")
    assert (second.quantity, second.length, second.end_a.angle) == (2, 1_280_000_000, 49_550_000)


def test_csv_without_a_last_line_end(tmp_path: Path) -> None:
    path = tmp_path / "gate.csv"
    path.write_bytes(b"Quantity,Section,Length\r\n1,SHS 40x40x3,900")
    append_parts(path, [{"Quantity": 1, "Section": "SHS 40x40x3", "Length": "800 mm"}])
    assert path.read_bytes() == b"Quantity,Section,Length\r\n1,SHS 40x40x3,900\r\n1,SHS 40x40x3,800 mm\r\n"


def test_a_csv_list_is_begun(tmp_path: Path) -> None:
    path = tmp_path / "new.csv"
    append_parts(path, [MITRED])
    assert read_job(path, stock=["6 m"]).parts[0].mark == "Brace"


def test_workbook_is_filled_below_its_last_row(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=PARTS, Notes=(("kept",),))
    append_parts(path, [ROW, {**ROW, "Mark": "Other", "Length": "900 mm"}])
    assert [part.mark for part in read_job(path, stock=["6 m"]).parts] == ["A1", "Brace", "Other"]
    from openpyxl import load_workbook

    assert load_workbook(path)["Notes"]["A1"].value == "kept"


def test_missing_columns_are_named_together(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "gate.csv", PARTS)
    text = refusal(path, MITRED)
    assert text.splitlines()[0] == "gate.csv, row 1: found no heading for Cut A."
    assert "no heading for Cut B." in text
    assert "Accepted: a column headed Length is, which the rows to be added need." in text


def test_a_mark_that_is_there_is_refused_with_its_place(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "gate.csv", PARTS)
    assert refusal(path, {**ROW, "Mark": "a1"}) == (
        'gate.csv, row 2, column A "Mark": found "a1".\n'
        "Accepted: a mark that is not in the list yet.\nhint: name another with --mark"
    )


def test_formulas_would_lose_their_results(tmp_path: Path) -> None:
    """A spreadsheet program stores what a formula comes to; openpyxl, which writes the file here, does not."""
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=(*PARTS, ("A2", 1, "SHS 40x40x3", "=600*2")))
    with_values(path, "600*2", "1200")
    assert refusal(path, ROW).startswith('gate.xlsx, sheet "Parts": found a list with formulas.')


def with_values(path: Path, formula: str, value: str) -> None:
    """Store what a formula comes to, as a spreadsheet program does."""
    import io
    import zipfile

    old, new = io.BytesIO(path.read_bytes()), io.BytesIO()
    with zipfile.ZipFile(old) as source, zipfile.ZipFile(new, "w") as target:
        for name in source.namelist():
            text = source.read(name)
            filled = f"<f>{formula}</f><v>{value}</v>".encode()
            for empty in (b"<v></v>", b"<v />", b"<v/>"):
                text = text.replace(f"<f>{formula}</f>".encode() + empty, filled)
            target.writestr(name, text)
    path.write_bytes(new.getvalue())


def test_a_list_open_in_a_spreadsheet_program_is_left_alone(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=PARTS)
    (tmp_path / "~$gate.xlsx").write_text("someone")
    assert refusal(path, ROW).startswith("gate.xlsx: found a file that is open in a spreadsheet program.")


def test_a_list_that_is_not_there_and_no_csv(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="no such file"):
        append_parts(tmp_path / "gate.xlsx", [ROW])


def test_a_list_in_windows_letters_stays_in_them(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "gate.csv", (H, (900, "SHS 40x40x3", "Türpfosten", 1, "", "", "")), ";", "cp1252")
    append_parts(path, [{**ROW, "Mark": "Überzug"}])
    assert path.read_bytes().decode("cp1252").count("ü") == 1
    assert [part.mark for part in read_job(path, stock=["6 m"]).parts] == ["Türpfosten", "Überzug"]
    assert refusal(path, {**ROW, "Mark": "梁"}).startswith(
        'gate.csv: found a list in Windows letters, which have no "梁".'
    )


@pytest.mark.parametrize("name", ["gate.csv", "gate.xlsx"])
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_permissions_are_kept(name: str, mode: int, tmp_path: Path) -> None:
    path = write_list(tmp_path / name, PARTS)
    path.chmod(mode)
    append_parts(path, [ROW])
    assert path.stat().st_mode & 0o777 == mode


@pytest.mark.parametrize("name", ["gate.csv", "gate.xlsx"])
def test_a_link_stays_one(name: str, tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    real = write_list(tmp_path / "shop" / name, PARTS)
    path = tmp_path / name
    path.symlink_to(Path("shop") / name)
    append_parts(path, [ROW])
    assert path.is_symlink()
    assert [part.mark for part in read_job(real, stock=["6 m"]).parts] == ["A1", "Brace"]
    assert [other.name for other in real.parent.iterdir()] == [name]


def test_a_link_to_nothing_begins_the_list_behind_it(tmp_path: Path) -> None:
    path = tmp_path / "gate.csv"
    path.symlink_to("real.csv")
    append_parts(path, [ROW])
    assert path.is_symlink()
    assert read_job(tmp_path / "real.csv", stock=["6 m"]).parts[0].mark == "Brace"


@pytest.mark.parametrize("name", some(["gate.csv", "gate.xlsx", "new.csv"], "gate.xlsx"))
def test_eight_at_once_keep_eight_rows(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    if not name.startswith("new"):
        write_list(path, PARTS)
    children = []
    for number in range(8):
        child = os.fork()
        if child == 0:
            try:
                append_parts(path, [{**ROW, "Mark": f"B{number}"}])
                os._exit(0)
            except BaseException:
                os._exit(1)
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0] * 8
    marks = {part.mark for part in read_job(path, stock=["6 m"]).parts} - {"A1"}
    assert marks == {f"B{number}" for number in range(8)}


LOST = {
    "macros": {},
    "drawings or charts": {"xl/drawings/drawing1.xml": b"<x/>"},
    "controls": {"xl/activeX/activeX1.bin": b"x", "xl/ctrlProps/ctrlProp1.xml": b"<x/>"},
}


@pytest.mark.parametrize("what", LOST)
def test_what_would_be_lost_is_named(what: str, tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=PARTS)
    with zipfile.ZipFile(path, "a") as archive:
        for name, content in LOST[what].items():
            archive.writestr(name, content)
    if what == "macros":
        path = path.rename(tmp_path / "gate.xlsm")
    assert refusal(path, ROW).splitlines()[0] == (
        f"{path.name}: found a workbook with {what}, which would be lost when it is written here."
    )


PRICED = (("Merchant", "Section", "Length", "Price"), ("Low Yard", "SHS 40x40x3", 6000, "=600*2"))


def test_results_of_formulas_on_another_list_would_be_lost(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=PARTS, Prices=PRICED)
    with_values(path, "600*2", "1200")
    assert refusal(path, ROW).startswith("gate.xlsx: found a file that would not read the same with rows added here.")


def test_formulas_on_a_sheet_that_is_no_list_stay(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=PARTS, Notes=(("kept", "=600*2"),))
    with_values(path, "600*2", "1200")
    append_parts(path, [ROW])
    assert openpyxl.load_workbook(path)["Notes"]["B1"].value == "=600*2"


def test_the_workbook_of_a_new_job_takes_rows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its first sheet counts what is missing by formulas with results."""
    monkeypatch.chdir(tmp_path)
    actions.new("gate")
    append_parts(Path("gate.xlsx"), [ROW])
    job = actions.read_job("gate.xlsx", stock="6 m")
    assert [part.mark for part in job.parts] == [ROW["Mark"]]


def test_a_list_that_changed_meanwhile_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_csv(tmp_path / "gate.csv", PARTS)
    honest = append._check_kept

    def slow(*about: Any) -> None:
        honest(*about)
        path.write_bytes(path.read_bytes() + b"A3,1,SHS 40x40x3,700\n")

    monkeypatch.setattr(append, "_check_kept", slow)
    with pytest.raises(ProblemsFound, match="a file that another program changed meanwhile"):
        append_parts(path, [ROW])
    assert path.read_text().endswith("A3,1,SHS 40x40x3,700\n")


def test_a_file_that_is_read_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_csv(tmp_path / "gate.csv", PARTS)
    monkeypatch.setattr(os, "access", lambda path, how: False)  # who is root may write what is not to be written
    assert "found a file that cannot be written (it is read-only)." in refusal(path, ROW)
