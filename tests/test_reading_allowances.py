"""Allowances by line and by list, cut to fit, and opposite hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Job, Purpose
from tests.builders import mm
from tests.input_files import job_of, refusal

H = ("Mark", "Quantity", "Section", "Length")
SHS = "SHS 40x40x3"


def lists(*rows: tuple[Any, ...], above: tuple[tuple[Any, ...], ...] = (), also: tuple[str, ...] = ()) -> list[Any]:
    return [*above, (*H, *also), *rows]


def added(job: Job) -> list[tuple[str, float, dict[str, float]]]:
    """Mark, sawn length and allowances of every part, in mm."""
    return [
        (part.mark, part.length / 1e6, {a.purpose.value: a.length / 1e6 for a in part.allowances}) for part in job.parts
    ]


def test_an_allowance_makes_the_sawn_length_longer(tmp_path: Path) -> None:
    also = ("Grinding", "Weld shrinkage", "Cope allowance")
    rows = lists(("A", 1, SHS, 1000, 1, "0.8", 15), ("B", 1, SHS, 1000, 0, "", ""), also=also)
    job = job_of(tmp_path, rows)
    assert added(job) == [
        ("A", 1016.8, {"weld shrinkage": 0.8, "grinding": 1, "cope": 15}),
        ("B", 1000, {}),
    ]
    assert job.parts[0].finished == mm(1000)


@pytest.mark.parametrize(
    "above",
    [
        (("Gate, two alike",), ("Grinding: 1 mm",), ("Weld shrinkage", "1.5")),
        (("Grinding allowance = 1",), ("GRINDING", "", ""), ("", "Weld shrinkage:", "1.5 mm")),
    ],
)
def test_what_stands_above_the_headings_is_for_the_whole_list(above: Any, tmp_path: Path) -> None:
    rows = lists(("A", 1, SHS, 1000, ""), ("B", 1, SHS, 500, 0), above=above, also=("Grinding",))
    job = job_of(tmp_path, rows)
    assert added(job) == [
        ("A", 1002.5, {"weld shrinkage": 1.5, "grinding": 1}),
        ("B", 501.5, {"weld shrinkage": 1.5}),
    ]
    said = "Added to parts whose line says nothing else, from above the headings: "
    assert any(text.startswith(said) and "1 mm for grinding" in text for text in job.assumed)


def test_titles_are_no_allowances(tmp_path: Path) -> None:
    above = (("Grinding stand",), ("Squaring",), ("Note: weld all round",))
    assert added(job_of(tmp_path, lists(("A", 1, SHS, 1000), above=above))) == [("A", 1000, {})]


@pytest.mark.parametrize(
    ("above", "message"),
    [
        (
            (("Grinding: some",),),
            'parts.csv, row 1, column A: found "some".\nAccepted: an allowance, 0 for none: milli',
        ),
        ((("Grinding", 1), ("Grinding", 2)), "row 2, column B: found an allowance for grinding again"),
    ],
)
def test_an_allowance_of_the_list_that_is_not_clear(above: Any, message: str, tmp_path: Path) -> None:
    assert message in refusal(tmp_path, lists(("A", 1, SHS, 1000), above=above))


@pytest.mark.parametrize(("cell", "fit"), [("20", 20), ('1"', 25.4), ("yes", 15), ("X", 15), ("no", 0), ("", 0)])
def test_cut_to_fit(cell: str, fit: float, tmp_path: Path) -> None:
    rows = lists(("A", 1, SHS, 1000, cell), above=(("Cut to fit: 15 mm",),), also=("Cut to fit",))
    (part,) = job_of(tmp_path, rows).parts
    assert (part.length, part.finished) == (mm(1000 + fit), mm(1000))
    assert part.cut_to_fit is (fit > 0)
    assert [a.purpose for a in part.allowances] == [Purpose.FIT] * (fit > 0)


@pytest.mark.parametrize("cell", ["yes", "later"])
def test_cut_to_fit_needs_its_allowance(cell: str, tmp_path: Path) -> None:
    found = refusal(tmp_path, lists(("A", 1, SHS, 1000, cell), also=("Cut to fit",)))
    assert f'column E "Cut to fit": found "{cell}".\nAccepted: what the part is sawn longer by, such as 20 mm' in found


def test_an_allowance_counts_against_the_bar(tmp_path: Path) -> None:
    found = refusal(tmp_path, lists(("A", 1, SHS, 7475, "20"), also=("Cut to fit",)))
    assert "A, which needs a bar of 7515 mm: 7495 mm + 20 mm end trims" in found


def test_opposite_hand_is_a_part_of_its_own(tmp_path: Path) -> None:
    rows = lists(("A", 2, SHS, 1000, 3), ("", 1, SHS, 900, 1), ("B", 1, SHS, 800, 0), also=("Opp. hand",))
    job = job_of(tmp_path, rows)
    assert [(part.mark, part.quantity, part.opposite_hand) for part in job.parts] == [
        ("A", 2, False),
        ("A-OH", 3, True),
        ("P1", 1, False),
        ("P1-OH", 1, True),
        ("B", 1, False),
    ]
    assert "Opposite hand is the part as a mirror along its length shows it; end A stays end A." in job.assumed


def test_the_mark_of_an_opposite_hand_must_be_free(tmp_path: Path) -> None:
    rows = lists(("A", 1, SHS, 1000, 1), ("A-oh", 1, SHS, 700, ""), also=("Opposite hand",))
    assert 'found opposite hand of "A", which is marked "A-OH"' in refusal(tmp_path, rows)


def test_a_mark_used_twice_adds_both_hands(tmp_path: Path) -> None:
    rows = lists(("A", 1, SHS, 1000, 1), ("A", 2, SHS, 1000, 2), also=("Opposite hand",))
    assert [(part.mark, part.quantity) for part in job_of(tmp_path, rows).parts] == [("A", 3), ("A-OH", 3)]
    rows = lists(("A", 1, SHS, 1000, 99999), ("A", 2, SHS, 1000, 2), also=("Opposite hand",))
    assert "a total of at most 100000 of one mark" in refusal(tmp_path, rows)
