"""Parts lists are told by their headings; prices, racks, holes, outputs and what is hidden are not lists to plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from cutplan.reading import parts_lists_in, price_lists_in

INPUTS = Path(__file__).parent.parent / "inputs"
PARTS = "Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,500\n"


def names(paths: tuple[Path, ...], folder: Path) -> list[str]:
    return [path.relative_to(folder).as_posix() for path in paths]


def test_the_samples() -> None:
    lists, others = parts_lists_in(INPUTS)
    assert names(lists, INPUTS) == [
        "garden-trailer.csv",
        "market-stand/bench-run.xlsx",
        "market-stand/market-stand.csv",
        "potting-benches.xlsx",
        "tool-stand.csv",
    ]
    assert "prices.csv" in names(others, INPUTS)
    assert "rack.csv" in names(others, INPUTS)


@pytest.mark.parametrize(
    ("text", "is_list"),
    [
        (PARTS, True),
        ("Gate, as drawn\n\nMark;Qty;Profile;Cut length\nA;2;SHS 40x40x3;500\n", True),
        ("Section,Length,Cut A\nSHS 40x40x3,500,45\n", True),  # what is missing is told when it is read
        ("Mark,Qty\nA,2\n", True),
        ("Section,Length,Price\nSHS 40x40x3,6000,30\n", False),
        ("Mark,Section,Length,Place,Book value\nR1,SHS 40x40x3,700,top,2\n", False),
        ("Mark,Section,Length\nR1,SHS 40x40x3,700\n", False),
        ("Mark,Position,Face,Hole\nA,50,1,11\n", False),
        ("Name,Telephone\nyard,none\n", False),
        ("", True),  # refused as an empty file
    ],
)
def test_by_its_headings(tmp_path: Path, text: str, is_list: bool) -> None:
    path = tmp_path / "list.csv"
    path.write_text(text)
    assert parts_lists_in(tmp_path) == (((path,), ()) if is_list else ((), (path,)))


def test_what_is_passed_over(tmp_path: Path) -> None:
    for name in ("b.csv", "a/b.csv", ".hidden/c.csv", ".c.csv", "~$d.csv", "done/e.csv", "f.txt"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(PARTS)
    (tmp_path / "done/plan.json").write_text("{}")
    (tmp_path / "a/up").symlink_to(tmp_path)
    lists, others = parts_lists_in(tmp_path)
    assert (names(lists, tmp_path), others) == (["a/b.csv", "b.csv"], ())


def test_a_workbook_by_its_best_sheet(tmp_path: Path) -> None:
    book = Workbook()
    book.active.title = "Notes"
    book.create_sheet("Steel").append(["Mark", "Qty", "Section", "Length"])
    book.save(tmp_path / "job.xlsx")
    assert parts_lists_in(tmp_path)[0] == (tmp_path / "job.xlsx",)


def test_price_lists_are_told_by_their_headings_too(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_text(PARTS)
    (tmp_path / "rack.csv").write_text("Mark,Section,Length,Place,Book value\nR1,SHS 40x40x3,700,top,2\n")
    (tmp_path / "form.csv").write_text("Merchant,Section,Length,Price\nYard,SHS 40x40x3,6000,30\n")
    (tmp_path / "broken.xlsx").write_bytes(b"PK")
    assert names(price_lists_in(tmp_path), tmp_path) == ["form.csv"]
    assert names(price_lists_in(INPUTS), INPUTS) == ["market-stand/prices.csv", "prices.csv"]


def test_a_rack_with_no_more_headings_than_parts_have(tmp_path: Path) -> None:
    """Mark, Quantity, Section, Length fit both: its name tells, or the workshop file does."""
    lying = "Mark,Quantity,Section,Length\nR1,2,SHS 40x40x3,700\n"
    for name in ("Rack.csv", "offcuts_2026.csv", "shelf.csv", "frame.csv", "bracket.csv"):
        (tmp_path / name).write_text(lying)
    assert names(parts_lists_in(tmp_path)[0], tmp_path) == ["bracket.csv", "frame.csv", "shelf.csv"]
    (tmp_path / "workshop.toml").write_text('[files]\nrack = "shelf.csv"\n')
    assert names(parts_lists_in(tmp_path)[0], tmp_path) == ["bracket.csv", "frame.csv"]
    (tmp_path / "workshop.toml").write_text("[files\n")
    assert names(parts_lists_in(tmp_path)[0], tmp_path) == ["bracket.csv", "frame.csv", "shelf.csv"]
