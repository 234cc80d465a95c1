"""The checker sees a part on a saw that does not take it, a bar cut on two saws, and a piece planned at both."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from cutplan.checking import check
from cutplan.model import Job, Plan, Saw, Workshop
from cutplan.planning import plan_job
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.builders import job, mm, offcut, offer, part

MITRE = Saw(name="mitre saw", kerf=mm(3), end_trim=mm(10), safe_hold=0, largest=mm(60), steepest=45 * DEGREE)
BAND = Saw(name="band saw", kerf=mm(1), end_trim=mm(5), safe_hold=0, families=(Family.SHS,), steepest=0)


def two_saws() -> tuple[Job, Plan]:
    """One offcut that either saw could use, and lengths of 3 m of which there are two."""
    parts = [
        part("A", 2, 1000, mitres=(45, 45), saw="mitre saw"),
        part("B", 2, 900, saw="band saw"),
        part("C", 1, 400, saw="band saw"),
    ]
    shop = Workshop(saw=MITRE, saws=(MITRE, BAND))
    wanted = job(parts, [offer("#1", 3000, 10, available=2)], [offcut("R1", 1100)], at=shop)
    return wanted, plan_job(wanted)


def test_a_sound_plan_of_two_saws_holds() -> None:
    wanted, plan = two_saws()
    assert check(wanted, plan) == ()
    kerfs = {cut.mark: cut.kerf for bar in plan.bars for cut in bar.cuts}
    assert kerfs["B"] == mm(1)
    assert kerfs["A"] > mm(3)
    assert [group.title.rpartition(", ")[2] for group in plan.groups] == ["on mitre saw", "on band saw"]


def thinner(wanted: Job) -> Job:
    return replace(wanted, workshop=wanted.workshop.with_saws([MITRE, replace(BAND, kerf=mm(2))]))


def smaller(wanted: Job) -> Job:
    return replace(wanted, workshop=wanted.workshop.with_saws([replace(MITRE, largest=mm(39)), BAND]))


def square_alone(wanted: Job) -> Job:
    return replace(wanted, workshop=wanted.workshop.with_saws([replace(MITRE, steepest=44 * DEGREE), BAND]))


def of_flats(wanted: Job) -> Job:
    return replace(wanted, workshop=wanted.workshop.with_saws([MITRE, replace(BAND, families=(Family.FLAT,))]))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (thinner, "its cut takes 1 mm, it should be 2 mm"),
        (smaller, "A: the saw mitre saw does not take it: SHS 40x40x3 is too large"),
        (square_alone, "A: the saw mitre saw does not take it: 45 degrees are too steep"),
        (of_flats, "B: the saw band saw does not take it: SHS is none of its families"),
    ],
)
def test_a_plan_for_another_saw_is_seen(changed: Callable[[Job], Job], said: str) -> None:
    wanted, plan = two_saws()
    assert any(said in text for text in check(changed(wanted), plan))


def test_a_piece_that_both_saws_use_is_seen() -> None:
    wanted, plan = two_saws()
    mine = next(n for n, group in enumerate(plan.groups) if any(bar.source == "R1" for bar in group.bars))
    racked = next(bar for bar in plan.groups[mine].bars if bar.source == "R1")
    other = plan.groups[1 - mine]
    bars = (replace(other.bars[0], source=racked.source, kind=racked.kind), *other.bars[1:])
    groups = list(plan.groups)
    groups[1 - mine] = replace(other, bars=bars)
    found = check(wanted, replace(plan, groups=tuple(groups)))
    assert "R1 is used 2 times on all saws together, there are 1" in found
    assert any("R1 is no offcut that serves this group" in text for text in found)


def test_a_bar_with_parts_of_two_saws_is_seen() -> None:
    wanted, plan = two_saws()
    mine, other = plan.groups
    foreign = other.bars[0].cuts[0]
    mixed = replace(mine.bars[0], cuts=(*mine.bars[0].cuts, foreign))
    found = check(wanted, replace(plan, groups=(replace(mine, bars=(mixed, *mine.bars[1:])), other)))
    assert any("is cut on band saw and on mitre saw, one bar is cut on one saw" in text for text in found)
