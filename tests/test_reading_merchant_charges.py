"""What merchants say of their charges on a form, what it does to a plan, and how it comes into the workshop file."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan import actions
from cutplan.model import Merchant, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.lists.merchant_charges import CHARGES, Charges, charge_text, charges_typed, read_charges
from cutplan.reading.merchant_terms import blocks_with
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import Sheet
from cutplan.units import MM
from tests.commands import document, run
from tests.input_files import write_csv

HEADS = [heading.name for heading in CHARGES]
LIST = (("Mark", "Quantity", "Section", "Length"), ("A", 4, "SHS 40x40x3", 1900))
SHOP = """[saw]
kerf = "2 mm"
[carry]
longest = "4 m"
"""
NORTH = {"Delivery": "no", "Minimum order": 25, "Charge per cut": 2, "Cuts free": 1}
SOUTH = {"Delivery": 25, "Free delivery from": "400", "Charge per cut": "1.50", "Longest delivered": "8 m"}


def sheet_of(*rows: Mapping[str, Any], heads: list[str] = HEADS, name: str = "Charges") -> Sheet:
    cells = [["What you charge"], heads, *([row.get(head, "") for head in heads] for row in rows)]
    return Sheet(file="form.xlsx", name=name, rows=cells)


def read(sheet: Sheet, workshop: Workshop | None = None) -> tuple[list[Charges], list[Problem]]:
    findings = Findings()
    found = read_charges([Sheet(file="form.xlsx", name="Prices", rows=[]), sheet], workshop or Workshop(), findings)
    return found, [problem for _, problem in [*findings.problems, *findings.warnings]]


def fill(form: Path, price: float, charges: Mapping[str, Any]) -> Path:
    """A form with one price for the first line and what is charged, as a merchant sends it back."""
    book = load_workbook(form)
    prices, sheet = book["Prices"], book["Charges"]
    prices.cell(4, 7).value = price
    heads = {cell.value: cell.column for cell in sheet[4]}
    for head, value in charges.items():
        sheet.cell(5, heads[head]).value = value
    book.save(form)
    return form


@pytest.fixture
def quotes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The forms of two merchants for four parts of 1900, from lengths of 8 m."""
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text(SHOP)
    write_csv(Path("list.csv"), LIST)
    actions.enquiries("list.csv", merchants=["North", "South"], stock=["8 m"])
    return [
        fill(Path("list-enquiry-north.xlsx"), 20, NORTH),
        fill(Path("list-enquiry-south.xlsx"), 18, SOUTH),
    ]


def test_blank_says_nothing_and_no_says_that_it_is_not_done() -> None:
    (north, south), problems = read(
        sheet_of({"Merchant": "North", **NORTH}, {"Merchant": "Dock"}, {"Merchant": "South", **SOUTH})
    )
    assert not problems
    assert (north.merchant, north.where) == ("North", 'form.xlsx, sheet "Charges", row 3')
    assert dict(north.said) == {
        "delivers": False,
        "delivery": 0,
        "minimum_order": 25_000_000,
        "cuts_to_carry": True,
        "carry_cut_charge": 2_000_000,
        "carry_cuts_free": 1,
    }
    assert dict(south.said) == {
        "delivers": True,
        "delivery": 25_000_000,
        "free_delivery_from": 400_000_000,
        "longest_delivered": 8000 * MM,
        "cuts_to_carry": True,
        "carry_cut_charge": 1_500_000,
    }


def test_a_charge_with_tax_is_brought_to_the_basis_of_the_prices() -> None:
    """By hand: 30.00 with 20 % of tax in it is 25.00 without."""
    ((yard,), problems) = read(
        sheet_of({"Merchant": "Yard", "Delivery": "30.00 inc VAT"}), Workshop(tax_millionths=200_000)
    )
    assert not problems
    assert dict(yard.said)["delivery"] == 25_000_000


@pytest.mark.parametrize(
    ("row", "code", "cell"),
    [
        ({"Merchant": "Yard", "Delivery": "twice"}, "number.unreadable", 'column B "Delivery"'),
        ({"Merchant": "Yard", "Delivery": "25 USD"}, "money.currency", 'column B "Delivery"'),
        ({"Merchant": "Yard", "Minimum order": "20000000"}, "money.most", 'column E "Minimum order"'),
        ({"Merchant": "Yard", "Cuts free": "1.5"}, "merchant.cuts_free", 'column G "Cuts free"'),
        ({"Merchant": "Yard", "Cuts free": "1001"}, "merchant.cuts_free", 'column G "Cuts free"'),
        ({"Delivery": "25"}, "cell.blank", 'column A "Merchant"'),
    ],
)
def test_what_is_no_charge_is_refused_at_its_cell(row: Mapping[str, str], code: str, cell: str) -> None:
    found, (problem,) = read(sheet_of(row))
    assert not found
    assert (problem.code, problem.where) == (code, f'form.xlsx, sheet "Charges", row 3, {cell}')


def test_a_sheet_of_that_name_that_is_another_is_told() -> None:
    found, (problem,) = read(sheet_of({"Area": "North", "Rate": "3"}, heads=["Area", "Rate"]))
    assert (found, problem.code) == ([], "sheet.unread")
    assert read(sheet_of({"Merchant": "Yard", "Delivery": "25"}, name="Notes")) == ([], [])
    assert read(Sheet(file="form.xlsx", name="Charges", rows=[])) == ([], [])


@pytest.mark.parametrize("typed", ["free", "-5", "12,50", "about 30"])
def test_an_amount_that_is_none_is_told_what_may_stand_there(typed: str) -> None:
    _, (problem,) = read(sheet_of({"Merchant": "Yard", "Delivery": typed}))
    assert problem.accepted == (
        "an amount such as 25.00, 0 where nothing is charged, or no where it is not done; blank is not known"
    )


@pytest.mark.parametrize(("name", "hidden"), [("CHARGES ", False), ("Charges (2)", False), ("charges", True)])
def test_another_sheet_of_charges_is_not_read_and_told(name: str, hidden: bool) -> None:
    first = sheet_of({"Merchant": "Yard", "Delivery": "25"})
    other = replace(sheet_of({"Merchant": "Yard", "Delivery": "30"}, name=name), hidden=hidden)
    for sheets in ([first, other], [other, first]) if name != "CHARGES " else ([first, other],):
        findings = Findings()
        (yard,) = read_charges(sheets, Workshop(), findings)
        assert dict(yard.said)["delivery"] == 25_000_000
        ((_, problem),) = findings.warnings
        assert (problem.code, problem.where) == ("sheet.unread", other.place)


def test_charges_of_a_merchant_without_prices_are_told_and_not_put(quotes: list[Path]) -> None:
    """A name spelled otherwise would leave its charges out of every plan."""
    book = load_workbook(quotes[1])
    book["Charges"]["A5"].value = "Sout"
    book.save(quotes[1])
    (warning,) = [each for each in actions.read_job("list.csv", quotes=quotes).warnings if "unlisted" in each.code]
    assert (warning.found, warning.hint) == ("Sout", 'did you mean "South"?')
    assert warning.where == 'list-enquiry-south.xlsx, sheet "Charges", row 5, "Merchant"'
    before = Path("workshop.toml").read_bytes()
    refused = run("quoted", str(quotes[1]), "--charges")
    assert refused.exit_code == 1
    assert 'found "Sout"' in refused.stderr
    assert Path("workshop.toml").read_bytes() == before
    assert not Path("rack-prices.csv").exists(), "nothing of it is noted then"


def test_nothing_is_said_of_the_carry_where_a_charge_cannot_be_read(quotes: list[Path]) -> None:
    fill(quotes[1], 18, {"Charge per cut": "three"})
    with pytest.raises(ProblemsFound) as refused:
        actions.read_job("list.csv", prices=quotes[1])
    assert [problem.code for problem in refused.value.problems] == ["number.unreadable"]


def test_a_merchant_written_otherwise_on_the_two_sheets_is_one(quotes: list[Path]) -> None:
    """As in the comparison: 18.00 and a cut at 1.50."""
    book = load_workbook(quotes[1])
    book["Charges"]["A5"].value = "SOUTH"
    book.save(quotes[1])
    assert actions.plan(actions.read_job("list.csv", prices=quotes[1])).cost == 19_500_000
    other = Path("other.xlsx")
    book["Prices"]["A4"].value = book["Charges"]["A5"].value = "south"
    book.save(other)
    job = actions.read_job("list.csv", quotes=[quotes[1], other])
    assert {offer.merchant for offer in job.offers} == {"South"}
    assert [terms.name for terms in job.workshop.merchants] == ["South"]


def test_nothing_is_noted_where_charges_cannot_be_put(quotes: list[Path]) -> None:
    with Path("workshop.toml").open("a") as file:
        file.write('[[merchant]]\nname = "North"\ndelivers = true\nbrought = "delivered"\n')
    before = Path("workshop.toml").read_bytes()
    refused = run("quoted", str(quotes[0]), "--charges")
    assert "no delivery from North, from whom all is to be delivered" in refused.stderr
    assert Path("workshop.toml").read_bytes() == before
    assert not Path("rack-prices.csv").exists()


def test_nothing_is_noted_without_the_library_that_keeps_comments(
    quotes: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "tomlkit", None)
    before = Path("workshop.toml").read_bytes()
    refused = run("quoted", str(quotes[0]), "--charges", "--json")
    assert "merchant.library" in refused.stdout
    assert 'pip install \\"cutplan[web]\\"' in refused.stdout
    assert Path("workshop.toml").read_bytes() == before
    assert not Path("rack-prices.csv").exists()


def test_answers_are_compared_with_what_is_charged(quotes: list[Path]) -> None:
    """By hand: two parts of 1900 with kerf, trims and tolerance go into a piece of 4 m, so one of 8 m is cut in two.

    North has one length at 20.00 with its cut free, made up to 25.00. South fetched is 18.00 and a cut at 1.50,
    delivered whole 18.00 and 25.00. Without what the forms say nobody cuts or delivers, and nothing comes home.
    """
    job = actions.read_job("list.csv", quotes=quotes)
    rows = actions.compare(job, quoted=True)
    assert [(row.words, row.money) for row in rows] == [
        ("all quotes together", 19_500_000),
        ("North alone", 25_000_000),
        ("South alone", 19_500_000),
        ("South alone, fetched", 19_500_000),
        ("South alone, delivered", 43_000_000),
    ]
    for form in quotes:
        book = load_workbook(form)
        del book["Charges"]
        book.save(form)
    with pytest.raises(ProblemsFound, match="longer than the longest carry"):
        actions.read_job("list.csv", quotes=quotes)


def test_a_form_goes_before_the_workshop_file_and_that_is_told(quotes: list[Path]) -> None:
    with Path("workshop.toml").open("a") as file:
        file.write('[[merchant]]\nname = "south"\ndelivers = true\ndelivery = 30\nminimum_order = 10\n')
    job = actions.read_job("list.csv", prices=quotes[1])
    (terms,) = job.workshop.merchants
    assert (terms.delivery, terms.minimum_order, terms.carry_cut_charge) == (25_000_000, 10_000_000, 1_500_000)
    (warning,) = [each for each in job.warnings if each.code == "merchant.otherwise"]
    assert warning.found == (
        "charges of south other than in the workshop file: delivery 25.00 in place of delivery 30.00"
    )
    table = actions.comparison(job, actions.compare(job, no_rack=True), width=200)
    lines = table.splitlines()
    assert lines.index(f"  {warning.where}: {warning.found}") < next(
        n for n, line in enumerate(lines) if "kept" in line
    )


@pytest.mark.parametrize(
    ("charges", "block", "code"),
    [
        ({"Delivery": "no"}, 'delivers = true\nbrought = "delivered"\n', "merchant.brought"),
        ({"Delivery": 30}, "", "merchant.twice"),
    ],
)
def test_what_cannot_both_be_so_is_refused(
    quotes: list[Path], charges: Mapping[str, Any], block: str, code: str
) -> None:
    with Path("workshop.toml").open("a") as file:
        file.write(f'[[merchant]]\nname = "South"\n{block}' if block else "")
    other = Path("other.xlsx")
    other.write_bytes(quotes[1].read_bytes())
    fill(other, 18, charges)
    with pytest.raises(ProblemsFound) as refused:
        actions.read_job("list.csv", quotes=[other] if block else [quotes[1], other])
    assert [problem.code for problem in refused.value.problems] == [code]


def test_a_further_price_list_says_charges_too(quotes: list[Path]) -> None:
    """South's 19.50 beside North's 25.00, as in the comparison of both quotes."""
    job = actions.read_job("list.csv", prices=quotes[0])
    base, also = actions.compare(job, also=quotes[1])
    assert (base.money, also.money) == (25_000_000, 19_500_000)
    assert also.words == "the offers of list-enquiry-south.xlsx too, and what it charges"


def test_a_second_sheet_of_charges_is_told_where_a_form_is_kept_or_compared_with(quotes: list[Path]) -> None:
    book = load_workbook(quotes[1])
    book.copy_worksheet(book["Charges"]).title = "Charges (2)"
    book.save(quotes[1])
    said = 'list-enquiry-south.xlsx, sheet "Charges (2)": found another sheet with the headings of charges'
    assert said in " ".join(run("quoted", str(quotes[1]), "--charges").stdout.split())
    kept = document(run("quoted", str(quotes[1]), "--json"))
    assert [warning["code"] for warning in kept["warnings"]] == ["sheet.unread"]
    shop = Path("workshop.toml")
    shop.write_text(shop.read_text().replace('delivery = "25.00"', 'delivery = "30.00"'))
    command = ("compare", "list.csv", "--prices", str(quotes[0]), "--also", str(quotes[1]))
    assert said.replace("found ", "") in " ".join(run(*command).stdout.split())
    base, also = document(run(*command, "--json"))["rows"]
    assert (base["warnings"], [warning["code"] for warning in also["warnings"]]) == (
        [],
        ["sheet.unread", "merchant.otherwise"],
    )


def test_charges_come_into_the_workshop_file_and_stay_to_be_read_there(quotes: list[Path]) -> None:
    with Path("workshop.toml").open("a") as file:
        file.write('# our yards\n[[merchant]]\nname = "South"  # the near one\nminimum_order = 10\n')
    said = document(run("quoted", str(quotes[1]), "--charges", "--json"))
    assert said["charges"] == [
        {
            "merchant": "South",
            "delivers": True,
            "delivery": "25.00",
            "free_delivery_from": "400.00",
            "longest_delivered": "8000 mm",
            "cuts_to_carry": True,
            "carry_cut_charge": "1.50",
        }
    ]
    assert run("quoted", str(quotes[0]), "--charges").stdout.endswith("workshop.toml now.\n")
    text = Path("workshop.toml").read_text()
    assert "# our yards" in text
    assert "# the near one" in text
    south, north = tomllib.loads(text)["merchant"]
    assert (south["minimum_order"], south["delivery"], north["carry_cuts_free"]) == (10, "25.00", 1)
    job = actions.read_job("list.csv", prices=quotes[1])
    assert "merchant.otherwise" not in {warning.code for warning in job.warnings}
    write_csv(
        Path("plain.csv"),
        (("Merchant", "Section", "Length", "Price", "Per"), ("South", "SHS 40x40x3", "8 m", 18, "each")),
    )
    assert actions.plan(actions.read_job("list.csv", prices="plain.csv")).cost == 19_500_000


def test_they_are_offered_and_not_put_unasked(quotes: list[Path]) -> None:
    before = Path("workshop.toml").read_bytes()
    lines = run("quoted", str(quotes[0])).stdout.splitlines()
    assert lines[1:] == [
        "North: does not deliver, delivery 0.00, cuts to be carried, carry cut charge 2.00, minimum order 25.00, "
        "carry cuts free 1.",
        "--charges puts these charges into the workshop file.",
    ]
    assert Path("workshop.toml").read_bytes() == before
    write_csv(
        Path("plain.csv"), (("Merchant", "Section", "Length", "Price", "Per"), ("Yard", "RD 12", "6 m", 9, "each"))
    )
    refused = run("quoted", "plain.csv", "--charges", "--json")
    assert refused.exit_code == 1
    assert "merchant.no_charges" in refused.stdout
    assert "RD 12" not in Path("rack-prices.csv").read_text(), "nothing of it is noted then"


def test_a_workshop_file_converted_has_them(quotes: list[Path]) -> None:
    assert run("convert", "list.csv", "--prices", str(quotes[1]), "--out", "folder").exit_code == 0
    (block,) = tomllib.loads(Path("folder/workshop.toml").read_text())["merchant"]
    assert (block["name"], block["carry_cut_charge"]) == ("South", "1.50")


def test_words_and_keys() -> None:
    shop = Workshop(decimal_sign=",")
    said = (("delivers", True), ("delivery", 12_345_600), ("longest_delivered", 0), ("carry_cuts_free", 2))
    charges = Charges(merchant="Yard", where="here", said=said)
    assert charges_typed(charges, shop) == {
        "delivers": True, "delivery": "12,3456", "longest_delivered": "0 mm", "carry_cuts_free": 2,
    }  # fmt: skip
    assert [charge_text(word, value, shop) for word, value in said] == [
        *("delivers", "delivery 12.35", "no longest delivered", "carry cuts free 2"),
    ]
    assert blocks_with([{"name": "yard", "delivery": 3}], [charges], shop)[0]["delivery"] == "12,3456"
    assert {word for word, _ in said} <= set(Merchant.__dataclass_fields__)
