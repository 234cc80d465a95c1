"""A blank price list is read when it is filled in, and what nobody has answered yet is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.writing.priceform import COLUMNS
from tests.input_files import write_csv

LIST = (
    ("Quantity", "Section", "Length", "Grade", "Finish"),
    (4, "SHS 40x40x3", 1200, "", ""),
    (2, "40 x 40 x 3 SHS", 850, "", "black"),
    (1, "SHS 40x40x3", 700, "S355", ""),
    (3, "RD 12", 400, "", ""),
)


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_filled_in_it_is_a_price_list(suffix: str, tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", LIST)
    form = actions.price_form(parts, tmp_path / f"form{suffix}", merchants=["Yard"], stock=["6 m, 7.5 m"])
    answers = [30, "no", 33, "No", 9.5, "not sold"]
    if suffix == ".csv":
        lines = form.read_text().splitlines()
        cells = [line.split(",", len(COLUMNS) - 1) for line in lines]
        for row, answer in zip(cells[1:], answers, strict=True):
            row[6] = str(answer)
        form.write_text("\n".join(",".join(row) for row in cells))
    else:
        book = load_workbook(form)
        assert not any(sheet.protection.sheet for sheet in book), "a guarded sheet could not be filled in"
        for number, answer in enumerate(answers, 4):
            book["Prices"].cell(number, 7).value = answer
        book.save(form)
    job = actions.read_job(parts, prices=form)
    assert [(offer.merchant, offer.grade, offer.length // 1_000_000, offer.bar_price) for offer in job.offers] == [
        ("Yard", "", 6000, 30_000_000),
        ("Yard", "S355", 6000, 33_000_000),
        ("Yard", "", 6000, 9_500_000),
    ]
    assert actions.plan(job).bars


@pytest.mark.parametrize("merchant", ["", "Yard"])
def test_rows_that_nobody_answered_are_told_and_not_read(merchant: str, tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", LIST)
    form = actions.price_form(parts, tmp_path / "form.csv", merchants=[merchant])
    job = actions.read_job(parts, prices=form, stock=["6 m"])
    assert {offer.merchant for offer in job.offers} == {""}
    (warning,) = [problem for problem in job.warnings if problem.where.startswith("form.csv")]
    assert warning.where == "form.csv, row 2"
    assert warning.found == "6 rows with no length and no price, from here on; not read"


def test_a_form_that_is_there_is_left_alone(tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", LIST)
    actions.price_form(parts, tmp_path / "form.csv")
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        actions.price_form(parts, tmp_path / "form.csv")
    with pytest.raises(ProblemsFound, match="6x"):
        actions.price_form(parts, tmp_path / "other.csv", stock=["6x"])


OFFERS = (
    ("Merchant", "Section", "Length", "Price", "Per"),
    ("Low Yard", "SHS 40x40x3", "6 m", 30, "each"),
    ("Hill & Son", "RD 12", "3 m", 9, "each"),
)


def test_an_enquiry_to_each_merchant_reads_back(tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", LIST)
    prices = write_csv(tmp_path / "prices.csv", OFFERS)
    written = actions.enquiries(parts, tmp_path, prices=prices)
    assert [path.name for path in written] == [
        *("gate-enquiry-low-yard.xlsx", "gate-enquiry-low-yard.txt"),
        *("gate-enquiry-hill-son.xlsx", "gate-enquiry-hill-son.txt"),
    ]
    text = written[1].read_text(encoding="utf-8")
    assert "1. about 2 lengths x 6 m SHS 40x40x3, EN 10219-2, any grade, black\n" in text
    assert "about 1 length x 3 m RD 12, EN 10060, any grade, black" in text
    assert "Hill" not in text, "nothing of another merchant"
    book = load_workbook(written[0])
    sheet = book["Prices"]
    assert sheet.cell(1, 1).value == "Enquiry to Low Yard: gate, in EUR"
    for number in range(4, sheet.max_row + 1):
        sheet.cell(number, 7).value = 20
    book.save(written[0])
    job = actions.read_job(parts, prices=written[0])
    assert {offer.merchant for offer in job.offers} == {"Low Yard"}
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        actions.enquiries(parts, tmp_path, prices=prices)


def test_an_enquiry_for_what_is_sold(tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", LIST)
    prices = write_csv(tmp_path / "prices.csv", OFFERS)
    _, text = actions.enquiries(parts, tmp_path, prices=prices, sold=True, merchants=["hill & son"])
    assert [line for line in text.read_text(encoding="utf-8").splitlines() if line.startswith(("1.", "2."))] == [
        "1. about 1 length x 3 m RD 12, EN 10060, any grade, black"
    ]
    with pytest.raises(ProblemsFound) as found:
        actions.enquiries(parts, tmp_path / "other", prices=prices, sold=True, merchants=["Dock"])
    assert [problem.code for problem in found.value.problems] == ["offer.unsold"]
    with pytest.raises(ProblemsFound, match="nothing that Dock is known to sell"):
        actions.enquiries(parts, tmp_path / "other", prices=prices, sold=True, merchants=["Hill & Son", "Dock"])
    assert not (tmp_path / "other").exists()


def test_a_merchant_that_is_named_is_asked_for_the_lengths_on_the_price_list(tmp_path: Path) -> None:
    """Of the list that the workshop file names, once it is there."""
    parts = write_csv(tmp_path / "gate.csv", LIST)
    (tmp_path / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n', encoding="utf-8")

    def asked(folder: str) -> list[str]:
        text = actions.enquiries(parts, tmp_path / folder, merchants=["Dock"])[1].read_text(encoding="utf-8")
        return [line.partition(", EN")[0] for line in text.splitlines() if line[:1].isdigit()]

    assert asked("before") == ["1. SHS 40x40x3", "2. SHS 40x40x3", "3. RD 12"]
    write_csv(tmp_path / "prices.csv", OFFERS)
    assert asked("after") == [
        "1. about 2 lengths x 6 m SHS 40x40x3",
        "2. about 1 length x 6 m SHS 40x40x3",
        "3. about 1 length x 3 m RD 12",
    ]


def test_an_enquiry_in_inches_reads_back(tmp_path: Path) -> None:
    sample = Path(__file__).parent.parent / "inputs/market-stand/market-stand.csv"
    sheet = actions.enquiries(sample, tmp_path, sold=True, merchants=["Wexmoor Steel Supply"])[0]
    book = load_workbook(sheet)
    names = [row[1].value for row in book["Prices"].iter_rows(min_row=4)]
    assert names[0] == "HSS 2x2x1/8"
    for row in book["Prices"].iter_rows(min_row=4):
        row[6].value = 50
    book.save(sheet)
    job = actions.read_job(sample, prices=sheet)
    assert len(job.offers) == len(names)
