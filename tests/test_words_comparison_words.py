"""The table of what a change would cost or save."""

from dataclasses import replace

from cutplan.model import Brought, Job, Merchant, OtherLine, Plan, Status, Work
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from cutplan.words.comparison_words import (
    PROVEN,
    cells_of,
    compared,
    comparison_document,
    comparison_text,
    heads_of,
    not_possible,
)
from tests import builders


def planned(price: int) -> tuple[Job, Plan]:
    job = builders.job([builders.part("A", 3, 2900)], [builders.offer("P1", 6000, price)])
    return job, plan_job(job)


def test_the_difference_of_two_proven_plans_is_one_figure() -> None:
    job, base = planned(30)
    dearer, plan = planned(35)
    rows = [compared("as it is", [(job, base)], (job, base)), compared("dear steel", [(dearer, plan)], (job, base))]
    # Two bars of 6 m at 3 kg/m: 36 kg; three parts of 2.9 m leave 3.3 m, of which 3.1 m in one piece is kept.
    assert (rows[1].money, rows[1].least, rows[1].most) == (70_000_000, 10_000_000, 10_000_000)
    lines = comparison_text(job, rows, 80).splitlines()
    assert lines[:3] == [
        "tiny: what each change would cost or save",
        "  amounts in EUR, with deliveries, cuts, own work and offcuts used, without tax",
        "  every plan is proven the cheapest",
    ]
    assert lines[-1].split() == ["dear", "steel", "70.00", "+10.00", "36.0", "0.6", "1"]
    assert all(len(line) <= 80 for line in lines)


def test_what_is_not_proven_widens_the_difference() -> None:
    job, base = planned(30)
    open_plan = replace(base, status=Status.NOT_PROVEN, bound=base.cost - 5_000_000, stopped_by="time limit")
    row = compared("slow", [(job, open_plan)], (job, base))
    assert (row.least, row.most) == (-5_000_000, 0)
    text = comparison_text(job, [row], 80)
    assert "see below" in text
    assert "difference between -5.00 and +0.00: not both plans are proven" in text
    assert "stopped by: time limit" in text
    assert PROVEN not in text


def test_each_order_line_is_rounded_as_it_is_billed() -> None:
    """Two groups of one bar at 10.005, on two lines of an order: 10.01 each, though exact prices come to 20.01."""
    parts = [builders.part("A", 1, 5900), builders.part("B", 1, 5900, section=builders.square_tube(50))]
    offers = [builders.offer("P1", 6000, 0), builders.offer("P2", 6000, 0, section=builders.square_tube(50))]
    fine = builders.job(parts, [replace(offer, bar_price=10_005_000) for offer in offers])
    plan = plan_job(fine)
    row = compared("fine", [(fine, plan)], (fine, plan))
    assert (plan.cost, row.money) == (20_010_000, 20_020_000)
    assert row.money == totals_of(fine, plan).money.to_pay
    apart = compared("both", [(fine, plan), (fine, plan)], (fine, plan))
    assert (apart.money, apart.least, apart.most) == (40_040_000, 20_020_000, 20_020_000)


def test_all_that_a_plan_weighs_is_compared() -> None:
    """By hand: two bars of 30.00, 10.00 to reach the minimum order, a trip for 5.00, seven cuts of 0.25, an offcut
    of 1.25 used, two of 0.30 kept. The hinges are bought anyway.
    """
    yard = Merchant(name="Yard", brought=Brought.FETCHED, minimum_order=70 * CURRENCY)
    shop = builders.workshop(keep=300, offcut_value_per_mm=1000, merchants=(yard,), work=Work(per_cut=CURRENCY // 4))
    job = builders.job(
        [builders.part("A", 6, 1900), builders.part("B", 1, 850)],
        [builders.offer("P1", 6000, 30)],
        [builders.offcut("R1", 900, book="1.25")],
        at=replace(shop, trip_cost=5 * CURRENCY),
    )
    job = replace(job, others=(OtherLine(name="hinge", quantity=2, price_each=CURRENCY),))
    plan = plan_job(job)
    row = compared("as it is", [(job, plan)], (job, plan))
    assert row.money == plan.cost == 77_400_000


def test_what_is_open_is_told_outward_to_the_cent() -> None:
    job, base = planned(30)
    open_plan = replace(base, status=Status.NOT_PROVEN, bound=base.cost - 1_000_001)
    row = compared("slow", [(job, open_plan)], (job, base))
    assert "difference between -1.01 and +0.00: not both plans are proven" in comparison_text(job, [row], 80)


def test_trips_are_named_where_they_cost_something() -> None:
    job, base = planned(30)
    driven = replace(job, workshop=replace(job.workshop, trip_cost=1))
    text = comparison_text(driven, [compared("as it is", [(job, base)], (job, base))], 80)
    assert text.splitlines()[1] == (
        "  amounts in EUR, with deliveries, trips, cuts, own work and offcuts used, without tax"
    )


def test_no_plan_says_why() -> None:
    job, _ = planned(30)
    text = comparison_text(job, [not_possible("nothing from Yard", "no stock length is left")], 80)
    assert text.splitlines()[-2:] == ["nothing from Yard       no plan", "  no stock length is left"]


def test_values() -> None:
    job, base = planned(30)
    document = comparison_document(job, [compared("as it is", [(job, base)], (job, base)), not_possible("x", "y")])
    first, second = document["rows"]
    assert (first["money"], first["difference_least"], first["bought_kg"]) == ("60", "0", "36.000")
    assert first["status"] == "proven, rechecked"
    assert (second["money"], second["status"], second["why_not"]) == (None, None, "y")


def test_whole_lengths_stand_below_each_row() -> None:
    """Two bars of 6 m at 30.00 for three of 2.9 m: 3.3 m of 5.00 a metre are left."""
    job, base = planned(30)
    lines = comparison_text(job, [compared("as it is", [(job, base)], (job, base))], 100, by_section=True).splitlines()
    assert lines[-1] == "  SHS 40x40x3 to EN 10219-2, any grade, black: 2 x 6 m; what is left of them adds 16.50"


def test_a_row_without_a_plan_says_why_in_its_notes(small_job: Job) -> None:
    row = cells_of(small_job, not_possible("nothing from Yard", "no stock length is left"))
    assert (row.change, row.amount, row.notes) == ("nothing from Yard", "no plan", ("no stock length is left",))
    assert heads_of(small_job).amount == f"amount, {small_job.workshop.currency}"
