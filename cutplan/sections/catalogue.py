"""The sizes in the tables here, by family or series, so that a person can choose."""

from __future__ import annotations

from collections.abc import Callable

from cutplan.problems import Refused, nearest
from cutplan.sections.listed_sizes import listed_sizes
from cutplan.sections.names import PLAIN, Notation
from cutplan.sections.reading import read_section
from cutplan.sections.rolled import SERIES, shapes
from cutplan.sections.rolled import TEE as TEE_PREFIX
from cutplan.sections.section import ROLLED, Family, Section
from cutplan.sections.standards import US_HOLLOW, read_standard
from cutplan.sections.values import CARBON_STEEL_DENSITY
from cutplan.units import Length

_HOLLOW = (Family.SHS, Family.RHS, Family.CHS)
_GROUPS: dict[str, tuple[Family, ...]] = {
    **{family.value: (family,) for family in Family},
    "HSS": _HOLLOW,
    "ANGLE": (Family.EA, Family.UA),
    "FLAT": (Family.FLAT,),
    "SQUARE": (Family.SQUARE,),
    "ROUND": (Family.ROUND,),
    "HEXAGON": (Family.HEXAGON,),
    **{name: (family,) for family, names in SERIES.items() for name in names},
    "HE": (Family.BEAM,),
}
"""What a person may call a family or a series of it."""


def known_families() -> tuple[str, ...]:
    """The words that :func:`sizes` knows."""
    return tuple(_GROUPS)


def sizes(
    word: str,
    *,
    standard: str | None,
    standard_of: Callable[[Family], str],
    up_to: Length | None = None,
    density: int = CARBON_STEEL_DENSITY,
    notation: Notation = PLAIN,
) -> tuple[Section, ...]:
    """The listed sizes of a family or a series, smallest first.

    Parameters
    ----------
    word
        A family as the workshop file knows it, a series such as IPE, or HSS.
    standard
        Only those to this standard; None or blank for the usual one of the family, and for every standard that
        rolls the series.
    standard_of
        The usual standard of a family.
    up_to
        Only those with no outside dimension above it. [nm]
    density
        Of carbon steel. [kg/m3]
    notation
        With the workshop's own sections, which are the family OWN.

    Raises
    ------
    Refused
        When the word or the standard is not known.
    """
    name = word.strip().upper()
    families = _GROUPS.get(name)
    if families is None:
        raise Refused(word, f"one of {', '.join(_GROUPS)}", nearest(word, _GROUPS), code="family.unknown")
    found = []
    for family in families:
        if family in ROLLED:
            wanted = read_standard(standard, family) if standard else ""
            names = _rolled(family, name)
        else:
            wanted = read_standard(standard or (US_HOLLOW if name == "HSS" else standard_of(family)), family)
            listed = [own.name for own in notation.own] if family is Family.OWN else listed_sizes(family, wanted)
            names = [(designation, wanted) for designation in listed]
        for designation, made_to in names:
            if wanted in ("", made_to):
                section = read_section(
                    designation, standard=made_to, standard_of=standard_of, density=density, notation=notation
                )
                if up_to is None or max(section.height, section.width) <= up_to:
                    found.append(section)
    return tuple(
        sorted(found, key=lambda each: (each.family.value, each.standard, each.height, each.width, each.thickness))
    )


def _rolled(family: Family, name: str) -> list[tuple[str, str]]:
    """Designation and standard of the rolled shapes of a family, or of one series of it."""
    if family is Family.TEE:
        return [(f"{TEE_PREFIX}{shape.designation}", shape.standard) for shape in shapes(Family.BEAM).values()]
    series = ("HEA", "HEB", "HEM") if name == "HE" else (name,)
    return [
        (shape.designation, shape.standard)
        for shape in shapes(family).values()
        if name == family.value or shape.series in series
    ]
