"""The drills a workshop has: sets by name, single sizes, and which of them makes a hole."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable
from functools import cache, partial

from cutplan.drilling.drills import Drill, inch_set
from cutplan.drilling.size_tables import named_drills
from cutplan.problems import Refused
from cutplan.units import INCH, INCHES, MM, Length, length_text, names_unit, parse_length

OWN_FORMS = (
    "sets or sizes with semicolons between, such as metric by 0.5; 6.8 mm; 1/2 in: metric by 0.5, metric by 0.1, "
    "inch by 64ths, letters and numbers"
)


def _metric(step: int) -> Iterable[Length]:
    """From 1 to 13 mm, the chuck of a hand drill; steps in tenths."""
    return (tenth * MM // 10 for tenth in range(10, 131, step))


def _sixty_fourths() -> Iterable[Length]:
    return (size * INCH // 64 for size in range(4, 33))  # 1/16 to 1/2 in


def _letters_and_numbers() -> Iterable[Length]:
    return (size for _, size in named_drills())


_SETS: dict[str, Callable[[], Iterable[Length]]] = {
    "metric by 0.5": partial(_metric, 5),
    "metric by 0.1": partial(_metric, 1),
    "inch by 64ths": _sixty_fourths,
    "letters and numbers": _letters_and_numbers,
}
"""Sets as they are sold in a box. Their ends are common practice, no source."""


@cache
def own_drills(text: str, unit: str = "mm") -> tuple[Drill, ...]:
    """The drills named in a text, thinnest first; none of a blank one.

    Parameters
    ----------
    text
        Names of sets and sizes, with semicolons between: ``metric by 0.5; 6.8; 1/2 in``.
    unit
        Of a bare size.

    Raises
    ------
    Refused
        When a word names neither a set nor a size.
    """
    inches = {drill.diameter: drill.name for drill in inch_set()}
    found: dict[Length, str] = {}
    for word in filter(None, (" ".join(word.split()) for word in text.split(";"))):
        known = _SETS.get(word.lower())
        try:
            sizes = list(known()) if known else [parse_length(word, unit)]
        except Refused as refused:
            raise Refused(word, OWN_FORMS, refused.hint, code="workshop.drills") from None
        metric = word.lower().startswith("metric") if known else "mm" in word or (unit == "mm" and not names_unit(word))
        for size in sizes:
            found.setdefault(size, length_text(size) if metric else inches.get(size, length_text(size, INCHES)))
    return tuple(Drill(name, size) for size, name in sorted(found.items()))


def that_makes(diameter: Length, drills: tuple[Drill, ...]) -> tuple[Drill | None, Drill | None]:
    """The thinnest drill in whose hole nothing binds, not thinner than the hole, and the next size up. [nm]

    None where the workshop has none so wide.
    """
    at = bisect_left([drill.diameter for drill in drills], diameter)
    first, second = (*drills[at : at + 2], None, None)[:2]
    return first, second
