"""Sizes of holes as typed, what standards say of them, and the drills that come nearest.

From the bottom: ``tables`` (data with its source), ``sizes`` (``M12 clear`` to
a diameter), ``drills`` (the nearest of a metric and of an inch set).
"""

from cutplan.drilling.drills import Drill, nearest_inch, nearest_metric
from cutplan.drilling.sizes import HOLE_FORMS, HoleSize, read_hole_size

__all__ = ["HOLE_FORMS", "Drill", "HoleSize", "nearest_inch", "nearest_metric", "read_hole_size"]
