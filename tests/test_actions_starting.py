"""A new workbook, and a job turned into one and back: whatever its form, it is the same job and the same plan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan import actions
from cutplan.model import Job
from cutplan.problems import ProblemsFound
from tests.effort import some
from tests.input_files import write_xlsx
from tests.test_newbook import filled

ROOT = Path(__file__).parent.parent


ON_FILES = ("Workshop file", "No workshop file", "Bare lengths in", "Holes were read from")


def same(job: Job) -> Job:
    """A job without what its files are called and where its rows stand."""
    return replace(
        job,
        name="",
        files=(),
        assumptions=tuple(one for one in job.assumptions if not one.text.startswith(ON_FILES)),
        warnings=(),
        parts=tuple(
            replace(part, row=0, holes=tuple(replace(hole, row=0) for hole in part.holes)) for part in job.parts
        ),
        others=tuple(replace(other, row=0) for other in job.others),
        offers=tuple(replace(offer, id=f"{n}", row=0) for n, offer in enumerate(job.offers)),
        offcuts=tuple(replace(offcut, row=0) for offcut in job.offcuts),
    )


SAMPLES = ("garden-trailer.csv", "potting-benches.xlsx", "market-stand/market-stand.csv")


@pytest.mark.thorough
@pytest.mark.parametrize("name", some(SAMPLES, SAMPLES[0]))
def test_every_form_of_a_sample_is_the_same_job(name: str, tmp_path: Path) -> None:
    job = actions.read_job(ROOT / "inputs" / name)
    (book,) = actions.convert(ROOT / "inputs" / name, tmp_path / "book.xlsx")
    as_book = actions.read_job(book)
    assert same(as_book) == same(job)
    files = actions.convert(book, tmp_path / "folder")
    assert same(actions.read_job(files[0])) == same(job)
    (again,) = actions.convert(files[0], tmp_path / "again.xlsx")
    assert same(actions.read_job(again)) == same(job)


@pytest.mark.thorough
def test_settings_of_a_workshop_that_is_found_are_taken_over(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text('[saw]\nkerf = 3\n[files]\nprices = "p.csv"\n[workshop]\nunit = "mm"\n')
    (tmp_path / "p.csv").write_text("Merchant,Section,Length\nYard,RD 12,3000\n")
    assert actions.known_settings("gate", folder=tmp_path) == {"unit", "kerf"}
    path = actions.new("jobs/gate", currency="AUD", folder=tmp_path)
    assert path == tmp_path / "jobs" / "gate.xlsx"
    from openpyxl import load_workbook

    book = load_workbook(path)
    for column, value in enumerate((None, 1, "RD 12", 500), 1):
        book["Parts"].cell(6, column).value = value
    book.save(path)
    job = actions.read_job(path)
    assert job.workshop.saw.kerf == 3_000_000
    assert job.workshop.currency == "AUD"
    assert len(job.offers) == 1


@pytest.mark.parametrize(
    ("settings", "where"),
    [
        ({"kerf": "2,5"}, "--kerf"),
        ({"unit": "cm"}, "--unit"),
        ({"paper": "A3"}, "--paper"),
        ({"currency": "euro"}, "--currency"),
        ({"stock": "6x"}, 'stock length "6x"'),
    ],
)
def test_settings_refused_by_their_option(settings: dict[str, str], where: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        actions.new("gate", folder=tmp_path, **settings)
    assert [problem.where for problem in found.value.problems] == [where]
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "gate.xlsx"
    path.write_text("mine")
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        actions.new("gate", folder=tmp_path)
    assert path.read_text() == "mine"


def test_materials_and_sections_of_ones_own_go_along(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text(
        '[[material]]\nname = "aluminium"\ndensity = 2700\n'
        '[[section]]\nname = "Lip 7"\nheight = 40\nwidth = 20\nthickness = 2\nlegs = [20, 40, 20]\nbend_radius = 2\n'
        '[[section]]\nname = "Rail 7"\nheight = 30\nwidth = 20\nmass_per_m = "1.4"\n'
    )
    (tmp_path / "gate.csv").write_text("Quantity,Section,Length\n2,Lip 7,900\n1,Rail 7,800\n")
    job = actions.read_job(tmp_path / "gate.csv", stock=["6 m"])
    (book,) = actions.convert(tmp_path / "gate.csv", tmp_path / "book" / "gate.xlsx", stock=["6 m"])
    assert same(actions.read_job(book)) == same(job)
    files = actions.convert(book, tmp_path / "folder")
    assert same(actions.read_job(files[0])) == same(job)


def test_a_sheet_of_assemblies_becomes_lines_of_the_list(tmp_path: Path) -> None:
    parts = (("Quantity", "Section", "Length", "Assembly"), (1, "SHS 40x40x3", 500, "stand"), (2, "RD 12", 90, "Foot"))
    made = (("Assembly", "Quantity", "Spares"), ("Stand", 3, "1 bought"), ("foot", 2, ""))
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=parts, Assemblies=made)
    job = actions.read_job(path, stock=["6 m"])
    assert [(part.quantity, part.assemblies, part.spares_bought) for part in job.parts] == [(4, 3, 1), (4, 2, 0)]
    files = actions.convert(path, tmp_path / "folder", stock=["6 m"])
    assert same(actions.read_job(files[0])) == same(job)
    (again,) = actions.convert(path, tmp_path / "again.xlsx", stock=["6 m"])
    assert same(actions.read_job(again)) == same(job)


@pytest.mark.thorough
def test_numbers_of_a_workbook_keep_their_worth_under_a_decimal_comma(tmp_path: Path) -> None:
    rows: dict[str, list[dict[str, Any]]] = {
        "Parts": [
            {"Mark": "A", "Quantity": 2, "Section": "SHS 40x40x3", "Length": 1234.125, "Note": 4.5},
            {"Mark": "B", "Quantity": 1, "Section": "SHS 40x40x3", "Length": "1.200,5", "Cut A": 22.5},
        ],
        "Prices": [
            {"Merchant": "Yard", "Section": "SHS 40x40x3", "Length": "6,5 m", "Price": 31.125, "Per": "each"},
            {"Merchant": "Yard", "Section": "SHS 40x40x3", "Length": 7500, "Price": "1.031,50", "Per": "each"},
        ],
    }
    shop = {"workshop.decimal_sign": ",", "saw.kerf": "1,8 mm", "tax.percent": 8.5}
    book = filled(tmp_path / "gate.xlsx", shop, **rows)
    job = actions.read_job(book)
    assert [part.length for part in job.parts] == [1_234_125_000, 1_200_500_000]
    assert [offer.bar_price for offer in job.offers] == [31_125_000, 1_031_500_000]
    assert job.parts[0].note == "4.5"
    files = actions.convert(book, tmp_path / "folder")
    assert same(actions.read_job(files[0])) == same(job)
    (again,) = actions.convert(files[0], tmp_path / "again.xlsx")
    assert same(actions.read_job(again)) == same(job)


@pytest.mark.thorough
def test_a_job_in_inches_offers_the_sizes_and_standards_of_that_market(tmp_path: Path) -> None:
    path = actions.new("gate", unit="in", folder=tmp_path)
    book = load_workbook(path)
    sizes = [cell.value for (cell,) in book["Choices"].iter_rows()]
    assert "HSS 2x2x1/8" in sizes
    assert "L2x2x1/4" in sizes
    assert not [size for size in sizes if size.startswith(("SHS", "EA"))]
    settings = {row[4].value: row[1].value for row in book["Workshop"].iter_rows(max_col=5)}
    assert (settings["workshop.paper"], settings["workshop.mass_unit"]) == ("Letter", "lb")
    families = {row[0].value: [cell.value for cell in row] for row in book["Families"].iter_rows()}
    assert "ASTM A500" in families["SHS"]
    assert "ASTM A36" in families["FL"]
