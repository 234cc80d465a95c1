"""Workshop settings: what stands when nothing is said, what replaces it, and what is refused."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from cutplan.model import DEFAULT_KEEP, DEFAULT_STANDARD, Merchant, Saw, Workshop
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.builders import mm


def test_every_family_has_a_keep_length_and_a_standard() -> None:
    assert set(DEFAULT_KEEP) == set(DEFAULT_STANDARD) == set(Family)


def test_defaults_stand_until_something_is_said() -> None:
    plain = Workshop()
    assert plain.keep_length(Family.SHS) == mm(300)
    assert plain.keep_length(Family.ROUND) == mm(150)
    assert plain.offcut_value(Family.SHS) == 0
    assert plain.counted_on(Family.SHS, mm(6000)) == mm(6000)
    assert plain.standard(Family.FLAT) == "EN 10058"


def test_what_is_said_holds_for_its_family_alone() -> None:
    said = Workshop(
        keep=((Family.SHS, mm(500)), (Family.FLAT, 0)),
        offcut_value_per_mm=((Family.SHS, 2000),),
        minus_tolerance=((Family.SHS, mm(10)),),
        standards=((Family.SHS, "EN 10210-2"),),
    )
    assert [said.keep_length(family) for family in (Family.SHS, Family.FLAT, Family.CHS)] == [mm(500), 0, mm(300)]
    assert [said.offcut_value(family) for family in (Family.SHS, Family.CHS)] == [2000, 0]
    assert [said.counted_on(family, mm(6000)) for family in (Family.SHS, Family.CHS)] == [mm(5990), mm(6000)]
    assert [said.standard(family) for family in (Family.SHS, Family.CHS)] == ["EN 10210-2", "EN 10219-2"]


def test_merchants() -> None:
    north = Merchant(name="Northgate", delivers=True, delivery=1)
    said = Workshop(merchants=(north,))
    assert said.merchant("Northgate") is north
    assert said.merchant("Yard") == Merchant(name="Yard")


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: Saw(kerf=-1), "not negative"),
        (lambda: Saw(end_trim=-1), "not negative"),
        (lambda: Saw(safe_hold=-1), "not negative"),
        (lambda: Saw(kerf=mm(3), end_trim=mm(2)), "at least one kerf, or 0"),
        (lambda: Saw(square_reads=45 * DEGREE), "reads 0 or 90 at a square cut"),
        (lambda: Merchant(name="N", delivery=-1), "N: charges are not negative"),
        (lambda: Merchant(name="N", minimum_order=-1), "N: charges are not negative"),
        (lambda: Merchant(name="N", cut_charge=-1), "N: charges are not negative"),
        (lambda: Workshop(unit="cm"), "unit is mm or in"),
        (lambda: Workshop(merchants=(Merchant(name="N"), Merchant(name="N"))), "a merchant is named twice"),
    ],
)
def test_what_is_refused(make: Callable[[], object], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        make()


def test_a_trim_may_be_nothing_or_shorter_than_a_kerf_that_comes_on_top() -> None:
    assert Saw(kerf=mm(3), end_trim=0).end_trim == 0
    assert Saw(kerf=mm(3), end_trim=mm(2), end_trim_includes_cut=False).end_trim == mm(2)


@pytest.mark.parametrize(
    ("end_trim", "includes_cut", "accepted", "trim"),
    [(10, True, False, 10), (10, False, False, "12.5"), (0, False, False, 0), (10, False, True, 0), (0, True, True, 0)],
)
def test_what_comes_off_a_mill_end(end_trim: int, includes_cut: bool, accepted: bool, trim: int | str) -> None:
    saw = Saw(kerf=mm("2.5"), end_trim=mm(end_trim), end_trim_includes_cut=includes_cut, mill_ends_accepted=accepted)
    assert saw.mill_trim == mm(trim)


def test_a_piece_without_a_book_value_of_its_own() -> None:
    """0.5 millionths a mm are half a millionth for a millimetre: it is rounded up."""
    shop = Workshop(offcut_value_per_mm=((Family.SHS, 3),))
    assert shop.book_value(Family.SHS, mm("0.5")) == 2
    assert shop.book_value(Family.FLAT, mm(500)) == 0
