"""Multipliers of merchants' prices at which what an order costs at least is highest.

That bound is a concave function of the multipliers: the least, over all LP
solutions, of what each costs, which is linear in them. Each solution met gives a
plane that lies nowhere below it, with the slope spend less minimum order along
each merchant's axis; the next multipliers are where the lowest of the planes
known is highest. Planes only say where to look, so that floats do no harm: every
bound is shown at its own multipliers.

References
----------
A. M. Geoffrion, Lagrangean relaxation for integer programming, Mathematical
Programming Study 2 (1974), cited from memory.
J. Kelley, The cutting-plane method for solving convex programs, Journal of the
Society for Industrial and Applied Mathematics 8 (1960), cited from memory.
"""

from __future__ import annotations

from fractions import Fraction

from cutplan.solving import Multipliers, Order, OrderLp, highest


def best_lp(order: Order, cutoff: float) -> OrderLp | None:
    """The LPs of an order at the best multipliers met; None when a limit struck before the first was solved.

    ``cutoff`` is a bound above which more is of no use.
    """
    names = sorted(order.minimums)
    minimums = order.minimums
    # At 1 prices count in full and minimum orders not at all.
    at: Multipliers = dict.fromkeys(names, Fraction(1))
    best: OrderLp | None = None
    heights: list[float] = []
    slopes: list[list[float]] = []
    for _ in range(order.parameters.planes):
        lp = order.at(at)
        if lp is None:
            break
        if best is None or lp.bound > best.bound:
            best = lp
        slope = [lp.spends[name] - minimums[name] for name in names]
        if best.bound >= cutoff or not names:
            break
        heights.append(lp.bound - sum(float(at[name]) * steep for name, steep in zip(names, slope, strict=True)))
        slopes.append(slope)
        found = highest(heights, slopes)
        if found is None or found[1] <= best.bound + order.parameters.plane_gap * abs(best.bound):
            break
        # Every multiplier from 0 to 1 bounds, so that a short fraction nearby is as true, and the checker can be exact.
        at = {
            name: Fraction(x).limit_denominator(order.parameters.multiplier_denominator)
            for name, x in zip(names, found[0], strict=True)
        }
    return best
