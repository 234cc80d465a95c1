"""A correct plan passes; the same plan with one thing changed by the least amount does not.

The plans come from first fit, so nothing here depends on a solver. Each
tampering makes one change that an honest mistake or a wish for a better
looking plan could make.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from cutplan.checking import check
from cutplan.model import (
    CutBar,
    EndState,
    Fate,
    GroupPlan,
    Held,
    Job,
    Leaf,
    Merchant,
    Plan,
    SourceKind,
    Status,
    Work,
)
from cutplan.planning import plan_job
from cutplan.solving import Parameters
from tests.benchmarks.instances import shop_job
from tests.builders import job, offcut, offer, part
from tests.effort import examples
from tests.first_fit import DENOMINATOR, DoesNotFit, first_fit_plan
from tests.properties.test_told_apart import some_job
from tests.published.graphs import PETERSEN, matching_job
from tests.strategies import tiny_jobs

Tamper = Callable[[Plan], Plan]


def workshop_job() -> Job:
    """Every rule at work: trims, kerf, a mitre, safe hold, an offcut with a book value, two charging merchants."""
    return job(
        [part("P1", 3, 700), part("P2", 2, 450, mitres=(45, 0)), part("P3", 2, 95)],
        [
            offer("A", 2000, 12, merchant="Northgate"),
            offer("B", 1500, "9.5", available=2),
            offer("C", 1000, "7.25", merchant="Westgate"),
        ],
        [offcut("R1", 720, "1.5", ends="mill sawn"), offcut("R2", 240)],
        kerf="2.5",
        end_trim=10,
        safe_hold=120,
        keep=200,
        offcut_value_per_mm=1500,
        merchants=[Merchant(name="Northgate", delivery=4_000_000), Merchant(name="Westgate", minimum_order=20_000_000)],
    )


def proven_job() -> Job:
    """Three bars of 10 hold two halves each: proven, in two leaves made below."""
    return job([part("P", 6, 500)], [offer("A", 1000, 10)])


def proven_plan() -> Plan:
    """At most two bars cannot hold six halves; from three bars on, halves are worth 5."""
    plan = first_fit_plan(proven_job())
    worth = 5_000_000 * DENOMINATOR
    leaves = (Leaf(ranges=((0, 2),), duals=(2 * worth,)), Leaf(ranges=((3, 6),), duals=(worth,)))
    return with_proof(plan, leaves=leaves, bound=30_000_000)


def with_proof(plan: Plan, **change: Any) -> Plan:
    """Change the first group's proof, and with it every case's."""
    proof = replace(plan.groups[0].proof, **change)
    cases = tuple(replace(case, proofs=(proof, *case.proofs[1:])) for case in plan.cases)
    return replace(plan, groups=(replace(plan.groups[0], proof=proof), *plan.groups[1:]), cases=cases)


def with_bars(plan: Plan, bars: tuple[CutBar, ...]) -> Plan:
    return replace(plan, groups=(replace(plan.groups[0], bars=bars), *plan.groups[1:]))


def on_bar(place: int, **change: Any) -> Tamper:
    def tampered(plan: Plan) -> Plan:
        bars = list(plan.groups[0].bars)
        bars[place] = replace(bars[place], **change)
        return with_bars(plan, tuple(bars))

    return tampered


def on_cut(place: int, index: int, change: Callable[[Any], dict[str, Any]]) -> Tamper:
    def tampered(plan: Plan) -> Plan:
        cuts = list(plan.groups[0].bars[place].cuts)
        cuts[index] = replace(cuts[index], **change(cuts[index]))
        return on_bar(place, cuts=tuple(cuts))(plan)

    return tampered


def on_drop(place: int, change: Callable[[Any], dict[str, Any]]) -> Tamper:
    def tampered(plan: Plan) -> Plan:
        drop = plan.groups[0].bars[place].drop
        return on_bar(place, drop=replace(drop, **change(drop)))(plan)

    return tampered


def drop_part(plan: Plan) -> Plan:
    bar = plan.groups[0].bars[-1]
    return with_bars(plan, (*plan.groups[0].bars[:-1], replace(bar, cuts=bar.cuts[:1])))


def flip(fate: Fate) -> Fate:
    return {Fate.KEEP: Fate.SCRAP, Fate.SCRAP: Fate.KEEP, Fate.NONE: Fate.KEEP}[fate]


def test_the_plans_to_be_tampered_with_pass() -> None:
    assert check(workshop_job(), first_fit_plan(workshop_job())) == ()
    assert check(proven_job(), proven_plan()) == ()
    assert proven_plan().status is Status.RECHECKED


BAR_TAMPERINGS: dict[str, Tamper] = {
    "a cut moved by a nanometre": on_cut(1, 0, lambda cut: {"start": cut.start + 1, "end": cut.end + 1}),
    "a cut moved back by a nanometre": on_cut(1, -1, lambda cut: {"start": cut.start - 1, "end": cut.end - 1}),
    "a part a nanometre short": on_cut(1, 0, lambda cut: {"end": cut.end - 1}),
    "a kerf a nanometre thinner": on_cut(1, 0, lambda cut: {"kerf": cut.kerf - 1}),
    "a mitre forgotten": on_cut(2, 0, lambda cut: {"angle_a": 0, "angle_b": 0, "mark": "P2"}),
    "another side held": on_cut(1, 0, lambda cut: {"held": Held.PART if cut.held is Held.BAR else Held.BAR}),
    "a cut left out": on_cut(1, 0, lambda cut: {"held": Held.NOT_CUT}),
    "the bar turned for nothing": on_cut(1, 0, lambda cut: {"turn": not cut.turn}),
    "a part dropped": drop_part,
    "a bar dropped": lambda plan: with_bars(plan, plan.groups[0].bars[:-1]),
    "a copy doubled": on_cut(1, 1, lambda cut: {"copy": 3 - cut.copy}),
    "a mark changed": on_cut(1, 1, lambda cut: {"mark": "P2"}),
    "a left over that is a nanometre longer": on_drop(1, lambda drop: {"start": drop.start - 1}),
    "the fate of a left over flipped": on_drop(1, lambda drop: {"fate": flip(drop.fate)}),
    "a left over worth a little more": on_drop(1, lambda drop: {"value": drop.value + 1}),
    "the end of a left over": on_drop(1, lambda drop: {"far_end": EndState.SAWN}),
    "a bar a little cheaper": lambda plan: on_bar(1, cost=plan.groups[0].bars[1].cost - 1)(plan),
    "a trim forgotten": on_bar(1, start_trim=0),
    "a bar a nanometre longer": lambda plan: on_bar(1, length=plan.groups[0].bars[1].length + 1)(plan),
    "more slack than there is": lambda plan: on_bar(1, slack=plan.groups[0].bars[1].slack + 1)(plan),
    "a bar from another offer": on_bar(1, source="C"),
    "the offcut used twice": on_bar(1, source="R1", kind=SourceKind.OFFCUT),
    "a bar number skipped": on_bar(1, number=7),
    "two bars in the wrong order": lambda plan: with_bars(plan, plan.groups[0].bars[::-1]),
}


@pytest.mark.parametrize("tamper", BAR_TAMPERINGS.values(), ids=BAR_TAMPERINGS.keys())
def test_a_tampered_bar_is_caught(tamper: Tamper) -> None:
    plan = first_fit_plan(workshop_job())
    tampered = tamper(plan)
    assert tampered != plan
    assert check(workshop_job(), tampered) != ()


def on_leaf(place: int, **change: Any) -> Tamper:
    def tampered(plan: Plan) -> Plan:
        leaves = list(plan.groups[0].proof.leaves)
        leaves[place] = replace(leaves[place], **change)
        return with_proof(plan, leaves=tuple(leaves))

    return tampered


def with_case_bound(plan: Plan, more: int) -> Plan:
    return replace(plan, cases=tuple(replace(case, bound=case.bound + more) for case in plan.cases))


PROOF_TAMPERINGS: dict[str, Tamper] = {
    "a bound raised by one": lambda plan: with_proof(plan, bound=30_000_001),
    "a bound lowered by one": lambda plan: with_proof(plan, bound=29_999_999),
    "the plan's bound raised by one": lambda plan: replace(plan, bound=plan.bound + 1),
    "the case's bound raised by one": lambda plan: replace(with_case_bound(plan, 1), bound=plan.bound + 1),
    "a leaf removed": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves[1:]),
    "the other leaf removed": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves[:1]),
    "all leaves removed": lambda plan: with_proof(plan, leaves=()),
    "a leaf doubled": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves * 2),
    "a leaf's range shrunk": on_leaf(1, ranges=((3, 5),)),
    "a leaf's range moved up": on_leaf(1, ranges=((4, 6),)),
    "a leaf's range beyond what is there": on_leaf(1, ranges=((3, 7),)),
    # Worth 7 a half, six bars of two halves are 4 short each: 42 - 24. Worth 3, six halves are 18.
    "duals raised": on_leaf(1, duals=(7_000_000 * DENOMINATOR,)),
    "duals lowered": on_leaf(0, duals=(3_000_000 * DENOMINATOR,)),
    "a dual too many": on_leaf(1, duals=(5_000_000 * DENOMINATOR, 0)),
    "the denominator halved": lambda plan: with_proof(plan, denominator=DENOMINATOR // 2),
    "a source forgotten": lambda plan: with_proof(plan, sources=()),
    "a step that makes halves light": lambda plan: with_proof(plan, step=300_000_000),
    "the case removed": lambda plan: replace(plan, cases=()),
    "a plan cheaper by one": lambda plan: replace(plan, cost=plan.cost - 1),
    "not proven, though it is": lambda plan: replace(plan, status=Status.NOT_PROVEN),
}


@pytest.mark.parametrize("tamper", PROOF_TAMPERINGS.values(), ids=PROOF_TAMPERINGS.keys())
def test_a_tampered_proof_is_caught(tamper: Tamper) -> None:
    plan = proven_plan()
    tampered = tamper(plan)
    assert tampered != plan
    assert check(proven_job(), tampered) != ()


def limited_job() -> Job:
    """Two bars of a metre; each leaves 600 worth 0.60, and only one may be kept."""
    return job([part("P", 2, 400)], [offer("A", 1000, 10)], kerf=300, keep=300, offcut_value_per_mm=1000, most_kept=1)


def limited_plan() -> Plan:
    """Proven: a part is worth the bare 10 of its bar, keeping a left over is charged what it is worth."""
    plan = plan_job(limited_job())
    assert check(limited_job(), plan) == ()
    assert plan.status is Status.RECHECKED
    return plan


@pytest.mark.parametrize(
    "tamper",
    [
        lambda leaf: {"keep_dual": leaf.keep_dual + leaf.duals[0] // 100},
        lambda leaf: {"keep_dual": 0},
        lambda leaf: {"keep_dual": -1},
    ],
)
def test_a_charge_for_keeping_that_does_not_hold_is_caught(tamper: Callable[[Leaf], dict[str, Any]]) -> None:
    """The bound is stated as it was; by the leaves changed, it is not reached."""
    plan = limited_plan()
    leaves = tuple(replace(leaf, **tamper(leaf)) for leaf in plan.groups[0].proof.leaves)
    assert check(limited_job(), with_proof(plan, leaves=leaves)) != ()


def test_a_charge_for_keeping_without_a_limit_is_caught() -> None:
    leaves = tuple(replace(leaf, keep_dual=1) for leaf in proven_plan().groups[0].proof.leaves)
    found = check(proven_job(), with_proof(proven_plan(), leaves=leaves))
    assert any("charges kept left overs, whose number is not limited" in failure for failure in found)


@cache
def told_apart_plan() -> Plan:
    """Proven in two leaves: two of the parts are on one bar together, or they are not."""
    plan = plan_job(matching_job(PETERSEN), parameters=Parameters(listed_first=0, listed=0))
    assert check(matching_job(PETERSEN), plan) == ()
    assert plan.status is Status.RECHECKED
    alone, together = plan.groups[0].proof.leaves
    assert [(split.low, split.high) for leaf in (alone, together) for split in leaf.splits] in (
        [(0, 1), (0, 0), (0, 1), (1, 1)],
        [(0, 1), (1, 1), (0, 1), (0, 0)],
    )
    return plan


def on_split(number: int, where: Sequence[int] = (0, 1), **change: Any) -> Tamper:
    """Change one split of some leaves."""

    def tampered(plan: Plan) -> Plan:
        leaves = list(plan.groups[0].proof.leaves)
        for place in where:
            splits = list(leaves[place].splits)
            splits[number] = replace(splits[number], **change)
            leaves[place] = replace(leaves[place], splits=tuple(splits))
        return with_proof(plan, leaves=tuple(leaves))

    return tampered


def on_leaves(change: Callable[[Leaf], dict[str, Any]], where: Sequence[int] = (0, 1)) -> Tamper:
    def tampered(plan: Plan) -> Plan:
        leaves = list(plan.groups[0].proof.leaves)
        for place in where:
            leaves[place] = replace(leaves[place], **change(leaves[place]))
        return with_proof(plan, leaves=tuple(leaves))

    return tampered


def half_a_bar_more(leaf: Leaf) -> dict[str, Any]:
    """For the part that is worth most, so that bars with it are worth more than they cost."""
    most = max(leaf.duals)
    raised = tuple(y + 500_000 * 10**9 if y == most else y for y in leaf.duals)
    return {"duals": raised}


SPLIT_TAMPERINGS: dict[str, Tamper] = {
    "a leaf removed": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves[1:]),
    "the other leaf removed": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves[:1]),
    "a leaf doubled": lambda plan: with_proof(plan, leaves=plan.groups[0].proof.leaves[:1] * 2),
    "both leaves for the same bars": on_split(1, low=0, high=0),
    "a case narrowed": on_split(0, high=0),
    "a case narrowed from below": on_split(0, low=1),
    "a leaf that takes in its neighbour": on_split(1, (0,), low=0, high=1),
    "the other leaf that takes in its neighbour": on_split(1, (1,), low=0, high=1),
    "a range below none": on_split(1, (0,), low=-1),
    "a range that ends before it begins": on_split(1, (0,), low=1, high=0),
    "another number of copies": on_split(1, copies=2),
    "another number of copies in one leaf": on_split(1, (0,), copies=2),
    "no copies": on_split(1, copies=0),
    "another part": on_split(1, part=0),
    "another part in one leaf": on_split(1, (0,), part=0),
    "the same part again": on_leaves(
        lambda leaf: {"splits": (leaf.splits[0], replace(leaf.splits[1], part=leaf.splits[0].part))}
    ),
    "a part that there is none of": on_split(1, part=15),
    "another share": on_split(1, share=0),
    "another share in one leaf": on_split(1, (0,), share=0),
    "a share that is not made yet": on_split(1, share=2),
    "splits in another order": on_leaves(lambda leaf: {"splits": leaf.splits[::-1]}),
    "a split forgotten": on_leaves(lambda leaf: {"splits": leaf.splits[:1]}),
    "all splits forgotten": on_leaves(lambda leaf: {"splits": ()}),
    "the splits of one leaf forgotten": on_leaves(lambda leaf: {"splits": ()}, (0,)),
    "duals raised": on_leaves(half_a_bar_more, (0,)),
    "duals of the other leaf raised": on_leaves(half_a_bar_more, (1,)),
    "duals forgotten": on_leaves(lambda leaf: {"duals": (0,) * len(leaf.duals)}, (0,)),
    "the duals of the neighbour": lambda plan: on_leaf(0, duals=plan.groups[0].proof.leaves[1].duals)(plan),
}


@pytest.mark.parametrize("tamper", SPLIT_TAMPERINGS.values(), ids=SPLIT_TAMPERINGS.keys())
def test_a_tampered_split_is_caught(tamper: Tamper) -> None:
    plan = told_apart_plan()
    tampered = tamper(plan)
    assert tampered != plan
    assert check(matching_job(PETERSEN), tampered) != ()


def valued_job() -> Job:
    """Counts leave it open by how much parts can be laid so that all that is left over is long enough to be kept."""
    draw = random.Random(12)
    wanted = [part(f"P{length}", draw.randint(1, 4), length) for length in draw.sample(range(150, 3000), 6)]
    yard = Merchant(name="Yard", cuts_to_plan=True, cut_charge=1_500_000)
    return job(
        wanted, [offer("A", 6000, 60, merchant="Yard"), offer("B", 7500, 76, merchant="Yard")], kerf="2.5", end_trim=10,
        safe_hold=120, keep=500, offcut_value_per_mm=5_000, merchants=[yard],
    )  # fmt: skip


@cache
def kept_told_apart() -> tuple[Plan, tuple[int, ...]]:
    """Proven by how many left overs of a length are kept; and which leaves say so."""
    plan = plan_job(valued_job())
    assert check(valued_job(), plan) == ()
    assert plan.status is Status.RECHECKED
    leaves = plan.groups[0].proof.leaves
    return plan, tuple(place for place, leaf in enumerate(leaves) if any(split.kept for split in leaf.splits))


def test_a_tampered_split_by_what_is_kept_is_caught() -> None:
    plan, places = kept_told_apart()
    assert len(places) > 1
    leaves = plan.groups[0].proof.leaves
    for place in places:
        splits = leaves[place].splits
        without = with_proof(plan, leaves=leaves[:place] + leaves[place + 1 :])
        assert check(valued_job(), without) != (), "a leaf left out"
        for number, split in enumerate(splits):
            changes: list[dict[str, Any]] = [
                {"low": split.low + 1, "high": split.high + 1},
                {"high": split.high + 1},
                {"low": split.low - 1},
                {"copies": 1},
                {"part": 1},
                {"kept": False, "copies": 1},
            ]
            for change in changes:
                made = (*splits[:number], replace(split, **change), *splits[number + 1 :])
                # The last of a row of numbers may go on: there are no more bars.
                if change.get("high") == split.high + 1 and len(change) == 1 and split.high >= 12:
                    continue
                assert check(valued_job(), on_leaf(place, splits=made)(plan)) != (), (place, number, change)


def test_a_dual_beside_a_split_by_what_is_kept_that_is_a_millionth_off_is_caught() -> None:
    plan, places = kept_told_apart()
    proof = plan.groups[0].proof
    caught = 0
    for place in places:
        duals = proof.leaves[place].duals
        for i in range(len(duals)):
            for by in (-proof.denominator, proof.denominator):
                changed = on_leaf(place, duals=(*duals[:i], duals[i] + by, *duals[i + 1 :]))(plan)
                caught += check(valued_job(), changed) != ()
    assert caught > 0


def test_a_cost_told_a_unit_lower_than_it_is_is_caught_where_left_overs_have_a_value() -> None:
    plan, _ = kept_told_apart()
    proof = plan.groups[0].proof
    assert check(valued_job(), with_proof(plan, bound=proof.bound + 1)) != ()
    assert check(valued_job(), with_proof(plan, bound=proof.bound - 1)) != ()


@cache
def listed_plan(kept: bool) -> tuple[Job, Plan, tuple[int, ...]]:
    """Proven over a list of bars, those whose left over is ``kept`` too; and which leaves are over it."""
    if kept:
        listing_job, plan = some_job(13), plan_job(some_job(13))
    else:
        listing_job = shop_job(10, seed=1, number=4, offcut_value=True, cut_charges=True).job
        plan = plan_job(listing_job, parameters=Parameters(listed_with_kept=0, divided_first=0))
    assert check(listing_job, plan) == ()
    assert plan.status is Status.RECHECKED
    leaves = plan.groups[0].proof.leaves
    places = tuple(place for place, leaf in enumerate(leaves) if leaf.listing)
    assert any(leaves[place].splits for place in places)
    made = [listing for listing in (leaves[place].listing for place in places) if listing]
    assert all(listing.kept is kept for listing in made)
    assert kept or any(listing.splits for listing in made)
    return listing_job, plan, places


@pytest.mark.parametrize("kept", [True, False])
def test_a_tampered_leaf_over_a_list_is_caught(kept: bool) -> None:
    made, plan, places = listed_plan(kept)
    leaves = plan.groups[0].proof.leaves
    tried, caught = Counter[int](), Counter[int]()
    for place in places:
        leaf = leaves[place]
        assert leaf.listing is not None
        below = leaf.listing.below
        assert check(made, with_proof(plan, leaves=leaves[:place] + leaves[place + 1 :])) != (), "a leaf left out"
        changes: list[dict[str, Any]] = [
            {"listing": None},
            {"listing": None, "split_duals": ()},
            {"splits": leaf.splits[:-1], "split_duals": leaf.split_duals[:-1]},
            {"split_duals": leaf.split_duals[:-1]},
            {"split_duals": tuple(dual + 10**15 for dual in leaf.split_duals)},
            {"split_duals": tuple(dual - 10**15 for dual in leaf.split_duals)},
            {"duals": tuple(dual + 10**15 for dual in leaf.duals)},
            {"duals": tuple(0 for _ in leaf.duals)},
            {"listing": replace(leaf.listing, below=below - 1)},
            {"listing": replace(leaf.listing, duals=tuple(0 for _ in leaf.duals))},
            {"listing": replace(leaf.listing, splits=len(leaf.splits) + 1)},
        ]
        for number, change in enumerate(changes):
            if all(getattr(leaf, key) == value for key, value in change.items()):
                continue
            tried[number] += 1
            caught[number] += check(made, on_leaf(place, **change)(plan)) != ()
    # Within numbers of bars that no plan has, any duals hold.
    assert caught == tried if kept else all(caught[number] for number in tried)


@pytest.mark.parametrize("kept", [True, False])
def test_a_cost_told_a_unit_lower_than_it_is_is_caught_over_a_list(kept: bool) -> None:
    made, plan, places = listed_plan(kept)
    bound = plan.groups[0].proof.bound
    assert check(made, with_proof(plan, bound=bound - 1)) != ()
    assert check(made, with_proof(plan, bound=bound + 1)) != ()
    # A list for more than the plan costs holds more bars, over which the duals bound no higher.
    raised = plan
    for place in places:
        listing = plan.groups[0].proof.leaves[place].listing
        assert listing is not None
        raised = on_leaf(place, listing=replace(listing, below=listing.below + 1))(raised)
    assert check(made, with_proof(raised, bound=bound + 1)) != ()


def test_a_dual_beside_a_split_that_is_a_millionth_off_is_caught() -> None:
    """Left overs have a value here, so that no bound is rounded up to the next plan."""
    wanted = [part("A", 3, 42), part("B", 3, 18), part("C", 2, 46)]
    set_ups = Work(per_setup=1_000_000)
    tiny = job(wanted, [offer("P", 100, 10)], work=set_ups, keep=10, offcut_value_per_mm=10_000)
    plan = plan_job(tiny, parameters=Parameters(listed_first=0, listed=0))
    proof = plan.groups[0].proof
    assert check(tiny, plan) == ()
    assert plan.status is Status.RECHECKED
    split = [(place, leaf) for place, leaf in enumerate(proof.leaves) if leaf.splits]
    assert split
    caught = 0
    for place, leaf in split:
        for i in range(3):
            for by in (-proof.denominator, proof.denominator):
                duals = (*leaf.duals[:i], leaf.duals[i] + by, *leaf.duals[i + 1 :])
                caught += check(tiny, on_leaf(place, duals=duals)(plan)) != ()
    assert caught > 0


@pytest.mark.parametrize("status", [Status.RECHECKED, Status.BY_SEARCH])
def test_a_status_upgraded(status: Status) -> None:
    plan = first_fit_plan(workshop_job())
    assert plan.status is Status.NOT_PROVEN
    assert check(workshop_job(), replace(plan, status=status)) != ()
    assert check(workshop_job(), replace(plan, status=status, bound=plan.cost)) != ()
    assert check(workshop_job(), with_proof(plan, status=status)) != ()


def test_a_search_passed_off_as_rechecked() -> None:
    plan = first_fit_plan(workshop_job())
    cost = sum(bar.cost for bar in plan.bars)
    assert check(workshop_job(), with_proof(plan, status=Status.RECHECKED, bound=cost)) != ()


def test_every_merchant_case_is_needed() -> None:
    plan = first_fit_plan(workshop_job())
    assert len(plan.cases) == 4
    for place in range(4):
        cases = plan.cases[:place] + plan.cases[place + 1 :]
        bound = min(case.bound for case in cases)
        assert any(
            "no case covers" in failure for failure in check(workshop_job(), replace(plan, cases=cases, bound=bound))
        )


def test_a_price_changed_in_the_job() -> None:
    """The plan was made at other prices: dearer or cheaper, its costs are no longer those of the job."""
    plan = first_fit_plan(workshop_job())
    used = next(bar.source for bar in plan.bars if bar.kind is SourceKind.BOUGHT)
    for change in (-1, 1):
        offers = tuple(
            replace(o, bar_price=(o.bar_price or 0) + change) if o.id == used else o for o in workshop_job().offers
        )
        assert check(replace(workshop_job(), offers=offers), plan) != ()


def test_a_part_added_to_the_job() -> None:
    plan = first_fit_plan(workshop_job())
    more = replace(workshop_job(), parts=(*workshop_job().parts, part("P4", 1, 100)))
    assert "SHS 40x40x3 to EN 10219-2, any grade, black: P4: 1 of 1 are not cut (copy 1)" in check(more, plan)


@settings(max_examples=examples(150), deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(tiny_jobs(), st.data())
def test_any_figure_of_any_bar_off_by_one_is_caught(tiny: Job, data: st.DataObject) -> None:
    """On any job, any one figure of any bar, changed by the smallest unit."""
    try:
        plan = first_fit_plan(tiny)
    except DoesNotFit:
        assume(False)
    place = data.draw(st.integers(0, len(plan.groups) - 1))
    group = plan.groups[place]
    number = data.draw(st.integers(0, len(group.bars) - 1))
    bar = group.bars[number]
    by = data.draw(st.sampled_from([-1, 1]))
    what = data.draw(st.sampled_from(["length", "start_trim", "far_trim", "cost", "slack", "number", "cut", "drop"]))
    if what == "cut":
        index = data.draw(st.integers(0, len(bar.cuts) - 1))
        field = data.draw(st.sampled_from(["start", "end", "kerf", "copy", "angle_a", "angle_b"]))
        cut = replace(bar.cuts[index], **{field: getattr(bar.cuts[index], field) + by})
        changed = replace(bar, cuts=(*bar.cuts[:index], cut, *bar.cuts[index + 1 :]))
    elif what == "drop":
        field = data.draw(st.sampled_from(["start", "end", "value"]))
        changed = replace(bar, drop=replace(bar.drop, **{field: getattr(bar.drop, field) + by}))
    else:
        changed = replace(bar, **{what: getattr(bar, what) + by})
    bars = (*group.bars[:number], changed, *group.bars[number + 1 :])
    groups: tuple[GroupPlan, ...] = (*plan.groups[:place], replace(group, bars=bars), *plan.groups[place + 1 :])
    assert check(tiny, replace(plan, groups=groups)) != ()
