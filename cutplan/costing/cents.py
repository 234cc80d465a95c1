"""Shares and cents that add up: rounded so that what is printed below them is their sum."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from cutplan.units import CENT, Money, round_half_up


def whole_numbers_of(exact: Sequence[Fraction | int]) -> list[int]:
    """Exact figures as whole numbers that add up to their exact sum, itself rounded half up once.

    Each is rounded down, and what then lacks goes by ones to those with the largest remainders, of equal ones to the
    first. So none is off by one or more.

    References
    ----------
    M. L. Balinski, H. P. Young, Fair Representation, 1982: the method of largest remainders (from memory).
    """
    floors = [math.floor(figure) for figure in exact]
    lacking = round_half_up(Fraction(sum(exact))) - sum(floors)
    order = sorted(range(len(exact)), key=lambda place: (floors[place] - exact[place], place))
    for place in order[:lacking]:
        floors[place] += 1
    return floors


def whole_cents(amounts: Sequence[Fraction | Money]) -> list[Money]:
    """Exact amounts as whole cents that add up to their sum: 40/3, 40/3 and 40/3 are 13.34, 13.33 and 13.33."""
    return [cents * CENT for cents in whole_numbers_of([Fraction(amount) / CENT for amount in amounts])]


def shares_of(amount: Money, weights: Sequence[int | Fraction]) -> list[Money]:
    """An amount in whole cents in proportion to weights, in whole cents; where all are 0 the first bears it."""
    return [cents * CENT for cents in whole_shares(amount // CENT, weights)]


def whole_shares(number: int, weights: Sequence[int | Fraction]) -> list[int]:
    """A whole number in proportion to weights, in whole numbers; where all are 0 the first bears it."""
    whole = sum(weights)
    if not whole:
        return [number, *(0 for _ in weights[1:])] if weights else []
    return whole_numbers_of([Fraction(number) * weight / whole for weight in weights])
