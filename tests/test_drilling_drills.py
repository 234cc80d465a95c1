"""The nearest drill of a set."""

from __future__ import annotations

import pytest

from cutplan.drilling.drills import inch_set, metric_set, nearest_inch, nearest_metric
from cutplan.units import INCH, MM


def test_sets_rise_and_have_no_size_twice() -> None:
    for drills in (metric_set(), inch_set()):
        sizes = [drill.diameter for drill in drills]
        assert sizes == sorted(set(sizes))
        assert len({drill.name for drill in drills}) == len(drills)


@pytest.mark.parametrize(
    ("tenths", "name"), [(10, "1 mm"), (68, "6.8 mm"), (142, "14 mm"), (144, "14.5 mm"), (325, "33 mm"), (500, "50 mm")]
)
def test_nearest_metric(tenths: int, name: str) -> None:
    drill = nearest_metric(tenths * MM // 10)
    assert drill is not None
    assert drill.name == name


@pytest.mark.parametrize(
    ("ten_thousandths", "name"),
    [(2500, "1/4 in"), (2010, "#7 (0.201 in)"), (2570, "F (0.257 in)"), (1695, "#18 (0.1695 in)"), (5625, "9/16 in")],
)
def test_nearest_inch(ten_thousandths: int, name: str) -> None:
    drill = nearest_inch(ten_thousandths * INCH // 10_000)
    assert drill is not None
    assert drill.name == name


def test_of_two_equally_near_the_larger() -> None:
    drill = nearest_metric(14_250_000)
    assert drill is not None
    assert drill.name == "14.5 mm"


def test_beyond_the_set_there_is_none() -> None:
    assert nearest_metric(60 * MM) is None
    assert nearest_inch(3 * INCH) is None
    assert nearest_metric(MM // 2) is None
