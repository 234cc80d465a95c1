"""The pandas tables say what the plan says."""

import math

from cutplan.planning import plan_job
from cutplan.reports.frames import frames
from tests import builders


def test_tables_hold_the_plan() -> None:
    # By hand: bars of 6 m less two trims of 10 mm hold four parts of 1,400 mm with their kerfs (5,610 <= 5,982.5).
    job = builders.job(
        [builders.part("A", 7, 1400, assembly="frame")],
        [builders.offer("P1", 6000, "31.50")],
        kerf="2.5",
        end_trim=10,
        keep=300,
    )
    tables = frames(job, plan_job(job))
    (order,) = tables["orders"].to_dict("records")
    assert (order["merchant"], order["lengths"], order["stock_length_mm"], order["money"]) == ("Yard", 2, 6000, 63.0)
    assert order["mass_kg"] == 36.0
    bars = tables["bars"]
    assert sorted(bars["parts_mm"]) == [4200.0, 5600.0]
    assert sorted(bars["left_over_mm"]) == [1782.5, 380.0][::-1]
    assert set(bars["left_over"]) == {"keep"}
    cuts = tables["cuts"]
    assert list(cuts.loc[1, "from_start_mm"])[:2] == [1410.0, 2812.5]
    assert sorted(cuts["copy"]) == [1, 2, 3, 4, 5, 6, 7]
    assert set(cuts["assembly"]) == {"frame"}


def test_a_missing_price_is_a_missing_amount() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [builders.offer("P1", 6000, None)])
    (order,) = frames(job, plan_job(job))["orders"].to_dict("records")
    assert math.isnan(order["price_each"])
    assert math.isnan(order["money"])
