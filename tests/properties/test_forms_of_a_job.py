"""A new workbook filled in, read, written as a folder and as a workbook, and read again: always the same job."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from cutplan import actions
from tests.effort import examples
from tests.test_actions_starting import same
from tests.test_newbook import filled

SECTIONS = ("SHS 40x40x3", "RHS 60x40x3", "EA 50x50x5", "FL 50x6", "30 x 30 x 2 square tube")
texts = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters="_"), max_size=8)
lengths = st.one_of(
    st.integers(400, 5000),
    st.integers(400, 5000).map(lambda whole: whole + 0.5),
    st.integers(1, 5).map(lambda metres: f"{metres} m"),
    st.integers(2, 15).map(lambda feet: f"{feet}' 4 1/8\""),
)
parts = st.fixed_dictionaries(
    {"Quantity": st.integers(1, 50), "Section": st.sampled_from(SECTIONS), "Length": lengths},
    optional={
        "Grade": st.sampled_from(["S235", "s355 "]),
        "Finish": st.sampled_from(["black", "Galvanised"]),
        "Standard": st.just("EN 10219-2"),
        "Assembly": texts,
        "Note": texts,
        "Opposite hand": st.integers(1, 4),
        "Squaring": st.sampled_from([1, "2 mm"]),
    },
)
mitres: st.SearchStrategy[dict[str, Any]] = st.one_of(
    st.just({}),
    st.fixed_dictionaries(
        {"Cut A": st.sampled_from([22.5, 45, 30])},
        optional={"Cut B": st.just(45), "Length is": st.sampled_from(["long point", "centre line"])},
    ),
)
truths = st.sampled_from(["yes", "no", True, False])
shops = st.fixed_dictionaries(
    {},
    optional={
        "saw.kerf": st.sampled_from([1.8, 2, "3/32 in", "2.5 mm"]),
        "saw.mill_ends_accepted": truths,
        "workshop.name": texts,
        "tax.percent": st.sampled_from([20, 8.875]),
        "stock.lengths": st.just("12 m; FL 50x6: 9 m"),
    },
)


def workbook(path: Path, lines: list[dict[str, Any]], shop: dict[str, Any], priced: bool) -> Path:
    """A new workbook with parts, settings and, when asked for, prices and an offcut filled in."""
    rows: dict[str, list[dict[str, Any]]] = {"Parts": lines}
    if priced:
        rows["Prices"] = [
            {"Merchant": "Yard", "Section": "SHS 40x40x3", "Length": 12000, "Price": 3.1, "Per": "per m"},
        ]
        rows["Rack"] = [{"Mark": "R1", "Section": "FL 50x6", "Length": "2 m", "Place": "bay 2"}]
        rows["Merchants"] = [{"Name": "Yard", "Delivers": "yes", "Delivery": 12.5}]
    return filled(path, shop, **rows)


@pytest.mark.thorough
@settings(max_examples=examples(10, 3), deadline=None, phases=[Phase.explicit, Phase.generate])
@given(
    st.lists(st.tuples(parts, mitres, texts), min_size=1, max_size=5, unique_by=lambda row: row[2]),
    shops,
    st.booleans(),
)
def test_every_form_says_the_same(
    rows: list[tuple[dict[str, Any], dict[str, Any], str]], shop: dict[str, Any], priced: bool
) -> None:
    lines = []
    for part, mitre, mark in rows:
        plain = part["Section"].startswith(("SHS", "30"))  # others must say which face lies on the table
        lines.append({**part, **(mitre if plain else {}), "Mark": mark})
    for line in lines:
        if not line["Section"].startswith(("SHS", "30", "RHS")):
            line.pop("Standard", None)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = workbook(folder / "gate.xlsx", lines, {"stock.lengths": "12 m", **shop}, priced)
        job = actions.read_job(book)
        files = actions.convert(book, folder / "gate")
        assert same(actions.read_job(files[0])) == same(job)
        (again,) = actions.convert(files[0], folder / "again.xlsx")
        assert same(actions.read_job(again)) == same(job)
