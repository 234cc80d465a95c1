"""Plans of small jobs with every rule switched on, against two opinions that share no code with the solver.

One tries everything (:mod:`tests.brute_force`), the other is a textbook
assignment model in CP-SAT: which piece goes on which bar.
"""

from __future__ import annotations

from itertools import combinations_with_replacement
from math import ceil, gcd

import pytest
from hypothesis import HealthCheck, assume, given, settings
from ortools.sat.python import cp_model

from cutplan.checking import check
from cutplan.model import NO_WORK, EndState, Goal, Group, Job, Plan, Status, Work, groups_of, serves, within_carry
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.units import kerf_along, mitre_saving
from tests import brute_force
from tests.effort import examples
from tests.properties.small_jobs import Sizes, jobs

SMALL = settings(
    max_examples=examples(250, 2), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)


def planned(job: Job) -> Plan | None:
    """The plan, rechecked; None when there is said to be none."""
    try:
        plan = plan_job(job)
    except NoPlan:
        return None
    assert check(job, plan) == ()
    return plan


def assert_agrees(job: Job) -> Plan | None:
    """Cost, bound and the very existence of a plan, as trying everything finds them; the plan."""
    apart = [brute_force.least_group_cost(job, group) for group in groups_of(job)]
    plan = planned(job)
    if plan is None:
        assert None in apart
        return None
    truth = brute_force.least_cost(job)
    assert truth is not None
    assert plan.bound <= truth <= plan.cost
    if plan.status is not Status.NOT_PROVEN:
        assert plan.cost == truth
    for group_plan, least in zip(plan.groups, apart, strict=True):
        assert least is not None
        if group_plan.goal is Goal.MASS:
            cost = sum(bar.cost for bar in group_plan.bars)
            assert group_plan.proof.bound <= least <= cost
            assert group_plan.proof.status is not Status.NOT_PROVEN
            assert cost == least
    return plan


def may_be_overlooked(job: Job, group: Group) -> bool:
    """Can an order that is not looked for end flush, and so spare a stroke that costs something?

    So where two mitres differ, or with one where some parts can be held and others not: if some lengths, with what can
    lie between two ends, add up to a bar whose far end needs no trim. Which ends those are is left aside.
    """
    rules = brute_force.rules_of(job, group)
    held = {part.grip >= rules.hold for part in group.parts}
    ways = [way for part in group.parts for way in brute_force.lain_in_every_way(part, rules)]
    faces = [(way.far, way.part.depth) for way in ways] + [(way.near, way.part.depth) for way in ways]
    angles = {face.angle for face, _ in faces}
    if True not in held or 0 not in angles or (len(angles) <= 2 and len(held) == 1):
        return False
    kerfs = {kerf_along(rules.kerf, angle) for angle in angles}
    gaps = kerfs | {
        kerf_along(rules.kerf, face.angle) - mitre_saving(depth, face.angle) for face, depth in faces if face.way
    }
    for stock in brute_force.stocks_of(job, group):
        if not stock.per_cut or stock.far_trim:
            continue
        served = [part.quantity + part.spares if serves(stock.grade, part.grades) else 0 for part in group.parts]
        for counts in brute_force.counts_up_to(served):
            bare = stock.start_trim + sum(part.length * n for part, n in zip(group.parts, counts, strict=True))
            if any(counts) and any(
                bare + sum(some) == stock.length for some in combinations_with_replacement(gaps, sum(counts) - 1)
            ):
                return True
    return False


@SMALL
@given(jobs(merchants=False))
def test_one_group_against_trying_everything(job: Job) -> None:
    plan = assert_agrees(job)
    # Without charges that couple groups, no job this small stays open, but where an order may be overlooked.
    if plan is not None and plan.status is Status.NOT_PROVEN:
        assert any(may_be_overlooked(job, group) for group in groups_of(job))


@SMALL
@given(jobs(sections=2))
def test_groups_and_merchants_against_trying_everything(job: Job) -> None:
    assert_agrees(job)


@pytest.mark.slow
@settings(SMALL, max_examples=examples(2000))
@given(jobs(Sizes(parts=4, pieces=8, offers=4, offcuts=3), sections=2))
def test_larger_jobs_against_trying_everything(job: Job) -> None:
    assert_agrees(job)


def trims(job: Job, ends: tuple[EndState, EndState]) -> tuple[int, int]:
    """Start and far trim of a bar with these ends."""
    saw = job.workshop.saw
    trim = saw.end_trim + (0 if saw.end_trim_includes_cut or not saw.end_trim else saw.kerf)
    mill = 0 if saw.mill_ends_accepted else trim
    start, far = sorted(mill if end is EndState.MILL else 0 for end in ends)
    return start, far


Bar = tuple[int, int, int, int, int, str, int, int]
"""Length, start trim, far trim, price with handling, value of a mm left, grade, money for a cut and for a set-up."""


def bars_to_be_had(job: Job, group: Group) -> list[Bar]:
    """Every bar one by one, bars of one offer side by side."""
    bars: list[Bar] = []
    usual = job.workshop.offcut_value(group.section.family) if group.priced else 0
    pieces = sum(part.quantity for part in group.parts)
    own = job.workshop.work if group.priced else NO_WORK
    for offer in group.offers:
        if within_carry(offer, job.workshop):
            price = (offer.bar_price if group.priced else offer.mass) or 0
            count = pieces if offer.available is None else min(offer.available, pieces)
            terms = job.workshop.merchant(offer.merchant)
            work = Work(per_cut=terms.cut_charge) if terms.cuts_to_plan and group.priced else own
            ends = trims(job, (EndState.MILL, EndState.MILL))
            rate = brute_force.no_more_than_paid(usual, price, offer.counted)
            bar = (offer.counted, *ends, price + work.per_bar, rate, offer.grade, work.per_cut, work.per_setup)
            bars += [bar] * count
    for offcut in group.offcuts:
        price = (offcut.book_value if group.priced else 0) + own.per_bar
        rate = brute_force.no_more_than_paid(usual, price - own.per_bar, offcut.length)
        ends = trims(job, (offcut.end_a, offcut.end_b))
        count = min(offcut.quantity, pieces)
        bars += [(offcut.length, *ends, price, rate, offcut.grade, own.per_cut, own.per_setup)] * count
    return bars


def by_assignment(job: Job, group: Group) -> tuple[int, int] | None:
    """Bounds on the least cost of one group, by a model of how many of each part go on each bar.

    For square parts, of which what they take adds up.
    Nearly always one figure twice; CP-SAT is given a limit in its own time. None
    when there is no plan. A bar can be held by its left over, by a part, or is
    one part uncut. Lengths are counted in their common divisor.
    """
    saw, family = job.workshop.saw, group.section.family
    parts, bars = group.parts, bars_to_be_had(job, group)
    takes = [part.length + kerf_along(saw.kerf, part.steeper_angle) for part in parts]
    hold, keep = saw.safe_hold, max(job.workshop.keep_length(family), 1)
    step = gcd(*takes, *(length - start for length, start, *_ in bars), saw.kerf)
    model = cp_model.CpModel()
    on = [[model.new_int_var(0, part.quantity, "") for _ in bars] for part in parts]
    for part, row in zip(parts, on, strict=True):
        model.add(sum(row) == part.quantity)
    total, fills, all_kept = [], [], []
    for b, (length, start, far, price, rate, grade, per_cut, per_setup) in enumerate(bars):
        here = [row[b] for row in on]
        fill = sum(take // step * n for take, n in zip(takes, here, strict=True))
        left = (length - start) // step - fill
        used, by_left, by_part, uncut = (model.new_bool_var("") for _ in range(4))
        model.add(sum(here) >= 1).only_enforce_if(used)
        model.add(sum(here) == 0).only_enforce_if(~used)
        model.add(fill <= max(0, length - start - far + saw.kerf) // step)
        for part, n in zip(parts, here, strict=True):
            if not serves(grade, part.grades):
                model.add(n == 0)
        model.add(left >= -(-hold // step)).only_enforce_if(by_left)
        long = [n for part, n in zip(parts, here, strict=True) if part.grip >= hold]
        model.add(sum(long) >= 1).only_enforce_if(by_part)
        whole = [n for part, n in zip(parts, here, strict=True) if part.length == length and not part.mitred]
        model.add(sum(here) == 1).only_enforce_if(uncut)
        model.add(sum(whole) * (start + far == 0) >= 1).only_enforce_if(uncut)
        model.add_bool_or([by_left, by_part, uncut, ~used])
        # A cut for each part and one that squares START; none at the end of a bar that is full to its very end.
        flush = model.new_bool_var("")
        model.add_implication(flush, used)
        room = length - start + saw.kerf
        if far or room % step:
            model.add(flush == 0)
        else:
            model.add(fill == room // step).only_enforce_if(flush)
        total.append(price * used + per_cut * (sum(here) + (start > 0) * used - flush))
        for alike in {part.cut_alike for part in parts} if per_setup else ():
            set_up = model.new_bool_var("")
            total.append(per_setup * set_up)
            for part, n in zip(parts, here, strict=True):
                if part.cut_alike == alike:
                    model.add(n <= part.quantity * set_up)
        if rate:
            kept, worth = model.new_bool_var(""), model.new_int_var(0, length * rate // 1_000_000, "")
            model.add_implication(kept, used)
            model.add(left >= -(-keep // step)).only_enforce_if(kept)
            model.add(worth * 1_000_000 <= left * (step * rate)).only_enforce_if(kept)
            model.add(worth == 0).only_enforce_if(~kept)
            total.append(-worth)
            all_kept.append(kept)
        fills.append(fill)
        if b and bars[b - 1] == bars[b]:
            model.add(fills[b - 1] >= fill)
    if job.workshop.most_kept is not None and all_kept:
        model.add(sum(all_kept) <= job.workshop.most_kept)
    model.minimize(sum(total))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 0.1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assume(status in (cp_model.OPTIMAL, cp_model.FEASIBLE))
    return ceil(solver.best_objective_bound - 0.5), round(solver.objective_value)


@settings(SMALL, max_examples=examples(40))
@given(jobs(Sizes(parts=3, pieces=5, offers=2, offcuts=1), merchants=False))
def test_every_group_against_an_assignment_model(job: Job) -> None:
    assume(not any(part.mitred for part in job.parts))
    least = [by_assignment(job, group) for group in groups_of(job)]
    plan = planned(job)
    if plan is None:
        assert None in least
        return
    for group, bounds in zip(plan.groups, least, strict=True):
        assert bounds is not None
        assert bounds[0] <= sum(bar.cost for bar in group.bars) <= bounds[1]
