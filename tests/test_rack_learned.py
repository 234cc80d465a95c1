"""What many measurements say: kerfs and lengths known beforehand, and records that must not be believed."""

from __future__ import annotations

import random
import statistics
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan.model import Saw, Workshop
from cutplan.rack.learned import FEWEST, KerfFound, learned
from cutplan.rack.measuring import BarMeasured, LengthDelivered
from cutplan.sections.section import Family
from cutplan.units import MM
from tests.builders import mm
from tests.effort import examples

SHOP = Workshop(saw=Saw(kerf=mm(2)))


def bar(
    strokes: int, found: float | str, *, expected: float | str = 1000, kerf: float | str = 2, saw: str = ""
) -> BarMeasured:
    return BarMeasured(saw=saw, strokes=strokes, kerf=mm(kerf), expected=mm(expected), found=mm(found))


def kerf_of(bars: Sequence[BarMeasured], shop: Workshop = SHOP) -> KerfFound:
    (found,) = learned(bars, 0, (), shop).kerfs
    return found


BARS = [bar(4, 998), bar(6, 997), bar(2, "999.2"), bar(10, 995), bar(5, "997.5")]
"""Counted at 2 mm a cut: four cuts took 2 mm more in all, so 2.5 each, as six, ten and five did; two took 2.4 each."""


def test_a_kerf_by_hand() -> None:
    found = kerf_of(BARS)
    assert (found.middle, found.low, found.high, found.better) == (mm("2.5"), mm("2.5"), mm("2.5"), mm("2.5"))
    assert (found.bars, found.cuts, found.now) == (5, 27, mm(2))


def test_the_median_is_that_of_all_cuts_written_out() -> None:
    """Each cut in a list of its own, the middle of it taken by another program."""
    draw = random.Random(7)
    for _ in range(200):
        bars = [bar(draw.randint(1, 9), 1000 - draw.randint(0, 60) / 10) for _ in range(draw.randint(1, 12))]
        each = [
            float(Fraction(one.kerf + Fraction(one.expected - one.found, one.strokes)))
            for one in bars
            for _ in range(one.strokes)
        ]
        assert kerf_of(bars).middle == pytest.approx(statistics.median(each), abs=1)


def test_few_bars_suggest_nothing() -> None:
    assert kerf_of(BARS[: FEWEST - 1]).better is None
    assert kerf_of(BARS[:FEWEST]).better is not None


def test_one_slip_of_the_tape_moves_nothing() -> None:
    """900 for 1000 at a bar of few cuts, which would make the mean of all cuts 5.8 mm."""
    assert kerf_of([*BARS, bar(3, 900)]).better == mm("2.5")


def test_a_kerf_that_lies_in_the_middle_half_stays() -> None:
    bars = [bar(1, 1000 - over / 10) for over in (-2, -1, 0, 1, 2, 3)]
    assert kerf_of(bars).better is None
    wide = [replace(each, kerf=mm("2.6"), expected=each.expected - 600_000 * each.strokes) for each in bars]
    assert kerf_of(wide, Workshop(saw=Saw(kerf=mm("2.6")))).better == mm("2.1")


def test_bars_of_another_blade_are_not_mixed_in() -> None:
    """They were planned with another kerf than the workshop file has since."""
    found = kerf_of([*BARS, *(bar(9, 1000, kerf=4) for _ in range(20))])
    assert (found.bars, found.better) == (5, mm("2.5"))


def test_a_kerf_is_rounded_up_to_a_tenth() -> None:
    """So that the last part is never short of what a cut takes: 2.41 becomes 2.5."""
    assert kerf_of([bar(10, "995.9")] * FEWEST).better == mm("2.5")
    assert kerf_of([bar(10, "999.9")] * FEWEST).better == mm("2.1")


def test_each_saw_has_its_own() -> None:
    band, disc = Saw(name="band", kerf=mm(1)), Saw(name="disc", kerf=mm(3))
    shop = Workshop(saw=band, saws=(band, disc))
    bars = [bar(2, 999, kerf=1, saw="band")] * 6 + [bar(2, 999, kerf=3, saw="disc")] * 5 + [bar(1, 9, saw="gone")] * 9
    found = learned(bars, 3, (), shop)
    assert [(one.saw, one.better, one.bars) for one in found.kerfs] == [
        ("band", mm("1.5"), 6), ("disc", mm("3.5"), 5),
    ]  # fmt: skip
    assert found.passed_over == 3


@settings(max_examples=examples(400))
@given(
    kerf=st.integers(10, 60),
    counted=st.integers(10, 60),
    step=st.sampled_from((1, 5, 10)),
    bars=st.lists(
        st.tuples(st.integers(1, 12), st.integers(4_000, 60_000), st.integers(4_000, 60_000)), min_size=1, max_size=30
    ),
)
def test_bars_cut_with_a_kerf_give_it_back(
    kerf: int, counted: int, step: int, bars: list[tuple[int, int, int]]
) -> None:
    """Bars and left overs of any length, each measured to a step of the tape: at most half a step out at either end, so
    that no bar is out by more than a step over all its cuts. [tenths of a millimetre]
    """

    def measured(length: int) -> int:
        return (length + step // 2) // step * step

    records = []
    for strokes, left, parts in bars:
        before = left + parts + strokes * kerf
        expected = measured(before) - parts - strokes * counted
        records.append(bar(strokes, measured(left) / 10, expected=expected / 10, kerf=counted / 10))
    found = kerf_of(records, Workshop(saw=Saw(kerf=mm(counted / 10))))
    assert abs(found.middle - kerf * MM // 10) <= step * MM // 10
    assert found.low <= found.middle <= found.high
    if found.better is not None:
        assert found.better >= found.middle
        assert abs(found.better - kerf * MM // 10) <= (step + 1) * MM // 10


def came(length: float | str, quantity: int = 1, *, nominal: float = 6000, counted: float = 6000) -> LengthDelivered:
    return LengthDelivered(family="SHS", nominal=mm(nominal), counted=mm(counted), length=mm(length), quantity=quantity)


@pytest.mark.parametrize(
    ("delivered", "tolerance", "expected"),
    [
        # shortest, median, longest, how many, suggested
        ([came(6004), came(6010, 2), came(5995, 2)], 0, (-5, 4, 10, 5, 5)),
        ([came(6004), came(6010, 2), came(5995)], 0, (-5, 7, 10, 4, None)),
        # Up to a whole millimetre, and over all nominal lengths.
        ([came("5994.7", 3), came(12_020, 3, nominal=12_000, counted=12_000)], 0, ("-5.3", "7.35", 20, 6, 6)),
        # What the workshop allows already, and what none of them needed.
        ([came(5995, 5, counted=5990)], 10, (-5, -5, -5, 5, None)),
        ([came(6005, 9, counted=5990)], 10, (5, 5, 5, 9, None)),
        # As printed on the sheet nobody need have measured it, and 5 m is not a poor 6 m.
        ([came(6000, 50), came(5000, 9), came(5998, 5)], 0, (-2, -2, -2, 5, 2)),
    ],
)  # fmt: skip
def test_how_long_lengths_come(delivered: list[LengthDelivered], tolerance: int, expected: tuple[object, ...]) -> None:
    shop = replace(SHOP, minus_tolerance=((Family.SHS, mm(tolerance)),)) if tolerance else SHOP
    (found,) = learned((), 0, delivered, shop).lengths
    better = None if found.better is None else found.better
    shortest, middle, longest, counted, due = expected
    assert (found.shortest, found.middle, found.longest) == (mm(shortest), mm(middle), mm(longest))  # type: ignore[arg-type]
    assert (found.counted, better, found.now) == (counted, None if due is None else mm(due), mm(tolerance))  # type: ignore[arg-type]


def test_nothing_measured_says_nothing() -> None:
    found = learned((), 0, [came(6000, 9)], SHOP)
    assert (found.kerfs, found.lengths) == ((), ())
