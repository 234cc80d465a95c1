"""Instances as the solver sees them, and their least cost by trying everything. Lengths in millimetres."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import product

from cutplan.model import Job, Offcut, groups_of
from cutplan.solving.instance import Instance
from cutplan.solving.master import Column
from cutplan.solving.parameters import Parameters
from cutplan.solving.solver_pieces import Pattern
from cutplan.solving.whole_numbers import instance_of
from tests import builders

FEW = Parameters(
    nodes=6,
    rounds=30,
    divided_first=0,
    divided_full=0,
    divided=0,
    listed_first=1_000,
    listed=1_000,
    dives=1,
    node_dives=1,
)
"""Counters that end a search early, for tests of whether its answer holds, not of how good it is."""


def instance_for(job: Job) -> Instance:
    """The first group of a job with all its offers open."""
    group = groups_of(job)[0]
    return instance_of(group, job.workshop, group.offers, Parameters())


def two_part_instance(*offcuts: Offcut) -> Instance:
    """Three of A at 500 and two of B at 400; bars of 1000 for 10 and of 1300 for 12."""
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    offers = [builders.offer("P1", 1000, 10), builders.offer("P2", 1300, 12)]
    return instance_for(builders.job(parts, offers, offcuts))


def two_part_columns() -> list[Column]:
    """Some ways to cut them."""
    price = 1_000_000
    return [
        Column(0, (2, 0), 10 * price),
        Column(0, (0, 2), 10 * price),
        Column(0, (1, 1), 10 * price),
        Column(1, (1, 2), 12 * price),
    ]


def some_instance(seed: int, *, most_parts: int = 3, most_pieces: int = 6) -> Instance:
    """A small instance with a hold, trims, grades, values and offcuts in it, by a seed."""
    draw = random.Random(seed)
    rate = draw.choice([0, 0, 700])
    pieces = draw.randint(1, most_pieces)
    parts = []
    for number in range(draw.randint(1, most_parts)):
        quantity = draw.randint(1, max(1, pieces))
        pieces -= quantity
        mitres = draw.choice([(0, 0), (0, 0), (45, 0)])
        grade = draw.choice(["", "", "S235"])
        parts.append(builders.part(f"M{number}", quantity, draw.randint(40, 500), mitres=mitres, grade=grade))
    offers = []
    for number in range(draw.randint(1, 3)):
        length = draw.randint(550, 1100)
        grade = draw.choice(["S235", "S235", "S355"]) if number else "S235"
        price = length * rate / 1_000_000 + draw.randint(1, 20)
        offers.append(builders.offer(f"P{number}", length, price, grade=grade, available=draw.choice([None, None, 2])))
    offcuts = [
        builders.offcut(f"K{number}", draw.randint(100, 700), 1, ends=draw.choice(["mill sawn", "sawn sawn"]))
        for number in range(draw.randint(0, 2))
    ]
    job = builders.job(
        parts,
        offers,
        offcuts,
        kerf=draw.choice([0, "2.5", 3]),
        end_trim=draw.choice([0, 10]),
        safe_hold=draw.choice([0, 120, 250]),
        keep=draw.choice([0, 100, 300]),
        offcut_value_per_mm=rate,
    )
    return instance_for(job)


def sets_of(demand: Sequence[int]) -> Iterator[Pattern]:
    """Every set of parts within the demand, the empty one too."""
    return product(*(range(most + 1) for most in demand))


def least_cost(instance: Instance, ranges: Sequence[tuple[int, int]]) -> int | None:
    """Least cost of a plan whose bar counts lie in ``ranges``, by trying everything; None when there is no plan.

    Counts below a range's least are filled up with empty bars, which cost what
    they cost: a bound that allows for them may not be above this.
    """
    options = [
        [(set_, instance.cost(index, set_)) for set_ in sets_of(instance.demand) if instance.allowed(index, set_)]
        for index in range(len(instance.sources))
    ]

    @cache
    def best(index: int, used: int, left: Pattern) -> int | None:
        if index == len(instance.sources):
            return None if any(left) else 0
        low, high = ranges[index]
        found = [best(index + 1, 0, left)] if used >= low else []
        if used < high:
            for set_, cost in options[index]:
                rest = tuple(max(0, have - n) for have, n in zip(left, set_, strict=True))
                if rest != left or used < low:
                    after = best(index, used + 1, rest)
                    found.append(None if after is None else after + cost)
        return min((cost for cost in found if cost is not None), default=None)

    return best(0, 0, instance.demand)


def most(instance: Instance) -> list[int]:
    """How many bars there are of each source."""
    return [source.most for source in instance.sources]
