"""The pandas tables say what the plan says."""

import math
from dataclasses import replace
from datetime import date

import pytest

from cutplan.model import Job, Merchant, Plan
from cutplan.planning import plan_job
from cutplan.reports.frames import frames, frames_of_all
from cutplan.units import CURRENCY
from tests import builders
from tests.hand_plans import hand_plan
from tests.test_reports_own_rows import BOTH


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


def from_the_rack() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 1, 1400)], [], offcuts=[builders.offcut("R1", 2000)], kerf=2, end_trim=0, keep=300
    )
    return job, plan_job(job)


def bought(price: str | None) -> tuple[Job, Plan]:
    """By hand: 4,500 and 1,500 mm of a 6 m bar with a kerf of 2 mm leave 1,498 mm."""
    job = builders.job([builders.part("A", 1, 4500)], [builders.offer("P1", 6000, price)], kerf=2, end_trim=0, keep=300)
    return job, plan_job(job)


def test_what_orders_nothing_has_the_columns_all_the_same() -> None:
    orders = frames(*from_the_rack())["orders"]
    assert len(orders) == 0
    assert orders.groupby("section")["money"].sum().empty


def test_plans_together_by_week_and_section() -> None:
    """4 January 2032 is the Sunday of week 1 and the Monday after it begins week 2 (ISO 8601)."""
    answers = {"gate": bought("31.50"), "stand": bought("30"), "shelf": from_the_rack(), "rail": bought("29")}
    days = {"gate": date(2031, 12, 29), "stand": date(2032, 1, 4), "rail": date(2032, 1, 5)}
    tables = frames_of_all(answers, days)
    assert list(tables["cuts"].index.get_level_values("job")) == ["gate", "stand", "shelf", "rail"]
    weeks = tables["weeks"].reset_index()
    assert [tuple(row) for row in weeks[["week", "merchant", "lengths", "money"]].itertuples(index=False)] == [
        ("2032-W01", "Yard", 2, 61.5),
        ("2032-W02", "Yard", 1, 29.0),
    ]
    (steel,) = tables["steel"].to_dict("records")
    kept = 3 * 1.498 + 0.598
    assert steel == pytest.approx(
        {
            "bought_m": 18.0,
            "from_rack_m": 2.0,
            "parts_m": 14.9,
            "kept_m": kept,
            "lost_m": 18 + 2 - 14.9 - kept,
        }
    )


def test_what_is_bought_is_what_is_paid_for() -> None:
    """12 m cut in two to be carried, and 6 m that may come 10 mm short: the cut and what may be missing are lost."""
    yard = Merchant(name="Yard", cuts_to_carry=True)
    carried = builders.job(
        [builders.part("A", 6, 1900)], [builders.offer("P1", 12000, 50)], longest_carry=6500, merchants=[yard]
    )
    short = builders.job([builders.part("A", 3, 1900)], [builders.offer("P1", 6000, 30, counted=5990)])
    for job, bought in ((carried, 12.0), (short, 6.0)):
        plan = plan_job(job)
        tables = frames_of_all({"gate": (job, plan)})
        (steel,) = tables["steel"].to_dict("records")
        assert steel["bought_m"] == bought
        assert sum(tables["bars"]["length_mm"]) < bought * 1000
        assert steel["lost_m"] == pytest.approx(bought - steel["parts_m"] - steel["kept_m"])


def test_an_unknown_price_makes_the_week_unknown() -> None:
    weeks = frames_of_all({"gate": bought("31.50"), "stand": bought(None)})["weeks"].reset_index()
    assert list(weeks["week"]) == [""]
    assert math.isnan(weeks["money"].iloc[0])


def test_shares_of_several_jobs_add_up() -> None:
    """By hand: 900 and 1000 of 1900 mm of parts lie on two bars of 3 kg for 20.00, and 19.00 are for the delivery."""
    shop = replace(BOTH.workshop, tax_millionths=100_000, merchants=(Merchant(name="Yard", delivery=19 * CURRENCY),))
    both = replace(BOTH, workshop=shop)
    plan = hand_plan(both, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"]))
    shares = frames(both, plan)["shares"]
    assert shares.loc["gate"].to_dict() == {
        "parts": 3, "parts_kg": 2.7, "to_buy_kg": 2.842105, "lengths": 9.47, "charges": 9.0, "other_things": 2.0,
        "to_pay": 22.52,
    }  # fmt: skip
    assert list(shares.sum()) == pytest.approx([5, 5.7, 6.0, 20.0, 19.0, 2.0, round(41 * 1.1, 2)])
    alone = builders.job([builders.part("A", 1, 1000)], [builders.offer("P1", 6000, 9)])
    assert frames(alone, plan_job(alone))["shares"].empty
