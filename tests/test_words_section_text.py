"""A section and the sizes of a family, in words and as values."""

from __future__ import annotations

from cutplan import actions
from cutplan.units import MM
from cutplan.words.section_text import details_document, details_text, section_document, section_text, sizes_text

FLAT = actions.section("50x6 flat")


def test_a_flat_whose_figures_are_known_by_hand() -> None:
    """50 x 6 mm is 300 mm2, 2.355 kg at 7850 kg/m3, and 0.112 m2 all round."""
    values = section_document(FLAT, 2000 * MM)
    assert (values["area_mm2"], values["mass_kg_per_m"], values["surface_m2_per_m"]) == ("300.0", "2.355", "0.1120")
    assert (values["length_mm"], values["mass_kg"]) == ("2000", "4.710")
    lines = section_text(FLAT, None, "50x6 flat", "shop.toml").splitlines()
    assert lines[1:3] == ["  typed     50x6 flat", "  area      300.0 mm2"]
    assert lines[-1] == "  workshop  shop.toml"


def test_a_round_tube_says_what_goes_over_and_through_it() -> None:
    """EN 10255, from memory: 3/4 medium is 26.9 mm outside with a wall of 2.6, so that the bore is 21.7 by hand."""
    pipe = actions.section("3/4 NB medium")
    size = {"outside_mm": "26.9", "wall_mm": "2.6", "bore_mm": "21.7"}
    assert section_document(pipe, None).items() >= size.items()
    assert "  size      26.9 mm outside, wall 2.6 mm, bore 21.7 mm" in section_text(pipe, None, "", "").splitlines()
    assert not section_document(FLAT, None).keys() & size.keys()


def test_each_number_with_its_source_where_it_is_asked_for() -> None:
    assert (details_document(FLAT, ()), details_text(FLAT, ())) == ({}, "")
    details = actions.section_details(FLAT)
    numbers = details_document(FLAT, details)["numbers"]
    assert {"area", "mass", "surface"} <= {row["what"] for row in numbers}
    assert len(details_text(FLAT, details).strip().splitlines()) == len(numbers)


def test_no_size_that_small() -> None:
    assert sizes_text((), "SHS", "", "5") == ("No size of SHS with every outside dimension up to 5 in the tables here.")
    listed = sizes_text((FLAT,), "FL", "shop.toml", None).splitlines()
    assert listed[-2:] == [
        "1 listed sizes, at 7850 kg/m3. Merchants keep only some of them.",
        "Workshop file: shop.toml.",
    ]
