"""The price list."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan.model import Basis, StockLength
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job
from cutplan.reading.lists.price_columns import AVAILABLE_FORMS
from cutplan.units import CURRENCY, MM, MONEY_FORMS, parse_money
from tests.input_files import PARTS, job_of, refusal, write_csv, write_xlsx

H = ("Merchant", "Section", "Length", "Price", "Per", "Available")
SHS = "SHS 40x40x3"


def offers(
    tmp_path: Path, *rows: tuple[object, ...], headings: tuple[str, ...] = H, workshop: str = ""
) -> tuple[StockLength, ...]:
    return job_of(tmp_path, prices=(headings, *rows), workshop=workshop).offers


@pytest.mark.parametrize(
    ("per", "price", "money"),
    [
        ("each", "31.5", 31.5),
        ("per m", "5", 30),
        ("per ft", "1.524", 30),
        ("per kg", "1", None),
        ("tonne", "1000", None),
    ],
)
def test_money_per_bar(per: str, price: str, money: float | None, tmp_path: Path) -> None:
    (offer,) = offers(tmp_path, ("Yard", SHS, 6000, price, per, ""))
    expected = offer.section.mass_per_metre * 6 if money is None else round(money * CURRENCY)
    assert offer.bar_price == expected
    assert (offer.typed_price, offer.id, offer.row) == (price, "#2", 2)


def test_one_sheet_of_prices(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "prices.xlsx", Yard=(H, ("Yard", SHS, 6000, 31, "each", "")), Old=(H,))
    job = write_csv(tmp_path / "parts.csv", PARTS)
    with pytest.raises(ProblemsFound, match='found 2 sheets with the headings, "Yard" and "Old"'):
        read_job(job, prices=path)


def test_a_blank_price_is_not_zero(tmp_path: Path) -> None:
    (offer,) = offers(tmp_path, ("Yard", SHS, 6000, "", "", ""))
    assert offer.bar_price is None
    assert offer.typed_price == ""


@pytest.mark.parametrize(("typed", "number"), [("", None), ("0", 0), ("3", 3), ("3.0", 3)])
def test_available(typed: str, number: int | None, tmp_path: Path) -> None:
    other = ("Yard", SHS, 7000, 1, "each", "")
    assert offers(tmp_path, ("Yard", SHS, 6000, 1, "each", typed), other)[0].available == number


@pytest.mark.parametrize(
    ("heading", "basis"),
    [
        ("Price per m", Basis.PER_M),
        ("Price/kg", Basis.PER_KG),
        ("Price (EUR/m)", Basis.PER_M),
        ("Price (EUR per ft)", Basis.PER_FT),
        ("Price (each)", Basis.EACH),
        ("Price (per tonne)", Basis.PER_TONNE),
    ],
)
def test_basis_in_the_heading(heading: str, basis: Basis, tmp_path: Path) -> None:
    (offer,) = offers(tmp_path, ("Yard", SHS, 6000, 5), headings=("Merchant", "Section", "Length", heading))
    assert offer.basis is basis


def test_no_price_column_means_no_prices(tmp_path: Path) -> None:
    (offer,) = offers(tmp_path, ("Yard", SHS, 6000), headings=H[:3])
    assert offer.bar_price is None


def test_merchants_are_spelled_as_in_the_workshop_file(tmp_path: Path) -> None:
    rows = (("north yard", SHS, 6000, 30, "each", ""), ("Dockside", SHS, 6000, 30, "each", ""))
    job = job_of(tmp_path, prices=(H, *rows), workshop='[[merchant]]\nname = "North Yard"\ndelivery = 20')
    assert [offer.merchant for offer in job.offers] == ["North Yard", "Dockside"]
    assert any(sentence.endswith("does not name them: Dockside.") for sentence in job.assumed)


def test_counted_on(tmp_path: Path) -> None:
    (offer,) = offers(tmp_path, ("Yard", SHS, 6000, "", "", ""), workshop='[minus_tolerance]\nSHS = "6 mm"')
    assert (offer.length, offer.counted) == (6000 * MM, 5994 * MM)


def test_the_same_bar_in_two_grades_or_from_two_merchants_is_two_offers(tmp_path: Path) -> None:
    headings = (*H[:3], "Grade", "Finish")
    rows = [("Yard", SHS, 6000, "S235", ""), ("Yard", SHS, 6000, "S355", ""), ("Yard", SHS, 6000, "", "primed")]
    rows.append(("Dockside", SHS, 6000, "S235", ""))
    assert len({offer.id for offer in offers(tmp_path, *rows, headings=headings)}) == 4


def test_examples_of_accepted_texts() -> None:
    assert "31.50" in MONEY_FORMS
    assert parse_money("31.50") == 31_500_000
    assert AVAILABLE_FORMS.startswith("a whole number from 0 to 100000")


def test_a_problem_in_a_price_row_is_not_told_of_the_parts_too(tmp_path: Path) -> None:
    from tests.input_files import refusal

    for row in (("Yard", SHS, "6OOO", "", "", ""), ("Yard", "SHS 40x40x", 6000, "", "", "")):
        assert "parts.csv" not in refusal(tmp_path, PARTS, prices=(H, row))


@pytest.mark.parametrize(
    ("heading", "typed"),
    [
        ("Merchant", ""),
        ("Section", "SHS 40x40x99"),
        ("Length", "6 metre sticks"),
        ("Per", "per bundle"),
        ("Available", "lots"),
    ],
)
def test_a_row_that_is_not_sold_is_read_like_any_other(heading: str, typed: str, tmp_path: Path) -> None:
    wrong = dict(zip(H, ("Yard", SHS, 7000, "no", "each", ""), strict=True)) | {heading: typed}
    problems = refusal(tmp_path, PARTS, prices=(H, ("Yard", SHS, 6000, 30, "each", ""), tuple(wrong.values())))
    assert re.match(f'prices.csv, row 3, column . "{heading}": ', problems)


@pytest.mark.parametrize("typed", ["POA", "ask", "twelve", "-"])
def test_words_for_a_price_are_told_how_to_say_that_there_is_none(typed: str, tmp_path: Path) -> None:
    problems = refusal(tmp_path, PARTS, prices=(H, ("Yard", SHS, 6000, typed, "each", "")))
    assert "hint: leave the cell blank where the price is not known, or write no where it is not sold" in problems


def test_a_row_that_is_not_sold_may_leave_its_length_out_and_is_no_offer(tmp_path: Path) -> None:
    rows = [("Yard", SHS, 6000, 30, "each", ""), ("Yard", SHS, "", "no", "", ""), ("Yard", SHS, 6000, "No", "", "")]
    (offer,) = offers(tmp_path, *rows)
    assert offer.row == 2
