"""Whether keys did better in so many draws that luck would seldom do it: a sign test over draws with the same jobs."""

from __future__ import annotations

from collections.abc import Sequence

SELDOM = 20
"""Keys that change nothing may be advised by luck once in so many seasons: the level of 5 % that most tests take."""


def fewest(sets: int) -> int:
    """In how many draws the best of some sets of keys has to do better before it is advised.

    Parameters
    ----------
    sets
        Sets of keys beside the workshop as it is, at least one.

    Returns
    -------
    int
        The least n with ``sets / 2**n <= 1 / SELDOM``. Keys that change nothing do better in a draw as often as worse,
        so that they do better in each of n draws once in 2**n seasons; of some sets one does at most so many times as
        often (Bonferroni), although they see the same draws.

    References
    ----------
    W. J. Conover, Practical Nonparametric Statistics, 3rd edition (1999), section 3.4, the sign test; from memory.
    """
    return (SELDOM * sets - 1).bit_length()


def better_throughout(differences: Sequence[int], sets: int) -> bool:
    """Is it less in enough draws, and more in none? Draws that are alike say nothing, as in any sign test."""
    return max(differences) <= 0 and times_less(differences) >= fewest(sets)


def times_less(differences: Sequence[int]) -> int:
    """In how many draws it is less."""
    return sum(each < 0 for each in differences)


def once_in(better: int, sets: int) -> int:
    """Of so many seasons at least, in one the best of some sets of keys that change nothing does so well by luck."""
    return (1 << better) // sets
