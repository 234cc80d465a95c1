"""Cells that repeat the one above: only where the workshop has said so, and never further than it said."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Job
from cutplan.reading.lists.ditto import DITTO
from tests.input_files import job_of, refusal

H = ("Quantity", "Section", "Grade", "Finish", "Length")
PRICES = (
    ("Merchant", "Section", "Grade", "Finish", "Length"),
    ("Yard", "SHS 40x40x3", "S355", "galvanised", 6000),
    ('"', "ditto", "", "black", 6000),
    ("Yard", "RD 12", "S235", "black", 6000),
)


def shop(word: str) -> str:
    return f'[lists]\nrepeat_above = "{word}"\n'


def materials(job: Job) -> list[tuple[str, str, str]]:
    return [(part.section.designation, part.grade, part.finish) for part in job.parts]


def read(folder: Path, word: str, *rows: Any, **settings: Any) -> Job:
    return job_of(folder, (H, *rows), workshop=shop(word), prices=PRICES, **settings)


@pytest.mark.parametrize("mark", sorted(DITTO - {'-"-'}))
def test_every_way_to_write_ditto(mark: str, tmp_path: Path) -> None:
    job = read(tmp_path, "marks", (1, "SHS 40x40x3", "S355", "galv", 900), (2, mark.title(), mark, mark.upper(), 800))
    assert materials(job) == [("SHS 40x40x3", "S355", "galvanised")] * 2
    assert "In parts.csv, 3 cells repeat the ones above, as the workshop says." in job.assumed
    assert "In prices.csv, 2 cells repeat the ones above, as the workshop says." in job.assumed
    assert [offer.merchant for offer in job.offers] == ["Yard"] * 3


def test_empty_cells_stay_empty_with_marks_alone(tmp_path: Path) -> None:
    job = read(tmp_path, "marks", (1, "SHS 40x40x3", "S355", "galv", 900), (2, '"', "", "", 800))
    assert materials(job)[1] == ("SHS 40x40x3", "", "black")


def test_empty_cells_repeat_where_the_workshop_says_so(tmp_path: Path) -> None:
    rows = [
        (1, "SHS 40x40x3", "S355", "galv", 900),
        (2, "", "", "", 800),
        ("", "", "", "", ""),
        (3, "", "", '"', 700),
        (1, "RD 12", "S235", "black", 300),
    ]
    for suffix in (".csv", ".xlsx"):
        job = read(tmp_path, "marks and blanks", *rows, suffix=suffix)
        assert materials(job) == [("SHS 40x40x3", "S355", "galvanised")] * 3 + [("RD 12", "S235", "black")]
        assert [part.typed_section for part in job.parts] == ["SHS 40x40x3"] * 3 + ["RD 12"]


def test_an_empty_standard_goes_with_its_section_alone(tmp_path: Path) -> None:
    heads = (*H, "Standard")
    prices = (
        ("Merchant", "Section", "Standard", "Length"),
        ("Y", "SHS 40x40x3", "EN 10210-2", 6000),
        ("Y", "RD 12", "EN 10060", 6000),
    )
    rows = (
        heads,
        (1, "SHS 40x40x3", "", "", 900, "EN 10210-2"),
        (1, "", "", "", 800, ""),
        (1, "RD 12", "", "", 300, ""),
    )
    job = job_of(tmp_path, rows, workshop=shop("marks and blanks"), prices=prices)
    assert [part.section.standard for part in job.parts] == ["EN 10210-2", "EN 10210-2", "EN 10060"]


def test_a_line_that_is_no_part_ends_a_stretch(tmp_path: Path) -> None:
    rows = (
        (*H, "Note"),
        (1, "SHS 40x40x3", "S355", "galv", 900, ""),
        (4, "other", "", "", "", "hinges"),
        (1, "", "", "", 800, ""),
    )
    found = refusal(tmp_path, rows, workshop=shop("marks and blanks"), prices=PRICES)
    assert 'parts.csv, row 4, column B "Section": found a blank cell.' in found


def test_ditto_that_was_not_agreed_is_refused_once(tmp_path: Path) -> None:
    found = refusal(tmp_path, (H, (1, "SHS 40x40x3", "", "", 900), (1, '"', "do", "", 800)))
    assert found == (
        'parts.csv, row 3, column B "Section": found """.\n'
        "Accepted: the cell above written out, or in the workshop file the key lists.repeat_above with "
        '"marks" or "marks and blanks".\n'
        'parts.csv, row 3, column C "Grade": found "do".\n'
        "Accepted: the cell above written out, or in the workshop file the key lists.repeat_above with "
        '"marks" or "marks and blanks".'
    )


def test_nothing_above_to_repeat(tmp_path: Path) -> None:
    found = refusal(tmp_path, (H, (1, "SHS 40x40x3", '"', "", 900)), workshop=shop("marks"), prices=PRICES)
    assert found == (
        'parts.csv, row 2, column C "Grade": found """.\nAccepted: a grade in the cell above, which is empty.'
    )
