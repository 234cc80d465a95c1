"""The rack file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cutplan.model import EndState
from cutplan.reading.lists.rack_columns import END_FORMS, END_WORDS
from cutplan.units import CURRENCY, MM
from tests.input_files import PARTS, job_of

H = ("Mark", "Section", "Length", "End A", "End B", "Place", "Heat number", "Book value", "Grade")
SHS = "SHS 40x40x3"


def test_everything_of_an_offcut(tmp_path: Path) -> None:
    row = ("007", SHS, "1.5 m", "Mill", "saw cut", "top arm", "0123E4", "4.50", "s235")
    (offcut,) = job_of(tmp_path, rack=(H, row)).offcuts
    assert (offcut.mark, offcut.length, offcut.row) == ("007", 1500 * MM, 2)
    assert (offcut.end_a, offcut.end_b) == (EndState.MILL, EndState.SAWN)
    assert (offcut.place, offcut.heat_number) == ("top arm", "0123E4")
    assert (offcut.book_value, offcut.grade, offcut.finish) == (4_500_000, "S235", "black")


def test_blank_cells_are_sawn_ends_and_the_offcut_value(tmp_path: Path) -> None:
    prices = (("Merchant", "Section", "Length"), ("Yard", SHS, 6000))
    settings: dict[str, Any] = {
        "prices": prices,
        "workshop": '[offcut_value_per_m]\nSHS = "2"',
        "rack": (H[:3], ("R1", SHS, 1500)),
    }
    job = job_of(tmp_path, **settings)
    (offcut,) = job.offcuts
    assert (offcut.end_a, offcut.end_b) == (EndState.SAWN, EndState.SAWN)
    assert offcut.book_value == 3 * CURRENCY
    assert "Offcut ends not stated are sawn: all." in job.assumed
    assert "Offcuts with no book value are taken at the workshop's offcut value." in job.assumed


def test_a_rack_alone_is_something_to_cut_from(tmp_path: Path) -> None:
    job = job_of(tmp_path, PARTS, prices=None, rack=(H[:3], ("R1", SHS, 1500)))
    assert not job.offers
    assert len(job.offcuts) == 1


def test_accepted_words_are_read() -> None:
    for word in ("sawn", "mill"):
        assert word in END_FORMS
        assert END_WORDS[word].value == word
