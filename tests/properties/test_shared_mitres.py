"""Jobs whose mitres may share cuts: held to trying everything, to a model of sequences, and to what must not matter."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking.margins import MOST_STEPS
from cutplan.model import Job, Lean, Part, Status, Work, groups_of
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import working_step
from cutplan.units import DEGREE, mm_text
from tests.brute_force import Stock, laid_out, least_cost, orders_of, rules_of
from tests.builders import job, mm, offcut, offer, part, part_of, square_tube
from tests.effort import seeds, some
from tests.sequence_model import least_by_sequences
from tests.sharing_jobs import enclosed, one_bar, planned, without_sharing
from tests.solver_instances import instance_for

ENDS = [(45, 45), (45, 45), (45, 0), (0, 0), (22.5, 45), (30, 30)]


def frame_job(seed: int, pieces: int, *, ends: int = 3) -> Job:
    """Up to so many pieces whose slants decide whether a bar holds one more, cut from two stock lengths."""
    draw = random.Random(seed)
    some = draw.sample(ENDS, ends)
    parts: list[Part] = []
    left = draw.randint(2, pieces)
    while left:
        quantity = draw.randint(1, left)
        left -= quantity
        mitres = draw.choice(some)
        lean = draw.choice(list(Lean)) if all(mitres) else Lean.OPPOSITE
        length: Any = draw.choice([draw.randint(150, 480), draw.randint(2300, 2600) / 10, "248.2"])
        alone = {"share_mitres": False} if draw.random() < 0.1 else {}
        parts.append(part(f"M{len(parts)}", quantity, length, mitres=mitres, lean=lean, **alone))
    settings: dict[str, Any] = {
        "kerf": draw.choice(["0", "2.5", "3"]),
        "end_trim": draw.choice([0, 10]),
        "safe_hold": draw.choice([0, 120]),
        "keep": 5000,
        "share_mitres": True,
    }
    price: Any = draw.choice([7, "7.5"])
    offers = [offer("A", draw.choice([1000, 1150]), 10), offer("B", draw.choice([700, 745]), price)]
    return job(parts, offers, **settings)


@pytest.mark.parametrize("seed", seeds(100))
def test_a_plan_costs_what_trying_everything_costs(seed: int) -> None:
    """Every order, turn and roll of up to seven pieces, and every way to share them out among bars."""
    made = frame_job(seed, 7)
    enclosed(planned(made), least_cost(made))


@pytest.mark.parametrize("share", [True, False])
@pytest.mark.parametrize("seed", seeds(60))
def test_a_bar_that_some_order_fills_is_known_as_such(seed: int, share: bool) -> None:
    """A bar as long as some order of pieces: it may end flush, and what is called proven is still the cheapest."""
    made = frame_job(seed, 4)
    draw = random.Random(seed)
    saw = replace(made.workshop.saw, end_trim=0, share_mitres=share)
    at = replace(made.workshop, saw=saw, work=Work(per_cut=draw.choice([1, 3]) * 250_000))
    made = replace(made, workshop=at, parts=(*made.parts, part("Q", 1, draw.randint(150, 480))))
    (group,) = groups_of(made)
    rules, long = rules_of(made, group), Stock("", "", "", mm(9999), 0, 0, 0, 0, 1)
    counts = [*(draw.randint(0, one.quantity) for one in made.parts[:-1]), 1]
    square = [order for order in orders_of(made.parts, counts, rules) if not order[-1].far.angle]
    held = [order for order in square if order[-1].part.grip >= rules.hold]
    length = laid_out(draw.choice(held), long, rules).end
    made = replace(made, offers=(*made.offers, replace(made.offers[0], id="F", length=length, counted=length)))
    assert [source.flush for source in instance_for(made).sources if source.id == "F"] == [True]
    enclosed(planned(made), least_cost(made))


@pytest.mark.parametrize("seed", seeds(120))
def test_a_piece_with_a_slanted_end_is_used_as_is_best(seed: int) -> None:
    """By hand: its tip, depth x tan, is sawn off, or a part with such an end begins on it."""
    draw = random.Random(seed)
    made = frame_job(seed, 5)
    angle = draw.choice([45, 45, 30])
    slanted = offcut("K", draw.randint(250, 800), 1, angle_a=angle * DEGREE, depth=mm(40), side=draw.randrange(4))
    work = Work(per_cut=draw.choice([0, 1, 3]) * 250_000)
    made = replace(made, offcuts=(slanted,), workshop=replace(made.workshop, work=work))
    plan = planned(made)
    enclosed(plan, least_cost(made))
    for bar in plan.bars:
        if bar.source == "K":
            tip = mm(40) if angle == 45 else mm("23.1")
            assert bar.cuts[0].start == bar.start_trim == (0 if bar.starts_on_slant else tip)


@pytest.mark.parametrize("seed", some(range(1000, 1300), 1000))
def test_two_models_agree(seed: int) -> None:
    made = frame_job(seed, 6)
    enclosed(planned(made), least_by_sequences(made))


@pytest.mark.parametrize("seed", seeds(25))
def test_sharing_is_never_dearer(seed: int) -> None:
    made = frame_job(seed, 12)
    shared, apart = planned(made), planned(without_sharing(made))
    assert shared.bound <= apart.cost
    if shared.status is not Status.NOT_PROVEN:
        assert shared.cost <= apart.cost


def changed(made: Job, change: Any) -> Job:
    return replace(made, parts=tuple(change(one) for one in made.parts))


@pytest.mark.parametrize("seed", seeds(25))
def test_what_must_not_matter(seed: int) -> None:
    """A job seen in a mirror, parts listed the other way about, and another order of the list cost the same."""
    made = frame_job(seed, 9, ends=2)
    first = planned(made)
    others = (
        changed(made, lambda one: replace(one, opposite_hand=True)),
        changed(made, lambda one: replace(one, end_a=one.end_b, end_b=one.end_a) if one.share_mitres else one),
        replace(made, parts=made.parts[::-1]),
    )
    for other in others:
        plan = planned(other)
        assert first.bound <= plan.cost
        assert plan.bound <= first.cost
        if Status.NOT_PROVEN not in (first.status, plan.status):
            assert plan.cost == first.cost


def test_square_parts_are_planned_as_ever() -> None:
    made = job([part("P", 9, 300), part("Q", 5, 440)], [offer("A", 1000, 10)], kerf="2.5", share_mitres=True)
    assert planned(made) == planned(without_sharing(made))


@pytest.mark.parametrize(("angle", "bars"), [(45, 1), (44.9, 2)])
def test_an_angle_beside_it_shares_nothing(angle: float, bars: int) -> None:
    """Two of 300, 40 deep: nested they take 563.6 mm, apart 603.6."""
    parts = [part("P", 1, 300, mitres=(0, 45)), part("Q", 1, 300, mitres=(angle, 0))]
    made = job(parts, [offer("A", 580, 10)], kerf="2.5", share_mitres=True)
    assert len(list(planned(made).bars)) == bars


def test_one_mitre_is_turned_where_that_spares_a_stroke() -> None:
    """Three square parts and one with a mitre at end A, from a bar that begins sawn: by hand four strokes, not five."""
    parts = [part("S", 3, 200), part("M", 1, 200, mitres=(45, 0))]
    rack = [offcut("K", 1000, 1, ends="sawn sawn")]
    made = job(parts, [offer("A", 1000, 90)], rack, kerf="2.5", work=Work(per_cut=500_000), share_mitres=True)
    plan = planned(made)
    assert plan.cost == 3_000_000
    assert plan.status is not Status.NOT_PROVEN
    assert [cut.turned for bar in plan.bars for cut in bar.cuts if cut.mark == "M"] == [True]
    assert planned(without_sharing(made)).cost == 3_500_000


def test_an_empty_bar_is_worth_its_whole_length_in_a_bound() -> None:
    """A length worth all but a millionth of what it costs: an empty one costs next to nothing beside those of parts."""
    tube = square_tube(50)
    parts = [part("M", 6, 209, mitres=(45, 45), section=tube)]
    made = job(parts, [offer("A", 1000, "0.700001", section=tube)], kerf=0, end_trim=0, safe_hold=0, keep=0,
               offcut_value_per_mm=700, share_mitres=True)  # fmt: skip
    assert planned(made).cost == least_cost(made)


@pytest.mark.parametrize("number", [1, 2, 4, 7])
@pytest.mark.parametrize("name", ["SHS 40x40x3", "RHS 60x40x3", "flat 40x5", "IPE 100", "round 20"])
def test_the_picture_frame(name: str, number: int) -> None:
    """n equal parts of long point L and depth d at 45 degrees need n (L - d) + d + (n - 1) kerf / cos 45, by hand."""
    frame = part_of(name, 300, mitres=(45, 45))
    depth = frame.section.mitre_depths[0]
    parts = [replace(frame, quantity=number, depth=depth)]
    needed = number * (mm(300) - depth) + depth + (number - 1) * mm("3.6")
    assert one_bar(parts, mm_text(needed))
    assert number == 1 or not one_bar(parts, mm_text(needed - mm("0.1")))


def test_two_planes_of_a_rectangular_tube_are_not_mixed() -> None:
    tube = part_of("RHS 60x40x3", 300, mitres=(45, 45))
    flat, edge = replace(tube, quantity=2, depth=mm(60)), replace(tube, mark="B1", quantity=2, depth=mm(40))
    # Pairs of 300 + 243.6 and 300 + 263.6, and a wider kerf between them.
    assert one_bar([flat, edge], "1110.8")
    assert not one_bar([flat, edge], "1110.7")


def test_with_a_blade_of_no_width_solver_and_checker_agree_on_what_turning_changes() -> None:
    parts = [part("S", 1, "232.8"), part("M", 1, "248.2", mitres=(22.5, 45), lean=Lean.PARALLEL)]
    offers = [offer("A", 1000, 10), offer("B", 745, 7)]
    work = Work(per_cut=500_000)
    plan = planned(job(parts, offers, kerf="0", end_trim=10, safe_hold=120, work=work, share_mitres=True))
    # By hand four strokes: two for the mitres, one between, one behind the square part.
    assert plan.cost == plan.bound == 9_000_000


def test_the_working_step_leaves_the_checker_room_for_every_state() -> None:
    """Two mitres of a blade of 2.5 make steps of 0.05 mm, of which 12 m has 240,000, and 24 states."""
    parts = [
        part("A", 9, 1001, mitres=(45, 45)),
        part("B", 9, 1200, mitres=(30, 30)),
        part("C", 9, 1503, mitres=(45, 30)),
        part("D", 9, 700, mitres=(45, 0)),
    ]
    made = job(parts, [offer("A", 12000, 100)], kerf="2.5", end_trim=10, share_mitres=True)
    instance = instance_for(made)
    (view,) = instance.space.views_for_bounds()
    assert view.stated is not None
    states = len(view.stated.states.states)
    limits = Parameters()
    step = working_step(instance, limits.most_steps, limits.table_cells, limits.state_steps)
    assert instance.divisor < step
    assert mm(12000) // step * states <= MOST_STEPS


def test_a_bound_that_is_stated_is_one_that_the_checker_reaches() -> None:
    """Two angles and square parts, each of which meets its like alone.

    By hand: the parts take 5881 less 246 at seven shared cuts at least, so that three bars of 1200 hold too little.
    """
    parts = [
        part("F", 3, 412, mitres=(45, 45)),
        part("G", 3, 321, mitres=(45, 45)),
        part("H", 3, 338, mitres=(30, 30)),
        part("S", 4, 667),
    ]
    offers = [offer("A", 3000, 20), offer("B", 1200, 13)]
    plan = planned(job(parts, offers, kerf="2.5", end_trim=10, keep=300, share_mitres=True))
    assert (plan.status, plan.cost) == (Status.RECHECKED, 40_000_000)
