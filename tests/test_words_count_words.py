"""What a stock-take found otherwise, in words and as values."""

from __future__ import annotations

from cutplan.rack.counting import Difference
from cutplan.rack.pieces import Material
from cutplan.units import MILLIMETRES, MM
from cutplan.words.count_words import count_text, count_values

FLAT = Material(designation="FL 50x6", standard="EN 10058", finish="black")


def difference(mark: str, expected: int, found: int, was: str = "", elsewhere: int = 0) -> Difference:
    return Difference(
        mark=mark,
        material=FLAT,
        expected=expected,
        found=found,
        noted=6000 * MM,
        measured=6000 * MM,
        was=was,
        elsewhere=elsewhere,
    )


def test_as_the_ledger_has_it() -> None:
    assert count_text("B2", (), MILLIMETRES) == "B2: as in the ledger. Nothing was changed."
    assert count_values(()) == {"differences": []}


def test_fewer_than_expected_and_some_of_another_place() -> None:
    found = (difference("F1", 3, 1), difference("F2", 0, 2, was="F1"), difference("F3", 1, 1, elsewhere=1))
    assert count_text("B2", found, MILLIMETRES).splitlines() == [
        "B2: 3 differences, corrected in the ledger.",
        "  F1, FL 50x6, black: 3 expected, 1 found, -2",
        "  F2, FL 50x6, black: 2 of F1, which the ledger has elsewhere; "
        "now under a mark of their own: paint F2 on them",
        "  F3, FL 50x6, black: the ledger has 1 elsewhere, 1 found here",
    ]
    assert [(each["mark"], each["was"]) for each in count_values(found)["differences"]] == [
        ("F1", ""),
        ("F2", "F1"),
        ("F3", ""),
    ]
