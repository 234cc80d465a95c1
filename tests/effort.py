"""How much the tests try: a share in every run, all of it in the thorough run that ``.ci/run`` makes.

Examples and seeds come in a fixed order or from a fixed start, so that what a plain run tries is part of what the
thorough one does.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import Any, TypeVar

import pytest

T = TypeVar("T")

FRESH = os.environ.get("CUTPLAN_TESTS") == "fresh"
"""As thorough, with examples of hypothesis that were not drawn before."""
THOROUGH = FRESH or os.environ.get("CUTPLAN_TESTS") == "thorough"
SHARE = 60
"""A plain run tries one in so many."""
FEWEST = 2
"""And so many at least."""


def examples(most: int, plain: int = 0) -> int:
    """How many examples hypothesis makes where a thorough run makes so many; ``plain`` where one takes seconds."""
    return most if THOROUGH else plain or max(min(most, FEWEST), most // SHARE)


def some(cases: Iterable[T], *plain: T) -> list[Any]:
    """Cases of a parametrised test, of which a plain run tries those named and a thorough one all."""
    marks = pytest.mark.thorough
    return [case if case in plain else pytest.param(case, marks=marks) for case in cases]


def some_rows(rows: Iterable[tuple[Any, ...]], *plain: tuple[Any, ...]) -> list[Any]:
    """The same where a case has several values."""
    return [pytest.param(*row, marks=() if row in plain else pytest.mark.thorough) for row in rows]


def runs(numbers: range, of: int = 20) -> list[range]:
    """Seeds in runs, for what is worked out faster than one more test is begun, told and ended."""
    return [numbers[first : first + of] for first in range(0, len(numbers), of)]


def seeds(most: int) -> range:
    """Seeds of a parametrised test of which a thorough run tries so many, and a plain one a first at least.

    The first example of hypothesis is its plainest, so of those it takes two; any seed is as good as the next.
    """
    return range(examples(most, max(1, most // SHARE)))
