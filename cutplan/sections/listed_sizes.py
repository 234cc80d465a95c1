"""Tables of section data: angle radii, pipes and usual sizes, each read once and only when asked for.

The tables are CSV files in ``tables/`` with the source of every row beside it.
The sizes are those met in the sources so far, not the full lists of the standards.
"""

from __future__ import annotations

from dataclasses import dataclass
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
    Family.HEXAGON: "sizes_solid.csv",
}


@dataclass(frozen=True, slots=True)
class AngleRadii:
    """Root and toe radius of an angle in mm, and their source."""

    root: Fraction
    toe: Fraction
    source: str


@dataclass(frozen=True, slots=True)
class PipeSize:
    """Outside diameter and wall of a pipe in mm, and their source."""

    diameter: Fraction
    wall: Fraction
    source: str


def rows_of(table: str) -> list[dict[str, str]]:
    """The rows of a table in ``tables/``, by its file name."""
    # Both imports cost milliseconds that a command which looks up no section should not pay.
    import csv
    from importlib.resources import files

    text = (files("cutplan.sections") / "tables" / table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def _sizes(table: str) -> dict[tuple[str, str], str]:
    return {(row["standard"], row["designation"]): row["source"] for row in rows_of(table)}


def listed_sizes(family: Family, standard: str) -> tuple[str, ...]:
    """The designations of a family that the tables here list to a standard."""
    if family is Family.PIPE:
        return pipe_names(standard)
    start = f"{family.value} "
    return tuple(name for made_to, name in _sizes(_SIZES_OF[family]) if made_to == standard and name.startswith(start))


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
def angle_radii(standard: str) -> dict[tuple[Fraction, Fraction], AngleRadii]:
    """Root and toe radius of an angle by (longer leg, shorter leg) in mm; empty for an unknown standard."""
    return {
        (Fraction(row["long_leg"]), Fraction(row["short_leg"])): AngleRadii(
            Fraction(row["root_radius"]), Fraction(row["toe_radius"]), row["source"]
        )
        for row in rows_of("angle_radii.csv")
        if row["standard"] == standard
    }


@cache
def _pipes() -> dict[tuple[str, str], PipeSize]:
    return {
        (row["standard"], row["designation"]): PipeSize(Fraction(row["diameter"]), Fraction(row["wall"]), row["source"])
        for row in rows_of("pipes.csv")
    }


def pipe_size(designation: str, standard: str) -> PipeSize | None:
    """Diameter and wall of a pipe by its designation; None when the standard has no such size here."""
    return _pipes().get((standard, designation))


def pipe_names(standard: str) -> tuple[str, ...]:
    """The designations of all pipes of a standard, in the order of the table."""
    return tuple(designation for named, designation in _pipes() if named == standard)
