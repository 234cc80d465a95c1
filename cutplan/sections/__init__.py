"""Sections: families, spelling of designations, and area, mass and surface per metre.

The room's one face. No table is read before a section asks for it.
"""

from cutplan.sections.catalogue import known_families, sizes
from cutplan.sections.figures import Detail
from cutplan.sections.gauges import GAUGES
from cutplan.sections.names import Notation
from cutplan.sections.reading import details_of, finish_in_name, read_section
from cutplan.sections.section import Family, Section
from cutplan.sections.standards import STANDARDS, read_standard

__all__ = [
    "GAUGES",
    "STANDARDS",
    "Detail",
    "Family",
    "Notation",
    "Section",
    "details_of",
    "finish_in_name",
    "known_families",
    "read_section",
    "read_standard",
    "sizes",
]
