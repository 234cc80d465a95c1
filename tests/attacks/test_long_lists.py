"""Lists as long as are read and wrong all over: refused within ten seconds of processor time and 300 MB."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cutplan.reading.lists import material
from tests.forked import forked
from tests.input_files import refusal

ROWS = 100_000
HEADINGS = "Mark,Quantity,Section,Length,Cut A"
SHOWN = "Accepted: a list without problems."


def lines(row: Callable[[int], str], headings: str = HEADINGS) -> str:
    return "\n".join([headings, *map(row, range(ROWS))])


LISTS: dict[str, tuple[Callable[[], str], str, str]] = {
    "every cell wrong": (
        lambda: lines(lambda n: f"M{n},x{n},SHZ {n}x40x3,1{n}z,q{n}"),
        'long.csv, row 2, column B "Quantity": found "x0".',
        SHOWN,
    ),
    "one mark for all": (lambda: lines(lambda n: f"M,1,SHS 40x40x3,{1000 + n % 5000},"), "again, with another", SHOWN),
    "nothing to cut from": (
        lambda: lines(lambda n: f"M{n},1,SHS {20 + 10 * (n % 5)}x{20 + 10 * (n % 5)}x2,90000 mm,"),
        "",
        SHOWN,
    ),
    "a stray cell far right": (
        lambda: lines(
            lambda n: "M,1,SHS 40x40x3,1200" + "," * 204 + ("x" if n == 50_000 else ""), HEADINGS + "," * 203
        ),
        "long.csv, row 50002, column GZ",
        "part the cells by semicolons",
    ),
    "different sections": (
        lambda: lines(lambda n: f"M{n},1,FL {101 + n % 400}x{3 + n // 400 / 10:.1f},1200,"),
        'column C "Section": found more than 20000 different sections',
        "Accepted: at most 20000 in a list.",
    ),
    "ditto marks": (lambda: lines(lambda n: f'M{n},1,",,",1200,'), 'column C "Section": found ",,"', SHOWN),
}
SLOW = ("every cell wrong", "nothing to cut from", "a stray cell far right", "different sections", "one mark for all")


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.slow if n in SLOW else pytest.mark.thorough) for n in LISTS]
)
def test_long_list(name: str, tmp_path: Path) -> None:
    make, begins, ends = LISTS[name]
    path = tmp_path / "long.csv"
    path.write_text(make())
    ended = forked(lambda: refusal(tmp_path, path), seconds=10, memory=300_000_000)
    assert (ended.trace, ended.signal) == ("", 0)
    assert begins in ended.answer
    assert ended.answer.endswith(ends)


def test_rows_that_were_not_looked_at_are_counted(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text(HEADINGS + "\n" + "M,x,SHS 40x40x3,1200,\n" * 150)
    assert refusal(tmp_path, path).count("Accepted") == 101
    assert refusal(tmp_path, path).endswith(
        "long.csv: found 100 problems, and there may be more; 50 rows below were not looked at.\n" + SHOWN
    )
    path.write_text(HEADINGS + "\n" + "M,x,SHS 40x40x3,1200,\n" * 99)
    assert refusal(tmp_path, path).count("Accepted") == 99


def test_many_sections(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(material, "MOST_NAMES", 3)
    path = tmp_path / "long.csv"
    path.write_text(HEADINGS + "\n" + "".join(f"M{n},1,FL {50 + n}x6,1200,\n" for n in range(6)))
    assert refusal(tmp_path, path).startswith(
        'long.csv, row 6, column C "Section": found more than 3 different sections'
    )
