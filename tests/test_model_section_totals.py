"""What the bars of a section come to, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.model import Allowance, Goal
from cutplan.model.ends import Purpose
from cutplan.model.section_totals import SectionTotal, finished_mass
from cutplan.model.totals import Totals, totals_of
from cutplan.planning import plan_job
from cutplan.units import KG
from tests import nested_row
from tests.builders import job, mm, offer, part
from tests.first_fit import first_fit_plan
from tests.frame_totals import euros, frame, planned


def test_a_section() -> None:
    """R1: 500 + cut 2.5, 17.5 scrap. Bar: 500 + 400, 95 scrap. Bar: 400 + 300, 295 kept."""
    (total,) = planned(frame()).sections
    assert (total.bars_bought, total.bought_length, total.bought_mass) == (2, mm(2000), 6 * KG)
    assert (total.offcuts_used, total.offcuts_used_length, total.offcuts_used_value) == (1, mm(520), euros("2"))
    assert (total.pieces, total.part_length, total.part_mass) == (5, mm(2100), 6_300_000)
    assert (total.offcuts_kept, total.kept_length) == (1, mm(295))
    assert total.scrap_length == mm("112.5")
    assert total.kerf_and_trim_length == mm("12.5")
    assert total.money == euros("20.02")
    assert total.material_used == Fraction(2100, 2520)


def test_lengths_and_masses_split_without_rest() -> None:
    totals: tuple[Totals | SectionTotal, ...] = (planned(frame()), *planned(frame()).sections)
    for total in totals:
        used = total.part_length + total.kept_length + total.scrap_length + total.kerf_and_trim_length
        weight = total.part_mass + total.kept_mass + total.scrap_mass + total.kerf_and_trim_mass
        assert (used, weight) == (total.drawn_length, total.drawn_mass)
        assert total.drawn_length == mm(2520)


def test_a_mitred_piece_weighs_its_mean_length() -> None:
    """Long point 500, short point 420: 460 mm at 3 kg per metre."""
    assert finished_mass(part("P", 1, 500, mitres=(45, 45))) == 1_380_000


@pytest.mark.parametrize(
    ("purpose", "mass"),
    [
        # 500 mm at 3 kg per metre, 2 mm of which come off again.
        (Purpose.GRINDING, 1_494_000),
        (Purpose.SQUARING, 1_494_000),
        (Purpose.COPE, 1_494_000),
        (Purpose.FIT, 1_494_000),
        # A weld draws the part together by 2 mm; what it weighs stays.
        (Purpose.SHRINKAGE, 1_500_000),
    ],
)
def test_what_is_taken_off_again_is_no_part_of_a_finished_piece(purpose: Purpose, mass: int) -> None:
    assert finished_mass(part("P", 1, 500, allowances=(Allowance(purpose=purpose, length=mm(2)),))) == mass


def test_the_goal_decides_about_money() -> None:
    """A group marked as planned by mass has no money, whatever its prices."""
    tiny = frame()
    plan = first_fit_plan(tiny)
    by_mass = replace(plan, groups=(replace(plan.groups[0], goal=Goal.MASS),))
    assert totals_of(tiny, by_mass).sections[0].money is None
    assert totals_of(tiny, by_mass).money.to_pay == 0


def test_spares_that_are_cut_count_as_parts() -> None:
    tiny = job([part("P", 1, 300, spares=2, assembly="gate")], [offer("A", 1000, 10)], keep=500)
    plan = plan_job(tiny)
    totals = totals_of(tiny, plan)
    assert (totals.pieces, totals.part_length, totals.scrap_length) == (3, mm(900), mm(100))
    (gate,) = totals.assemblies
    assert (gate.pieces, gate.part_length, gate.money) == (3, mm(900), euros("10"))


def test_what_shared_mitres_save() -> None:
    """Four parts of 300 in 1200 mm for 10: three cuts shared, 40 mm each, at 1/120 a mm; length splits without rest."""
    made = nested_row.frame()
    totals = totals_of(made, nested_row.planned(made, nested_row.row()))
    assert (totals.cuts, totals.cuts_shared, totals.nested_length) == (5, 3, mm(120))
    assert totals.nested_value == 1_000_000
    assert totals.part_length == mm(1200)
    assert totals.material_used == Fraction(1080, 1200)
    # Trimmed 10, four kerfs of 3.6.
    assert totals.kerf_and_trim_length == mm("24.4")
    drawn = totals.part_length - totals.nested_length + totals.kept_length + totals.scrap_length
    assert drawn + totals.kerf_and_trim_length == totals.drawn_length
