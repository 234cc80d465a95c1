"""Plans with lengths cut for the carry, each changed in one place: the checker finds what no longer holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from cutplan.checking import check
from cutplan.checking.carry_pieces import bounded_source, can_be_had
from cutplan.model import CutBar, EndState, Goal, Job, Merchant, PieceOf, Plan, groups_of
from cutplan.planning import plan_job
from cutplan.units import CURRENCY, MM
from tests.builders import job, offcut, offer, part

TERMS = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=2 * CURRENCY)
MADE = job(
    [part("A", 3, 3900)], [offer("#1", 8000, 64)], kerf=2, end_trim=10, keep=300, longest_carry=4000, merchants=[TERMS]
)
PLAN = plan_job(MADE)
"""Two lengths: three pieces with a part each, and one that is left whole."""

Change = Callable[[CutBar], CutBar]


def changed(change: Change, at: Callable[[CutBar], bool] = lambda bar: True) -> Plan:
    """The plan with some of its bars changed."""
    (group,) = PLAN.groups
    bars = tuple(change(bar) if at(bar) else bar for bar in group.bars)
    return replace(PLAN, groups=(replace(group, bars=bars),))


def whole(bar: CutBar) -> bool:
    """Is it left whole?"""
    return not bar.cuts


def ordered(*lengths: int) -> Change:
    """Its pieces are ordered by these. [mm]"""

    def to(bar: CutBar) -> CutBar:
        assert bar.piece_of is not None
        return replace(bar, piece_of=replace(bar.piece_of, ordered=tuple(length * MM for length in lengths)))

    return to


def test_the_plan_holds() -> None:
    assert check(MADE, PLAN) == ()
    assert len(PLAN.groups[0].bars) == 4
    assert sum(map(whole, PLAN.groups[0].bars)) == 1
    assert PLAN.cost == 2 * 66 * CURRENCY


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (changed(ordered(3997, 3999)), "come to 7999 mm, it is counted on for 8000 mm"),
        (changed(ordered(3990, 4007)), "a piece of 4007 mm is longer than can be carried, 4000 mm at most"),
        (changed(lambda bar: replace(bar, piece_of=None), lambda bar: bool(bar.cuts)), "longer than the longest carry"),
        (changed(lambda bar: replace(bar, length=bar.length + MM)), "gives"),
        (changed(lambda bar: replace(bar, slack=0), whole), "has a slack of 0 mm stated, nothing is cut"),
        (changed(lambda bar: replace(bar, cost=bar.cost - 2 * CURRENCY), lambda bar: bar.buys), "by its price"),
        (changed(lambda bar: replace(bar, drop=replace(bar.drop, end=MM)), whole), "its left over runs from"),
        (changed(lambda bar: replace(bar, drop=replace(bar.drop, far_end=EndState.SAWN))), "it is mill"),
    ],
)
def test_what_no_longer_holds_is_found(plan: Plan, said: str) -> None:
    assert any(said in text for text in check(MADE, plan)), check(MADE, plan)


def test_a_piece_that_nobody_bought() -> None:
    (group,) = PLAN.groups
    bars = tuple(replace(bar, number=n) for n, bar in enumerate((b for b in group.bars if not whole(b)), 1))
    failures = check(MADE, replace(PLAN, groups=(replace(group, bars=bars),)))
    assert any("piece 1 is there" in text for text in failures)


def test_a_piece_of_an_offcut() -> None:
    made = job([part("A", 1, 500)], [], [offcut("R1", 800)])
    plan = plan_job(made)
    (group,) = plan.groups
    bars = tuple(replace(bar, piece_of=PieceOf(ordered=(400 * MM, 400 * MM), number=1)) for bar in group.bars)
    assert any("no merchant cuts" in text for text in check(made, replace(plan, groups=(replace(group, bars=bars),))))


def test_more_lengths_than_there_are() -> None:
    few = replace(MADE, offers=(replace(MADE.offers[0], available=1),))
    assert any("is used 2 times, there are 1" in text for text in check(few, PLAN))


@pytest.mark.parametrize(
    "terms",
    [
        replace(TERMS, cuts_to_carry=False),
        replace(TERMS, carry_cut_charge=3 * CURRENCY),
        replace(TERMS, carry_kerf=4 * MM),
        replace(TERMS, carry_tolerance=6 * MM),
        replace(TERMS, carry_cuts_squared=False),
    ],
)
def test_other_terms_are_another_plan(terms: Merchant) -> None:
    assert check(replace(MADE, workshop=replace(MADE.workshop, merchants=(terms,))), PLAN)


def test_a_bound_sees_all_pieces_as_one_bar() -> None:
    (group,) = groups_of(MADE)
    seen = bounded_source(MADE, group, MADE.offers[0], Goal.MONEY, ())
    # A cut of 3 mm, twice 5 mm that may be missing, four ends trimmed by 10 mm, and the kerf of one part more.
    assert (seen.length, seen.start_trim, seen.far_trim, seen.more_room) == (7987 * MM, 20 * MM, 20 * MM, 2 * MM)
    assert (seen.price, seen.pieces) == (66 * CURRENCY, 2)


def test_what_can_be_had() -> None:
    def at(**settings: object) -> bool:
        shop = replace(MADE.workshop, **settings)  # type: ignore[arg-type]
        made: Job = replace(MADE, workshop=shop)
        return can_be_had(made, groups_of(made)[0], made.offers[0])

    assert at()
    assert at(longest_carry=0)
    assert at(merchants=(Merchant(name="Yard", delivers=True),))
    assert not at(merchants=())
    assert not at(longest_carry=20 * MM)
