"""What sets of handed parts take at least, held to trying every order and turn."""

from __future__ import annotations

import random
from itertools import pairwise, permutations, product

import pytest

from cutplan.solving.patterns.hand_states import MOST_LACKING, HandState, HandStates
from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.solving.patterns.shared_cuts import JointWeighing, stated
from cutplan.solving.patterns.vertices import SCARCER, ends_of
from tests.effort import seeds

JOINT: Joint = (45, 0, 40)
OTHER_PLANE: Joint = (45, 1, 40)


def kind(hand_a: int, hand_b: int, *, planes: tuple[Joint, Joint] = (JOINT, JOINT)) -> Kind:
    """A part with a mitre of either hand, or none where that is 0, at its ends."""
    return Kind(
        kerf_a=4 if hand_a else 3,
        kerf_b=4 if hand_b else 3,
        mitred_a=hand_a != 0,
        mitred_b=hand_b != 0,
        held=True,
        to_fit=False,
        joint_a=planes[0] if hand_a else (),
        joint_b=planes[1] if hand_b else (),
        may_turn=True,
        hand_a=hand_a,
        hand_b=hand_b,
    )


def least_between(parts: list[Kind]) -> int:
    """What lies between parts in the best of all orders and turns."""
    best = []
    for order in set(permutations(parts)):
        for turns in product((False, True), repeat=len(order)):
            laid = [ends_of(part)[::-1] if turned else ends_of(part) for part, turned in zip(order, turns, strict=True)]
            best.append(sum(one[1].gap(other[0]) for one, other in pairwise(laid)))
    return min(best)


FEW, MANY = SCARCER, -SCARCER
FORMS = [(FEW, FEW), (MANY, MANY), (FEW, MANY), (FEW, 0), (0, MANY), (0, 0)]


@pytest.mark.parametrize("seed", seeds(150))
def test_no_set_takes_less(seed: int) -> None:
    draw = random.Random(seed)
    planes = [JOINT] if seed % 3 else [JOINT, OTHER_PLANE]
    kinds = [kind(*form, planes=(draw.choice(planes), draw.choice(planes))) for form in FORMS]
    known = stated(kinds)
    assert isinstance(known.states, HandStates)
    weighing = JointWeighing(known)
    counts = [0] * len(kinds)
    for _ in range(draw.randint(1, 5)):
        counts[draw.randrange(len(kinds))] += 1
    parts = [each for each, n in zip(kinds, counts, strict=True) for _ in range(n)]
    state = known.start(counts)
    least = sum(weighing.kerf(part) for part in parts) + known.states.halves[state] / 2
    truth = least_between(parts)
    assert least <= truth
    square = all(not (part.mitred_a or part.mitred_b) for part in parts)
    mitred = all(part.mitred_a and part.mitred_b for part in parts)
    if len(planes) == 1 and (square or mitred):
        # What square ends beside mitres lose is less than a kerf, and is left aside.
        assert least > truth - 1
    elif len(planes) == 1:
        assert least > truth - len(parts) - 4


def test_ends_of_the_scarcer_hand_count_with_all_that_is_saved() -> None:
    few, many = kind(FEW, FEW), kind(MANY, MANY)
    weighing = JointWeighing(stated([few, many]))
    assert (weighing.kerf(few), weighing.kerf(many)) == (4 - 2 * 40, 4)


def test_an_order_in_which_less_is_known_says_no_more() -> None:
    states = stated([kind(*form) for form in FORMS]).states
    few, many = stated([kind(FEW, FEW), kind(MANY, MANY)]).edges
    known = HandStates(stated([kind(FEW, FEW), kind(MANY, MANY)]).states.vertices, (few, many))
    in_order = known.after(known.after(0, few, 1), many, 2)
    unknown = known.after(known.after(0, many, 2), few, 1)
    assert known.halves[unknown] == min(known.halves) <= known.halves[in_order]
    assert states.states[0] == HandState()
    assert known.turn(few) < 0 < known.turn(many)


def test_no_more_lacking_ends_are_told_apart_than_are_counted() -> None:
    known = stated([kind(FEW, FEW), kind(MANY, MANY)])
    few = known.edges[0]
    assert known.states.after(0, few, MOST_LACKING // 2) == known.states.after(0, few, MOST_LACKING)
    assert known.states.after(0, few, MOST_LACKING // 2 - 1) != known.states.after(0, few, MOST_LACKING)
