"""A job written into a folder of its own: read again, it is the same job."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cutplan.problems import ProblemsFound
from cutplan.reading.whole_job import read_files, read_job
from cutplan.writing.jobfolder import write_folder
from tests.input_files import PARTS, PRICES, write_csv, write_xlsx

SHOP = (("Key", "Value"), ("saw.kerf", 1.8), ("saw.mill_ends_accepted", "yes"), ("workshop.name", 'The "Shed"'))
RACK = (("Mark", "Section", "Length"), ("R1", "SHS 40x40x3", 700))


def test_a_workbook_becomes_lists_and_a_workshop_file(tmp_path: Path) -> None:
    merchants = (("Name", "Delivers", "Delivery"), ("Yard", "yes", 12.5))
    sheets: dict[str, Any] = {"Parts": PARTS, "Prices": PRICES, "Rack": RACK, "Workshop": SHOP, "Merchants": merchants}
    book = read_files(write_xlsx(tmp_path / "gate.xlsx", **sheets))
    files = write_folder(book, tmp_path / "jobs" / "gate")
    assert [file.name for file in files] == ["gate.csv", "prices.csv", "rack.csv", "workshop.toml"]
    again = read_job(files[0])
    first, *rest = again.assumptions
    assert first.text == "Workshop file: workshop.toml."
    assert replace(again, files=(), assumptions=(book.job.assumptions[0], *rest)) == replace(book.job, files=())


def test_lists_in_files_of_their_own_stay_where_they_are(tmp_path: Path) -> None:
    shared = tmp_path / "shared"
    shared.mkdir()
    write_csv(shared / "prices.csv", PRICES)
    (tmp_path / "workshop.toml").write_text('[files]\nprices = "shared/prices.csv"\n[stock]\nlengths = "9 m"\n')
    read = read_files(write_csv(tmp_path / "gate.csv", PARTS))
    files = write_folder(read, tmp_path / "gate")
    assert [file.name for file in files] == ["gate.csv", "workshop.toml"]
    assert 'prices = "../shared/prices.csv"' in files[1].read_text()
    assert 'lengths = "9 m"' in files[1].read_text()
    assert 'ledger = "../rack.ledger"' in files[1].read_text()
    assert read_job(files[0]).offers == read.job.offers


def test_a_name_that_is_taken_is_left_alone(tmp_path: Path) -> None:
    read = read_files(write_csv(tmp_path / "gate.csv", PARTS), stock=["6 m"])
    with pytest.raises(ProblemsFound, match="found a name that is taken"):
        write_folder(read, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["gate.csv"]


def test_nothing_is_left_where_a_folder_cannot_be_made(tmp_path: Path) -> None:
    read = read_files(write_csv(tmp_path / "gate.csv", PARTS), stock=["6 m"])
    with pytest.raises(ProblemsFound, match="a folder that cannot be written"):
        write_folder(read, tmp_path / "gate.csv" / "below")
