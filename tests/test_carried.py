"""Lengths cut for the carry: the plan against trying everything, and against what it must be beside other plans."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.checking import check
from cutplan.model import Brought, Fate, Job, Merchant, Plan, Status, Work, carrying
from cutplan.model.totals import totals_of
from cutplan.planfile.document import to_document
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.patterns import carried
from cutplan.solving.patterns.carried import CutForCarry
from cutplan.solving.patterns.sharing_out import Search
from cutplan.solving.whole_numbers import instance_of
from cutplan.units import CURRENCY, KG, MM
from cutplan.words.buying_words import carry_cuts_text
from tests.builders import job, mm, offer, part, square_tube, workshop
from tests.carry_optimum import Bench, Number, Shop, Yard, least, least_ordered
from tests.effort import seeds


def yard(**terms: object) -> Merchant:
    """A merchant who cuts to be carried and loses nothing by it unless given."""
    plain: dict[str, object] = {"carry_kerf": 0, "carry_tolerance": 0, "cuts_to_carry": True}
    return Merchant(**{"name": "Yard", **plain, **terms})  # type: ignore[arg-type]


def planned(made: Job) -> Plan:
    """The plan, which the checker has nothing against."""
    plan = plan_job(made, time_limit=30)
    assert check(made, plan) == ()
    return plan


def pieces_of(plan: Plan) -> list[tuple[tuple[int, ...], int, Counter[str]]]:
    """What every piece is ordered by, which it is, and what is cut from it. [mm]"""
    return [
        (
            tuple(length // MM for length in bar.piece_of.ordered),
            bar.piece_of.number,
            Counter(cut.mark for cut in bar.cuts),
        )
        for bar in plan.bars
        if bar.piece_of is not None
    ]


def drawn(seed: int) -> tuple[list[int], Yard, Bench]:
    """Up to seven parts, two lengths, and terms of all kinds. [mm]"""
    draw = random.Random(seed)
    carry = draw.choice([3000, 3500, 4000, 4500, 2995, 3990, 3999])
    lengths = draw.sample([4000, 6000, 6500, 7500, 8000, 12000], 2)
    parts = [
        draw.choice(
            [draw.randint(12, 600) * 5, draw.randint(20, carry // 5) * 5, draw.choice([1000, 1500, 1990, 2000])]
        )
        for _ in range(draw.randint(3, 7))
    ]
    terms = Yard(
        lengths=tuple((length, round(length / 1000 * draw.choice([8, 9, 10]))) for length in lengths),
        carry=carry,
        charge=draw.choice([0, 1, 2, 5, 30]),
        kerf=draw.choice([0, 2, 3]),
        tolerance=draw.choice([0, 5]),
        squared=draw.choice([True, False]),
    )
    return parts, terms, Bench(kerf=draw.choice([0, 2, 3]), trim=draw.choice([0, 10]), hold=draw.choice([0, 0, 120]))


def made_of(parts: list[int], terms: Yard, bench: Bench) -> Job:
    """The same as a job."""
    return ordered_of(parts, [Shop(terms)], bench)


def ordered_of(parts: list[int], shops: list[Shop], bench: Bench) -> Job:
    """The same from several merchants."""
    names = ["Yard", "Depot"][: len(shops)]
    merchants = [
        yard(
            name=name,
            carry_cut_charge=int(shop.yard.charge * CURRENCY),
            carry_kerf=mm(str(shop.yard.kerf)),
            carry_tolerance=mm(str(shop.yard.tolerance)),
            carry_cuts_squared=shop.yard.squared,
            carry_cuts_free=shop.free,
            delivers=shop.delivers,
            delivery=int(shop.delivery * CURRENCY),
            minimum_order=int(shop.minimum * CURRENCY),
            free_delivery_from=int(shop.free_from * CURRENCY),
        )
        for name, shop in zip(names, shops, strict=True)
    ]
    lengths = [(name, *of) for name, shop in zip(names, shops, strict=True) for of in shop.yard.lengths]
    return job(
        [part(f"P{n}", 1, length) for n, length in enumerate(parts)],
        [offer(f"#{n}", str(length), str(price), merchant=name) for n, (name, length, price) in enumerate(lengths)],
        kerf=str(bench.kerf),
        end_trim=str(bench.trim),
        safe_hold=str(bench.hold),
        longest_carry=str(shops[0].yard.carry),
        merchants=merchants,
    )


def priced(plain: Job, seed: int, most_kept: int | None) -> Job:
    """A job in which work or left overs have a price, by its seed, or both."""
    at = replace(
        plain.workshop,
        work=Work(per_bar=3_000_000, per_cut=500_000, per_setup=250_000) if seed % 3 else Work(),
        offcut_value_per_mm=((plain.parts[0].section.family, 4_000),) if seed % 2 else (),
        most_kept=most_kept,
        minus_tolerance=(),
    )
    return replace(plain, workshop=at)


def assert_a_long_carry_is_none(plain: Job) -> None:
    """A carry above every length gives what no carry does, in all that is written."""
    none = replace(plain, workshop=replace(plain.workshop, longest_carry=0))
    long = replace(plain, workshop=replace(plain.workshop, longest_carry=12_000 * MM))
    first, second = to_document(none, plan_job(none)), to_document(long, plan_job(long))
    keys = ("groups", "cases", "result", "totals")
    assert [first[key] for key in keys] == [second[key] for key in keys]


def cost_of(made: Job) -> Number | None:
    """What the plan costs, None where there is none. [currency]"""
    try:
        return Fraction(planned(made).cost, CURRENCY)
    except NoPlan:
        return None


@pytest.mark.parametrize("seed", seeds(400))
def test_no_way_to_share_parts_out_costs_less(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    assert cost_of(made_of(parts, terms, bench)) == least(parts, terms, bench)


@pytest.mark.parametrize("seed", seeds(200))
def test_no_order_with_free_cuts_costs_less(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    shop = Shop(terms, 1 + seed % 3)
    made = ordered_of(parts, [shop], bench)
    true = least_ordered(parts, [shop], bench)
    if true is None:
        assert cost_of(made) is None
        return
    plan = planned(made)
    assert Fraction(plan.bound, CURRENCY) == true == Fraction(plan.cost, CURRENCY)


@pytest.mark.parametrize(
    ("delivery", "free", "cost"), [(0, 0, 64), (0, 1, 62), (0, 2, 60), (10, 0, 66), (10, 1, 63), (10, 2, 60)]
)
def test_a_free_cut_goes_to_the_group_that_it_serves_best(delivery: int, free: int, cost: int) -> None:
    """Of each tube 6 m of the yard at 30 and a cut at 3, or twice 3 m of the depot at 16: 33 or 32, 30 with a free cut.

    Where the depot's delivery costs more than that, all comes from the yard.
    """
    other = square_tube(50)
    made = job(
        [part("A", 2, 2900), part("B", 2, 2900, section=other)],
        [
            offer("Y", 6000, 30),
            offer("D", 3000, 16, merchant="Depot"),
            offer("Y2", 6000, 30, section=other),
            offer("D2", 3000, 16, merchant="Depot", section=other),
        ],
        longest_carry=3500,
        merchants=[
            yard(carry_cut_charge=3 * CURRENCY, carry_cuts_free=free),
            Merchant(name="Depot", delivers=True, brought=Brought.DELIVERED, delivery=delivery * CURRENCY),
        ],
    )
    plan = planned(made)
    assert plan.cost == plan.bound == cost * CURRENCY


def drawn_shops(seed: int) -> tuple[list[int], list[Shop], Bench]:
    """Up to five parts from two merchants, with all terms that an order has. [mm]"""
    draw = random.Random(f"shops {seed}")
    parts, terms, bench = drawn(seed)
    shops = []
    for other in (terms, drawn(seed + 1000)[1]):
        delivers = draw.random() < 0.5
        shops.append(
            Shop(
                replace(other, carry=terms.carry),
                free=draw.choice([0, 1, 2, 3]),
                delivers=delivers,
                delivery=draw.choice([0, 10, 25]) if delivers else 0,
                minimum=draw.choice([0, 0, 80, 150]),
                free_from=draw.choice([0, 100]) if delivers else 0,
            )
        )
    return parts[:5], shops, bench


@pytest.mark.parametrize("seed", seeds(150))
def test_no_order_from_two_merchants_costs_less(seed: int) -> None:
    parts, shops, bench = drawn_shops(seed)
    made, true = ordered_of(parts, shops, bench), least_ordered(parts, shops, bench)
    if true is None:
        assert cost_of(made) is None
        return
    plan = planned(made)
    assert Fraction(plan.bound, CURRENCY) == true == Fraction(plan.cost, CURRENCY)


def test_a_plan_with_free_cuts_knows_of_groups_by_what_it_buys() -> None:
    # Charged, all comes from the depot; with three cuts free 75 + 40 from the yard is less than its 3 x 40.
    here = Shop(Yard(((4000, 40), (7500, 75)), 4500, 10, squared=False), free=3, delivers=True)
    there = Shop(Yard(((4000, 40),), 4500, 5, 2, 5), free=2)
    parts, bench = [2535, 3170, 1475, 2465, 1365], Bench(kerf=3, trim=23)
    made = ordered_of(parts, [here, there], bench)
    assert planned(made).cost == 115 * CURRENCY == least_ordered(parts, [here, there], bench) * CURRENCY  # type: ignore[operator]
    # Where what is fetched is weighed, and longer lengths are not delivered, groups are known by how their bars come.
    merchants = tuple(
        replace(terms, longest_delivered=mm(6500)) if terms.delivers else terms for terms in made.workshop.merchants
    )
    workshop = replace(made.workshop, merchants=merchants, payload=60 * KG)
    assert planned(replace(made, workshop=workshop)).cost == 115 * CURRENCY


def test_a_piece_between_two_cuts_may_need_no_stroke() -> None:
    # With two cuts free, 6.5 m comes as three pieces: one just as long as its part, two with a stroke each, for
    # 65 + 3 for the bar + 2 x 0.50. In two pieces, as few as the carry asks for, there are three strokes.
    shop = Shop(Yard(((7500, 68), (6500, 65)), 3500, 2, 3, 5, squared=False), free=2)
    made = ordered_of([985, 2030, 1765], [shop], Bench(kerf=3, trim=10))
    work = Work(per_bar=3 * CURRENCY, per_cut=CURRENCY // 2)
    plan = planned(replace(made, workshop=replace(made.workshop, work=work)))
    assert plan.bound <= 69 * CURRENCY <= plan.cost


def test_a_length_cut_for_the_carry_may_hold_more_than_whole() -> None:
    # Delivered whole, 8 m lose 20 at either end and hold but one of the parts. Fetched as 3995 + 3995 + 6 with ends
    # that need no squaring, the first piece holds one behind its mill end, the second is the other as it comes.
    shop = Shop(Yard(((8000, 64),), 3995, squared=False), delivers=True, delivery=100)
    parts, bench = [3975, 3995], Bench(kerf=2, trim=20)
    made = ordered_of(parts, [shop], bench)
    plan = planned(made)
    assert (plan.cost, plan.status) == (64 * CURRENCY, Status.RECHECKED)
    assert least_ordered(parts, [shop], bench) == 64
    # A proof with 8 m whole bounds what is delivered, and is refused where it stands for what is fetched.
    (fetched,) = (case for case in plan.cases if case.fetched)
    (delivered,) = (case for case in plan.cases if case.merchants and not case.fetched)
    assert delivered.bound == 228 * CURRENCY
    cases = tuple(replace(case, proofs=delivered.proofs) if case is fetched else case for case in plan.cases)
    assert any("its leaves give" in text for text in check(made, replace(plan, cases=cases)))


def test_free_cuts_are_checked() -> None:
    # 6 m at 60 with a cut of 2, halved: two lengths, of whose cuts the first is free, are 122.
    made = made_of([2900, 2900, 2900, 2900], Yard(((6000, 60),), 3000, charge=2), Bench())
    merchant = replace(made.workshop.merchants[0], carry_cuts_free=1)
    made = replace(made, workshop=replace(made.workshop, merchants=(merchant,)))
    plan = planned(made)
    assert (plan.cost, plan.status) == (122 * CURRENCY, Status.RECHECKED)
    assert check(made, replace(plan, cost=124 * CURRENCY, bound=124 * CURRENCY))
    (case,) = plan.cases
    assert check(made, replace(plan, cases=(replace(case, carry_uncharged=("Yard",)),)))
    assert check(made, replace(plan, cases=(replace(case, carry_uncharged=("Nobody",)),)))
    assert check(made, replace(plan, cases=(replace(case, bound=case.bound + CURRENCY),)))
    (order,) = totals_of(made, plan).orders
    assert (order.carry_cuts, order.carry_cuts_free, order.carry_charges) == (2, 1, 2 * CURRENCY)
    assert carry_cuts_text(order) == "2 cuts made to be carried, 1 of them free"


def test_free_cuts_count_where_an_order_may_be_fetched_too() -> None:
    # Fetched: 2 x 60, both cuts free; with each charged 4 x 33 would be less. Delivered: 2 x 60 + 20.
    terms = yard(carry_cut_charge=8 * CURRENCY, carry_cuts_free=2, delivers=True, delivery=20 * CURRENCY)
    offers = [offer("#1", 6000, 60), offer("#2", 2950, 33)]
    made = job([part("A", 4, 2900)], offers, longest_carry=3000, merchants=[terms])
    plan = planned(made)
    assert (plan.cost, plan.status, plan.fetched) == (120 * CURRENCY, Status.RECHECKED, ("Yard",))
    # A bound with each cut charged holds for no plan that has some free.
    dear = plan_job(replace(made, workshop=replace(made.workshop, merchants=(replace(terms, carry_cuts_free=0),))))
    assert dear.cost == 132 * CURRENCY
    wrong = check(made, dear)
    assert any("is more than its proofs and charges give" in text for text in wrong)


def test_as_many_pieces_as_flush_ends_allow() -> None:
    # Three parts with two cuts between them take 5996 mm of 6000: less the kerfs that would come after each by itself.
    parts = [2140, 2000, 2000, 1990, 1520, 1065]
    terms, bench = Yard(((6000, 54), (8000, 64)), 3000, 5, 2, 0, False), Bench(kerf=3)
    assert cost_of(made_of(parts, terms, bench)) == least(parts, terms, bench) == 123


@pytest.mark.parametrize("seed", seeds(60))
def test_a_longer_carry_never_costs_more(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    costs = [cost_of(made_of(parts, replace(terms, carry=terms.carry + more), bench)) for more in range(0, 9001, 1500)]
    known = [cost for cost in costs if cost is not None]
    assert known
    assert known == sorted(known, reverse=True)
    assert costs[len(costs) - len(known) :] == known, "once there is a plan there is one with every longer carry"


@pytest.mark.parametrize("seed", seeds(40))
def test_a_carry_above_every_length_is_none(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    assert_a_long_carry_is_none(made_of(parts, terms, bench))


@pytest.mark.parametrize("seed", seeds(40))
def test_cuts_beyond_all_price_are_not_made(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    short = ((2900, 27), *terms.lengths)
    dear = made_of([length for length in parts if length < 2800], replace(terms, charge=10_000, lengths=short), bench)
    bare = replace(dear, workshop=replace(dear.workshop, merchants=()))
    assert plan_job(dear).groups[0].bars == plan_job(bare).groups[0].bars


@pytest.mark.parametrize("seed", seeds(60))
def test_halving_by_hand_is_never_cheaper(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    terms = replace(terms, lengths=((8000, 64),), carry=4500)
    by_plan = cost_of(made_of(parts, terms, bench))
    # Pieces bought two at a time, each cut as the yard cuts: what they lose is theirs already.
    half = (8000 - max(terms.kerf, bench.kerf)) / Fraction(2) - terms.tolerance
    trims = bench.trim + (bench.trim if terms.squared else 0)
    by_hand = job(
        [part(f"P{n}", 1, length) for n, length in enumerate(parts)],
        [offer("#1", str(float(half - trims)), str(Fraction(64 + terms.charge) / 2))],
        kerf=str(bench.kerf),
        safe_hold=str(bench.hold),
    )
    try:
        bars = len(list(plan_job(by_hand).bars))
    except NoPlan:
        return
    assert by_plan is not None
    assert by_plan <= (bars + 1) // 2 * (64 + terms.charge)


def test_a_piece_left_whole_is_not_trimmed() -> None:
    # 8 m at 3.99 are three pieces; the parts fill two of them to the end, which three trimmed pieces would not hold.
    parts = [3965, 3965]
    terms, bench = Yard(((8000, 64),), 3990, 2, 3, 5, True), Bench(kerf=0, trim=10)
    assert cost_of(made_of(parts, terms, bench)) == least(parts, terms, bench) == 68


def test_a_cut_falls_where_parts_meet() -> None:
    made = job([part("A", 2, 3000), part("B", 2, 900)], [offer("#1", 8000, 64)], longest_carry=4000, merchants=[yard()])
    plan = planned(made)
    assert plan.status is Status.RECHECKED
    assert plan.cost == 64 * CURRENCY
    assert pieces_of(plan) == [
        ((4000, 4000), 1, Counter({"A": 1, "B": 1})),
        ((4000, 4000), 2, Counter({"A": 1, "B": 1})),
    ]


def test_a_piece_may_be_left_whole() -> None:
    made = job([part("A", 1, 3900)], [offer("#1", 7000, 64)], longest_carry=4000, keep=300, merchants=[yard()])
    plan = planned(made)
    bar, whole = plan.bars
    assert pieces_of(plan) == [((3900, 3100), 1, Counter({"A": 1})), ((3900, 3100), 2, Counter())]
    assert (whole.drop.fate, whole.drop.length, whole.strokes) == (Fate.KEEP, 3100 * MM, 0)
    assert (bar.cost, whole.cost) == (64 * CURRENCY, 0)


def test_no_more_pieces_are_cut_than_hold_the_parts() -> None:
    # 10 + 3 x 1200 + 2 x 3 + 10 mm are 3626 of one piece: of 8000 less 3 for the cut the other is 4000 and left whole.
    made = job(
        [part("A", 3, 1200)],
        [offer("#1", 8000, 64)],
        longest_carry=4000,
        kerf=3,
        end_trim=10,
        merchants=[yard()],
    )
    assert pieces_of(planned(made)) == [((3997, 4000), 1, Counter({"A": 3})), ((3997, 4000), 2, Counter())]


def test_one_of_three_pieces_is_left_whole() -> None:
    # 2 x 1500 and 3 x 1200 are 6600 of 12000: two pieces of 4000 hold them, one does not.
    made = job(
        [part("A", 3, 1200), part("B", 2, 1500)], [offer("#1", 12000, 90)], longest_carry=4000, merchants=[yard()]
    )
    held = sorted(sum(cuts.values()) for _, _, cuts in pieces_of(planned(made)))
    assert held == [0, 2, 3]


def test_left_overs_that_are_worth_more_apart_stay_apart() -> None:
    # Beside 1500 mm on either piece 2500 are left twice; beside both on one, 1000, too short to keep, and a whole 4000.
    made = job(
        [part("A", 2, 1500)],
        [offer("#1", 8000, 64)],
        longest_carry=4000,
        keep=1500,
        offcut_value_per_mm=CURRENCY // 1000,
        merchants=[yard()],
    )
    plan = planned(made)
    assert plan.cost == (64 - 5) * CURRENCY
    assert sorted(sum(cuts.values()) for _, _, cuts in pieces_of(plan)) == [1, 1]


def test_what_cuts_lose_counts() -> None:
    # 2 x 3970 with a squaring of 10 at four ends and 3 + 2 x 5 for the cut takes 7993 of 8000; 3974 does not go in.
    terms = yard(carry_kerf=3 * MM, carry_tolerance=5 * MM, carry_cut_charge=2 * CURRENCY)
    for length, bought in ((3970, 1), (3974, 2)):
        made = job([part("A", 2, length)], [offer("#1", 8000, 64)], longest_carry=4000, end_trim=10, merchants=[terms])
        plan = planned(made)
        assert plan.cost == bought * 66 * CURRENCY
        assert sum(bar.buys for bar in plan.bars) == bought


def test_more_pieces_than_the_carry_wants() -> None:
    # Three of 2.1 m: no two share a piece of 4 m, and a second cut is cheaper than a second length.
    made = job(
        [part("A", 3, 2100)], [offer("#1", 7000, 60)], longest_carry=4000, merchants=[yard(carry_cut_charge=CURRENCY)]
    )
    plan = planned(made)
    assert plan.cost == 62 * CURRENCY
    assert [len(ordered) for ordered, _, _ in pieces_of(plan)] == [3, 3, 3]


@pytest.mark.parametrize(
    ("unit", "needs", "ordered"),
    [
        # 1000.3 + 5 is ordered as 1006; what is to spare goes to the last piece, which has no part.
        ("mm", (1000.3, 1), (1006, 4991)),
        # 1005.3 mm are 39.578 in, which is more than 39 9/16: ordered by 39 5/8.
        ("in", (1000.3, 1), (39.625 * 25.4, 5997 - 39.625 * 25.4)),
        # Both are wanted as 2998.25 of 2998.5: up to 118 1/16 in, 2998.7875, the other were too short.
        ("in", (2993.25, 2993.25), (2998.25, 2998.75)),
    ],
)
def test_what_pieces_are_ordered_by(unit: str, needs: tuple[float, ...], ordered: tuple[float, ...]) -> None:
    """By whole millimetres or sixteenths; the rest of 6 m is what a cut of 3 mm leaves."""
    shop = workshop(longest_carry=5000, merchants=[Merchant(name="Yard", cuts_to_carry=True)])
    carry = carrying(offer("#1", 6000, 60), replace(shop, unit=unit), [part("A", 1, 900)])
    assert carry is not None
    found = carried.ordered_lengths(carry, [mm(str(need)) for need in needs])
    assert found == tuple(mm(str(round(length, 6))) for length in ordered)


def test_no_piece_is_longer_when_the_length_comes_as_sold() -> None:
    made = job([part("A", 2, 2900)], [offer("#1", 6000, 60, counted=5950)], longest_carry=3000, merchants=[yard()])
    (ordered, *_), *_ = pieces_of(planned(made))
    assert max(ordered) <= 2950
    assert sum(ordered) == 5950


@pytest.mark.parametrize("seed", seeds(40))
@pytest.mark.parametrize("most_kept", [None, 0, 1])
def test_work_and_left_overs_with_a_price_hold_before_the_checker(seed: int, most_kept: int | None) -> None:
    parts, terms, bench = drawn(seed)
    try:
        plan = planned(priced(made_of(parts, terms, bench), seed, most_kept))
    except NoPlan:
        assert least(parts, terms, bench) is None
        return
    assert plan.bound <= plan.cost


def test_a_set_is_thinned_to_what_can_be_shared_out() -> None:
    made = job([part("A", 3, 2100), part("B", 5, 400)], [offer("#1", 8000, 60)], longest_carry=4000, merchants=[yard()])
    space = _space(made)
    assert space.instance.fill((3, 4)) <= space.instance.sources[0].room
    thinned = space.thinned(0, (3, 4))
    assert thinned == (2, 4)
    assert space.can_be_cut(0, thinned)


def test_an_effort_that_ends_is_no_proof() -> None:
    made = job(
        [part(f"P{n}", 1, 1000 + 7 * n) for n in range(6)], [offer("#1", 12000, 60)], longest_carry=3400,
        merchants=[yard()],
    )  # fmt: skip
    space = _space(made)
    assert space.judged
    weary = CutForCarry(space.instance, 3)
    assert not weary.can_be_cut(0, (1,) * 6)
    assert not weary.judged


def test_what_no_pieces_hold_is_not_searched_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve of 996 and a kerf of 3 take 11988, more than two pieces of 3993, 4003 and 3993 have room for.

    All three have to hold some: with a trim at either end of the length, and no kerf after the last part of each, that
    is 11999 of 11994. Three between four cuts lose less.
    """
    searched = []

    class Noted(Search):
        def run(self) -> list[int] | None:
            searched.append(len(self._rooms))
            return super().run()

    monkeypatch.setattr(carried, "Search", Noted)
    merchant = yard(carry_kerf=mm(3), carry_cuts_squared=False)
    made = job(
        [part("A", 12, 996)], [offer("#1", 12000, 60)], kerf="3", end_trim="10", longest_carry=4000,
        merchants=[merchant],
    )  # fmt: skip
    parted = _space(made).parted(0, (12,))
    assert parted is not None
    assert [piece.pattern for piece in parted.pieces].count((4,)) == 3
    assert len(parted.pieces) == 5
    assert 3 not in searched


def test_a_set_that_no_pieces_hold_is_not_laid_out() -> None:
    """Two of 2 m lie in 5 m, each on a piece of at most 2.5 m; three of 1.7 m are more than the length."""
    made = job([part("A", 2, 2000), part("B", 3, 1700)], [offer("#1", 5000, 60)], kerf=0, longest_carry=2500,
        merchants=[yard()])  # fmt: skip
    space = _space(made)
    parted = space.parted(0, (2, 0))
    assert parted is not None
    assert [piece.pattern for piece in parted.pieces] == [(1, 0), (1, 0)]
    assert not space.can_be_cut(0, (0, 3))
    with pytest.raises(ValueError, match="shared out"):
        space.parted(0, (0, 3))


def _space(made: Job) -> CutForCarry:
    from cutplan.model import groups_of

    (group,) = groups_of(made)
    instance: Instance = instance_of(group, made.workshop, group.offers, Parameters())
    assert isinstance(instance.space, CutForCarry)
    return instance.space
