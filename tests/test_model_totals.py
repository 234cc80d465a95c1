"""Totals against sums done by hand, with a tube of 3 kg per metre."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan import actions
from cutplan.actions.output_folder import write_files
from cutplan.model import Job, Merchant, Plan, Work
from cutplan.model import totals as worked_out
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.reports import rows
from cutplan.units import CENT, KG, rounded_to_cents
from tests.builders import job, offcut, offer, part, square_tube
from tests.effort import examples
from tests.first_fit import first_fit_plan
from tests.frame_totals import euros, frame, planned
from tests.properties.small_jobs import jobs


def test_assemblies_share_the_money_by_length() -> None:
    """20.02 over 2100 mm: frame 1000, gate 800, no name 300; the shares add up to the last cent."""
    shares = {total.assembly: total for total in planned(frame()).assemblies}
    assert list(shares) == ["frame", "gate", ""]
    assert sum(total.money for total in shares.values()) == euros("20.02")
    # 9.533 and, with gate, 17.16.
    assert [total.money for total in shares.values()] == [euros("9.53"), euros("7.63"), euros("2.86")]
    assert (shares["gate"].pieces, shares["gate"].part_mass) == (2, 2_400_000)


def test_a_group_without_prices_is_left_out_of_the_money() -> None:
    """Its merchant is paid neither delivery nor minimum order by this total; the line is still ordered."""
    other = square_tube(50)
    tiny = job(
        [part("P1", 1, 1000), part("P2", 1, 1000, section=other)],
        [offer("A", 1000, 10), offer("B", 1000, None, section=other, merchant="Northgate")],
        merchants=[Merchant(name="Northgate", delivery=euros("5"), minimum_order=euros("40"))],
    )
    totals = planned(tiny)
    assert totals.money.groups_left_out == ("SHS 50x50x3 to EN 10219-2, any grade, black",)
    assert (totals.money.subtotal, totals.money.to_pay) == (euros("10"), euros("10"))
    assert [total.money for total in totals.sections] == [euros("10"), None]
    assert [total.offcuts_used_value for total in totals.sections] == [0, None]
    assert [total.offcuts_kept_value for total in totals.sections] == [0, None]
    north = totals.orders[1]
    assert (north.lines[0].price_each, north.lines[0].money, north.money, north.mass) == (None, None, 0, 3 * KG)
    assert totals.bought_mass == 6 * KG


@pytest.mark.parametrize(
    ("price", "rate", "included", "net", "tax", "to_pay"),
    [
        ("10", 200_000, False, "10", "2", "12"),
        ("12", 200_000, True, "10", "2", "12"),
        ("10.005", 0, False, "10.01", "0", "10.01"),
        ("10.004999", 0, False, "10", "0", "10"),
        ("0.125", 200_000, False, "0.13", "0.03", "0.16"),
        ("9.99", 210_000, True, "8.26", "1.73", "9.99"),
        # What is paid is rounded first, and net is taken of that: 1.00 / 1.18 = 0.847, 1.69 / 2 = 0.845.
        ("0.995", 180_000, True, "0.85", "0.15", "1"),
        ("1.69", 1_000_000, True, "0.85", "0.84", "1.69"),
    ],
)
def test_tax(price: str, rate: int, included: bool, net: str, tax: str, to_pay: str) -> None:
    """Half up, once a total: 0.125 is 0.13 and its 20 %, 0.025, is 0.03. In 9.99 at 21 %: 1.7338."""
    tiny = job([part("P1", 1, 1000)], [offer("A", 1000, price)])
    at = replace(tiny.workshop, tax_millionths=rate, prices_include_tax=included)
    money = planned(replace(tiny, workshop=at)).money
    assert (money.net, money.tax, money.to_pay) == (euros(net), euros(tax), euros(to_pay))
    assert money.subtotal == rounded_to_cents(euros(price))
    assert money.tax_was_included is included


@settings(max_examples=examples(60), deadline=None, derandomize=True)
@given(jobs(sections=2), st.integers(0, 300_000), st.booleans())
def test_printed_amounts_add_up(tiny: Job, rate: int, included: bool) -> None:
    """Every amount is whole cents, and what stands below a column is its sum."""
    named = tuple(replace(part, assembly="ABC"[n % 3], list_name="XYX"[n % 3]) for n, part in enumerate(tiny.parts))
    odd = tuple(
        offer if offer.bar_price is None else replace(offer, bar_price=offer.bar_price + 3331) for offer in tiny.offers
    )
    at = replace(tiny.workshop, tax_millionths=rate, prices_include_tax=included)
    tiny = replace(tiny, parts=named, offers=odd, workshop=at)
    try:
        plan = plan_job(tiny)
    except NoPlan:
        return
    totals = totals_of(tiny, plan)
    money = totals.money
    lines = [line.money or 0 for order in totals.orders for line in order.lines]
    sections = [total.money or 0 for total in totals.sections]
    assemblies, lists = [t.money for t in totals.assemblies], [t.money for t in totals.lists]
    assert sum(lines) == sum(order.bars for order in totals.orders) == sum(sections) == sum(assemblies) == money.bars
    assert sum(order.money for order in totals.orders) == sum(lists) == money.subtotal
    assert money.net + money.tax == money.to_pay
    assert money.subtotal == (money.to_pay if included else money.net)
    printed = (*lines, *sections, *assemblies, *lists, money.delivery, money.shortfall, money.cut_charges, money.tax)
    assert all(amount % CENT == 0 for amount in printed)


def test_offcut_values_stand_apart() -> None:
    """Kept 480 at 0.002 per mm are worth 0.96; that and the book value of R1 are no part of what is to be paid."""
    tiny = job(
        [part("P1", 1, 520), part("P2", 1, 600)],
        [offer("A", 1000, 10)],
        [offcut("R1", 600, 3)],
        offcut_value_per_mm=2000,
        keep=300,
    )
    plan = first_fit_plan(tiny)
    money = totals_of(tiny, plan).money
    assert money.to_pay == euros("10")
    assert (money.offcuts_used_value, money.offcuts_kept_value) == (euros("3"), euros("0.96"))
    assert plan.cost == money.subtotal + money.offcuts_used_value - money.offcuts_kept_value


def broken(plan: Plan, **change: Any) -> Plan:
    bar = replace(plan.groups[0].bars[0], **change)
    return replace(plan, groups=(replace(plan.groups[0], bars=(bar, *plan.groups[0].bars[1:])),))


def test_a_plan_of_another_job_is_refused() -> None:
    tiny = frame()
    plan = first_fit_plan(tiny)
    with pytest.raises(ValueError, match="other groups than the job"):
        totals_of(tiny, replace(plan, groups=()))
    with pytest.raises(ValueError, match="bar 1: Z is no source of its group"):
        totals_of(tiny, broken(plan, source="Z"))


def test_what_a_merchant_cuts_is_paid_and_own_work_is_not() -> None:
    """Northgate cuts three parts at 1.50 from two bars; the workshop handles and cuts the offcut, at 1 and 0.20."""
    tiny = job(
        [part("P1", 3, 450), part("P2", 1, 460)],
        [offer("A", 1000, 10, merchant="Northgate")],
        [offcut("R", 465, 2)],
        keep=500,
        merchants=[Merchant(name="Northgate", cuts_to_plan=True, cut_charge=euros("1.50"), minimum_order=euros("21"))],
        work=Work(per_bar=euros("1"), per_cut=euros("0.20")),
    )
    totals = planned(tiny)
    (order,) = totals.orders
    assert (order.bars, order.shortfall, order.cuts, order.cut_charges) == (euros("20"), euros("1"), 3, euros("4.5"))
    money = totals.money
    assert (money.cut_charges, money.work, money.to_pay) == (euros("4.5"), euros("1.2"), euros("25.5"))


def test_cuts_are_strokes_and_counted_where_no_price_is_known() -> None:
    """Each bar is squared and cut behind both its parts; with no price nothing is charged."""
    tiny = job(
        [part("P", 4, 400)],
        [offer("A", 1000, None)],
        kerf="2.5",
        end_trim=10,
        merchants=[Merchant(name="Yard", cuts_to_plan=True, cut_charge=euros("2"))],
    )
    totals = planned(tiny)
    (order,) = totals.orders
    assert (totals.cuts, order.cuts, order.cuts_charged, order.cut_charges) == (6, 6, 0, 0)


@pytest.mark.parametrize(("module", "step", "of"), [(worked_out, "_money", totals_of), (rows, "ways_of", rows.rows_of)])
def test_a_run_works_its_totals_and_rows_out_once(
    module: Any, step: str, of: Callable[[Job, Plan], object], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """For plan.json, workbook, PDF and page together; and anew for any other plan, be it equal."""
    tiny = job([part("A", 2, 1400)], [offer("P1", 3000, 9)])
    plan = first_fit_plan(tiny)
    counted = Mock(wraps=getattr(module, step))
    monkeypatch.setattr(module, step, counted)
    write_files(tiny, plan, tmp_path)
    actions.summary(tiny, plan)
    assert counted.call_count == 1
    assert of(tiny, replace(plan)) == of(tiny, plan)
    assert counted.call_count == 3
