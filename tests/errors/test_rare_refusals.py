"""Refusals that are seldom met: each with the code it has, and what is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.planning import scenarios
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.reading.workshop.own_sections import own_section
from cutplan.sections import Notation
from cutplan.units import MM
from tests import builders
from tests.input_files import PARTS, PRICES, job_of

GRADED = ((*PARTS[0], "Grade"), ("A1", 2, "aluminium SHS 40x40x3", 1200, "304"))
TAXED = ((*PRICES[0],), ("Yard", "SHS 40x40x3", 6000, "30 + VAT", "each"))
INCLUDED = "[tax]\nprices_include_tax = true\n"


def problems(folder: Path, *args: object, **settings: object) -> tuple[Problem, ...]:
    with pytest.raises(ProblemsFound) as refused:
        job_of(folder, *args, **settings)  # type: ignore[arg-type]
    return refused.value.problems


def test_a_grade_of_another_material_than_the_name_says(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, GRADED)
    assert (problem.code, problem.found) == ("grade.named", "304")
    assert problem.accepted == "a grade of aluminium, which the section's name says, or a blank cell"


def test_a_stock_length_no_longer_than_what_it_may_come_short(tmp_path: Path) -> None:
    shop = '[minus_tolerance]\nSHS = "60 mm"\n'
    found = problems(tmp_path, prices=None, stock=("50 mm",), workshop=shop)
    (problem,) = (each for each in found if each.code == "stock.short")
    assert problem.found == "50 mm, no more than the minus tolerance of SHS"


def test_a_price_without_tax_where_the_rate_is_not_known(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, prices=TAXED, workshop=INCLUDED)
    assert problem.code == "price.tax"
    assert problem.accepted == "a price with tax, as the others, or the rate as tax.percent in the workshop file"


def test_a_kerf_that_the_end_trim_cannot_include() -> None:
    job = builders.job([builders.part("A", 1, 900)], [builders.offer("P", 3000, 9)], kerf="2.5", end_trim=10)
    assert scenarios.other_kerf(job, 10 * MM).job.workshop.saw.kerf == 10 * MM
    with pytest.raises(Refused) as refused:
        scenarios.other_kerf(job, 10 * MM + 1)
    assert refused.value.code == "kerf.trim"
    assert refused.value.accepted == "a kerf of at most 10 mm, the end trim that includes it"


def test_a_section_of_the_workshop_by_another_spelling_of_its_name() -> None:
    values = {"name": "Slotted rail 41", "height": 41 * MM, "width": 41 * MM, "mass_per_m": 2_550_000}
    first = own_section(values, (), Notation())
    with pytest.raises(Refused) as refused:
        own_section({**values, "name": "SLOTTED  rail 41"}, (first,), Notation())
    assert (refused.value.code, refused.value.accepted) == ("own_section.twice", "each section in one block")
