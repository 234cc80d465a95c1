"""Sets of mitred parts laid in a bar: fit, what is left, strokes and cost, against trying every order."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Allowance, Job, Lean, Purpose, Work, groups_of
from cutplan.solving.bars import cut_bars
from cutplan.solving.patterns.laying import FEW_SETS, MOST_SETS, CutSequences, Kind
from cutplan.solving.plans import PatternUse
from tests import brute_force, builders
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of
from tests.turned_solids import SECTIONS, in_some_form

ENDS = [(0, 0), (45, 45), (45, 0), (0, 45), (22.5, 45)]


def mitred_job(
    seed: int,
    *,
    most_pieces: int = 5,
    ends: list[tuple[float, float]] | None = None,
    share: bool = False,
    handed: bool = False,
) -> Job:
    """A tiny job in which order decides, by a seed: lengths that fill bars to a few millimetres or to the very end.

    With ``handed`` of an angle, a channel or a tee whose parts take any form.
    """
    form = random.Random(seed)
    name, depth = form.choice([each for each in SECTIONS if each[1] < 100])
    of: dict[str, Any] = {"section": builders.part_of(name).section} if handed else {}
    draw = random.Random(seed)
    ends = ends or draw.sample(ENDS, 3)
    parts = []
    left = most_pieces
    for number in range(draw.randint(1, 3)):
        if left:
            quantity = draw.randint(1, left)
            left -= quantity
            other: dict[str, Any] = {}
            if draw.random() < 0.2:
                other["allowances"] = (Allowance(purpose=Purpose.FIT, length=builders.mm(1)),)
            length: Any = draw.choice([draw.randint(100, 330), draw.randint(2450, 2550) / 10, "248.2", 250, "331.8"])
            length = length if not handed or float(length) >= 2 * depth else 2 * depth
            made = builders.part(f"M{number}", quantity, length, mitres=draw.choice(ends), **other)
            if handed:
                made = replace(made, **of)
                lean = form.choice(list(Lean)) if made.end_a.angle and made.end_b.angle else Lean.OPPOSITE
                made = replace(in_some_form(made, depth, form), lean=lean)
            parts.append(made)
    rate = draw.choice([0, 0, 700])
    bars = [
        builders.offer(f"P{n}", draw.choice(["1000", "1003.6", "997.5", "745", "500"]), 12 + 5 * n, **of)
        for n in range(2)
    ]
    rack = [
        builders.offcut(
            "K", draw.choice(["500", "503.6", "1000", "250"]), 1, ends=draw.choice(["mill sawn", "sawn sawn"]), **of
        )
    ]
    return builders.job(
        parts,
        bars,
        rack,
        kerf=draw.choice([0, "2.5", "2.5", 3]),
        end_trim=draw.choice([0, 10]),
        safe_hold=draw.choice([0, 0, 120]),
        keep=draw.choice([0, 100]),
        offcut_value_per_mm=rate,
        work=Work(per_cut=draw.choice([0, 500_000, 500_001]), per_setup=draw.choice([0, 0, 300_000])),
        share_mitres=share,
    )


@pytest.mark.parametrize(("share", "handed"), [(False, False), (True, False), (True, True)])
@pytest.mark.parametrize("seed", seeds(150))
def test_a_set_fits_and_costs_what_its_best_order_does(seed: int, share: bool, handed: bool) -> None:
    job = mitred_job(seed, share=share, handed=handed)
    group, instance = groups_of(job)[0], instance_for(job)
    rules = brute_force.rules_of(job, group)
    by_name = {stock.name: stock for stock in brute_force.stocks_of(job, group)}
    place = {part: i for i, piece in enumerate(instance.pieces) for part in piece.parts}
    for index, source in enumerate(instance.sources):
        for pattern in sets_of(instance.demand):
            if not any(pattern):
                continue
            counts = [0] * len(group.parts)
            for part, i in place.items():
                counts[part] = pattern[i] if part == instance.pieces[i].parts[0] else 0
            truth = brute_force.bar_cost(group.parts, counts, by_name[source.id], rules)
            assert instance.allowed(index, pattern) is (truth is not None), pattern
            if truth is not None and instance.space.judged:
                assert instance.cost(index, pattern) + instance.cut_at_least * sum(pattern) == truth, pattern


@pytest.mark.parametrize(("share", "handed"), [(False, False), (True, False), (True, True)])
@pytest.mark.parametrize("seed", seeds(60))
def test_bars_are_laid_as_cheaply_as_they_are_said_to_be(seed: int, share: bool, handed: bool) -> None:
    job = mitred_job(seed, most_pieces=4, share=share, handed=handed)
    group, instance = groups_of(job)[0], instance_for(job)
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if any(pattern) and instance.allowed(index, pattern):
                (bar,) = cut_bars(instance, group, job.workshop, [PatternUse(index, pattern, 1)], 1)
                assert bar.cost == instance.cost(index, pattern) + instance.cut_at_least * sum(pattern)
                assert bar.slack >= 0
                assert sum(cut.end - cut.start for cut in bar.cuts) == sum(
                    piece.length * n for piece, n in zip(instance.pieces, pattern, strict=True)
                )


def test_longest_first_unless_another_order_is_cheaper_or_needed() -> None:
    """A mitre between two square ends takes a stroke and a wider kerf more than one beside a mitre."""
    parts = [builders.part("L", 1, 400), builders.part("M", 1, 300, mitres=(45, 45)), builders.part("S", 1, 200)]

    def order(length: float, **settings: Any) -> list[str]:
        job = builders.job(parts, [builders.offer("P", length, 9)], kerf="2.5", share_mitres=False, **settings)
        instance = instance_for(job)
        (bar,) = cut_bars(instance, groups_of(job)[0], job.workshop, [PatternUse(0, (1, 1, 1), 1)], 1)
        return [cut.mark for cut in bar.cuts]

    assert order(1000) == ["L", "M", "S"]
    # 900 and 3.6 + 2.5 fit into 906.1, twice 3.6 would not.
    assert order(906.1) in (["M", "L", "S"], ["L", "S", "M"])
    assert order(1000, work=Work(per_cut=1)) != ["L", "M", "S"]


def a_kind(draw: random.Random, *, to_fit: bool = False) -> Kind:
    """A part with any kerfs, which it shares with nothing."""
    mitred_a, mitred_b, held = (draw.random() < 0.5 for _ in range(3))
    return Kind(draw.randint(2, 9), draw.randint(2, 9), mitred_a, mitred_b, held, to_fit)


@pytest.mark.parametrize("seed", seeds(100))
def test_of_very_many_kinds_some_orders_are_tried_and_none_is_better_than_all(seed: int) -> None:
    draw = random.Random(seed)
    kinds = tuple(sorted({a_kind(draw, to_fit=draw.random() < 0.2) for _ in range(4)}))
    counts = tuple(draw.randint(1, 3) for _ in kinds)
    every_one, some = CutSequences(kinds), CutSequences(kinds, 1)
    assert (every_one.tries_all(counts, sum(counts)), some.tries_all(counts, sum(counts))) == (True, False)
    best = list(every_one.of(counts, squared=False))
    for order in some.of(counts, squared=False):
        assert tuple(order.kinds.count(k) for k in range(len(kinds))) == counts
        fits = [kinds[k].to_fit for k in order.kinds]
        assert order.out_of_turn == (fits != sorted(fits))
        laid = some.as_given(order.kinds, squared=False)
        assert (laid.between, laid.strokes) == (order.between, order.strokes)
        ending = order.last, order.out_of_turn
        assert any(
            each.between <= order.between and each.strokes <= order.strokes and (each.last, each.out_of_turn) == ending
            for each in best
        )


def test_up_to_how_many_parts_every_order_is_tried() -> None:
    """Of eleven kinds, one part each, there are 2**11 = 2048 sets, of twelve 4096; those alike lie side by side."""
    kinds = tuple(Kind(2, 3 + n, True, True, True, False) for n in range(12))
    assert CutSequences(kinds).tries_all((1,) * 11 + (0,), 30)
    assert not CutSequences(kinds).tries_all((1,) * 12, 30)
    assert CutSequences(kinds).tries_all((1,) * 12, 11), "a bar holds no more than eleven"
    assert CutSequences(kinds[:2], 16).tries_all((3, 3), 30)
    assert not CutSequences(kinds[:2], 15).tries_all((3, 3), 30)
    alike = tuple(Kind(2 + n, 2 + n, True, True, True, False) for n in range(11))
    assert CutSequences(alike).tries_all((100,) * 11, 200)


def test_parts_of_thirty_kinds_in_one_bar_need_no_table() -> None:
    """Every order would be looked for in 2**30 sets."""
    draw = random.Random(5)
    sequences = CutSequences(tuple(sorted(a_kind(draw) for _ in range(30))))
    orders = list(sequences.of((1,) * 30, squared=True))
    assert 0 < len(orders) <= 2 * 30
    assert not sequences._ways


@pytest.mark.parametrize("share", [False, True])
def test_no_plan_of_very_many_kinds_is_called_proven_by_search(share: bool) -> None:
    """Where some bar may hold more than all orders are tried of, few are tried of any."""

    def space(kinds: int) -> Any:
        parts = [builders.part(f"M{n}", 2, 200 + n, mitres=(10 + n, 40 - n)) for n in range(kinds)]
        job = builders.job(parts, [builders.offer("P", 5999, 36)], kerf="2.5", end_trim=10, share_mitres=share)
        return instance_for(job).space

    few, many = space(2), space(14)
    assert (few.judged, many.judged) == (True, False)
    tried = [(each._walks if share else each.sequences).most_sets for each in (few, many)]
    assert tried == [MOST_SETS, FEW_SETS]
