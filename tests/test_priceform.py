"""A blank price list asks for exactly what a job needs, and is read when it is filled in."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.writing.priceform import Asked, asked_of, form_rows
from tests import builders


def test_one_row_per_material_with_what_is_wanted() -> None:
    parts = [builders.part("A", 4, 1200), builders.part("B", 2, 850), builders.part("C", 1, 700, grade="S355")]
    asked = asked_of(parts)
    assert [(each.grade, each.pieces, each.length // 1_000_000) for each in asked] == [("", 6, 6500), ("S355", 1, 700)]


def test_rows_by_merchant_and_length() -> None:
    asked = [Asked(section="RD 12", standard="EN 10060", grade="", finish="black", pieces=3, length=1_200_000_000)]
    rows = form_rows(asked, ["Yard", "Dock"], {"": [6_000_000_000], "RD 12": [3_000_000_000]}, Workshop())
    assert [row[:6] for row in rows] == [
        ("Yard", "RD 12", "EN 10060", "", "black", "3000 mm"),
        ("Dock", "RD 12", "EN 10060", "", "black", "3000 mm"),
    ]
    assert rows[0][-1] == "3 parts, 1.2 m"
    assert len(form_rows(asked, [], {}, Workshop())) == 2
