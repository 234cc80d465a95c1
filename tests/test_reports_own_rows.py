"""What belongs to each of several jobs planned together, held against the bars themselves."""

from __future__ import annotations

import random
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.model import Job, Merchant, Plan, joined, parted, totals
from cutplan.reports import extent
from cutplan.reports.own_rows import own_rows, shared_bars
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds
from tests.hand_plans import hand_plan
from tests.test_model_joining import BENCH, GATE, named

BOTH = joined([GATE, BENCH])
PLAN = hand_plan(BOTH, ("P1", ["gate/A", "bench/B", "gate/A"]), ("P1", ["gate/B"]), ("P1", ["bench/A"]))


def drawn(seed: int) -> tuple[Job, Plan]:
    """Three jobs whose parts lie on bars as chance has it, of two sections with prices of broken cents."""
    dice = random.Random(seed)
    sides = [builders.square_tube(30), builders.square_tube(50)]
    offers = [
        replace(builders.offer(f"P{n}", 9000, 9, section=side), bar_price=9_000_000 + dice.randrange(999_999))
        for n, side in enumerate(sides)
    ]
    jobs = [
        named(
            name,
            builders.job(
                [
                    builders.part(f"M{n}", dice.randint(1, 4), dice.randint(100, 900), section=dice.choice(sides))
                    for n in range(dice.randint(1, 4))
                ],
                offers,
            ),
        )
        for name in ("gate", "bench", "rail")
    ]
    job = joined(jobs)
    shop = replace(job.workshop, merchants=(Merchant(name="Yard", delivery=dice.randrange(9_999) * 10_000),))
    job = replace(job, workshop=replace(shop, tax_millionths=dice.choice((0, 70_000, 210_000))))
    bars: list[tuple[str, list[str]]] = []
    for n, side in enumerate(sides):
        marks = [part.mark for part in job.parts if part.section == side for _ in range(part.quantity)]
        dice.shuffle(marks)
        while marks:
            taken = dice.randint(1, 5)
            bars.append((f"P{n}", marks[:taken]))
            marks = marks[taken:]
    return job, hand_plan(job, *bars)


def test_a_job_planned_alone_has_no_rows_of_its_own() -> None:
    plan = hand_plan(GATE, ("P1", ["A", "A", "B"]))
    assert own_rows(GATE, plan, totals.totals_of(GATE, plan)) == ()
    assert shared_bars(GATE, plan) == ()


def test_nor_has_one_of_several_that_is_bought_by_itself() -> None:
    gate, _ = parted(BOTH)
    plan = hand_plan(gate, ("P1", ["gate/A", "gate/A", "gate/B"]))
    assert own_rows(gate, plan, totals.totals_of(gate, plan)) == ()


def test_parts_are_called_as_in_their_own_list_and_say_where_they_are_cut() -> None:
    gate, bench = own_rows(BOTH, PLAN, totals.totals_of(BOTH, PLAN))
    assert [(row.mark, row.assembly) for row in gate.parts] == [("A", "leaf"), ("B", "")]
    assert gate.cut_from == {"A": "1 (1, 3)", "B": "2 (1)"}
    assert bench.cut_from == {"A": "3 (1)", "B": "1 (2)"}
    assert (gate.alone, bench.alone) == ((2,), (3,))
    assert [row.text for row in gate.others] == ["2 x hinge"]
    assert bench.others == ()


def test_what_a_bar_gives_to_whom() -> None:
    (shared,) = shared_bars(BOTH, PLAN)
    assert (shared.bars, shared.parts) == ((1,), (("gate", "2 x A"), ("bench", "1 x B")))


def test_bars_cut_alike_stand_together() -> None:
    jobs = [
        named(name, builders.job([builders.part("A", 4, 400)], [builders.offer("P1", 1000, 1)]))
        for name in ("gate", "bench")
    ]
    job = joined(jobs)
    plan = hand_plan(job, *[("P1", ["gate/A", "bench/A"])] * 4)
    (shared,) = shared_bars(job, plan)
    assert shared.bars == (1, 2, 3, 4)
    gate, bench = own_rows(job, plan, totals.totals_of(job, plan))
    assert (gate.cut_from, bench.cut_from) == ({"A": "1 to 4 (1)"}, {"A": "1 to 4 (2)"})


def test_of_very_many_bars_the_first_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(extent, "MOST_PLACES", 1)
    gate, _ = own_rows(BOTH, PLAN, totals.totals_of(BOTH, PLAN))
    assert gate.cut_from["A"] == "1 (1, 3)"
    plan = hand_plan(BOTH, ("P1", ["gate/A"]), ("P1", ["gate/B", "gate/A"]), ("P1", ["bench/A"]), ("P1", ["bench/B"]))
    gate, _ = own_rows(BOTH, plan, totals.totals_of(BOTH, plan))
    assert gate.cut_from["A"] == "1 (1); and 1 more bars"


def numbers(text: str) -> list[int]:
    found: list[int] = []
    for each in text.split(", "):
        first, *last = each.split(" to ")
        found += range(int(first), int(last[0] if last else first) + 1)
    return found


@pytest.mark.parametrize("seed", seeds(200))
def test_every_part_is_found_where_its_job_says_and_shares_add_up(seed: int) -> None:
    job, plan = drawn(seed)
    whole = totals.totals_of(job, plan)
    own = own_rows(job, plan, whole)
    on_bars = {(bar.number, place): cut.mark for bar in plan.bars for place, cut in enumerate(bar.cuts, 1)}
    said = {
        (bar, place): f"{each.name}/{mark}"
        for each in own
        for mark, text in each.cut_from.items()
        for bars, places in re.findall(r"([^;(]+) \(([^)]+)\)", text)
        for bar in numbers(bars.strip())
        for place in numbers(places)
    }
    assert said == on_bars
    # Every bar is for one job alone or is sorted, and what is sorted are its parts.
    shared = {bar: each for each in shared_bars(job, plan) for bar in each.bars}
    assert sorted([*shared, *(bar for each in own for bar in each.alone)]) == [bar.number for bar in plan.bars]
    for bar in plan.bars:
        if bar.number in shared:
            given = Counter[str]()
            for name, words in shared[bar.number].parts:
                for text in words.split(", "):
                    count, mark = text.split(" x ")
                    given[f"{name}/{mark}"] += int(count)
            assert given == Counter(cut.mark for cut in bar.cuts)
    # To the cent and the milligram; and no share is a cent or more away from its own fraction of the whole.
    assert sum(each.to_pay for each in own) == whole.money.to_pay
    assert sum(each.bought_mass for each in own) == whole.bought_mass
    money = sum(each.total.money for each in own)
    for each in own:
        assert each.to_pay % (CURRENCY // 100) == 0
        assert abs(each.to_pay - Fraction(whole.money.to_pay * each.total.money, money)) < CURRENCY // 100


def test_a_purchase_of_nothing_is_shared_as_nothing() -> None:
    free = [replace(each, others=(), offers=(builders.offer("P1", 1000, 0),)) for each in (GATE, BENCH)]
    job = joined(free)
    assert [own.to_pay for own in own_rows(job, PLAN, totals.totals_of(job, PLAN))] == [0, 0]
