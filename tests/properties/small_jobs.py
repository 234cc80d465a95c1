"""Random small jobs with every rule of a bar switched on, for hypothesis.

Lengths are millimetres until a job is built. Small enough that every way of
cutting can be tried; nasty enough that trims, kerf, mitres, safe hold, keep
length, grades, availability and merchants' charges all decide something.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from cutplan.model import NO_WORK, Brought, Clamp, Job, Merchant, Offcut, Part, StockLength, Work
from cutplan.units import CURRENCY
from tests import builders

PART_GRADES = ("", "", "", "S235", "S235", "S355")
BAR_GRADES = ("S235", "S235", "S355", "")
ENDS = ("mill mill", "mill sawn", "sawn mill", "sawn sawn")

WORK = st.builds(
    Work,
    per_bar=st.sampled_from([0, 0, CURRENCY // 2]),
    per_cut=st.sampled_from([0, 0, CURRENCY // 4, 3 * CURRENCY]),
    per_setup=st.sampled_from([0, 0, CURRENCY // 4, 2 * CURRENCY]),
)
"""What work counts for: nothing, a little, or enough to change which set is best."""


@dataclass(frozen=True)
class Sizes:
    """How large a random job may get."""

    parts: int = 3
    pieces: int = 6
    offers: int = 3
    offcuts: int = 2


@st.composite
def parts(draw: st.DrawFn, sizes: Sizes, side: int, first: int) -> list[Part]:
    """Parts of one tube, short ones among them, some mitred."""
    left = sizes.pieces
    found: list[Part] = []
    for number in range(draw(st.integers(1, sizes.parts))):
        if left == 0:
            break
        quantity = draw(st.integers(1, left))
        left -= quantity
        mitres = draw(st.sampled_from([(0, 0), (0, 0), (45, 0), (45, 45), (0, 22.5)]))
        length: Any = draw(st.one_of(st.integers(2 * side, 800), st.sampled_from(["187.5", "303.2", 500, 600, 1000])))
        found.append(
            builders.part(
                f"M{first + number}",
                quantity,
                length,
                mitres=mitres,
                grade=draw(st.sampled_from(PART_GRADES)),
                spares=draw(st.sampled_from([0, 0, 2])),
                section=builders.square_tube(side),
            )
        )
    return found


@st.composite
def offers(draw: st.DrawFn, sizes: Sizes, side: int, rate: int, priced: bool) -> list[StockLength]:
    """Stock lengths; where left overs have a value, a longer length costs more than the length it adds is worth.

    The first is long enough for most parts and there are as many as it takes, so that most jobs have a plan.
    """
    found = []
    shorter = st.one_of(st.integers(600, 1400), st.just(1000))
    lengths = draw(st.lists(shorter, max_size=sizes.offers - 1, unique=True))
    plenty = draw(st.integers(1000, 1150).filter(lambda length: length not in lengths))
    lengths = sorted([*lengths, plenty])
    price = 0
    before = 0
    for number, length in enumerate(lengths):
        if rate:
            price += (length - before) * rate + draw(st.integers(1, 4 * CURRENCY))
        else:
            price = draw(st.integers(1, 40)) * CURRENCY // 4
        before = length
        found.append(
            builders.offer(
                f"P{side}-{number}",
                length,
                f"{price / CURRENCY:.6f}" if priced else None,
                merchant=draw(st.sampled_from(["Yard", "Depot", "Wharf"])),
                grade="S235" if length == plenty else draw(st.sampled_from(BAR_GRADES)),
                available=None if length == plenty else draw(st.sampled_from([None, 1, 2, 3])),
                counted=length - draw(st.sampled_from([0, 0, 5])),
                section=builders.square_tube(side),
            )
        )
    return found


@st.composite
def offcuts(draw: st.DrawFn, sizes: Sizes, side: int, rate: int) -> list[Offcut]:
    """Offcuts with a book value above, at or below what their length is worth, old ones with none at all."""
    found = []
    for number in range(draw(st.integers(0, sizes.offcuts))):
        length = draw(st.integers(150, 1100))
        quantity = draw(st.sampled_from([1, 1, 1, 2, 3]))
        over = draw(st.integers(0, 3)) * CURRENCY + length * rate
        book = draw(st.sampled_from([over, over, length * rate // 2, 0]))
        found.append(
            builders.offcut(
                f"K{side}-{number}",
                length,
                f"{book / CURRENCY:.6f}",
                ends=draw(st.sampled_from(ENDS)),
                grade=draw(st.sampled_from(BAR_GRADES)),
                quantity=quantity,
                section=builders.square_tube(side),
            )
        )
    return found


@st.composite
def jobs(draw: st.DrawFn, sizes: Sizes = Sizes(), *, merchants: bool = True, sections: int = 1) -> Job:
    """A whole small job; a plan need not exist."""
    kerf = draw(st.sampled_from(["0", "2.5", "3", "3.175"]))
    includes = draw(st.booleans())
    rate = draw(st.sampled_from([0, 0, 700]))
    terms = []
    if merchants:
        money = st.sampled_from([0, 0, 2 * CURRENCY, 15 * CURRENCY])
        terms = [
            Merchant(
                name=name,
                delivers=draw(st.booleans()),
                brought=Brought.DELIVERED,
                delivery=draw(money),
                minimum_order=draw(money),
                free_delivery_from=draw(money),
                cuts_to_plan=draw(st.booleans()),
                cut_charge=draw(money) // 4,
            )
            for name in ("Depot", "Wharf")
        ]
    at = builders.workshop(
        kerf=kerf,
        end_trim=draw(st.sampled_from([0, 10])),
        end_trim_includes_cut=includes,
        mill_ends_accepted=draw(st.sampled_from([False, False, True])),
        safe_hold=draw(st.sampled_from([0, 120, 250])),
        clamp=draw(st.sampled_from(list(Clamp))),
        keep=draw(st.sampled_from([0, 100, 300])),
        offcut_value_per_mm=rate,
        merchants=terms,
        longest_carry=draw(st.sampled_from([0, 0, 1200])),
        most_kept=draw(st.sampled_from([None, None, 0, 1, 2])),
        work=draw(WORK) if draw(st.booleans()) else NO_WORK,
    )
    found_parts: list[Part] = []
    found_offers: list[StockLength] = []
    found_offcuts: list[Offcut] = []
    for side in (40, 50)[: draw(st.integers(1, sections))]:
        priced = draw(st.sampled_from([True, True, True, False]))
        found_parts += draw(parts(sizes, side, len(found_parts) + 1))
        found_offers += draw(offers(sizes, side, rate, priced))
        found_offcuts += draw(offcuts(sizes, side, rate))
    return builders.job(found_parts, found_offers, found_offcuts, at=at)
