"""Nonsense is refused, or warned about once, where it is typed; what can be meant is taken."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.reading import reason
from cutplan.units import KG, MM, Printing
from tests.builders import mm
from tests.input_files import job_of, refusal, workshop_of

HOW = Printing()
H = ("Mark", "Quantity", "Section", "Length")
SHS = "SHS 40x40x3"


@pytest.mark.parametrize(
    ("column", "typed", "length", "refused"),
    [
        ("Cut to fit", "3000", 140, True),
        ("Cut to fit", "139", 140, False),
        ("Cut to fit", "140", 140, True),
        ("Grinding", "5 m", 1200, True),
        ("Weld shrinkage", "2", 1200, False),
    ],
)
def test_allowances_are_less_than_their_part(
    column: str, typed: str, length: int, refused: bool, tmp_path: Path
) -> None:
    found = refusal(tmp_path, ((*H, column), ("A1", 1, SHS, length, typed)))
    assert bool(found) == refused
    assert not refused or f'column E "{column}": found' in found
    assert not refused or f"Accepted: allowances of less together than the part, {length} mm." in found


def test_an_allowance_of_the_whole_list_is_less_than_each_part(tmp_path: Path) -> None:
    rows = (("Grinding: 20 mm",), H, ("A1", 1, SHS, 15), ("A2", 1, SHS, 1500))
    found = refusal(tmp_path, rows)
    assert 'row 3, column D "Length": found 20 mm added' in found
    assert found.count("found") == 1


@pytest.mark.parametrize(("size", "refused"), [("0.1", True), ("0.49", True), ("0.5", False), ("13.5", False)])
def test_a_hole_can_be_drilled(size: str, refused: bool, tmp_path: Path) -> None:
    holes = (("Part", "Position", "Hole"), ("A1", 100, size))
    assert ("a hole of 0.5 mm or more" in refusal(tmp_path, holes=holes)) == refused
    cell = ((*H, "Holes"), ("A1", 1, SHS, 1200, f"{size}: 100"))
    assert ("a hole of 0.5 mm or more" in refusal(tmp_path, cell)) == refused


@pytest.mark.parametrize(
    ("mass", "refused"),
    # 0.1 x 0.05 m of steel weighs 39.25 kg a metre, and 5 % more is 41.2125.
    [("10000", True), ("41.3", True), ("41.2", False), ("8", False)],
)
def test_no_section_weighs_more_than_solid_material(mass: str, refused: bool, tmp_path: Path) -> None:
    text = f'[[section]]\nname = "Rail"\nheight = 100\nwidth = 50\nmass_per_m = {mass}\n'
    _, problems = workshop_of(tmp_path, text)
    assert bool(problems) == refused
    assert not refused or problems[0].accepted.startswith("at most 41.2125 kg a metre")


@pytest.mark.parametrize(("price", "per", "warned"), [("30000", "per m", True), ("31", "per m", False)])
def test_a_price_that_no_steel_has_is_warned_about_once(price: str, per: str, warned: bool, tmp_path: Path) -> None:
    heads = ("Merchant", "Section", "Length", "Price", "Per")
    job = job_of(tmp_path, prices=(heads, ("Yard", SHS, 6000, price, per), ("Yard", SHS, 7500, price, per)))
    told = [warning for warning in job.warnings if "a kg" in warning.accepted]
    assert len(told) == int(warned)
    if warned:
        assert told[0].found == "30000 per m, 180000.00 a length, and 1 more such prices"
    rupiah = '[workshop]\ncurrency = "IDR"'
    assert not job_of(tmp_path, prices=(heads, ("Yard", SHS, 6000, price, per)), workshop=rupiah).warnings


@pytest.mark.parametrize(
    ("heading", "typed", "kind", "told"),
    [
        ("Lean", "parallel", "other", "refused"),
        ("Holes", "9: 100", "other", "refused"),
        ("Weight each", "3", "assembly", "refused"),
        ("Grinding", "1", "other", "refused"),
        ("Grade", "8.8", "other", "warned"),
        ("Finish", "galvanised", "other", "warned"),
        ("Merchant", "Yard", "other", ""),
        ("Note", "stainless", "other", ""),
    ],
)
def test_words_in_columns_that_a_row_does_not_use(
    heading: str, typed: str, kind: str, told: str, tmp_path: Path
) -> None:
    rows = ((*H, "Assembly", heading), ("A1", 1, SHS, 900, "gate", ""), ("bolt", 4, kind, "", "gate", typed))
    found = refusal(tmp_path, rows)
    assert (f'"{heading}": found' in found) == (told == "refused")
    if told != "refused":
        warnings = [each for each in job_of(tmp_path, rows).warnings if "not read" in each.found]
        assert len(warnings) == (told == "warned")


def test_a_measured_wall_is_one_of_its_section() -> None:
    assert [bool(reason.wall_fault(mm(wall), mm(3))) for wall in ("1.4", "1.5", "2.8", "4.5", "4.6", "99")] == [
        True, False, False, False, True, True,
    ]  # fmt: skip


def test_a_bar_that_was_not_cut_is_still_long() -> None:
    assert reason.uncut_fault(12 * MM, 6000 * MM, HOW) == "at least 5400 mm of a bar that was not cut"
    assert reason.uncut_fault(5990 * MM, 6000 * MM, HOW) == ""


def test_a_corrected_length_is_that_of_the_same_piece() -> None:
    for after in (600, 1190, 2400):
        reason.check_correction(after * MM, 1200 * MM, HOW)
    for after in (12, 599, 2401, 29_000):
        with pytest.raises(Refused):
            reason.check_correction(after * MM, 1200 * MM, HOW)


def test_the_heaviest_metre_bounds_any_section() -> None:
    assert reason.mass_fault(2_001 * KG, 1000 * MM, 1000 * MM, 7850).startswith("at most 2000 kg a metre")


def test_a_piece_on_the_rack_is_put_right_within_reason(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text("")
    rack = actions.find_rack(workshop=tmp_path / "workshop.toml", who="Ines")
    (mark,) = actions.rack_add(rack, SHS, "1.2 m")

    def told(**state: str) -> list[Problem]:
        with pytest.raises(ProblemsFound) as found:
            actions.rack_correct(rack, mark, quantity=None, **state)
        return list(found.value.problems)

    (far,) = told(length="29 m")
    assert (far.where, far.accepted) == ("--length", "a length from 600 mm to 2400 mm, as the piece is 1200 mm")
    (thick,) = told(wall="99")
    assert (thick.where, thick.accepted) == ("--wall", "a wall of 1.5 to 4.5 mm, as this section may have")
    with pytest.raises(ProblemsFound, match="a wall of"):
        actions.rack_add(rack, SHS, "2 m", wall="99")
    _, after = actions.rack_correct(rack, mark, length="3 m", reason="typed in feet at first")
    assert after.state.length == 3000 * MM


def test_book_values_that_no_steel_has_are_warned_about_once(tmp_path: Path) -> None:
    rows = (("Mark", "Section", "Length", "Book value"), ("K1", SHS, 1000, 9000), ("K2", SHS, 2000, 9000))
    job = job_of(tmp_path, ((*H,), ("A1", 1, SHS, 900)), rack=(*rows, ("K3", SHS, 1000, 5)))
    (warning,) = (warning for warning in job.warnings if "Book value" in warning.where)
    assert warning.where == 'rack.csv, row 2, column D "Book value"'
    assert (warning.found, warning.accepted) == ("9000.00, and 1 more such values", "less than 100 EUR a kg")
    assert str(warning).count("?") == 1
    assert "?." not in str(warning)
