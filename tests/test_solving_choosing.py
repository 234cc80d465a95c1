"""Which pattern space a group gets."""

from __future__ import annotations

import pytest

from cutplan.solving.patterns.counts import Counts
from cutplan.solving.patterns.sequences import Sequences
from tests import builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize(("mitres", "space"), [((0, 0), Counts), ((45, 45), Sequences), ((0, 30), Sequences)])
def test_one_mitre_makes_order_count(mitres: tuple[float, float], space: type) -> None:
    parts = [builders.part("A", 2, 400), builders.part("B", 2, 300, mitres=mitres)]
    assert isinstance(instance_for(builders.job(parts, [builders.offer("P", 1000, 8)])).space, space)
