"""Orders written from a plan file that was checked."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

import cutplan
from cutplan import actions
from cutplan.actions import CheckFailed, Unsaid
from cutplan.actions.checked import read_plan
from cutplan.actions.order_files import file_name, orders_text, orders_values, write_orders
from cutplan.model import Job, Plan
from cutplan.problems import ProblemsFound
from tests import builders

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture
def two_merchants(tmp_path: Path) -> Path:
    """Two tubes, 10.05 and 10.05, from two merchants at a tax of 10 %: 1.005 each, 2.01 of both."""
    side = builders.square_tube(50)
    offers = [
        builders.offer("P", 6000, "10.05"),
        builders.offer("Q", 6000, "10.05", section=side, merchant="Dock & Co"),
    ]
    job = builders.job([builders.part("A", 1, 900), builders.part("B", 1, 900, section=side)], offers)
    job = replace(job, workshop=replace(job.workshop, tax_millionths=100_000))
    actions.write_plan(job, actions.plan(job), tmp_path)
    return tmp_path / "plan.json"


def test_three_files_for_each_merchant(two_merchants: Path) -> None:
    written = write_orders(two_merchants)
    names = sorted(path.name for each in written.orders for path in each.paths)
    mark = actions.fingerprint(two_merchants)
    assert names == sorted(
        f"order-{mark}-{who}.{kind}" for who in ("1-yard", "2-dock-co") for kind in ("pdf", "xlsx", "txt")
    )
    assert all(path.stat().st_size for each in written.orders for path in each.paths)
    assert [each.order.merchant for each in write_orders(two_merchants, "dock & co", number="PO-7").orders] == [
        "Dock & Co"
    ]
    assert (two_merchants.parent / "order-po-7-dock-co.txt").read_text().startswith("Order PO-7\nTo: Dock & Co\n")


def test_numbers_that_differ_in_a_sign_are_filed_apart(two_merchants: Path) -> None:
    numbers = ("Q-7.1", "Q-7-1", "Q-7_1", "Q-7.1-", "Q-7--1")
    names = [
        path.name for number in numbers for each in write_orders(two_merchants, "Yard", number=number).orders
        for path in each.paths
    ]  # fmt: skip
    assert len(set(names)) == 3 * len(numbers)
    for number in numbers:
        (text,) = two_merchants.parent.glob(f"order-{number.casefold()}-yard.txt")
        assert text.read_text().startswith(f"Order {number}\n")
    assert set(names) <= set(actions.order_file_names(two_merchants.parent))


def test_a_cent_that_rounding_adds_is_told(two_merchants: Path) -> None:
    """Two orders of 11.06 come to 22.12; the plan, its tax rounded once, to 22.11."""
    written = write_orders(two_merchants)
    assert (written.to_pay, written.rounding) == (22_110_000, 10_000)
    told = "Each merchant rounds its own tax: the orders come to 0.01 more than the plan says."
    assert told in orders_text(written).splitlines()
    values = orders_values(written)
    assert (values["rounding"], [order["to_pay"] for order in values["orders"]]) == ("0.01", ["11.06", "11.06"])
    assert write_orders(two_merchants, "Yard").rounding == 0


def test_what_is_refused(two_merchants: Path) -> None:
    before = sorted(path.name for path in two_merchants.parent.iterdir())
    with pytest.raises(Unsaid):
        write_orders(two_merchants, number="7")
    for bad, code in (
        ({"merchant": "Nobody"}, "job.merchant"),
        ({"day": "1.6.31"}, "job.day"),
        ({"number": "../../x"}, "number.own"),
    ):
        with pytest.raises(ProblemsFound) as found:
            write_orders(two_merchants, **bad)
        assert [problem.code for problem in found.value.problems] == [code]
    document = json.loads(two_merchants.read_text())
    document["totals"]["money"]["bars"] = "1"
    two_merchants.write_text(json.dumps(document))
    with pytest.raises(CheckFailed):
        write_orders(two_merchants)
    assert sorted(path.name for path in two_merchants.parent.iterdir()) == before


def test_orders_from_python_are_those_of_the_file(two_merchants: Path) -> None:
    job, plan = read_plan(two_merchants)
    assert cutplan.orders(job, plan) == tuple(each.order for each in write_orders(two_merchants).orders)


def test_nothing_to_order(small_job: Job, tmp_path: Path) -> None:
    job = builders.job([builders.part("A", 1, 900)], [], [builders.offcut("R1", 1000)])
    plan: Plan = actions.plan(job)
    actions.write_plan(job, plan, tmp_path)
    with pytest.raises(ProblemsFound, match="a plan that buys nothing"):
        write_orders(tmp_path / "plan.json")


def test_names_of_files_hold_letters_and_figures_alone() -> None:
    assert file_name("Müller & Söhne / Stahl") == "müller-söhne-stahl"
    assert file_name("../../etc") == "etc"
    assert len(file_name("x" * 300)) == 40
