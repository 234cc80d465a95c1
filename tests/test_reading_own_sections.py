"""Own sections and materials from the workshop file into parts, bars and the plan file."""

from __future__ import annotations

from pathlib import Path

from cutplan import actions
from cutplan.model import Workshop
from cutplan.problems import Problem
from cutplan.sections import OwnSection
from tests.input_files import read_workshop

WORKSHOP = """
[[material]]
name = "Brass"
density = 8470
[[section]]
name = "Slotted rail 41"
height = "41 mm"
width = 41
thickness = 2.5
mass_per_m = 2.45
material = "brass"
[[section]]
name = "Sill"
height = 80
width = 40
thickness = 2
legs = [15, 40, 80, 40, 15]
[[section]]
name = "Cast nosing"
height = 30
width = 20
area = 412.5
surface_per_m = 0.1
"""


def shop_of(path: Path) -> tuple[Workshop, list[Problem]]:
    shop, problems = read_workshop(path)
    return shop.workshop, problems


def test_every_key_of_a_block(tmp_path: Path) -> None:
    path = tmp_path / "workshop.toml"
    path.write_text(WORKSHOP)
    shop, problems = shop_of(path)
    assert not problems
    assert shop.materials == (("brass", 8470),)
    rail, sill, nosing = shop.own_sections
    assert rail == OwnSection(
        name="Slotted rail 41",
        height=41_000_000,
        width=41_000_000,
        thickness=2_500_000,
        area_um2=2_450_000 * 1_000_000 // 8470,
        mass_per_metre=2_450_000,
        surface_mm2_per_metre=164_000,
        material="brass",
        basis="mass as stated, area from it and the density, surface of its outside dimensions",
    )
    assert (sill.basis, sill.mass_per_metre, sill.thickness) == ("drawn from its legs", 0, 2_000_000)
    assert (nosing.area_um2, nosing.surface_mm2_per_metre, nosing.basis) == (412_500_000, 100_000, "area as stated")


def test_a_plan_of_own_sections_and_materials_is_written_and_verified(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text(WORKSHOP)
    parts = tmp_path / "parts.csv"
    parts.write_text(
        "Quantity,Section,Length,Grade\n2,sill,1200,\n3,slotted RAIL 41,900,\n1,RD 20 brass,500,\n"
        "1,SHS 40x40x3,700,304L\n1,SHS 40x40x3,700,\n"
    )
    job = actions.read_job(parts, stock=["6 m"])
    sections = {part.section.designation: part.section for part in job.parts}
    assert list(sections) == ["Sill", "Slotted rail 41", "RD 20 brass", "SHS 40x40x3 stainless 304", "SHS 40x40x3"]
    assert sections["Slotted rail 41"].mass_per_metre == 2_450_000
    assert sections["SHS 40x40x3 stainless 304"].density == 7930
    answer = actions.plan(job)
    assert len(list(answer.bars)) == 5, "no two materials share a bar"
    written = actions.write_plan(job, answer, tmp_path / "out")
    assert written
    assert actions.verify(tmp_path / "out" / "plan.json") == ()
