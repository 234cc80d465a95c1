"""Section, standard, grade and finish of a line."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.model import Workshop
from cutplan.problems import Refused
from cutplan.reading.lists.material import SECTION_FORMS, MaterialReader, tidy_finish
from tests.input_files import job_of, refusal

H = ("Quantity", "Section", "Length", "Standard", "Grade", "Finish")
PRICES = (
    ("Merchant", "Section", "Length", "Standard", "Grade", "Finish"),
    ("Yard", "SHS 40x40x3", 6000, "", "S235", ""),
    ("Yard", "SHS 50x50x3", 6000, "EN 10210-2", "S355", "Galvanised"),
)


def test_blank_cells_take_the_workshop_and_spelling_does_not_count(tmp_path: Path) -> None:
    rows = (H, (1, "40 X 40 X 3.0 shs", 900, "", "s235", ""), (1, "SHS50x50x3", 800, "BS EN 10210-2:2019", "", "GALV"))
    first, second = job_of(tmp_path, rows, prices=PRICES).parts
    assert (first.section.key, first.grade, first.finish) == ("SHS 40x40x3 to EN 10219-2", "S235", "black")
    assert (second.section.key, second.grade, second.finish) == ("SHS 50x50x3 to EN 10210-2", "", "galvanised")
    assert first.typed_section == "40 X 40 X 3.0 shs"


def test_finish_inside_the_name(tmp_path: Path) -> None:
    prices = (PRICES[0], ("Yard", "galv SHS 40x40x3", 6000, "", "", ""))
    (part,) = job_of(tmp_path, (H, (1, "SHS 40x40x3 galv", 900, "", "", "")), prices=prices).parts
    assert part.finish == "galvanised"


def test_two_finishes_are_refused(tmp_path: Path) -> None:
    found = refusal(tmp_path, (H, (1, "SHS 40x40x3 galv", 900, "", "", "black")), prices=PRICES)
    assert 'column F "Finish": found "black"' in found


@pytest.mark.parametrize(
    ("typed", "tidy"), [(" Black ", "black"), ("Galvanized", "galvanised"), ("hot  dip", "hot dip"), ("", "")]
)
def test_tidy_finish(typed: str, tidy: str) -> None:
    assert tidy_finish(typed) == tidy


def test_the_hint_is_the_nearest_name_offered() -> None:
    reader = MaterialReader(Workshop(), ["SHS 50x50x3", "SHS 45x45x3"])
    with pytest.raises(Refused) as refused:
        reader.section("SHQ 45x45x3")
    assert refused.value.hint == 'did you mean "SHS 45x45x3"?'


def test_examples_in_the_accepted_text_are_sections() -> None:
    examples = SECTION_FORMS.removeprefix("a section such as ").replace(" or ", ", ").split(", ")
    assert len(examples) == 4
    for example in examples:
        assert MaterialReader(Workshop()).section(example).designation == example


def test_the_workshop_density_weighs_the_part(tmp_path: Path) -> None:
    prices = (PRICES[0], ("Yard", "FL 50x6", 6000, "", "", ""))
    (part,) = job_of(
        tmp_path, (H, (1, "FL 50x6", 900, "", "", "")), prices=prices, workshop="[steel]\ndensity = 8000"
    ).parts
    assert part.section.mass_per_metre == 300 * 8000
