"""Sums the drawing leaves out: a brace in an opening, the parts of a frame, equal spacing.

Each sum works in whole nanometres, shows its formula step by step and names the parts it asks for. Nothing here
knows of lists or plans: ``writing`` puts the parts into a list.
"""

from cutplan.calculators.answer import Answer, Piece, Step, Sum
from cutplan.calculators.brace import brace
from cutplan.calculators.frame import frame
from cutplan.calculators.gate import braced, gate
from cutplan.calculators.openings import SIZE_FORMS, parse_size
from cutplan.calculators.spacing import spacing, spacing_at_most

__all__ = [
    "SIZE_FORMS",
    "Answer",
    "Piece",
    "Step",
    "Sum",
    "brace",
    "braced",
    "frame",
    "gate",
    "parse_size",
    "spacing",
    "spacing_at_most",
]
