"""The drill of a metric and of an inch set that comes nearest to a hole."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import cache

from cutplan.drilling.size_tables import named_drills
from cutplan.units import INCH, INCHES, MM, Length, length_text


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill: its name as stamped on it, and its diameter. [nm]"""

    name: str
    diameter: Length


@cache
def metric_set() -> tuple[Drill, ...]:
    """Metric drills, thinnest first: by 0.1 mm from 1 to 14 mm, by 0.5 to 32, by 1 to 50.

    Common stock after DIN 338 (straight shank) and DIN 345 (taper shank); from memory.
    """
    tenths = [*range(10, 140), *range(140, 320, 5), *range(320, 501, 10)]
    return tuple(Drill(length_text(size * MM // 10), size * MM // 10) for size in tenths)


@cache
def inch_set() -> tuple[Drill, ...]:
    """Inch drills, thinnest first: numbers, letters and every 1/64 in from 1/16 to 2 in.

    Sizes after ASME B94.11M; from memory. Where a letter is a fraction as well (E is 1/4 in) the fraction is named.
    """
    sizes = {size * INCH // 64: length_text(size * INCH // 64, INCHES) for size in range(4, 129)}
    named = {size: f"{name} ({_thousandths(size)} in)" for name, size in named_drills() if size not in sizes}
    return tuple(Drill(name, size) for size, name in sorted({**sizes, **named}.items()))


def _thousandths(size: Length) -> str:
    return f"{size // (INCH // 10_000) / 10_000:.4f}".rstrip("0").ljust(5, "0")


def _nearest(diameter: Length, drills: tuple[Drill, ...]) -> Drill | None:
    """The nearest drill, of two equally near the larger; None beyond what drills of the set make."""
    sizes = [drill.diameter for drill in drills]
    if not sizes[0] - (sizes[1] - sizes[0]) < diameter < sizes[-1] + (sizes[-1] - sizes[-2]):
        return None
    above = bisect_left(sizes, diameter)
    near = drills[max(0, above - 1) : above + 1]
    return min(near, key=lambda drill: (abs(drill.diameter - diameter), -drill.diameter))


def nearest_metric(diameter: Length) -> Drill | None:
    """The nearest metric drill; None where no drill of :func:`metric_set` is near. [nm]"""
    return _nearest(diameter, metric_set())


def nearest_inch(diameter: Length) -> Drill | None:
    """The nearest inch drill; None where no drill of :func:`inch_set` is near. [nm]"""
    return _nearest(diameter, inch_set())
