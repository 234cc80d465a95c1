"""Hypothesis strategies for tiny jobs with every rule switched on now and then."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from cutplan.model import (
    NO_WORK,
    SQUARE_READS,
    Allowance,
    Clamp,
    Hole,
    Job,
    Lean,
    Merchant,
    Offcut,
    Part,
    Purpose,
    StockLength,
    Swings,
    Work,
)
from tests.builders import job, mm, offcut, offer, part, square_tube, workshop

PART_LENGTHS: tuple[float | str, ...] = (80, 95, 110, "150.5", 200, 333, 400, 500, 700, 1000, 1250)
BAR_LENGTHS = (600, 1000, 1250, 1500, 2000)
BOOK_VALUES: tuple[float | str, ...] = (0, 1, "2.5")
GRADES = ("", "", "S355")
MERCHANTS = ("Northgate", "Yard")


@st.composite
def parts(draw: st.DrawFn, mark: str, most: int) -> Part:
    quantity, length = draw(st.integers(1, most)), draw(st.sampled_from(PART_LENGTHS))
    middle = Hole(position=mm(length) // 2, face=1, across=mm(15), diameter=mm(6), name="M5 clear", standard="made up")
    mitres = draw(st.sampled_from([(0, 0), (0, 0), (45, 0), (0, 22.5), (45, 45)]))
    to_fit = draw(st.sampled_from([(), (), (), (Allowance(purpose=Purpose.FIT, length=mm(15)),)]))
    if any(mitres):
        to_fit = ()  # the shortest mitred part has nothing to spare
    return part(
        mark,
        quantity,
        length,
        mitres=mitres,
        lean=draw(st.sampled_from(Lean)) if all(mitres) else Lean.OPPOSITE,
        allowances=to_fit,
        grade=draw(st.sampled_from(GRADES)),
        section=draw(st.sampled_from([square_tube()] * 3 + [square_tube(30)])),
        assembly=draw(st.sampled_from(["", "frame", "gate"])),
        holes=draw(st.sampled_from([(), (), (middle,), (middle, replace(middle, face=2, diameter=0, row=7))])),
    )


@st.composite
def offers(draw: st.DrawFn, id: str, side: int) -> StockLength:
    return offer(
        id,
        draw(st.sampled_from(BAR_LENGTHS)),
        draw(st.one_of(st.integers(0, 20), st.sampled_from(["6.45", "7.5"]), st.none() if side == 30 else st.just(5))),
        section=square_tube(side),
        grade=draw(st.sampled_from(GRADES)),
        merchant=draw(st.sampled_from(MERCHANTS)),
        available=draw(st.sampled_from([None, None, None, 1, 3])),
    )


@st.composite
def offcuts(draw: st.DrawFn, mark: str) -> Offcut:
    return offcut(
        mark,
        draw(st.sampled_from(PART_LENGTHS)),
        draw(st.sampled_from(BOOK_VALUES)),
        ends=draw(st.sampled_from(["sawn sawn", "mill sawn", "sawn mill", "mill mill"])),
        section=square_tube(draw(st.sampled_from([40, 40, 30]))),
        grade=draw(st.sampled_from(GRADES)),
    )


@st.composite
def tiny_jobs(draw: st.DrawFn, *, most_parts: int = 3, most_pieces: int = 3) -> Job:
    """A job of a few parts in one or two sections; it may have no plan."""
    kerf = draw(st.sampled_from([0, 2.5, 3]))
    at = workshop(
        kerf=kerf,
        end_trim=draw(st.sampled_from([0, 10])),
        end_trim_includes_cut=draw(st.booleans()),
        mill_ends_accepted=draw(st.booleans()),
        safe_hold=draw(st.sampled_from([0, 0, 120, 220])),
        clamp=draw(st.sampled_from(Clamp)),
        square_reads=draw(st.sampled_from(SQUARE_READS)),
        swings=draw(st.sampled_from(Swings)),
        keep=draw(st.sampled_from([0, 150, 300])),
        offcut_value_per_mm=draw(st.sampled_from([0, 0, 1500])),
        merchants=[
            Merchant(
                name="Northgate",
                delivery=draw(st.sampled_from([0, 4_000_000])),
                minimum_order=draw(st.sampled_from([0, 25_000_000])),
                cuts_to_plan=draw(st.booleans()),
                cut_charge=500_000,
            )
        ],
        longest_carry=draw(st.sampled_from([0, 0, 1500])),
        most_kept=draw(st.sampled_from([None, None, 0, 1])),
        work=draw(st.sampled_from([NO_WORK, NO_WORK, Work(per_bar=300_000, per_cut=250_000, per_setup=400_000)])),
    )
    return job(
        [draw(parts(f"P{number}", most_pieces)) for number in range(1, draw(st.integers(1, most_parts)) + 1)],
        [
            draw(offers(f"A{number}", side))
            for side in (40, 50)
            for number in [side, side + 1][: draw(st.integers(1, 2))]
        ],
        [draw(offcuts(f"R{number}")) for number in range(1, draw(st.integers(0, 2)) + 1)],
        at=at,
    )


STEPS = st.sampled_from([1, mm("0.1"), mm(7), mm(331)])
"""Working steps: exact, exact for these jobs, one that divides no length of them, and one longer than many parts."""
