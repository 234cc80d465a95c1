"""How a part may lie in a bar: held to pictures of sections, and which neighbours one cut parts."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from cutplan.model import Heel, Lean, Part, Saw
from cutplan.model.placing import (
    AS_LISTED,
    BELOW,
    LEFT,
    RIGHT,
    TOP,
    PlacedEnd,
    Way,
    meet,
    placed_ends,
    saved_at,
    shares_cuts,
    slants_of,
    ways_of,
)
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.builders import mm, part_of
from tests.turned_solids import SECTIONS, lie_together, lying_in_every_way

SHARING = Saw(share_mitres=True)

PICTURES = {
    "SHS 40x40x3": ("###", "# #", "###"),
    "RHS 60x40x3": ("#####", "#   #", "#####"),
    "flat 40x5": ("#####", "#####"),
    "L 40x40x4": ("###", "  #", "  #"),
    "L 60x40x5": ("####", "   #", "   #"),
    "UPN 100": ("###", "  #", "  #", "  #", "###"),
    "IPE 100": ("###", " # ", " # ", " # ", "###"),
    "T from IPE 100": ("#####", "  #  ", "  #  "),
}
"""Sections as seen from end A, as the manual numbers their faces."""

Picture = tuple[str, ...]


def mirrored(picture: Picture) -> Picture:
    return tuple(row[::-1] for row in picture)


def quarter_turned(picture: Picture) -> Picture:
    """Clockwise."""
    return tuple("".join(column) for column in zip(*picture[::-1], strict=True))


def lain(picture: Picture, way: Way) -> Picture:
    if way.turned:
        picture = mirrored(picture)
    for _ in range(way.rolled):
        picture = quarter_turned(picture)
    return picture


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("opposite_hand", [False, True])
def test_the_ways_are_those_in_which_the_section_fills_the_same_space(name: str, opposite_hand: bool) -> None:
    drawn = PICTURES[name]
    part = part_of(name, mitres=(45, 45), opposite_hand=opposite_hand)
    # A part of opposite hand is the mirror image of the one drawn.
    own = mirrored(drawn) if opposite_hand else drawn
    every = [Way(turned, rolled) for turned, rolled in product((False, True), range(4))]
    fitting = {way for way in every if lain(own, way) == drawn}
    if AS_LISTED in fitting or len(fitting) > 1:
        assert set(ways_of(part)) == fitting
    else:
        assert (part.section.family, opposite_hand) == (Family.UA, True)
        assert ways_of(part) == (AS_LISTED,)
        assert not shares_cuts(part, SHARING)


@pytest.mark.parametrize("name", ["CHS 48.3x3.2", "round 20", "square 20"])
def test_round_and_square_parts_lie_in_every_way(name: str) -> None:
    assert len(ways_of(part_of(name, mitres=(45, 0)))) == 8


def test_a_hexagon_is_rolled_by_halves() -> None:
    assert set(ways_of(part_of("HEX 20", mitres=(45, 0)))) == set(product((False, True), (0, 2)))


@pytest.mark.parametrize("part", [part_of("SHS 40x40x3"), part_of("SHS 40x40x3", mitres=(45, 45), share_mitres=False)])
def test_a_part_that_shares_no_cut_lies_as_it_is_listed(part: Part) -> None:
    assert ways_of(part) == (AS_LISTED,)


@pytest.mark.parametrize(
    ("why", "part", "sides"),
    [
        (
            "a frame: both long points on one side",
            part_of("RHS 60x40x3", mitres=(45, 45), depth=mm(60)),
            (RIGHT, RIGHT),
        ),
        ("across the narrow side", part_of("RHS 60x40x3", mitres=(45, 45), depth=mm(40)), (BELOW, BELOW)),
        (
            "a brace: on opposite sides",
            part_of("SHS 40x40x3", mitres=(45, 45), lean=Lean.PARALLEL),
            (RIGHT, LEFT),
        ),
        ("a mitre at end B alone is the first", part_of("SHS 40x40x3", mitres=(0, 45)), (0, RIGHT)),
        ("at the heel", part_of("L 40x40x4", mitres=(45, 45), heel=Heel.LONG_POINT), (RIGHT, RIGHT)),
        ("at the toe", part_of("L 40x40x4", mitres=(45, 45), heel=Heel.SHORT_POINT), (LEFT, LEFT)),
        (
            "at the heel of the hanging leg",
            part_of("L 60x40x5", mitres=(45, 45), depth=mm(40), heel=Heel.LONG_POINT),
            (TOP, TOP),
        ),
        (
            "at the toe of the hanging leg",
            part_of("L 60x40x5", mitres=(0, 45), depth=mm(40), heel=Heel.SHORT_POINT),
            (0, BELOW),
        ),
    ],
)
def test_where_the_long_points_lie(why: str, part: Part, sides: tuple[int, int]) -> None:
    ends = placed_ends(part, AS_LISTED)
    assert tuple(end.side for end in ends) == sides, why
    assert tuple(end.angle for end in ends) == (part.end_a.angle, part.end_b.angle)


ONE_END = part_of("RHS 60x40x3", mitres=(45, 0), depth=mm(60))


@pytest.mark.parametrize(
    ("way", "ends"),
    [
        (Way(False, 0), (PlacedEnd(45 * DEGREE, RIGHT), PlacedEnd(0, 0))),
        (Way(False, 2), (PlacedEnd(45 * DEGREE, LEFT), PlacedEnd(0, 0))),
        (Way(True, 0), (PlacedEnd(0, 0), PlacedEnd(45 * DEGREE, LEFT))),
        (Way(True, 2), (PlacedEnd(0, 0), PlacedEnd(45 * DEGREE, RIGHT))),
    ],
)
def test_turned_and_rolled(way: Way, ends: tuple[PlacedEnd, PlacedEnd]) -> None:
    assert placed_ends(ONE_END, way) == ends


def test_an_equal_angle_turned_end_for_end_is_mitred_across_its_other_leg() -> None:
    part = part_of("L 40x40x4", mitres=(45, 0), heel=Heel.LONG_POINT)
    assert placed_ends(part, Way(True, 1)) == (PlacedEnd(0, 0), PlacedEnd(45 * DEGREE, TOP))
    opposite = replace(part, opposite_hand=True)
    assert ways_of(opposite) == (Way(True, 0), Way(False, 1))
    assert placed_ends(opposite, Way(False, 1)) == (PlacedEnd(45 * DEGREE, TOP), PlacedEnd(0, 0))


@pytest.mark.parametrize(
    ("far", "near", "one_cut"),
    [
        ((45, RIGHT), (45, LEFT), True),
        ((45, TOP), (45, BELOW), True),
        ((45, RIGHT), (45, RIGHT), False),
        ((45, RIGHT), (45, TOP), False),
        ((45, RIGHT), ("44.9", LEFT), False),
        ((0, 0), (0, 0), False),
        ((0, 0), (45, LEFT), False),
    ],
)
def test_which_ends_one_cut_parts(far: tuple[float, int], near: tuple[float, int], one_cut: bool) -> None:
    one, other = (PlacedEnd(round(float(angle) * DEGREE), side) for angle, side in (far, near))
    assert meet(one, other) is one_cut


@pytest.mark.parametrize("name", ["SHS 40x40x3", "RHS 60x40x3", "flat 40x5", "CHS 48.3x3.2", "IPE 100", "HEX 20"])
def test_any_two_ends_of_a_class_can_be_brought_together(name: str) -> None:
    part = part_of(name, mitres=(45, 45))
    for before, way in product(ways_of(part), (False, True)):
        far = placed_ends(part, before)[1]
        lying = [each for each in ways_of(part) if each.turned is way and meet(far, placed_ends(part, each)[0])]
        assert lying, "either end of the next part comes against it"


def test_who_shares_a_cut() -> None:
    frame = part_of("SHS 40x40x3", mitres=(45, 45))
    assert shares_cuts(frame, SHARING)
    assert not shares_cuts(frame, Saw(share_mitres=False))
    assert not shares_cuts(replace(frame, share_mitres=False), SHARING)
    assert not shares_cuts(part_of("SHS 40x40x3"), SHARING)
    assert shares_cuts(part_of("L 60x40x5", mitres=(45, 45), heel=Heel.LONG_POINT), SHARING)
    own = replace(frame, section=replace(frame.section, family=Family.OWN))
    assert ways_of(own) == (AS_LISTED,)
    assert not shares_cuts(own, SHARING)
    assert saved_at(frame, 45 * DEGREE) == mm(40)


def handed_parts(name: str, depth: int) -> list[Part]:
    """A part in every form that its line may give it."""
    heels = [Heel.LONG_POINT, Heel.SHORT_POINT] if name.startswith("L") else [Heel.NOT_ASKED]
    return [
        part_of(name, mitres=mitres, depth=mm(depth), lean=lean, heel=heel, opposite_hand=hand)
        for mitres, lean, heel, hand in product([(45, 45), (45, 0), (0, 45)], Lean, heels, (False, True))
        if (all(mitres) or lean is Lean.OPPOSITE) and not (hand and name == "L 60x40x5")
    ]


@pytest.mark.parametrize(("name", "depth"), SECTIONS)
def test_handed_parts_lie_as_solids_do(name: str, depth: int) -> None:
    """Turned about as drawn by their faces: where they fill the same space, and which ends then lie together."""
    parts = handed_parts(name, depth)
    for part in parts:
        assert {Way(turned, rolled) for turned, rolled, _ in lying_in_every_way(part)} == set(ways_of(part))
    together = {(i, j): lying_together(one, other) for (i, one), (j, other) in product(enumerate(parts), repeat=2)}
    assert any(together.values())
    for (i, j), found in together.items():
        for end, other_end in product((0, 1), repeat=2):
            a, b = slants_of(parts[i])[end], slants_of(parts[j])[other_end]
            said = a is not None and b is not None and a[:2] == b[:2] and a.hand == -b.hand
            assert said is ((end, other_end) in found or (other_end, end) in together[j, i])


def lying_together(one: Part, other: Part) -> set[tuple[int, int]]:
    """The ends (0 and 1) at which one part may be met by another that comes after it; sides are held to that too."""
    found = set()
    for (turned, rolled, before), (turned_too, rolled_too, after) in product(
        lying_in_every_way(one), lying_in_every_way(other)
    ):
        fit = lie_together(before.far, after.near)
        far, near = placed_ends(one, Way(turned, rolled))[1], placed_ends(other, Way(turned_too, rolled_too))[0]
        assert meet(far, near) is fit
        if fit:
            found.add((int(not turned), int(turned_too)))
    return found
