"""Terms of merchants that apply to nothing, or not as they may have been meant, are told."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from tests.input_files import PARTS, job_of, refusal

H = ("Merchant", "Section", "Length", "Price", "Per")
SHS = "SHS 40x40x3"
YARD = ("Quillhaven Yard", SHS, 6000, 30, "each")
INPUTS = Path(__file__).parents[1] / "inputs"


def codes(tmp_path: Path, workshop: str, *rows: tuple[object, ...]) -> list[str]:
    job = job_of(tmp_path, PARTS, prices=(H, *rows), workshop=workshop)
    return [warning.code for warning in job.warnings if warning.code.startswith("merchant.")]


def test_terms_of_a_merchant_that_no_price_list_names_are_told(tmp_path: Path) -> None:
    terms = '[[merchant]]\nname = "Quillhaven Yard"\n[[merchant]]\nname = "Qillhaven Yard"\nminimum_order = 5\n'
    (warning,) = job_of(tmp_path, PARTS, prices=(H, YARD), workshop=terms).warnings
    assert warning.code == "merchant.unlisted"
    assert warning.where == 'workshop.toml, merchant 2, key "name"'
    assert (warning.found, warning.hint) == ("Qillhaven Yard", 'did you mean "Quillhaven Yard"?')


@pytest.mark.parametrize(
    "row",
    [
        ("DOCK", SHS, 3000, 20, "each"),
        ("Dock", SHS, 3000, "", "each"),
        ("Dock", SHS, "", "no", ""),
        ("Dock", SHS, "", "", ""),
    ],
    ids=("other case", "no price", "not sold", "not answered"),
)
def test_who_is_named_at_all_is_known(row: tuple[object, ...], tmp_path: Path) -> None:
    assert codes(tmp_path, '[[merchant]]\nname = "Dock"\n', YARD, row) == []


def test_without_a_price_list_nobody_is_missed_on_it(tmp_path: Path) -> None:
    terms = '[stock]\nlengths = "6 m"\n[[merchant]]\nname = "Dock"\n'
    assert job_of(tmp_path, PARTS, prices=None, workshop=terms).warnings == ()


@pytest.mark.parametrize(
    ("terms", "place"),
    [
        ("delivery = 5", "delivery"),
        ("free_delivery_from = 50", "free_delivery_from"),
        ("delivers = false\ndelivery = 5\nfree_delivery_from = 50", "delivery"),
        ("delivers = false\ndelivery = 0", ""),
        ("delivers = true\ndelivery = 5", ""),
    ],
)
def test_a_delivery_by_who_does_not_deliver_is_told(terms: str, place: str, tmp_path: Path) -> None:
    job = job_of(tmp_path, PARTS, prices=(H, YARD), workshop=f'[[merchant]]\nname = "Quillhaven Yard"\n{terms}\n')
    told = [(warning.code, warning.where) for warning in job.warnings]
    assert told == ([("merchant.delivery", f'workshop.toml, merchant 1, key "{place}"')] if place else [])


@pytest.mark.parametrize("terms", ["", "delivers = false"])
def test_an_order_delivered_by_who_does_not_deliver_is_refused(terms: str, tmp_path: Path) -> None:
    block = f'[[merchant]]\nname = "Quillhaven Yard"\nbrought = "delivered"\n{terms}\n'
    found = refusal(tmp_path, PARTS, prices=(H, YARD), workshop=block)
    assert found.startswith('workshop.toml, merchant 1, key "brought": found an order delivered by Quillhaven Yard')


@pytest.mark.parametrize("parts", ["tool-stand.csv", "market-stand/market-stand.csv"])
def test_the_samples_name_merchants_of_their_price_lists(parts: str) -> None:
    job = actions.read_job(INPUTS / parts)
    assert not [warning for warning in job.warnings if warning.code.startswith("merchant.")]
