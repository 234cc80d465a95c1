"""Assemblies made several times, and lines that are not cut."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Job
from cutplan.problems import Refused
from cutplan.reading.lists.uncut import WEIGHT_FORMS, parse_weight
from cutplan.units import CURRENCY, KG
from tests.input_files import job_of, refusal, write_xlsx

H = ("Mark", "Quantity", "Section", "Length", "Assembly", "Weight each", "Price each", "Merchant", "Note")
SHS = "SHS 40x40x3"


def rows(*filled: tuple[Any, ...]) -> list[tuple[Any, ...]]:
    return [H, *((*row, *[""] * (len(H) - len(row))) for row in filled)]


def made(job: Job) -> list[tuple[str, int, int]]:
    return [(part.mark, part.quantity, part.assemblies) for part in job.parts]


def test_an_assembly_multiplies_its_parts(tmp_path: Path) -> None:
    job = job_of(
        tmp_path,
        rows(
            ("", 3, "Assembly", "", "stand"),
            ("A", 4, SHS, 900, "Stand"),
            ("B", 2, SHS, 600, "rail"),
            ("C", 1, SHS, 300),
            ("Hinge", 2, "other", "", "stand"),
        ),
    )
    assert made(job) == [("A", 12, 3), ("B", 2, 1), ("C", 1, 1)]
    assert [(line.name, line.quantity) for line in job.others] == [("Hinge", 6)]
    assert "Quantities are for one assembly, which is made so often: stand 3." in job.assumed
    assert "Made once, as no line says how often: rail." in job.assumed


def test_the_name_of_an_assembly_may_stand_as_its_mark(tmp_path: Path) -> None:
    job = job_of(tmp_path, rows(("A", 4, SHS, 900, "stand"), ("stand", 2, "assembly")))
    assert made(job) == [("A", 8, 2)]


def test_one_mark_in_two_assemblies(tmp_path: Path) -> None:
    job = job_of(tmp_path, rows(("", 3, "assembly", "", "s"), ("A", 4, SHS, 900, "s"), ("A", 1, SHS, 900, "t")))
    assert made(job) == [("A", 13, 1)]
    assert job.parts[0].assembly == "s; t"


def test_what_is_not_cut_is_read_beside_the_parts(tmp_path: Path) -> None:
    job = job_of(
        tmp_path,
        rows(
            ("A", 1, SHS, 900),
            ("Hinge 100 mm", 2, "Other", "", "gate", "350 g", "4.20", "Ironmonger", "left"),
            ("", 1, "other", "", "", "", "", "", "paint, grey"),
        ),
    )
    hinge, paint = job.others
    assert (hinge.name, hinge.quantity, hinge.assembly, hinge.merchant, hinge.note, hinge.row) == (
        *("Hinge 100 mm", 2, "gate", "Ironmonger", "left", 3),
    )
    assert (hinge.mass_each, hinge.price_each) == (350_000, 4_200_000)
    assert (paint.name, paint.mass_each, paint.price_each, paint.note) == ("paint, grey", 0, None, "")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (("", 3, "assembly"), 'column E "Assembly": found a blank cell.\nAccepted: the name of the assembly'),
        (
            ("", 3, "assembly", 100, "gate"),
            'column D "Length": found "100".\nAccepted: a blank cell: a line marked ass',
        ),
        (("", 3, "assembly", "", "gate"), 'row 3: found assembly "gate", which no part names'),
        (("", "x", "other", "", "", "", "", "", "bolt"), 'column B "Quantity": found "x"'),
        (("", 3, "other"), 'column A "Mark": found a blank cell.\nAccepted: what it is, such as hinge 100 mm'),
        (("a", 3, "other", "", "", "heavy"), f'found "heavy".\nAccepted: {WEIGHT_FORMS}'),
        (("a", 3, "other", "", "", "", "-3"), 'column G "Price each": found "-3"'),
        (("B", 1, SHS, 100, "", "2 kg"), "Accepted: a blank cell: it is for lines marked other, which are not cut"),
    ],
)
def test_such_a_line_that_is_not_clear(row: tuple[Any, ...], message: str, tmp_path: Path) -> None:
    assert message in refusal(tmp_path, rows(("A", 1, SHS, 900), row))


def test_an_assembly_has_one_line(tmp_path: Path) -> None:
    found = refusal(tmp_path, rows(("A", 1, SHS, 9, "s"), ("", 3, "assembly", "", "s"), ("S", 2, "assembly")))
    assert 'row 4, column E "Assembly": found assembly "S" again, as in parts.csv, row 3' in found


def test_too_many_and_too_few(tmp_path: Path) -> None:
    found = refusal(tmp_path, rows(("A", 50001, SHS, 9, "s"), ("", 2, "assembly", "", "s")))
    assert "found 50001 in each of 2 assemblies.\nAccepted: a total of at most 100000 of one mark." in found
    assert "found no row with a part to cut" in refusal(tmp_path, rows(("bolt", 2, "other")))


@pytest.mark.parametrize(
    ("text", "unit", "mass"),
    [
        ("1.2", "kg", 1_200_000),
        ("1.2 kg", "lb", 1_200_000),
        ("350g", "kg", 350_000),
        # 1 lb = 0.45359237 kg exactly: International yard and pound agreement, 1959.
        ("1", "lb", 453_592),
        ("16 oz.", "kg", 453_592),
    ],
)
def test_weights(text: str, unit: str, mass: int) -> None:
    assert parse_weight(text, unit) == mass


@pytest.mark.parametrize("text", ["", "kg", "1 stone", "1,5", "1001"])
def test_what_is_no_weight(text: str) -> None:
    with pytest.raises(Refused):
        parse_weight(text)


def test_a_heading_names_the_unit_of_weights(tmp_path: Path) -> None:
    headings = [*H[:5], "Weight each (lb)", "Price each (EUR)"]
    job = job_of(tmp_path, [headings, ("A", 1, SHS, 900), ("bolt", 1, "other", "", "", 2, 1.5)])
    assert (job.others[0].mass_each, job.others[0].price_each) == (907_185, 1.5 * CURRENCY)
    assert KG == 1_000_000


def test_assemblies_may_stand_on_a_sheet_of_their_own(tmp_path: Path) -> None:
    parts = [H[:5], ("A", 4, SHS, 900, "stand"), ("B", 1, SHS, 700, "rail")]
    made_of = [("What to make",), ("Assembly", "Make", "Spares"), ("stand", 3, "1 bought")]
    path = write_xlsx(tmp_path / "stands.xlsx", Parts=parts, Assemblies=made_of)
    assert made(job_of(tmp_path, path)) == [("A", 16, 3), ("B", 1, 1)]
    made_of[2] = ("stool", 0, "")
    path = write_xlsx(tmp_path / "stands.xlsx", Parts=parts, Assemblies=made_of)
    assert 'stands.xlsx, sheet "Assemblies", row 3, column B "Make": found "0"' in refusal(tmp_path, path)
