"""Every sum can be followed by hand: each step has one value, and a formula uses only what steps have named."""

from __future__ import annotations

import re

import pytest

from cutplan.calculators import Answer, brace, frame, gate, spacing
from cutplan.units import MM

SUMS = [
    brace(1000 * MM, 800 * MM, 40 * MM, "sides", "mm"),
    frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="mitred", unit="mm"),
    frame(1000 * MM, 600 * MM, 40 * MM, measured="inside", joint="width through", unit="mm"),
    gate(1000 * MM, 900 * MM, 40 * MM, hinge=10 * MM, latch=8 * MM, below=50 * MM, leaves=1, joint="mitred", unit="mm"),
    spacing(1000 * MM, 20 * MM, 3, piece=None, unit="mm"),
]


@pytest.mark.parametrize("answer", SUMS)
def test_each_step_has_one_value_and_each_symbol_a_step(answer: Answer) -> None:
    named = {step.name.split(",")[0] for step in answer.steps}
    named |= {symbol for step in answer.steps for symbol in re.findall(r"(\w) = \d", step.name)}
    for step in answer.steps:
        assert (step.length is None) != (step.angle is None), step
        used = set(re.findall("[A-Za-z]+", step.formula)) - {"sqrt", "arctan", "i"}  # part i, counted from 1
        assert used <= named, step
