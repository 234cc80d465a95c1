"""Sizes of holes as typed, what standards say of them, and the drills that come nearest.

From the bottom: ``tables`` (data with its source), ``sizes`` (``M12 clear`` to
a diameter), ``drills`` (the nearest of a metric and of an inch set),
``own_drills`` (those a workshop has).
"""

from cutplan.drilling.drills import Drill, nearest_inch, nearest_metric
from cutplan.drilling.own_drills import OWN_FORMS, own_drills, that_makes
from cutplan.drilling.sizes import HOLE_FORMS, HoleSize, read_hole_size

__all__ = [
    "HOLE_FORMS",
    "OWN_FORMS",
    "Drill",
    "HoleSize",
    "nearest_inch",
    "nearest_metric",
    "own_drills",
    "read_hole_size",
    "that_makes",
]
