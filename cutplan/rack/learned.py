"""What many measured bars and deliveries say of a kerf and of how short lengths come; few say nothing yet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutplan.model import Workshop
from cutplan.rack.measuring import BarMeasured, LengthDelivered
from cutplan.units import MM, Length, round_half_up

FEWEST = 5
"""Below so many bars, or lengths, nothing is suggested: one slip of the tape would be a fifth of what is known."""

_TENTH: Length = MM // 10
_NEAR = Fraction(1, 10)
"""What is shorter or longer by more than that part of its nominal length is another length, not a poor one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KerfFound:
    """What one cut of a saw took. [nm]

    Parameters
    ----------
    saw
        Its name, blank where there is one.
    now
        The kerf that the workshop file has.
    middle, low, high
        The median over all cuts, each having what the cuts of its bar took on average, and what the middle half of them
        lies between.
    bars, cuts
        What that rests on.
    better
        What the workshop file should say, up to a tenth of a millimetre; None while there are too few bars, or the
        kerf it has lies in the middle half.
    """

    saw: str
    now: Length
    middle: Length
    low: Length
    high: Length
    bars: int
    cuts: int
    better: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthsFound:
    """How much longer than their nominal length those of a family came: the shortest, the median, the longest. [nm]

    ``counted`` is how many; ``now`` how much shorter the workshop file lets them come, and ``better`` what it should
    say. That is never less than it says: that none of a few came short does not keep the next from it.
    """

    family: str
    now: Length
    shortest: Length
    middle: Length
    longest: Length
    counted: int
    better: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What measurements say. ``passed_over`` bars were measured that tell nothing of a saw."""

    kerfs: tuple[KerfFound, ...] = ()
    lengths: tuple[LengthsFound, ...] = ()
    passed_over: int = 0


def learned(
    bars: Sequence[BarMeasured], passed_over: int, delivered: Sequence[LengthDelivered], workshop: Workshop
) -> Learned:
    """What was measured, held against the workshop as it is; saws and kerfs that it no longer has are left out."""
    by_blade: dict[tuple[str, Length], list[BarMeasured]] = {}
    for bar in bars:
        by_blade.setdefault((bar.saw, bar.kerf), []).append(bar)
    # Bars planned with another kerf than the file has by now may have been cut with another blade.
    blades = [(saw.name, saw.kerf) for saw in workshop.all_saws]
    kerfs = [_kerf(name, now, by_blade[name, now]) for name, now in blades if (name, now) in by_blade]
    tolerances = {family.value: length for family, length in workshop.minus_tolerance}
    lengths = []
    told = [each for each in delivered if _told(each)]
    for family in dict.fromkeys(each.family for each in told):
        over = [(each.length - each.nominal, each.quantity) for each in told if each.family == family]
        lengths.append(_lengths(family, tolerances.get(family, 0), over))
    return Learned(kerfs=tuple(kerfs), lengths=tuple(lengths), passed_over=passed_over)


def _told(each: LengthDelivered) -> bool:
    """Does a row of a sheet say how long it is? It is printed with the length counted on, which may just stand."""
    return each.length != each.counted and abs(each.length - each.nominal) <= _NEAR * each.nominal


def _kerf(saw: str, now: Length, bars: Sequence[BarMeasured]) -> KerfFound:
    # What is missing from a left over was shared out among the cuts before it. A bar with many cuts tells more of each,
    # and counts for so many.
    took = [(bar.kerf + Fraction(bar.expected - bar.found, bar.strokes), bar.strokes) for bar in bars]
    low, middle, high = (_at(took, Fraction(quarters, 4)) for quarters in (1, 2, 3))
    better = -(-middle // _TENTH) * _TENTH
    agrees = low <= now <= high or abs(better - now) < _TENTH or better <= 0
    return KerfFound(
        saw=saw,
        now=now,
        middle=round_half_up(middle),
        low=round_half_up(low),
        high=round_half_up(high),
        bars=len(bars),
        cuts=sum(bar.strokes for bar in bars),
        better=None if len(bars) < FEWEST or agrees else better,
    )


def _lengths(family: str, now: Length, over: Sequence[tuple[int, int]]) -> LengthsFound:
    counted = sum(quantity for _, quantity in over)
    shortest = min(length for length, _ in over)
    needed = -(shortest // MM) * MM
    return LengthsFound(
        family=family,
        now=now,
        shortest=shortest,
        middle=round_half_up(_at([(Fraction(length), quantity) for length, quantity in over], Fraction(1, 2))),
        longest=max(length for length, _ in over),
        counted=counted,
        better=needed if counted >= FEWEST and needed > now else None,
    )


def _at(values: Iterable[tuple[Fraction, int]], share: Fraction) -> Fraction:
    """The value below which no more than a share of all lies, each counted so many times: one half is the median."""
    ordered = sorted(values)
    rest = share * sum(count for _, count in ordered)
    for place, (value, count) in enumerate(ordered):
        rest -= count
        if rest < 0 or place == len(ordered) - 1:
            return value
        if rest == 0:
            return (value + ordered[place + 1][0]) / 2
    raise ValueError("no values")
