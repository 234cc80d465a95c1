"""Spares: free from left overs, or bought."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.problems import Refused
from cutplan.reading.lists.spares import Spares, parse_spares
from tests.input_files import job_of, refusal

H = ("Mark", "Quantity", "Section", "Length", "Assembly", "Spares", "Opposite hand")
SHS = "SHS 40x40x3"


@pytest.mark.parametrize(
    ("text", "spares"),
    [
        ("0", Spares()),
        ("2", Spares(free=2)),
        ("3 Free", Spares(free=3)),
        ("2 bought", Spares(bought=2)),
        ("1 free, 2 buy", Spares(free=1, bought=2)),
        ("1 + 2 bought", Spares(free=1, bought=2)),
    ],
)
def test_spares_as_typed(text: str, spares: Spares) -> None:
    assert parse_spares(text) == spares


@pytest.mark.parametrize("text", ["some", "-1", "1.5", "1, 1", "0 bought", "100001", "2 sold"])
def test_what_says_no_spares(text: str) -> None:
    with pytest.raises(Refused):
        parse_spares(text)


def test_bought_ones_join_the_quantity_and_free_ones_do_not(tmp_path: Path) -> None:
    job = job_of(tmp_path, [H, ("A", 2, SHS, 900, "", "1 free, 3 bought", 2), ("A", 1, SHS, 900, "", 1, "")])
    drawn, opposite = job.parts
    assert (drawn.quantity, drawn.spares, drawn.spares_bought) == (6, 2, 3)
    assert (opposite.quantity, opposite.spares, opposite.spares_bought) == (2, 0, 0)


def test_spares_of_an_assembly_are_parts_for_one_more(tmp_path: Path) -> None:
    rows = [H, ("", 3, "assembly", "", "gate", "1 bought"), ("A", 4, SHS, 900, "gate"), ("B", 1, SHS, 700, "gate", 2)]
    a, b = job_of(tmp_path, rows).parts
    assert (a.quantity, a.spares_bought, a.spares, a.assemblies) == (16, 4, 0, 3)
    assert (b.quantity, b.spares_bought, b.spares) == (4, 1, 2)


def test_too_many_spares(tmp_path: Path) -> None:
    found = refusal(tmp_path, [H, ("A", 99999, SHS, 900, "", "2 bought")])
    assert "found 99999 in each of 1 assemblies and 2 spare.\nAccepted: a total of at most 100000" in found
    found = refusal(tmp_path, [H, ("A", 1, SHS, 900), ("bolt", 1, "other", "", "", 1)])
    assert 'column F "Spares": found "1".\nAccepted: a blank cell: a line marked other has its number in' in found
