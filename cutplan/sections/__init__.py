"""Sections: families, spelling of designations, and area, mass and surface per metre.

The room's one face. No table is read before a section asks for it.
"""

from cutplan.sections.catalogue import known_families, sizes
from cutplan.sections.dimensioned import LARGEST_SIDE
from cutplan.sections.gauges import GAUGES
from cutplan.sections.materials import MATERIALS, material_of_grade
from cutplan.sections.names import LONGEST_NAME, Notation
from cutplan.sections.own import OwnSection, folded_strip, same_name
from cutplan.sections.reading import details_of, finish_in_name, material_in_name, read_section
from cutplan.sections.section import Family, Section
from cutplan.sections.standards import STANDARDS, read_standard
from cutplan.sections.values import Detail

__all__ = [
    "GAUGES",
    "LARGEST_SIDE",
    "LONGEST_NAME",
    "MATERIALS",
    "STANDARDS",
    "Detail",
    "Family",
    "Notation",
    "OwnSection",
    "Section",
    "details_of",
    "finish_in_name",
    "folded_strip",
    "known_families",
    "material_in_name",
    "material_of_grade",
    "read_section",
    "read_standard",
    "same_name",
    "sizes",
]
