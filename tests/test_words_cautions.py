"""What is said where work can hurt."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Merchant
from cutplan.planning import plan_job
from cutplan.words import cautions
from tests import builders
from tests.hand_plans import hand_plan, turned


def cautions_of(job_settings: dict[str, Any], part_settings: dict[str, Any], length: float = 6000) -> str:
    job = builders.job(
        [builders.part("A", 1, 100, **part_settings)],
        [builders.offer("P1", length, 30, **part_settings)],
        **job_settings,
    )
    return "\n".join(cautions.cautions(job, hand_plan(job, ("P1", ["A"]))))


def test_the_general_set_is_always_there() -> None:
    text = cautions_of({}, {})
    assert text == "\n".join(cautions.GENERAL_CAUTIONS)
    for word in ("Clamp", "overhang", "rated", "guards", "does not check strength", "HSE", "OSHA", "road authority"):
        assert word in text


@pytest.mark.parametrize(
    ("job_settings", "part_settings", "length", "word"),
    [
        ({}, {}, 9000, "Heavy: bar 1 above 25 kg, the heaviest 27.0 kg"),
        ({"safe_hold": 120}, {}, 6000, "Shorter than the shortest safe hold of 120 mm: part A."),
        ({}, {"finish": "galvanised"}, 6000, "Zinc"),
    ],
)
def test_cautions_are_triggered(
    job_settings: dict[str, Any], part_settings: dict[str, Any], length: float, word: str
) -> None:
    assert word in cautions_of(job_settings, part_settings, length)
    assert word.split(":")[0] not in cautions_of({}, {})


def test_what_is_carried_with_a_flag_is_for_the_law() -> None:
    def told(**merchant: Any) -> str:
        made = builders.job(
            [builders.part("A", 1, 2900)],
            [builders.offer("P1", 7000, 30)],
            longest_carry=3000,
            merchants=[Merchant(name="Yard", **merchant)],
        )
        at = replace(made.workshop, longest_flagged=builders.mm(4000))
        made = replace(made, workshop=at)
        return "\n".join(cautions.cautions(made, plan_job(made)))

    assert "To be carried with a flag: what is longer than 3000 mm, up to 4000 mm." in told(cuts_to_carry=True)
    assert "flag" not in told(delivers=True)


def test_an_offcut_of_unknown_grade_is_named() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 900)])
    assert "Grade unknown: offcut R7, to be cut into parts whose grade is not specified: A." in "\n".join(
        cautions.cautions(job, hand_plan(job, ("R7", ["A"])))
    )
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 900, grade="S235")])
    assert "Grade unknown" not in "\n".join(cautions.cautions(job, hand_plan(job, ("R7", ["A"]))))


def test_a_turned_bar_is_named() -> None:
    job = builders.job([builders.part("A", 2, 700)], [builders.offer("P1", 6000, 30)])
    plan = turned(hand_plan(job, ("P1", ["A", "A"])), 1)
    assert "TURN THE BAR: on bar 1 " in "\n".join(cautions.cautions(job, plan))
