"""Tables and keys of the workshop file: each wrong or unknown one is told at its place, the others are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.model import Merchant, Saw
from cutplan.units import CURRENCY, INCH, MM
from tests.input_files import workshop_of


@pytest.mark.parametrize("value", ["[1]", "{ a = 1 }", "2031-03-11", "inf", "nan", "true", "-1", '""', '"x"', "1e9"])
@pytest.mark.parametrize(
    "key", ["saw.kerf", "saw.clamp", "saw.square_reads", "tax.percent", "workshop.unit", "keep.SHS", "carry.longest"]
)
def test_any_wrong_value_is_one_problem_at_its_key(key: str, value: str, tmp_path: Path) -> None:
    table, name = key.split(".")
    _, problems = workshop_of(tmp_path, f"[{table}]\n{name} = {value}\n")
    assert [problem.where for problem in problems] == [f'workshop.toml, key "{key}"']


def test_a_wrong_key_keeps_its_default_and_the_others_are_read(tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, "[saw]\nkerf = true\nsafe_hold = 90\n")
    assert len(problems) == 1
    assert shop.workshop.saw == Saw(safe_hold=90 * MM)


def test_of_a_merchant_with_a_wrong_term_the_others_are_kept(tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, '[[merchant]]\nname = "Yard"\ndelivers = 1\ndelivery = 20\n')
    assert [problem.where for problem in problems] == ['workshop.toml, merchant 1, key "delivers"']
    assert shop.workshop.merchants == (Merchant(name="Yard", delivery=20 * CURRENCY),)


@pytest.mark.parametrize("other", ["colour = 1", 'density = "x"'])
def test_a_material_with_a_wrong_key_is_left_out(other: str, tmp_path: Path) -> None:
    blocks = f'[[material]]\nname = "brass"\n{other}\n[[material]]\nname = "titanium"\ndensity = 4510\n'
    shop, problems = workshop_of(tmp_path, blocks)
    assert [problem.where for problem in problems] == [f'workshop.toml, material 1, key "{other.split()[0]}"']
    assert shop.workshop.materials == (("titanium", 4510),)


def test_bare_lengths_are_in_the_unit_of_the_workshop_wherever_it_stands(tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, '[saw]\nsafe_hold = 6\n[workshop]\nunit = "in"\n')
    assert (problems, shop.workshop.saw.safe_hold) == ([], 6 * INCH)
