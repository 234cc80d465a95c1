"""Jobs of angles, channels and tees whose mitres may share cuts, held to trying every order and turn as solids."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from cutplan.model import Heel, Job, Lean, Part, Status, Work
from cutplan.reports.drawing import slants
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.brute_force import least_cost
from tests.builders import job, mm, offcut, offer, part_of
from tests.effort import seeds
from tests.sharing_jobs import enclosed, one_bar, planned, without_sharing
from tests.turned_solids import SECTIONS, in_some_form

ENDS = [(45, 45), (45, 45), (45, 0), (0, 45), (0, 0), (22.5, 45)]


def handed_job(seed: int, pieces: int, *, ends: int = 3) -> Job:
    """Up to so many pieces of one handed section, of either hand, heels on either side."""
    draw = random.Random(seed)
    name, depth = draw.choice(SECTIONS)
    some = draw.sample(ENDS, ends)
    parts: list[Part] = []
    left = draw.randint(2, pieces)
    while left:
        quantity = draw.randint(1, left)
        left -= quantity
        mitres = draw.choice(some)
        length: Any = draw.choice([draw.randint(200, 480), draw.randint(2300, 2600) / 10, "248.2"])
        lean = draw.choice([Lean.PARALLEL, *Lean]) if all(mitres) else Lean.OPPOSITE
        one = part_of(name, length, mitres=mitres, lean=lean, share_mitres=draw.random() < 0.9)
        parts.append(replace(in_some_form(one, depth, draw), mark=f"M{len(parts)}", quantity=quantity))
    settings: dict[str, Any] = {
        "kerf": draw.choice(["0", "2.5", "3"]),
        "end_trim": draw.choice([0, 10]),
        "safe_hold": draw.choice([0, 120]),
        "share_mitres": True,
        "work": Work(per_cut=draw.choice([0, 0, 500_000])),
    }
    section = parts[0].section
    second: Any = draw.choice([7, "7.5"])
    offers = [
        offer("A", draw.choice([1000, 1150]), 10, section=section),
        offer("B", draw.choice([700, 745]), second, section=section),
    ]
    return job(parts, offers, **settings)


@pytest.mark.parametrize("seed", seeds(600))
def test_a_plan_costs_what_trying_everything_costs(seed: int) -> None:
    """Every order, turn and roll, and every way to share the pieces out among bars."""
    made = handed_job(seed, 4)
    enclosed(planned(made), least_cost(made))


@pytest.mark.parametrize("seed", seeds(100))
def test_a_piece_with_a_slanted_end_is_used_as_is_best(seed: int) -> None:
    """Its long point on any side: only ends that lie so begin on it, and the others find it squared."""
    made, draw = handed_job(seed, 4), random.Random(seed)
    depth = next((one.depth for one in made.parts if one.mitred), 0)
    slant: dict[str, Any] = {"angle_a": 45 * DEGREE, "depth": depth, "side": draw.randrange(4)} if depth else {}
    piece = offcut("K", draw.randint(250, 800), 1, section=made.parts[0].section, **slant)
    made = replace(made, offcuts=(piece,))
    enclosed(planned(made), least_cost(made))


@pytest.mark.parametrize("seed", seeds(60))
def test_sharing_is_never_dearer(seed: int) -> None:
    made = handed_job(seed, 12)
    shared, apart = planned(made), planned(without_sharing(made))
    assert shared.bound <= apart.cost
    if shared.status is not Status.NOT_PROVEN:
        assert shared.cost <= apart.cost


def in_a_mirror(one: Part) -> Part:
    return replace(one, opposite_hand=not one.opposite_hand)


@pytest.mark.parametrize("seed", seeds(100))
def test_a_shared_cut_is_one_line_in_the_drawing(seed: int) -> None:
    made = handed_job(seed, 8)
    parts = {part.mark: part for part in made.parts}
    for bar in planned(made).bars:
        for cut, after in pairwise(bar.cuts):
            if cut.shared:
                assert slants(cut, parts[cut.mark])[1] == slants(after, parts[after.mark])[0] != ""


@pytest.mark.parametrize("seed", seeds(60))
def test_what_must_not_matter(seed: int) -> None:
    """A job seen in a mirror, and another order of its list, cost the same."""
    made = handed_job(seed, 9, ends=2)
    if made.parts[0].section.family is Family.UA:
        return  # of opposite hand it shares nothing
    first = planned(made)
    others = (
        replace(made, parts=tuple(in_a_mirror(one) for one in made.parts)),
        replace(made, parts=made.parts[::-1]),
    )
    for other in others:
        plan = planned(other)
        assert first.bound <= plan.cost
        assert plan.bound <= first.cost
        if Status.NOT_PROVEN not in (first.status, plan.status):
            assert plan.cost == first.cost


ANGLE = part_of("L 40x40x4", 300, mitres=(45, 45), heel=Heel.LONG_POINT)


@pytest.mark.parametrize("number", [1, 2, 4, 7])
@pytest.mark.parametrize("heel", [Heel.LONG_POINT, Heel.SHORT_POINT])
def test_braces_of_angle_lie_in_a_row(number: int, heel: Heel) -> None:
    """n parts of long point L and depth d take n (L - d) + d + (n - 1) kerf / cos 45, by hand."""
    braces = [replace(ANGLE, quantity=number, lean=Lean.PARALLEL, heel=heel)]
    needed = number * 260 + 40 + (number - 1) * 3.6
    assert one_bar(braces, round(needed, 1))
    assert number == 1 or not one_bar(braces, round(needed - 0.1, 1))


def test_parts_of_a_frame_of_angle_share_nothing() -> None:
    """All have their long points at the heel: seven take 7 x 300 and six kerfs of 3.6, by hand."""
    frame = [replace(ANGLE, quantity=7)]
    assert one_bar(frame, "2121.6")
    assert not one_bar(frame, "2121.5")


def test_a_frame_with_its_heel_outside_nests_in_one_with_its_heel_inside() -> None:
    """Two and two, turn about: 4 x 300 less three times 40, and three kerfs of 3.6, by hand."""
    both = [replace(ANGLE, quantity=2), replace(ANGLE, mark="B1", quantity=2, heel=Heel.SHORT_POINT)]
    assert one_bar(both, "1090.8")
    assert not one_bar(both, "1090.7")


@pytest.mark.parametrize(("depth", "nested"), [(100, True), (50, False)])
def test_a_frame_of_channel_nests_across_its_web_alone(depth: int, nested: bool) -> None:
    """Turned end for end and upside down it fills the same space: its long points are then at the other flange, yet
    at the same side of its web."""
    channel = part_of("UPN 100", 300, mitres=(45, 45), depth=mm(depth))
    needed = 2 * 300 + 3.6 - (depth if nested else 0)
    assert one_bar([replace(channel, quantity=2)], round(needed, 1))
    assert not one_bar([replace(channel, quantity=2)], round(needed - 0.1, 1))
