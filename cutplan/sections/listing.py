"""Tables of section data: angle radii and usual sizes, each read once and only when asked for.

The tables are CSV files in ``tables/`` with the source of every row beside it.
The sizes are those met in the sources so far, not the full lists of the standards.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from cutplan.sections.section import Family

_SIZES_OF = {
    Family.SHS: "sizes_hollow.csv",
    Family.RHS: "sizes_hollow.csv",
    Family.CHS: "sizes_hollow.csv",
    Family.EA: "sizes_angle.csv",
    Family.UA: "sizes_angle.csv",
    Family.FLAT: "sizes_solid.csv",
    Family.SQUARE: "sizes_solid.csv",
    Family.ROUND: "sizes_solid.csv",
}


def _rows(table: str) -> list[dict[str, str]]:
    # Both imports cost milliseconds that a command which looks up no section should not pay.
    import csv
    from importlib.resources import files

    text = (files("cutplan.sections") / "tables" / table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def _sizes(table: str) -> dict[tuple[str, str], str]:
    return {(row["standard"], row["designation"]): row["source"] for row in _rows(table)}


def size_source(family: Family, designation: str, standard: str) -> str:
    """Where a size is listed; blank when no table here lists it to that standard.

    Parameters
    ----------
    designation
        Canonical spelling.
    standard
        Canonical spelling, see :func:`cutplan.sections.standards.read_standard`.
    """
    return _sizes(_SIZES_OF[family]).get((standard, designation), "")


@cache
def angle_radii(standard: str) -> dict[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]:
    """Root and toe radius of an angle by (longer leg, shorter leg), in mm; empty for an unknown standard."""
    return {
        (Fraction(row["long_leg"]), Fraction(row["short_leg"])): (
            Fraction(row["root_radius"]),
            Fraction(row["toe_radius"]),
        )
        for row in _rows("angle_radii.csv")
        if row["standard"] == standard
    }
