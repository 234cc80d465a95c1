"""What a bar costs, from published weights and sums done by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.model import Workshop, bar_price, price_as_typed
from cutplan.model.stock_length import Basis
from cutplan.problems import Refused
from cutplan.units import MM
from tests.builders import mm, offer, part, square_tube


@pytest.mark.parametrize(
    ("price", "basis", "money"),
    [
        ("31.50", Basis.EACH, 31_500_000),
        ("5.25", Basis.PER_M, 34_125_000),  # 6.5 m
        ("2", Basis.PER_FT, 42_650_919),  # 6500 / 304.8 = 21.32545931... ft
        ("1.10", Basis.PER_KG, 21_450_000),  # 6.5 m of 3 kg/m: 19.5 kg
        ("0.50", Basis.PER_LB, 21_495_026),  # 19.5 / 0.45359237 = 42.990140... lb
        ("1100", Basis.PER_TONNE, 21_450_000),
        ("0", Basis.PER_TONNE, 0),
    ],
)
def test_price_of_a_bar(price: str, basis: Basis, money: int) -> None:
    assert bar_price(Fraction(price), basis, mm(6500), square_tube()) == pytest.approx(money, abs=100)
    exact = {
        Basis.PER_FT: Fraction(2) * Fraction(65000, 3048),
        Basis.PER_LB: Fraction(1, 2) * Fraction(195, 10) / Fraction(45359237, 100_000_000),
    }
    if basis in exact:
        assert abs(bar_price(Fraction(price), basis, mm(6500), square_tube()) - exact[basis] * 10**6) <= Fraction(1, 2)
    else:
        assert bar_price(Fraction(price), basis, mm(6500), square_tube()) == money


def test_a_price_is_rounded_once_half_up() -> None:
    """0.0000005 is half a millionth, 0.0000004 less."""
    assert bar_price(Fraction(5, 10**7), Basis.EACH, mm(1), square_tube()) == 1
    assert bar_price(Fraction(4, 10**7), Basis.EACH, mm(1), square_tube()) == 0
    assert bar_price(Fraction(1, 3), Basis.PER_M, mm(1000), square_tube()) == 333_333
    assert bar_price(Fraction(2, 3), Basis.PER_M, mm(1000), square_tube()) == 666_667


def test_mass_of_a_bar_is_of_its_nominal_length() -> None:
    assert offer("A", 6000, 1, counted=5990).mass == 18_000_000


@pytest.mark.parametrize(
    ("basis", "kilograms"),
    [
        # NIST Special Publication 811 (2008), appendix B.8, mass: pound avoirdupois 4.5359237 E-01 (exact),
        # hundredweight (short, 100 lb) 4.535924 E+01, (long, 112 lb) 5.080235 E+01,
        # ton, short (2000 lb) 9.071847 E+02, ton, long (2240 lb) 1.016047 E+03, metric ton 1.0 E+03.
        (Basis.PER_LB, "0.45359237"),
        (Basis.PER_CWT, "45.35924"),
        (Basis.PER_LONG_CWT, "50.80235"),
        (Basis.PER_SHORT_TON, "907.1847"),
        (Basis.PER_LONG_TON, "1016.047"),
        (Basis.PER_TONNE, "1000"),
        (Basis.PER_KG, "1"),
    ],
)
def test_a_price_by_weight_is_for_the_published_weight(basis: Basis, kilograms: str) -> None:
    section = part("A", 1, 1000).section
    one_kg = bar_price(Fraction(10**6), Basis.PER_KG, 6000 * MM, section)
    price = bar_price(Fraction(10**6), basis, 6000 * MM, section)
    assert Fraction(one_kg, price) == pytest.approx(Fraction(kilograms), rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "includes", "price"),
    [
        ("121", False, "121"),
        ("121 inc VAT", False, "100"),
        ("121 inc VAT", True, "121"),
        ("100 ex VAT", True, "121"),
        ("100 ex VAT", False, "100"),
    ],
)
def test_a_price_is_brought_to_the_tax_basis_of_the_others(typed: str, includes: bool, price: str) -> None:
    shop = Workshop(tax_millionths=210_000, prices_include_tax=includes)
    assert price_as_typed(typed, shop) == Fraction(price)


def test_a_price_with_tax_needs_the_rate() -> None:
    with pytest.raises(Refused) as refusal:
        price_as_typed("121 inc VAT", Workshop())
    expected = "a price without tax, as the others, or the rate as tax.percent in the workshop file"
    assert refusal.value.accepted == expected
