"""What every reader of section names shares: the name as understood, and the words that name no family."""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.sections.own import OwnSection
from cutplan.sections.section import Family
from cutplan.units import MM, Length, mm_text, tidy_text

LONGEST_NAME = 80

ACCEPTED = "a family word and its dimensions, such as SHS 40x40x3, CHS 48.3x3.2, EA 50x50x5, FL 50x6 or RD 16"

MOST_OFFERED = 4
"""Readings that a refusal offers at once."""

FINISHES = {
    "BRIGHT": "bright",
    "BLACK": "black",
    "GALVANISED": "galvanised",
    "GALVANIZED": "galvanised",
    "GALV": "galvanised",
    "GAL": "galvanised",
    "PRIMED": "primed",
}
"""Words of a finish that may stand inside a name."""

FILLERS = frozenset({"MS", "MILD", "STEEL", "IRON", "WALL", "THICK", "THK"})
"""Words that change nothing."""

_SPECIAL = str.maketrans({"×": "X", "✕": "X", "*": "X", "Ø": " DIA ", "⌀": " DIA ", "∅": " DIA "})

# Outside diameters that no whole number names. Read: EN 10255 (tuspipe.com), and the round tube rows of the UK
# tables for the last three.
_TUBE_DIAMETERS = tuple(
    int(tenths) * MM // 10 for tenths in (213, 269, 337, 424, 483, 603, 761, 889, 1143, 1397, 1683, 2191)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notation:
    """How one workshop writes names, and the materials and sections of its own.

    Parameters
    ----------
    decimal_comma
        True where a comma between digits is the decimal sign.
    gauge
        The gauge table its merchant means, a name in :data:`cutplan.sections.gauges.GAUGES`; blank when it named none.
    materials
        Materials of its own by their names, with densities in kg/m3.
    own
        Sections of its own.
    """

    decimal_comma: bool = False
    gauge: str = ""
    materials: tuple[tuple[str, int], ...] = ()
    own: tuple[OwnSection, ...] = ()


PLAIN = Notation()


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A designation as understood; dimensions as in the name, in nm.

    Parameters
    ----------
    height, width
        Outside dimensions, height >= width; equal for square and round; for a flat the wide side and the thickness;
        0 where ``label`` names a size of a table.
    thickness
        Wall, leg or flat thickness; the side or diameter of a solid bar; 0 with a ``label``.
    finish
        The finish word typed in the name, lower case; blank when there is none.
    standard
        The standard that the name itself means (HSS, ISA, UB 203x133x25); blank otherwise.
    label
        The one spelling of a size that only a table can tell the dimensions of: UPN 100, PIPE 40 NB medium.
    only_there
        True when the name is understood only where line or workshop say ``standard``, because it means another
        section elsewhere.
    material
        What it is made of; blank for carbon steel.
    """

    family: Family
    height: Length = 0
    width: Length = 0
    thickness: Length = 0
    finish: str = ""
    standard: str = ""
    label: str = ""
    only_there: bool = False
    material: str = ""

    @property
    def designation(self) -> str:
        """The one spelling; the parser reads it back to the same family, dimensions and material."""
        return f"{self.size} {self.material}".rstrip()

    @property
    def size(self) -> str:
        """The designation without the material, as the tables list it."""
        if self.label:
            return self.label
        sizes = {
            Family.CHS: (self.height, self.thickness),
            Family.FLAT: (self.height, self.thickness),
            Family.SQUARE: (self.height,),
            Family.ROUND: (self.height,),
            Family.HEXAGON: (self.height,),
        }.get(self.family, (self.height, self.width, self.thickness))
        texts = [mm_text(size) for size in sizes]
        if self.family is Family.CHS and meant_diameter(self.height):
            texts[0] += ".0"
        return f"{self.family.value} {'x'.join(texts)}"


def meant_diameter(diameter: Length) -> Length:
    """The listed diameter that a whole number of millimetres is a slip of; 0 when it is none. [nm]"""
    if diameter % MM:
        return 0
    return next((listed for listed in _TUBE_DIAMETERS if abs(listed - diameter) <= MM // 2), 0)


def plain_capitals(text: str) -> str:
    """A name in capitals, with one sign between dimensions and one kind of quote mark and blank."""
    return tidy_text(text).upper().translate(_SPECIAL).replace("O.D.", "OD")
