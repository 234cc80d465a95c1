"""What was assumed is said, and what was set is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.reading.workshop.workshop_keys import KEYS
from tests.input_files import job_of

ALL_SET = """
[workshop]
name = "A"
unit = "mm"
paper = "A4"
labels = "70 x 37 mm"
currency = "EUR"
[tax]
percent = 20
prices_include_tax = false
[saw]
kerf = 2.5
end_trim = 10
end_trim_includes_cut = true
mill_ends_accepted = false
safe_hold = 120
clamp = "bar side"
square_reads = 0
share_mitres = true
swings = "one way"
[minus_tolerance]
SHS = 0
[keep]
SHS = 300
[offcut_value_per_m]
SHS = 0
[carry]
longest = 0
heavy_kg = 25
[standards]
SHS = "EN 10219-2"
[defaults]
finish = "black"
mitre_length = "long point"
[steel]
density = 7850
[[merchant]]
name = "Yard"
"""
H = ("Mark", "Quantity", "Section", "Length", "Standard", "Grade", "Finish", "Cut A", "Length is")
FULL = ("A1", 2, "SHS 40x40x3", 1200, "EN 10219-2", "S235", "black", 45, "LP")
PRICES = (("Merchant", "Section", "Length", "Grade"), ("Yard", "SHS 40x40x3", 6000, "S235"))


def told(tmp_path: Path, row: tuple[object, ...], workshop: str) -> tuple[str, ...]:
    return job_of(tmp_path, (H, row), prices=PRICES, workshop=workshop).assumed


def test_nothing_is_assumed_when_everything_is_said(tmp_path: Path) -> None:
    assert told(tmp_path, FULL, ALL_SET) == ("Workshop file: workshop.toml.",)


def test_every_default_left_standing_is_told(tmp_path: Path) -> None:
    assert told(tmp_path, ("", 2, "SHS 40x40x3", 1200, "", "", "", 45, ""), "") == (
        "Workshop file: workshop.toml.",
        "Bare numbers are in millimetres.",
        "Kerf 2.5 mm.",
        "End trim 10 mm at each mill end.",
        "The end trim includes its squaring cut.",
        "Mill ends are trimmed before use.",
        "The vice holds pieces of 120 mm or more.",
        "The vice holds the bar side of a cut.",
        "The saw's scale reads 0 at a square cut.",
        "One cut may part the mitres of two neighbours.",
        "The saw swings one way; for a slant the other way the bar is rolled or turned.",
        "Left overs of this length or more are kept: SHS 300 mm.",
        "Bars are counted on at their full nominal length: SHS.",
        "Kept offcuts are worth nothing in the sum: SHS.",
        "Any length can be brought home.",
        "Bars above 25 kg are flagged as heavy.",
        "Sheets are printed on A4.",
        "Labels are printed on sheets of 70 x 37 mm.",
        "Parts with no standard: SHS EN 10219-2.",
        "Parts with no finish are black: all.",
        "Parts with no grade may be cut from any grade: all.",
        "Parts with no mark were numbered: all.",
        "Mitred parts are measured to long point where the list does not say.",
        "Prices are in EUR.",
        "No tax is added.",
        "No delivery charge and no minimum order, as the workshop file does not name them: Yard.",
        "Steel weighs 7850 kg per cubic metre.",
    )


def test_each_setting_that_is_left_out_adds_its_sentence(tmp_path: Path) -> None:
    silent = {"workshop.name", "workshop.address", "files.prices", "files.rack"}
    blank = ("A1", 2, "SHS 40x40x3", 1200, "", "S235", "", 45, "")
    whole = set(told(tmp_path, blank, ALL_SET))
    for key in KEYS:
        table, _, name = key.partition(".")
        start = ALL_SET.find(f"[{table}]\n")
        line = ALL_SET.find(f"\n{name} = ", start)
        if (
            key in silent
            or table in ("merchant", "standards", "defaults")
            or line < 0
            or ("SHS" not in key and name.isupper())
        ):
            continue
        without = ALL_SET[:line] + ALL_SET[ALL_SET.index("\n", line + 1) :]
        assert set(told(tmp_path, blank, without)) - whole, key


def test_a_unit_in_the_heading_is_told(tmp_path: Path) -> None:
    rows = (("Quantity", "Section", "Length (in)"), (1, "SHS 40x40x3", 47))
    assert "Bare lengths in parts.csv are in inches, as headed." in job_of(tmp_path, rows).assumed


def test_densities_and_sizes_that_no_table_lists_are_told(tmp_path: Path) -> None:
    rows = (("A", 1, "SHS 41x41x3", 1200), ("B", 1, "RD 20 aluminium", 500), ("C", 1, "RD 20 brass", 500))
    workshop = '[[material]]\nname = "brass"\ndensity = 8470\n'
    told = job_of(tmp_path, (H[:4], *rows), stock=["6 m"], workshop=workshop).assumed
    assert told[-3:] == (
        "Steel weighs 7850 kg per cubic metre.",
        "Aluminium weighs 2700 kg per cubic metre.",
        "Not a listed size, so the mass is by formula alone: SHS 41x41x3 to EN 10219-2, RD 20 aluminium to EN 755.",
    )
    (tmp_path / "mm").mkdir()
    (tmp_path / "in").mkdir()
    typed = ((*H[:4], "Standard"), ("A", 1, "HSS 2-1/4x2-1/4x1/8", "40 in", "EN 10219-2"))
    for unit, called in (("mm", "HSS 2-1/4x2-1/4x1/8 (SHS 57.15x57.15x3.175)"), ("in", "HSS 2-1/4x2-1/4x1/8")):
        settings = f'[workshop]\nunit = "{unit}"\n'
        told = job_of(tmp_path / unit, typed, prices=None, stock=["6 m"], workshop=settings).assumed
        assert told[-1] == f"Not a listed size, so the mass is by formula alone: {called} to EN 10219-2."
    stainless = job_of(tmp_path, (H[:4], ("A", 1, "RD 20 stainless 304", 500)), stock=["6 m"], workshop=workshop)
    assert "Steel weighs 7850 kg per cubic metre." not in stainless.assumed


@pytest.mark.parametrize(
    ("given", "called"),
    [("", "HSS, L"), ("[offcut_value_per_m]\nSHS = 0\n", "CHS, L"), ("[offcut_value_per_m]\nEA = 0\n", "HSS")],
)
def test_inch_workshops_are_told_families_by_the_word_of_their_market(tmp_path: Path, given: str, called: str) -> None:
    # HSS is square, rectangular and round (ASTM A500): where a sentence holds of one kind alone, it names that one.
    lines = (("A", 1, "HSS 2x2x1/8", 40), ("B", 1, "HSS 1.660x0.140", 40), ("C", 1, "L2x2x1/4", 40))
    shop = f'[workshop]\nunit = "in"\n[standards]\nSHS = "ASTM A500"\nCHS = "ASTM A500"\nEA = "ASTM A36"\n{given}'
    assumed = job_of(tmp_path, (H[:4], *lines), prices=None, stock=["20 ft"], workshop=shop).assumed
    assert f"Kept offcuts are worth nothing in the sum: {called}." in assumed
