"""The rest of a plan that was begun: bars stay unless that costs too much, and numbers go on.

Parts of 2900 and 1400 from lengths of 6000, with no kerf: two of 2900 leave 200, one of 2900 and two of 1400 leave 300.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutplan.checking import check
from cutplan.model import CutBar, Earlier, GivenCopy, Job, Plan, SourceKind, Status
from cutplan.planning import plan_job, rest_of
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import examples
from tests.hand_plans import hand_plan


def in_full(job: Job, share: float) -> Plan:
    """Without a limit there is nothing to share."""
    return plan_job(job)


OFFER = builders.offer("P", 6000, 60)
SHORT = builders.offer("Q", 3000, 32)


def begun(*bars: str) -> list[CutBar]:
    """Bars of an earlier plan, each by its parts: L of 2900, S of 1400."""
    wanted = "".join(bars)
    lengths = {"L": 2900, "S": 1400}
    parts = [builders.part(mark, wanted.count(mark), lengths[mark]) for mark in sorted(set(wanted))]
    return list(hand_plan(builders.job(parts, [OFFER]), *(("P", list(bar)) for bar in bars)).bars)


def lengths_held(number: int) -> list[object]:
    """Whole lengths that lie there for the job, paid for."""
    return [builders.offcut(f"A{n}", 6000, ends="mill mill") for n in range(1, number + 1)]


def job_of(long: int, short: int, held: int, **settings: object) -> Job:
    wanted = (("L", long, 2900), ("S", short, 1400))
    parts = [builders.part(mark, number, length) for mark, number, length in wanted if number]
    return builders.job(parts, [OFFER, SHORT], lengths_held(held), **settings)  # type: ignore[arg-type]


def cut_of(bars: object) -> list[tuple[int, str, str]]:
    """Number, source and parts of each bar."""
    return [(bar.number, bar.source, "".join(cut.mark for cut in bar.cuts)) for bar in bars]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("wanted", "held", "lying", "stay_percent", "expected"),
    [
        # Two bars lie there as they were planned, and nothing else is to cut: both stay.
        ((4, 0), 2, {"A1": "LL", "A2": "LL"}, 0, [(1, "A1", "LL"), (2, "A2", "LL")]),
        # One more long part, as one was spoiled: it comes from a new length of 3000, the cheapest that holds it.
        ((5, 0), 2, {"A1": "LL", "A2": "LL"}, 0, [(1, "A1", "LL"), (2, "A2", "LL"), (6, "Q", "L")]),
        # A part that is no longer wanted: its bar cannot stay as it was.
        ((3, 0), 2, {"A1": "LL", "A2": "LL"}, 0, [(1, "A1", "LL"), (6, "A2", "L")]),
        # The length of bar 2 is gone; two parts of it come from a new one.
        ((4, 0), 1, {"A1": "LL"}, 0, [(1, "A1", "LL"), (6, "P", "LL")]),
        # Bar 1 was to give one long part. Anew it gives both and a length of 3000 the short part, for 32; if it stays,
        # a new length of 6000 gives the others, for 60: 28 more, which is 87.5 % of 32.
        ((2, 1), 1, {"A1": "L"}, 87.4, [(6, "A1", "LL"), (7, "Q", "S")]),
        ((2, 1), 1, {"A1": "L"}, 87.5, [(1, "A1", "L"), (6, "P", "LS")]),
    ],
)
def test_bars_stay_where_that_costs_no_more(
    wanted: tuple[int, int],
    held: int,
    lying: dict[str, str],
    stay_percent: float,
    expected: list[tuple[int, str, str]],
) -> None:
    bars = begun(*lying.values())
    uncut = {mark: (bar,) for mark, bar in zip(lying, bars, strict=True)}
    earlier = Earlier(bars=5, copies=(GivenCopy("L", 9), GivenCopy("S", 9)))
    job, plan = rest_of(job_of(*wanted, held), uncut, earlier, round(stay_percent * 10_000), in_full)
    assert check(job, plan) == ()
    assert cut_of(plan.bars) == expected


def test_bars_that_stay_and_cost_more_are_not_called_proven() -> None:
    """As above: 60 where 32 would do. The bound is that of the plan made anew."""
    uncut = {"A1": begun("L")}
    job, plan = rest_of(job_of(2, 1, 1), uncut, Earlier(bars=5), 1_000_000, in_full)
    assert (plan.cost, plan.bound, plan.status) == (60 * CURRENCY, 32 * CURRENCY, Status.NOT_PROVEN)
    assert job.earlier == Earlier(bars=5, stay=(1,))


def test_copies_and_promised_marks_stay_and_new_copies_go_on() -> None:
    (bar,) = begun("LL")
    bar = replace(
        bar,
        cuts=tuple(replace(cut, copy=cut.copy + 4) for cut in bar.cuts),
        drop=replace(bar.drop, mark="K7"),
        number=3,
    )
    uncut = {"A1": (bar,)}
    job, plan = rest_of(job_of(3, 0, 1, keep=100), uncut, Earlier(bars=8, copies=(GivenCopy("L", 9),)), 0, in_full)
    assert [(each.number, [cut.copy for cut in each.cuts], each.drop.mark) for each in plan.bars] == [
        (3, [5, 6], "K7"),
        (9, [10], ""),
    ]
    assert check(job, plan) == ()


def test_another_length_of_the_piece_counts_for_what_is_left() -> None:
    """Received 40 mm short: the cuts stay, and 160 mm are left of 5960."""
    job = job_of(2, 0, 0)
    job = replace(job, offcuts=(builders.offcut("A1", 5960, ends="mill mill"),))
    _, plan = rest_of(job, {"A1": begun("LL")}, Earlier(bars=1), 0, in_full)
    (bar,) = plan.bars
    assert (bar.number, bar.length, bar.drop.length, bar.kind) == (
        *(1, builders.mm(5960), builders.mm(160), SourceKind.OFFCUT),
    )


def test_what_only_a_search_showed_goes_with_its_plan() -> None:
    """Anew it costs 72.60, by search; with bar 1 as it was 72.90, of which the leaves alone confirm 71.55."""
    job = job_of(1, 5, 1, most_kept=1, keep=150, offcut_value_per_mm=3000)
    job = replace(job, offcuts=tuple(replace(offcut, book_value=6000 * 3000) for offcut in job.offcuts))
    lying = {f"A{number}": [bar] for number, bar in enumerate(begun("LS", "SSSS"), 1)}
    earlier = Earlier(bars=9, copies=(GivenCopy("L", 20), GivenCopy("S", 20)))
    answered, plan = rest_of(job, lying, earlier, 1_000_000, in_full)
    assert check(answered, plan) == ()
    (group,) = plan.groups
    assert (group.proof.status, plan.cost > plan.bound >= group.proof.bound) == (Status.NOT_PROVEN, True)


@st.composite
def rests(draw: st.DrawFn) -> tuple[Job, dict[str, list[CutBar]], int]:
    """Some bars of a plan lie there, and parts came and went."""
    kinds = ["L", "LL", "LS", "LSS", "S", "SS", "SSSS"]
    bars = begun(*draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=4)))
    held = draw(st.integers(0, len(bars)))
    wanted = {mark: sum(cut.mark == mark for bar in bars for cut in bar.cuts) for mark in "LS"}
    long, short = (max(0, wanted[mark] + draw(st.integers(-2, 2))) for mark in "LS")
    value = draw(st.sampled_from([0, 3000]))
    most_kept = draw(st.sampled_from([None, None, 0, 1]))
    kerf = draw(st.sampled_from([0, 2]))
    job = job_of(long or 1, short, held, most_kept=most_kept, keep=150, kerf=kerf, offcut_value_per_mm=value)
    book = tuple(replace(offcut, book_value=6000 * value) for offcut in job.offcuts)
    lying = {f"A{n}": [bar] for n, bar in enumerate(bars, 1)}
    return replace(job, offcuts=book), lying, draw(st.sampled_from([0, 10_000, 1_000_000]))


@settings(max_examples=examples(25, 6), suppress_health_check=list(HealthCheck))
@given(rests())
def test_a_rest_answers_its_job_and_costs_no_more_than_is_allowed(
    subject: tuple[Job, dict[str, list[CutBar]], int],
) -> None:
    job, lying, stay = subject
    anew = plan_job(job)
    answered, plan = rest_of(
        job, lying, Earlier(bars=9, copies=(GivenCopy("L", 20), GivenCopy("S", 20))), stay, in_full
    )
    assert check(answered, plan) == ()
    assert plan.bound == anew.bound
    assert plan.cost <= anew.cost + anew.cost * stay // 1_000_000
    assert answered.earlier is not None
    before = {bar.number: bar for bars in lying.values() for bar in bars}
    for bar in plan.bars:
        if bar.number in answered.earlier.stay:
            was = before[bar.number].cuts
            assert [(cut.mark, cut.copy, cut.start) for cut in bar.cuts] == [(c.mark, c.copy, c.start) for c in was]
            assert lying[bar.source] == [before[bar.number]]


@pytest.mark.parametrize(("lying", "shares"), [({"A1": begun("LS")}, [0.5, 1.0]), ({}, [1.0])])
def test_both_plans_of_the_rest_share_the_time(lying: dict[str, list[CutBar]], shares: list[float]) -> None:
    """Planned anew and around the bars that stay, each had all of it once: five seconds were ten."""
    asked: list[float] = []

    def planned(job: Job, share: float) -> Plan:
        asked.append(share)
        return plan_job(job)

    rest_of(job_of(3, 2, 1), lying, Earlier(bars=1), 0, planned)
    assert asked == shares
