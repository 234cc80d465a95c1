"""A plan that the checker confirms comes out of lists in every unit and step that is read, whatever its divisor is.

The checker derives bars and bounds in its own way, so that it is the second opinion here.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.checking import check
from cutplan.checking.margins import MOST_STEPS
from cutplan.model import Job, Part, Status
from cutplan.planning import plan_job
from cutplan.solving import Parameters
from cutplan.solving.pricing import working_step
from cutplan.units import INCH, MM
from tests import builders
from tests.effort import some
from tests.solver_instances import FEW, instance_for

STEPS = {
    "0.001 mm": (MM // 1000,),
    "0.001 in": (INCH // 1000,),
    "1/64 in": (INCH // 64,),
    "a nanometre": (1,),
    "mixed": (MM // 1000, INCH // 1000, INCH // 64, MM),
}


def fine_job(draw: random.Random, steps: tuple[int, ...]) -> Job:
    longest = draw.choice([6000, 7500, 12_192, 24_000]) * MM
    shortest = draw.choice([1, 10, 300]) * MM

    def fine(number: int) -> Part:
        step = draw.choice(steps)
        length = draw.randint(shortest // step + 1, longest // 2 // step) * step
        mitres = draw.choice([(0, 0), (0, 0), (45, 0), (45, 45)]) if length > 200 * MM else (0, 0)
        return replace(builders.part(f"M{number}", draw.choice([1, 1, 2, 3, 40]), 1000, mitres=mitres), length=length)

    parts = [fine(number) for number in range(draw.choice([1, 1, 2, 3, 8]))]
    lengths = draw.sample([longest, longest + draw.choice(steps), longest * 2 // 3], draw.choice([1, 1, 1, 2]))
    offers = [
        replace(builders.offer(f"P{number}", 1000, draw.randint(20, 90)), length=length, counted=length)
        for number, length in enumerate(lengths)
    ]
    offcuts = [
        replace(builders.offcut("K", 1000, 5, ends="mill sawn"), length=draw.randint(300 * MM, longest // 2))
        for _ in range(draw.randint(0, 1))
    ]
    return builders.job(
        parts, offers, offcuts,
        kerf=draw.choice(["2.5", "3.175", "0.001", 0]), end_trim=draw.choice([0, 10]), safe_hold=draw.choice([0, 120]),
    )  # fmt: skip


@pytest.mark.parametrize("unit", STEPS)
@pytest.mark.parametrize("seed", some(range(8), 0))
def test_every_list_has_a_plan_that_holds(unit: str, seed: int) -> None:
    fine = fine_job(random.Random(f"{unit} {seed}"), STEPS[unit])
    plan = plan_job(fine, parameters=FEW)
    assert check(fine, plan) == ()
    assert 0 < plan.bound <= plan.cost


@given(st.integers(1, 10**11), st.lists(st.tuples(st.integers(1, 10**11), st.integers(1, 100_000)), min_size=1))
def test_a_bar_never_has_more_steps_than_are_worked_through(length: int, wanted: list[tuple[int, int]]) -> None:
    """The solver chooses the step of a proof, the checker limits how many steps a bar may have."""
    parts = [replace(builders.part(f"P{n}", q, 1), length=part) for n, (part, q) in enumerate(wanted)]
    offers = [replace(builders.offer("A", 1, 10), length=length, counted=length)]
    instance = instance_for(builders.job(parts, offers))
    usual = Parameters()
    assert length // working_step(instance, usual.most_steps, usual.table_cells, usual.state_steps) <= MOST_STEPS


def test_parts_shorter_than_the_working_step_are_counted_as_nothing_in_the_bound() -> None:
    # 100 m in micrometres are more steps than are worked through, and so is the step of the shortest part.
    parts = [replace(builders.part("A", 5, 1), length=MM // 1000), builders.part("B", 3, "60000.001")]
    tiny = builders.job(parts, [builders.offer("P", 100_000, 10)])
    plan = plan_job(tiny, parameters=FEW)
    assert check(tiny, plan) == ()
    assert plan.status is Status.RECHECKED
    assert plan.groups[0].proof.step > MM // 1000
