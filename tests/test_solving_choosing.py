"""Which pattern space a group gets."""

from __future__ import annotations

import pytest

from cutplan.solving.patterns.counts import Counts
from cutplan.solving.patterns.sequences import Sequences
from cutplan.solving.patterns.shared_cuts import SharedCuts
from tests import builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize(("mitres", "space"), [((0, 0), Counts), ((45, 45), Sequences), ((0, 30), Sequences)])
def test_one_mitre_makes_order_count(mitres: tuple[float, float], space: type) -> None:
    parts = [builders.part("A", 2, 400), builders.part("B", 2, 300, mitres=mitres)]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], share_mitres=False)
    assert isinstance(instance_for(job).space, space)


@pytest.mark.parametrize(
    ("mitres", "quantity", "share", "space"),
    [
        ((45, 0), 1, True, SharedCuts),
        ((45, 0), 2, True, SharedCuts),
        ((45, 45), 1, True, SharedCuts),
        ((45, 30), 1, True, Sequences),
        ((45, 45), 4, False, Sequences),
        ((0, 0), 4, True, Counts),
    ],
)
def test_ends_that_can_meet_or_be_turned_make_shared_cuts(
    mitres: tuple[float, float], quantity: int, share: bool, space: type
) -> None:
    parts = [builders.part("A", 2, 400), builders.part("B", quantity, 300, mitres=mitres)]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], share_mitres=share)
    assert isinstance(instance_for(job).space, space)


def test_sections_that_are_handed_share_nothing() -> None:
    angle = builders.part_of("L 50x50x5", mitres=(45, 45), quantity=4, depth=builders.mm(50))
    offer = builders.offer("P", 6000, 8, section=angle.section)
    assert isinstance(instance_for(builders.job([angle], [offer], share_mitres=True)).space, Sequences)
