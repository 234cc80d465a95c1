"""Headings in the words of the trade, and the units they carry."""

from __future__ import annotations

import pytest

from cutplan.model import Basis
from cutplan.problems import Refused
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.lists.price_columns import PRICES
from cutplan.reading.lists.rack_columns import RACK
from cutplan.reading.sheets.headings import (
    BASIS_FORMS,
    BASIS_WORDS,
    Heading,
    Kind,
    Recognised,
    heading_hint,
    read_basis,
    recognise,
)

LISTS = {"parts": PARTS, "prices": PRICES, "rack": RACK}


@pytest.mark.parametrize("headings", LISTS.values(), ids=LISTS)
def test_every_name_and_variant_is_recognised_in_any_case(headings: tuple[Heading, ...]) -> None:
    for heading in headings:
        for word in (heading.name, *heading.variants):
            for typed in (word, word.upper(), f" {word.title()}: "):
                assert recognise(typed, headings) == Recognised(heading.name, read=heading.read), typed


@pytest.mark.parametrize("headings", LISTS.values(), ids=LISTS)
def test_no_word_names_two_columns(headings: tuple[Heading, ...]) -> None:
    words = [word for heading in headings for word in (heading.name.lower(), *heading.variants)]
    assert len(set(words)) == len(words)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("Length (mm)", "mm"),
        ("LENGTH [m]", "m"),
        ("Length in", "in"),
        ("Length in mm", "mm"),
        ("Cut length in inches", "in"),
        ("Length, inches", "in"),
        ("Cut length/mm", "mm"),
        ("cut length (ft)", "ft"),
        ('Length (")', "in"),
        ("Length mm.", "mm"),
        ("Length", ""),
    ],
)
def test_unit_in_the_heading(typed: str, unit: str) -> None:
    assert recognise(typed, PARTS) == Recognised("Length", unit)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("No. off", "Quantity"),
        ("QTY.", "Quantity"),
        ("Qty (pcs)", "Quantity"),
        ("Part No.", "Mark"),
        ("Cut-A (deg)", "Cut A"),
        ("Angle B [°]", "Cut B"),
        ("Length is", "Length is"),
    ],
)
def test_how_people_write_headings(typed: str, name: str) -> None:
    assert recognise(typed, PARTS) == Recognised(name)


@pytest.mark.parametrize("typed", ["Lenght", "No.", "Length (furlong)", "Section mm", "Weight", "", "Quantity mm"])
def test_what_is_no_heading(typed: str) -> None:
    assert recognise(typed, PARTS) is None


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("Price (EUR)", "EUR"),
        ("Price EUR", "EUR"),
        ("Price in EUR", "EUR"),
        ("Price per m", "m"),
        ("Price/kg", "kg"),
        ("price each", "each"),
    ],
)
def test_price_headings(typed: str, unit: str) -> None:
    assert recognise(typed, PRICES) == Recognised("Price", unit)


@pytest.mark.parametrize(
    ("typed", "hint"),
    [("Lenght", 'did you mean "Length"?'), ("Qantity", 'did you mean "Quantity"?'), ("Price", ""), ("Weight", "")],
)
def test_hint_for_a_heading(typed: str, hint: str) -> None:
    assert heading_hint(typed, PARTS) == hint


@pytest.mark.parametrize("typed", ["Price per ton", "Unit price/ton", "Price tons"])
def test_a_ton_in_the_heading_of_a_price_is_asked_about(typed: str) -> None:
    assert recognise(typed, PRICES) is None
    assert "per tonne" in heading_hint(typed, PRICES)


@pytest.mark.parametrize(
    ("typed", "basis"),
    [
        ("each", Basis.EACH),
        ("per m", Basis.PER_M),
        ("/ft", Basis.PER_FT),
        ("KG", Basis.PER_KG),
        ("per tonne", Basis.PER_TONNE),
    ],
)
def test_basis(typed: str, basis: Basis) -> None:
    assert read_basis(typed) is basis


def test_every_accepted_basis_is_read() -> None:
    for word in BASIS_FORMS.replace(" or ", ", ").split(", "):
        assert read_basis(word).value.partition(" (")[0] == word
    assert set(BASIS_WORDS.values()) == set(Basis)


@pytest.mark.parametrize("typed", ["ton", "bundle", ""])
def test_no_basis(typed: str) -> None:
    with pytest.raises(Refused):
        read_basis(typed)


def test_only_length_columns_carry_a_length_unit() -> None:
    for heading in PARTS:
        carries = recognise(f"{heading.name} (mm)", PARTS)
        # Of amounts, any word in brackets is taken for a currency.
        assert (carries is not None) == (heading.kind in (Kind.LENGTH, Kind.MONEY))
