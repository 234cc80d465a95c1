"""Sections looked up and listed for one workshop."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.units import INCH, MM


def test_section_to_its_usual_standard_and_to_another() -> None:
    usual = actions.section("SHS 40x40x3")
    assert (usual.designation, usual.standard) == ("SHS 40x40x3", "EN 10219-2")
    assert actions.section("40 x 40 x 3.0 SHS", standard="EN 10210-2").mass_per_metre > usual.mass_per_metre
    with pytest.raises(ProblemsFound):
        actions.section("40x40x3")


def test_the_workshop_file_of_the_folder_says_standards_and_gauge(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "workshop-au.toml").write_text('[standards]\nSHS = "AS/NZS 1163"\n[defaults]\ngauge = "SWG"\n')
    (tmp_path / "jobs").mkdir()
    monkeypatch.chdir(tmp_path / "jobs")
    name, shop = actions.section_workshop()
    assert name == "workshop-au.toml"
    assert actions.section("SHS 40x40x4", workshop=shop).standard == "AS/NZS 1163"
    assert actions.section("25x25x16 ga SHS", workshop=shop).thickness == 1_625_600


def test_no_workshop_file_is_the_defaults(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    name, shop = actions.section_workshop()
    assert (name, shop.standard(actions.section("SHS 40x40x3").family)) == ("", "EN 10219-2")


def test_sizes_up_to_an_outside_dimension() -> None:
    found = actions.section_sizes("SHS", up_to="30")
    assert [section.designation for section in found[:2]] == ["SHS 20x20x2", "SHS 25x25x2"]
    assert max(section.height for section in found) == 30 * MM
    inches = actions.section_sizes("HSS", up_to="2 in")
    assert {section.standard for section in inches} == {"ASTM A500"}
    assert max(section.height for section in inches) <= 2 * INCH


@pytest.mark.parametrize(
    ("words", "where", "accepted"),
    [
        (
            {"family": "SSH"},
            "--family",
            "one of SHS, RHS, CHS, PIPE, EA, ",
        ),
        ({"family": "SHS", "up_to": "1,200"}, "--up-to", "millimetres"),
        ({"family": "SHS", "standard": "EN 1"}, "--standard", "a standard for square hollow section: EN 10219-2, "),
    ],
)
def test_sizes_refused(words: dict[str, Any], where: str, accepted: str) -> None:
    with pytest.raises(ProblemsFound) as refusal:
        actions.section_sizes(**words)
    (problem,) = refusal.value.problems
    assert problem.where == where
    assert problem.accepted.startswith(accepted)


def test_every_number_of_a_section_has_a_source() -> None:
    details = actions.section_details(actions.section("SHS 40x40x3"))
    assert [(detail.what, detail.value) for detail in details[:5]] == [
        *(("height", "40 mm"), ("width", "40 mm"), ("wall", "3 mm")),
        *(("outside corner", "6 mm"), ("inside corner", "3 mm")),
    ]
    assert all(detail.source for detail in details)
