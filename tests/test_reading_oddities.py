"""Warnings about lists in which nothing is wrong."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Job
from tests.input_files import PRICES, job_of, refusal

H = ("Mark", "Quantity", "Section", "Length", "Grade", "Assembly", "Cut A", "Looked at")
SHS, RHS = "SHS 40x40x3", "RHS 60x40x3"
ON_SALE = (*PRICES, ("Yard", "SHS 40x40x2", 6000, 20, "each"))


def read(folder: Path, *rows: tuple[Any, ...], prices: Any = ON_SALE, **other: Any) -> Job:
    filled = [(*row, *[""] * (len(H) - len(row))) for row in rows]
    return job_of(folder, (H, *filled), prices=prices, **other)


def told(job: Job) -> list[str]:
    """Warnings as told, the name of the file left out."""
    return [f"{w.where.removeprefix('parts.csv, ')}: {w.found}" for w in job.warnings]


def test_a_list_with_nothing_odd(tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 4, SHS, 900), ("B", 2, SHS, 1200), ("C", 3, RHS, 500))
    assert (job.warnings, job.silenced) == ((), 0)


def test_near_twins(tmp_path: Path) -> None:
    job = read(tmp_path, ("P1", 2, SHS, 742), ("P2", 2, SHS, 745), ("P3", 1, SHS, "750.1"), ("P4", 1, SHS, 742))
    assert told(job) == ['row 3, column D "Length": easily mixed up: P1 742 mm and P2 745 mm']
    assert job.warnings[0].accepted == "lengths meant to differ; keep the parts apart"


@pytest.mark.parametrize(
    "other", [("P2", 2, SHS, "747.1"), ("P2", 2, SHS, 745, "", "", 45), ("P2", 2, RHS, 745), ("P2", 2, SHS, 742)]
)
def test_no_twins(other: tuple[Any, ...], tmp_path: Path) -> None:
    assert told(read(tmp_path, ("P1", 2, SHS, 742), other)) == []


def test_a_row_of_twins_is_told_once(tmp_path: Path) -> None:
    rows = [(f"P{i}", 2, SHS, 700 + 3 * i) for i in range(8)]
    names = ", ".join(f"P{i} {700 + 3 * i} mm" for i in range(6))
    assert told(read(tmp_path, *rows)) == [f'row 9, column D "Length": easily mixed up: {names} and 2 more']


def test_assemblies_that_read_alike(tmp_path: Path) -> None:
    rows = [("A", 2, SHS, 900, "", "Leaf"), ("B", 2, SHS, 1300, "", "leaf"), ("C", 2, SHS, 1500, "", "leaf")]
    job = read(tmp_path, *rows, ("D", 2, SHS, 1700, "", "Leaf"))
    assert told(job) == ['row 3, column F "Assembly": "leaf", which reads like "Leaf" in row 2, another assembly']


@pytest.mark.parametrize(("part", "piece"), [("R1", "R01"), ("R1", "R1"), ("r-1", "R1"), ("R010", "R10")])
def test_a_part_and_a_piece_of_the_rack_that_read_alike(part: str, piece: str, tmp_path: Path) -> None:
    rack = (("Mark", "Section", "Length"), (piece, SHS, 1400))
    job = read(tmp_path, (part, 2, SHS, 900), ("B", 2, SHS, 1300), rack=rack)
    assert told(job) == [f'row 2, column A "Mark": "{part}", and a piece of the rack with the mark {piece}']


def test_marks_that_read_alike(tmp_path: Path) -> None:
    job = read(tmp_path, ("A1", 2, SHS, 900), ("a-1", 2, SHS, 1300))
    assert told(job) == ['row 3, column A "Mark": "a-1", which reads like "A1" in row 2, another part']


def test_one_odd_part_out(tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 4, SHS, 900), ("B", 1, RHS, 400))
    assert told(job) == [
        'row 3, column C "Section": B is the only part of RHS 60x40x3, black: 400 mm of a bar of 6 m',
    ]
    assert told(read(tmp_path, ("A", 4, SHS, 900), ("B", 1, RHS, 1500))) == [], "a quarter of the bar"
    assert told(read(tmp_path, ("A", 4, SHS, 900), ("B", 2, RHS, 400))) == []
    rack = (("Mark", "Section", "Length"), ("R1", RHS, 450))
    assert told(read(tmp_path, ("A", 4, SHS, 900), ("B", 1, RHS, 400), rack=rack)) == []


def test_a_length_that_is_sold(tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 1, SHS, 6000), ("B", 2, SHS, 900))
    assert told(job) == ['row 2, column D "Length": A is 6000 mm, exactly a length that is sold']


def test_only_the_rack_has_enough(tmp_path: Path) -> None:
    rack = (("Mark", "Section", "Length"), ("R1", SHS, 9000))
    job = read(tmp_path, ("A", 1, SHS, 8000), ("B", 2, SHS, 900), rack=rack)
    found = "A is longer than anything sold gives; only the rack has enough: R1"
    assert told(job) == [f'row 2, column D "Length": {found}']


@pytest.mark.parametrize(("length", "hint"), [(7600, False), (8300, True)])
def test_far_longer_than_anything_there_is(length: int, hint: bool, tmp_path: Path) -> None:
    found = refusal(tmp_path, (H[:4], ("A", 1, SHS, length)))
    assert ("hint: more than a tenth longer than anything there is: is the length right" in found) is hint


def test_walls_and_grades_that_differ_within_an_assembly(tmp_path: Path) -> None:
    job = read(
        tmp_path,
        ("A", 2, SHS, 900, "", "gate"),
        ("B", 2, "SHS 40x40x2", 800, "", "gate"),
        ("C", 2, "SHS 40x40x2", 700, "", "gate"),
        ("D", 2, "SHS 40x40x2", 600, "", "fence"),
    )
    assert told(job) == [
        'row 3, column C "Section": gate has B of SHS 40x40x2 and A of SHS 40x40x3 (row 2)',
    ]
    graded = [(*PRICES[1], "S235"), (*PRICES[2], "S355")]
    job = read(
        tmp_path,
        ("A", 2, SHS, 900, "S235", "gate"),
        ("B", 2, SHS, 800, "S355", "gate"),
        ("C", 2, SHS, 700, "S355", "gate"),
        prices=((*PRICES[0], "Grade"), *graded),
    )
    assert told(job) == ['row 3, column E "Grade": gate has B of S355 and A of S235 (row 2)']


def test_an_assembly_of_one_part(tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 1, SHS, 900, "", "gate"), ("B", 2, SHS, 600, "", "pair"))
    assert told(job) == ['row 2, column F "Assembly": A is all there is of gate: nothing joins to it']
    rows = [("A", 1, SHS, 900, "", "gate"), ("", 3, "assembly", "", "", "gate"), ("B", 2, SHS, 600)]
    assert len(told(read(tmp_path, *rows))) == 1, "three times one part are still single parts"
    rows[1] = ("hinge", 2, "other", "", "", "gate")
    assert told(read(tmp_path, *rows)) == []


@pytest.mark.parametrize(
    ("length", "setting", "warned"),
    [
        # 7500 less two trims of 10 is 7480; a bar 1/4 in short gives 7473.65.
        ("7473.6", "", False),
        ("7474", "", True),
        ("7474", '[minus_tolerance]\nSHS = "1 mm"', False),
    ],
)
def test_what_fits_only_at_full_length(length: str, setting: str, warned: bool, tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 1, SHS, length), ("B", 2, SHS, 900), workshop=setting)
    found = "A fits only a bar that comes at its full length: one ~6.4 mm short is too short"
    assert told(job) == ([f'row 2, column D "Length": {found}'] if warned else [])


def test_a_warning_is_silenced_by_its_line_and_counted(tmp_path: Path) -> None:
    mitre, ok = "", "yes"
    rows = [("P1", 1, SHS, 742, "", "g", mitre, ok), ("P2", 1, SHS, 745, "", "h", mitre, "")]
    job = read(tmp_path, *rows)
    # The pair is looked at by either of its lines; P2 is alone in its assembly, and nobody has looked at that.
    assert told(job) == ['row 3, column F "Assembly": P2 is all there is of h: nothing joins to it']
    assert job.silenced == 2


def test_a_warning_about_scale_is_silenced_too(tmp_path: Path) -> None:
    rows = [(f"A{i}", 1, SHS, 1000 + 20 * i) for i in range(6)]
    loud = read(tmp_path, *rows, ("B", 1, SHS, 25))
    assert [w.hint for w in loud.warnings] == ["is another unit meant?"]
    quiet = read(tmp_path, *rows, ("B", 1, SHS, 25, "", "", "", "x"))
    assert (quiet.warnings, quiet.silenced) == ((), 1)


def test_one_name_to_two_standards(tmp_path: Path) -> None:
    heading = ("Mark", "Quantity", "Section", "Length", "Standard")
    rows = [("A", 1, "SHS 40x40x4", 900, "EN 10219"), ("B", 1, "SHS 40x40x4", 600, "EN 10210")]
    rows += [("C", 2, "SHS 40x40x4", 600, "EN 10210-2")]
    job = job_of(tmp_path, (heading, *rows), prices=None, stock=["6 m"])
    apart = [warning for warning in job.warnings if "EN 10219-2" in warning.found]
    assert [(warning.where, warning.found) for warning in apart] == [
        ('parts.csv, row 3, column C "Section"', "SHS 40x40x4 to EN 10210-2, and to EN 10219-2 in row 2")
    ]
    assert apart[0].accepted == "standards meant to differ: the two are never cut from one bar"


def test_a_part_too_short_to_be_meant(tmp_path: Path) -> None:
    job = read(tmp_path, ("A", 4, SHS, "1.200"), ("B", 2, SHS, 1200), ("C", 2, SHS, 10))
    assert told(job) == ['row 2, column D "Length": A is 1.2 mm long']
    assert job.warnings[0].accepted == "a part that short; else another unit is meant, such as 1.2 m"
