"""The tables of hole and drill sizes, each read once and only when asked for.

They are CSV files in ``tables/`` with the source of every row beside it. Charts
disagree on some sizes (a 1/2 in bolt: 9/16 or 17/32 in), so every value goes
with the name of its standard.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from cutplan.units import INCH, MM, Length

FITS = ("close", "medium", "loose")
"""Fits of a clearance hole, ISO 273 calling them fine, medium and coarse, ASME B18.2.8 close, normal and loose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Clearance holes of one bolt. ``diameters`` runs beside :data:`FITS`. [nm]"""

    standard: str
    diameters: tuple[Length, Length, Length]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A thread and the drill for tapping it.

    ``pitch`` is in mm for metric threads and in threads per inch for the others, as it is written. ``drill`` in nm.
    """

    bolt: str
    pitch: str
    drill: Length
    standard: str


def _rows(table: str) -> list[dict[str, str]]:
    # Both imports cost milliseconds that a command which looks up no hole should not pay.
    import csv
    from importlib.resources import files

    text = (files("cutplan.drilling") / "tables" / table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _length(text: str, unit: str) -> Length:
    """``1 1/32`` or ``0.201`` in the unit of the row, exactly."""
    size = sum((Fraction(word) for word in text.split()), Fraction(0)) * (MM if unit == "mm" else INCH)
    if size.denominator != 1:
        raise ValueError(f"{text} {unit} is finer than a nanometre")
    return int(size)


@cache
def clearances() -> dict[str, Clearance]:
    """Clearance holes by bolt: ``M12``, ``1/2``, ``#10``."""
    return {
        row["bolt"]: Clearance(
            standard=row["standard"],
            diameters=(
                _length(row["close"], row["unit"]),
                _length(row["medium"], row["unit"]),
                _length(row["loose"], row["unit"]),
            ),
        )
        for row in _rows("clearance.csv")
    }


@cache
def threads() -> tuple[Thread, ...]:
    """Threads that can be tapped; the first of a bolt is its coarse one."""
    return tuple(
        Thread(
            bolt=row["bolt"],
            pitch=row["pitch"],
            drill=_length(row["drill"], row["unit"]),
            standard=row["standard"],
        )
        for row in _rows("tapped.csv")
    )


@cache
def named_drills() -> tuple[tuple[str, Length], ...]:
    """Number and letter drills with their diameters. [nm]"""
    return tuple((row["name"], _length(row["inches"], "in")) for row in _rows("drills.csv"))
