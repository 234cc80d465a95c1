"""The commands ``brace``, ``frame`` and ``spacing``: printed with their formula, added to a list when asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan.actions import brace, read_job, section_workshop, sum_values
from tests.commands import document, run

SHS = "SHS 40x40x3"


def test_brace_prints_its_formula(parts: str) -> None:
    result = run("brace", "1000 x 800", "--section", "SHS 40x40x3")
    assert result.exit_code == 0, result.output
    assert "49.55 degrees   arctan(r / a)" in result.stdout
    assert "1280 mm   e + d r / a" in result.stdout


def test_brace_tells_what_the_scale_of_the_workshop_s_saw_reads(parts: str) -> None:
    Path("workshop.toml").write_text("[saw]\nsquare_reads = 90\n", encoding="utf-8")
    result = run("brace", "1000 x 800", "--section", "SHS 40x40x3")
    assert "49.55 degrees from square and parallel, where the saw's scale reads 40.45: brace" in result.stdout
    (piece,) = document(run("brace", "1000 x 800", "--section", "SHS 40x40x3", "--json"))["parts"]
    assert (piece["cut_a"], piece["scale_reads"]) == ("49.55", "40.45")


def test_brace_is_added_to_a_list_that_can_hold_it(parts: str) -> None:
    result = run("brace", "1000 x 800", "--section", "SHS 40x40x3", "--append", parts, "--mark", "D")
    assert result.exit_code == 1
    assert "no heading for Cut A" in result.stderr
    result = run("brace", "1000 x 800", "--section", "SHS 40x40x3", "--append", "new.csv", "--mark", "D")
    assert result.exit_code == 0, result.output
    assert result.stderr == "Added to new.csv: 1 row\n"
    assert "D,1,SHS 40x40x3,1280 mm,49.55,49.55,long point,parallel,,brace" in Path("new.csv").read_text()


def test_frame_from_outside_or_inside(parts: str) -> None:
    result = run("frame", "--outside", "1000 x 600", "--depth", "40", "--joint", "width through", "--json")
    assert [part["length_mm"] for part in document(result)["parts"]] == ["1000", "520"]
    refused = run("frame", "--depth", "40")
    assert refused.exit_code == 1
    assert "none or several of --outside, --inside, --opening" in refused.stderr


def test_spacing_in_inches(parts: str) -> None:
    result = run("spacing", "60", "--count", "3", "--width", "3/4", "--unit", "in")
    assert result.exit_code == 0, result.output
    assert "14 7/16 in   (L - n w) / (n + 1)" in result.stdout


def test_append_needs_the_section(parts: str) -> None:
    result = run("spacing", "1000", "--count", "3", "--length", "500", "--append", parts)
    assert result.exit_code == 1
    assert "--section with the section of the parts" in result.stderr


COMMA = '[workshop]\ndecimal_sign = ","\n'


def test_numbers_are_typed_as_in_the_workshop(parts: str) -> None:
    Path("workshop.toml").write_text(COMMA, encoding="utf-8")
    typed = document(run("brace", "1.000,5 x 800", "--depth", "40,5", "--json"))
    assert typed == sum_values(brace("1000.5 x 800", depth="40.5"))
    framed = document(run("frame", "--outside", "1.000,5 x 600", "--depth", "40", "--json"))
    assert [part["length_mm"] for part in framed["parts"]] == ["1000.5", "600"]
    spaced = document(run("spacing", "1.000,5", "--most", "99,5", "--width", "1,5", "--length", "7,5", "--json"))
    assert {part["length_mm"] for part in spaced["parts"]} == {"7.5"}
    refused = run("brace", "1,000.5 x 800", "--depth", "40")
    assert refused.exit_code == 1
    assert "two lengths, width first" in refused.stderr


def test_bare_numbers_are_in_the_workshops_unit_unless_said(parts: str) -> None:
    Path("inch.toml").write_text('[workshop]\nunit = "in"\n', encoding="utf-8")
    inches = run("spacing", "60", "--count", "3", "--width", "3/4", "--workshop", "inch.toml")
    assert inches.stdout == run("spacing", "60", "--count", "3", "--width", "3/4", "--unit", "in").stdout
    said = run("spacing", "60", "--count", "3", "--workshop", "inch.toml", "--unit", "mm")
    assert said.stdout == run("spacing", "60", "--count", "3").stdout


def test_what_is_added_is_read_back_by_the_workshop_of_the_list(parts: str) -> None:
    Path("job").mkdir()
    Path("job/workshop.toml").write_text(COMMA, encoding="utf-8")
    added = run("frame", "--outside", "1000,5 x 600", "--section", SHS, "--append", "job/list.csv", "--mark", "F")
    assert added.exit_code == 0, added.output
    assert 'F-1,2,SHS 40x40x3,"1000,5 mm",45,45' in Path("job/list.csv").read_text(encoding="utf-8")
    assert [part.length for part in read_job("job/list.csv", stock=["6 m"]).parts] == [1_000_500_000, 600_000_000]


@pytest.mark.thorough
def test_a_workbook_says_its_own_sign(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("new", "gate", "--stock", "6 m", "--unit", "mm", "--paper", "A4", "--kerf", "2").exit_code == 0
    book = load_workbook("gate.xlsx")
    row = next(row for row in book["Workshop"].iter_rows() if row[-1].value == "workshop.decimal_sign")
    row[1].value = ","
    book.save("gate.xlsx")
    assert section_workshop(near="gate.xlsx")[1].decimal_sign == ","
    assert section_workshop()[1].decimal_sign == ""
    typed = ("frame", "--outside", "1000,5 x 600", "--section", SHS, "--append", "gate.xlsx", "--mark", "F")
    added = run(*typed)
    assert added.exit_code == 0, added.output
    assert [part.length for part in read_job("gate.xlsx").parts] == [1_000_500_000, 600_000_000]


def test_a_gate_grows_in_one_list_with_its_brace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    gaps = ["--opening", "3000 x 1450", "--hinge-gap", "25", "--latch-gap", "15", "--below", "50", "--leaves", "2"]
    added = ["--append", "gate.csv", "--mark", "G"]
    result = run("frame", *gaps, "--brace", "--section", "SHS 40x40x3", *added)
    assert result.exit_code == 0, result.output
    assert "Gate of two leaves; frame, mitred, braced" in result.stdout
    rows = [line.split(",") for line in Path("gate.csv").read_text().splitlines()[1:]]
    assert [(row[0], row[1], row[3]) for row in rows[:2]] == [("G-1", "4", "1467.5 mm"), ("G-2", "4", "1400 mm")]
    assert (rows[2][0], rows[2][1]) == ("G-3", "2")


@pytest.mark.parametrize(
    "said",
    [
        ["--opening", "1000 x 1450"],
        ["--opening", "1000 x 1450", "--hinge-gap", "20"],
        ["--outside", "1000 x 1450", "--hinge-gap", "20", "--latch-gap", "10"],
        ["--outside", "1000 x 1450", "--leaves", "2"],
    ],
)
def test_gaps_and_opening_go_together(said: list[str]) -> None:
    result = run("frame", *said, "--section", "SHS 40x40x3")
    assert result.exit_code == 1
    assert "--opening with --hinge-gap and --latch-gap" in result.stderr
