"""How much the tests try: a share in every run, all of it in the thorough run that ``.ci/run`` makes.

Examples and seeds come in a fixed order or from a fixed start, so that what a plain run tries is part of what the
thorough one does.
"""

from __future__ import annotations

import os

THOROUGH = os.environ.get("CUTPLAN_TESTS") == "thorough"
SHARE = 5
"""A plain run tries one in so many."""
FEWEST = 10


def examples(most: int) -> int:
    """How many examples hypothesis makes where a thorough run makes so many."""
    return most if THOROUGH else max(min(most, FEWEST), most // SHARE)


def seeds(most: int) -> range:
    """Seeds of a parametrised test of which a thorough run tries so many."""
    return range(examples(most))
