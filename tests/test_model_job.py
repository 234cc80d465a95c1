"""Job, its pieces and how it splits into groups, against sums done by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.model import (
    EndCut,
    EndState,
    Merchant,
    Part,
    Workshop,
    bar_price,
    groups_of,
    price_as_typed,
    serves,
    within_carry,
)
from cutplan.model.job import Basis
from cutplan.problems import Refused
from cutplan.units import DEGREE, MM
from tests.builders import job, mm, offcut, offer, part, part_of, square_tube


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


@pytest.mark.parametrize(
    ("bar", "wanted", "answer"),
    [("", "", True), ("S355", "", True), ("S355", "S355", True), ("", "S355", False), ("S235", "S355", False)],
)
def test_which_grade_serves_which(bar: str, wanted: str, answer: bool) -> None:
    assert serves(bar, wanted) is answer


def test_short_point() -> None:
    """500 long over a depth of 40: 45 degrees take 40, 22.5 degrees 40 x 0.41421 = 16.57, rounded up to 16.6."""
    assert part("P", 1, 500).short_point == mm(500)
    assert part("P", 1, 500, mitres=(45, 0)).short_point == mm(460)
    assert part("P", 1, 500, mitres=(45, 22.5)).short_point == mm("443.4")
    assert part("P", 1, 500, mitres=(22.5, 45)).steeper_angle == 45 * DEGREE
    assert not part("P", 1, 500).mitred


@pytest.mark.parametrize(
    ("section", "alike"),
    [
        ("SHS 40x40x3", True),
        ("RHS 60x40x3", True),
        ("CHS 48.3x3", True),
        ("flat 50x6", True),
        ("IPE 100", True),
        ("UPN 100", False),
        ("EA 50x50x5", False),
        ("UA 60x40x5", False),
    ],
)
def test_the_opposite_hand_of_what_is_alike_on_all_sides_is_the_same_piece_turned_over(
    section: str, alike: bool
) -> None:
    """A mitre is mirrored into itself by the plane it is drawn in, and so is a section that this plane halves."""
    drawn = part_of(section, mitres=(45, 0))
    assert (drawn.cut_alike == replace(drawn, mark="P2", opposite_hand=True).cut_alike) is alike


WHOLE = part("P", 1, 500)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: replace(WHOLE, mark=""), "a part has a mark"),
        (lambda: replace(WHOLE, quantity=0), "quantity of at least 1"),
        (lambda: replace(WHOLE, length=0), "and a length"),
        (lambda: replace(WHOLE, end_a=EndCut(angle=DEGREE)), "P: a mitre needs the depth it runs across"),
        (lambda: part("P", 1, 79, mitres=(45, 45)), "P: the mitres cross before the short point"),
        (lambda: replace(offer("A", 6000, 1), counted=mm(6001)), "A: the length counted on"),
        (lambda: replace(offer("A", 6000, 1), counted=0), "A: the length counted on"),
        (lambda: offer("A", 6000, -1), "A: a price is not negative"),
        (lambda: offer("A", 6000, 1, available=-1), "A: the number available is not negative"),
        (lambda: replace(offcut("R", 500), mark=""), "an offcut has a mark"),
        (lambda: offcut("R", 0), "an offcut has a mark, a length"),
        (lambda: offcut("R", 500, -1), "a book value that is not negative"),
        (lambda: job([WHOLE, WHOLE], []), "a mark is used twice"),
        (lambda: job([WHOLE], [offer("A", 6000, 1), offer("A", 7000, 1)]), "a offer is used twice"),
        (lambda: job([WHOLE], [], [offcut("R", 500), offcut("R", 600)]), "a offcut mark is used twice"),
        (lambda: job([], []), "at least one part"),
    ],
)
def test_each_piece_checks_itself(make: Callable[[], object], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        make()


def test_mitres_may_meet_at_the_short_point() -> None:
    assert part("P", 1, 80, mitres=(45, 45)).short_point == 0


def marks(parts: tuple[Part, ...]) -> list[str]:
    return [part.mark for part in parts]


def test_groups_are_split_by_section_finish_and_grade() -> None:
    other = square_tube(50)
    tiny = job(
        [
            part("P1", 1, 500, grade="S355"),
            part("P2", 2, 500, section=other),
            part("P3", 1, 500, grade="S355"),
            part("P4", 1, 500, grade="S355", finish="galvanised"),
            part("P5", 1, 500, grade="S235"),
        ],
        [
            offer("A", 6000, 1, grade="S355"),
            offer("B", 6000, 1, section=other),
            offer("C", 6000, 1),
            offer("D", 6000, None, grade="S235"),
        ],
        [offcut("R", 900, grade="S355", finish="galvanised")],
    )
    groups = groups_of(tiny)
    assert [marks(group.parts) for group in groups] == [["P1", "P3"], ["P2"], ["P4"], ["P5"]]
    assert [[offer.id for offer in group.offers] for group in groups] == [["A"], ["B"], [], ["D"]]
    assert [[offcut.mark for offcut in group.offcuts] for group in groups] == [[], [], ["R"], []]
    assert [group.title for group in groups] == [
        "SHS 40x40x3 to EN 10219-2, S355, black",
        "SHS 50x50x3 to EN 10219-2, any grade, black",
        "SHS 40x40x3 to EN 10219-2, S355, galvanised",
        "SHS 40x40x3 to EN 10219-2, S235, black",
    ]
    assert [group.priced for group in groups] == [True, True, True, False]
    assert [group.pieces for group in groups] == [2, 2, 1, 1]


def test_an_open_grade_draws_the_stated_ones_into_its_group() -> None:
    """A bar of S355 may serve both, so that they cannot be planned apart."""
    tiny = job(
        [part("P1", 1, 500, grade="S355"), part("P2", 1, 500), part("P3", 1, 500, grade="S235")],
        [offer("A", 6000, 1, grade="S355"), offer("B", 6000, 1), offer("C", 6000, 1, grade="S235")],
    )
    (group,) = groups_of(tiny)
    assert marks(group.parts) == ["P1", "P2", "P3"]
    assert (group.grade, [offer.id for offer in group.offers]) == ("", ["A", "B", "C"])


def test_the_standard_is_part_of_the_section() -> None:
    hot = replace(square_tube(), standard="EN 10210-2")
    tiny = job([part("P1", 1, 500), part("P2", 1, 500, section=hot)], [offer("A", 6000, 1, section=hot)])
    assert [len(group.offers) for group in groups_of(tiny)] == [0, 1]


def test_mass_of_a_bar_is_of_its_nominal_length() -> None:
    assert offer("A", 6000, 1, counted=5990).mass == 18_000_000


@pytest.mark.parametrize(
    ("length", "carry", "delivers", "answer"),
    [(6000, 0, False, True), (6000, 6000, False, True), (6500, 6000, False, False), (6500, 6000, True, True)],
)
def test_carry(length: int, carry: int, delivers: bool, answer: bool) -> None:
    tiny = job(
        [part("P", 1, 500)],
        [offer("A", length, 1)],
        longest_carry=carry,
        merchants=[Merchant(name="Yard", delivers=delivers)],
    )
    assert within_carry(tiny.offers[0], tiny.workshop) is answer


def test_a_merchant_that_is_not_listed_does_not_deliver() -> None:
    tiny = job([part("P", 1, 500)], [offer("A", 6500, 1, merchant="unknown")], longest_carry=6000)
    assert not within_carry(tiny.offers[0], tiny.workshop)


def test_end_states_are_written_as_words() -> None:
    assert [state.value for state in EndState] == ["mill", "sawn"]


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
