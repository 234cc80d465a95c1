"""What a job costs, worked by hand: hours, paint, consumables, overhead, margin and tax."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.costing.costs import Cost, cost_of, sold_at
from cutplan.model import Workshop, joined
from cutplan.units import CURRENCY
from tests.builders import job, offcut, offer, part, workshop
from tests.costed import FIGURES, PAINT, ZINC, bench, bench_planned


@pytest.fixture(scope="module")
def cost() -> Cost:
    return cost_of(*bench_planned(), FIGURES)


def cents(amount: int) -> int:
    assert amount % 10_000 == 0, "whole cents"
    return amount // 10_000


def test_cost_by_hand(cost: Cost) -> None:
    """60.00 steel, of it 3.5 m of 6 m left: 35.00; 2 hinges of 5.00; 10 % of the steel; 52.2 min at 60.00; 20.00 on
    the road: 148.20. Of that 10 % overhead: 163.02. That is 80 % of the price: 203.775, half up.
    """
    (steel,) = cost.steel
    assert (cents(steel.used), cents(steel.whole_lengths_add)) == (2500, 3500)
    assert cents(cost.consumables) == 600
    assert cents(sum(line.amount for line in cost.work)) == 5220
    assert [cents(line.amount) for line in cost.things] == [1000]
    assert cents(cost.direct) == 14820
    assert cents(cost.overhead) == 1482
    assert cents(cost.cost) == 16302
    assert (cents(cost.price), cents(cost.margin)) == (20378, 4076)
    assert cost.tax == 0


@pytest.mark.parametrize(
    ("spent", "margin", "price"),
    [
        # Bookkeeping primers, from memory: a mark-up of 25 % is a margin of 20 %, of 100 % one of 50 %.
        (40000, 200_000, 50000),
        (40000, 500_000, 80000),
        (10000, 333_333, 15000),
        (16302, 200_000, 20378),
        (10000, 0, 10000),
    ],
)
def test_margin_is_a_share_of_the_price(spent: int, margin: int, price: int) -> None:
    assert cents(sold_at(spent * 10_000, margin)) == price


def test_tax_by_hand() -> None:
    """21 % of 203.78 is 42.7938."""
    made, plan = bench_planned()
    taxed = replace(made, workshop=replace(made.workshop, tax_millionths=210_000))
    cost = cost_of(taxed, plan, FIGURES)
    assert (cents(cost.price), cents(cost.tax), cents(cost.to_pay)) == (20378, 4279, 24657)


def test_tax_in_the_prices_is_taken_out() -> None:
    """60.00 with 20 % in it is 50.00, a hinge of 5.00 is 4.17: 8.33 for both."""
    made, plan = bench_planned()
    taxed = replace(made, workshop=replace(made.workshop, tax_millionths=200_000, prices_include_tax=True))
    cost = cost_of(taxed, plan, FIGURES)
    assert (cents(cost.steel_amount), cents(cost.things[0].amount)) == (5000, 833)


def test_assemblies_add_up_to_the_price(cost: Cost) -> None:
    assert sum(each.price for each in cost.assemblies) == cost.price
    assert sum(each.minutes for each in cost.assemblies) == cost.minutes
    frame, shelf = cost.assemblies
    # Steel by part length, 2 m and 0.5 m; welding 4 ends and 2; all holes in the shelf.
    assert (cents(frame.steel), cents(shelf.steel)) == (4800, 1200)
    assert frame.things == sum(line.amount for line in cost.things)
    assert frame.minutes + shelf.minutes == 52_200


def test_lines_of_a_kind_add_up() -> None:
    """Paint by the litre and zinc by the kilogram: 1.512 and 40.00 are 41.51."""
    cost = cost_of(*bench_planned(), replace(FIGURES, coats=(PAINT, ZINC)))
    assert [cents(each.amount) for each in cost.coats] == [151, 4000]
    assert sum(each.amount for each in cost.work) == 59_750_000  # 52.2 and 7.548 min, 59.748 at 60.00


def test_offcuts_of_the_rack_count_at_their_value() -> None:
    """2 m of an offcut booked at 8.00 in place of a length."""
    made = job([part("A", 1, 2000)], [offer("#2", 6000, 60)], [offcut("K1", 2000, 8)])
    cost = cost_of(made, actions.plan(made), FIGURES)
    assert (cost.steel, cents(cost.offcuts_used), cost.offcuts_kept) == ((), 800, 0)


def test_offcuts_kept_are_taken_off() -> None:
    """3.5 m kept at 0.001 a mm: 3.50."""
    at = workshop(offcut_value_per_mm=1000, keep=300)
    made = job([part("A", 1, 2500)], [offer("#2", 6000, 60)], at=at)
    cost = cost_of(made, actions.plan(made), replace(FIGURES, consumables=0, transport=0, hour_rate=0))
    assert (cents(cost.offcuts_kept), cents(cost.direct)) == (350, 5650)


def test_what_has_no_price_is_named() -> None:
    made = job([part("A", 1, 2000)], [offer("#2", 6000, None)])
    cost = cost_of(made, actions.plan(made), FIGURES)
    assert cost.missing == ("SHS 40x40x3 to EN 10219-2, any grade, black",)
    assert Workshop().tax_millionths == cost.tax == 0
    assert cost.steel_amount == 0 * CURRENCY


def test_jobs_planned_together_are_the_sums_of_their_assemblies() -> None:
    """Alike but for the hole: what each costs adds up to the price, to the cent and the minute."""
    shelf, bench_alone = replace(bench(), name="shelf"), replace(bench(), name="bench")
    both = joined([bench_alone, replace(shelf, parts=tuple(replace(part, holes=()) for part in shelf.parts))])
    cost = cost_of(both, actions.plan(both), FIGURES)
    first, second = cost.jobs
    assert (first.assembly, second.assembly) == ("bench", "shelf")
    own = [each for each in cost.assemblies if each.assembly.startswith("bench/")]
    for head in ("steel", "things", "coats", "work", "rest", "price", "minutes"):
        assert getattr(first, head) == sum(getattr(each, head) for each in own)
    assert first.price + second.price == cost.price
    assert first.minutes + second.minutes == cost.minutes
    assert first.steel == second.steel
    assert first.work > second.work, "the hole"


def test_a_job_planned_alone_is_not_told_apart(cost: Cost) -> None:
    assert cost.jobs == ()
