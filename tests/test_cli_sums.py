"""The commands ``brace``, ``frame`` and ``spacing``: printed with their formula, added to a list when asked."""

from __future__ import annotations

from pathlib import Path

from tests.commands import document, run


def test_brace_prints_its_formula(parts: str) -> None:
    result = run("brace", "1000 x 800", "--section", "SHS 40x40x3")
    assert result.exit_code == 0, result.output
    assert "49.55 degrees   arctan(r / a)" in result.stdout
    assert "1280 mm   e + d r / a" in result.stdout


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
    assert "both or neither of --outside and --inside" in refused.stderr


def test_spacing_in_inches(parts: str) -> None:
    result = run("spacing", "60", "--count", "3", "--width", "3/4", "--unit", "in")
    assert result.exit_code == 0, result.output
    assert "14 7/16 in   (L - n w) / (n + 1)" in result.stdout


def test_append_needs_the_section(parts: str) -> None:
    result = run("spacing", "1000", "--count", "3", "--length", "500", "--append", parts)
    assert result.exit_code == 1
    assert "--section with the section of the parts" in result.stderr
