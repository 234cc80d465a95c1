"""The command ``section`` in words, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import document, run


def test_section_in_words(parts: str) -> None:
    result = run("section", "40 x 40 x 3.0 SHS", "--length", "6.5 m")
    assert result.exit_code == 0, result.output
    assert "SHS 40x40x3 (square hollow section) to EN 10219-2" in result.stdout
    assert "420.8 mm2" in result.stdout
    # 1 lb/ft = 1.488164 kg/m (NIST SP 811 (2008), appendix B.8): 3.303 kg/m is 2.220 lb/ft.
    assert "3.303 kg/m, 2.220 lb/ft, at 7850 kg/m3" in result.stdout
    assert "weighs 21.47 kg" in result.stdout
    assert "source" in result.stdout
    assert "not a listed size" not in result.stdout
    assert "typed     40 x 40 x 3.0 SHS" in result.stdout


def test_section_to_another_standard_and_not_listed(parts: str) -> None:
    hot = document(run("section", "SHS 40x40x3", "--standard", "EN 10210-2", "--json"))
    assert hot["standard"] == "EN 10210-2"
    odd = run("section", "SHS 41x41x3")
    assert odd.exit_code == 0, odd.output
    assert "not a listed size: no table here has it to this standard" in odd.stdout


@pytest.mark.parametrize(
    ("words", "where"), [(["SHS 30x30"], "section"), (["SHS 40x40x3", "--length", "1,200"], "--length")]
)
def test_section_refused(words: list[str], where: str, parts: str) -> None:
    result = run("section", *words, "--json")
    assert result.exit_code == 1
    (problem,) = document(result)["problems"]
    assert problem["where"] == where
    assert set(problem) == {"code", "where", "found", "accepted", "hint"}


def test_sizes_of_a_family(parts: str) -> None:
    listed = document(run("section", "--family", "SHS", "--up-to", "25", "--json"))["sizes"]
    assert [size["section"] for size in listed][:2] == ["SHS 20x20x2", "SHS 25x25x2"]
    words = run("section", "--family", "IPE", "--up-to", "100")
    assert "IPE 80   EN 10365     6.000" in words.stdout
    assert "2 listed sizes, at 7850 kg/m3" in words.stdout
    assert run("section", "--family", "RHS", "--up-to", "10").stdout == (
        "No size of RHS with every outside dimension up to 10 in the tables here.\n"
    )


def test_every_number_with_its_source(parts: str) -> None:
    words = run("section", "HSS 2x2x1/8", "--source")
    assert "outside corner  6.35 mm      2 t; outside radius: AISC text on HSS" in words.stdout
    numbers = document(run("section", "UPN 100", "--source", "--json"))["numbers"]
    assert {"what": "flange thickness", "value": "8.5 mm"}.items() <= numbers[3].items()
    source = "SSAB structural hollow sections; Tata Steel blue book, general notes"
    assert numbers[-1] == {"what": "density", "value": "7850 kg/m3", "source": source}


@pytest.mark.parametrize(
    "words",
    [(), ("SHS 40x40x3", "--family", "SHS"), ("SHS 40x40x3", "--up-to", "50"), ("--family", "SHS", "--source")],
)
def test_section_or_family_and_what_goes_with_it(words: tuple[str, ...], parts: str) -> None:
    assert run("section", *words).exit_code == 2


def test_length_is_typed_as_in_the_workshop(parts: str) -> None:
    Path("workshop.toml").write_text('[workshop]\ndecimal_sign = ","\nunit = "in"\n', encoding="utf-8")
    assert document(run("section", "SHS 40x40x3", "--length", "47,25", "--json"))["length_mm"] == "1200.15"
    assert run("section", "SHS 40x40x3", "--length", "47.25").exit_code == 1
