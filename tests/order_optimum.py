"""The least cost of a small order by listing every pattern and one plain integer program.

It shares no module with the package: numbers in, one number out. An order has one list of parts for each section, the
merchants' terms hold over all of them. A bar takes n parts when their lengths and n kerfs fit into what the end trims
leave of it and one kerf more. Common practice, no source. Lengths in mm, money in millionths of the currency.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

CENT = 10_000


@dataclass(frozen=True)
class Bar:
    """A stock length of a merchant, or an old offcut where the merchant is blank and there is but one."""

    merchant: str
    length: int
    price: int


@dataclass(frozen=True)
class Section:
    """What is wanted of one section, as (length, number), and what it may be cut from."""

    wanted: tuple[tuple[int, int], ...]
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class Trips:
    """What a trip costs, what goes in one in mg (0: all), and what a millimetre of a bar weighs in mg."""

    cost: int
    payload: int
    mass: int

    def number(self, length: int) -> int:
        return max(1, -(-length * self.mass // self.payload)) if self.payload else 1


@dataclass(frozen=True)
class Order:
    """Parts, bars and terms: for each merchant its delivery, its minimum order and what is delivered free from on.

    ``value`` is what a millimetre of a left over of ``keep`` or more is worth; ``trips`` are to merchants driven to.
    """

    sections: tuple[Section, ...]
    terms: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    kerf: int = 3
    trim: int = 10
    keep: int = 500
    value: int = 0
    trips: dict[str, Trips] = field(default_factory=dict)


def patterns(order: Order, section: Section, bar: Bar) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every way to cut a bar with at least one part, and what its left over is worth."""
    trim = order.trim if bar.merchant else 0  # both ends of an offcut are sawn
    room = bar.length - 2 * trim + order.kerf
    # What is left of a bar is worth no more a millimetre than the bar itself.
    rate = min(order.value, bar.price // bar.length)

    def grow(place: int, counts: tuple[int, ...], used: int) -> Iterator[tuple[tuple[int, ...], int]]:
        if place == len(section.wanted):
            left = bar.length - trim - used
            if any(counts):
                yield counts, left * rate if left > 0 and left >= order.keep else 0
            return
        length, number = section.wanted[place]
        for n in range(number + 1):
            more = used + n * (length + order.kerf)
            if more > room:
                break
            yield from grow(place + 1, (*counts, n), more)

    yield from grow(0, (), 0)


def least_cost(order: Order, seconds: float = 60.0) -> int | None:
    """The least cost of an order, summed anew from the bars that the program chose; None where no plan exists.

    Solved by SCIP, where the package uses CP-SAT.

    Raises
    ------
    RuntimeError
        When the time was too short to know.
    """
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver("SCIP")
    unit = 100 * CENT  # of money in the program: figures of like size serve its tolerances best
    money = []
    bars: list[tuple[Bar, int, Any]] = []
    pieces = sum(number for section in order.sections for _, number in section.wanted)
    for section in order.sections:
        made: list[list[Any]] = [[] for _ in section.wanted]
        for bar in section.bars:
            times = []
            for counts, value in patterns(order, section, bar):
                most = min(number // n for n, (_, number) in zip(counts, section.wanted, strict=True) if n)
                variable = solver.IntVar(0, most if bar.merchant else 1, "")
                times.append(variable)
                bars.append((bar, value, variable))
                money.append((bar.price - value) / unit * variable)
                for terms, n in zip(made, counts, strict=True):
                    terms.append(n * variable)
            if not bar.merchant and times:
                solver.Add(sum(times) <= 1)
        for terms, (_, number) in zip(made, section.wanted, strict=True):
            if not terms:
                return None
            solver.Add(sum(terms) == number)
    for name, (delivery, minimum, free_from) in order.terms.items():
        mine = [(bar.price, variable) for bar, _, variable in bars if bar.merchant == name]
        bought, missing = solver.BoolVar(""), solver.NumVar(0, minimum / unit, "")
        solver.Add(sum(variable for _, variable in mine) <= pieces * bought)
        solver.Add(missing + sum(price / unit * variable for price, variable in mine) >= minimum / unit * bought)
        free = solver.BoolVar("") if free_from else 0
        solver.Add(bought - free >= 0)
        solver.Add(sum(price / unit * variable for price, variable in mine) >= free_from / unit * free)
        money += [delivery / unit * (bought - free), missing]
    for name, trip in order.trips.items():
        lengths = [(bar.length, variable) for bar, _, variable in bars if bar.merchant == name]
        number, bought = solver.IntVar(0, solver.infinity(), ""), solver.BoolVar("")
        solver.Add(sum(variable for _, variable in lengths) <= pieces * bought)
        solver.Add(number >= bought)
        if trip.payload:
            solver.Add(number >= sum(length * trip.mass / trip.payload * variable for length, variable in lengths))
        money.append(trip.cost / unit * number)
    solver.Minimize(sum(money))
    solver.SetTimeLimit(round(seconds * 1000))
    parameters = pywraplp.MPSolverParameters()
    parameters.SetDoubleParam(parameters.RELATIVE_MIP_GAP, 0.0)
    outcome = solver.Solve(parameters)
    if outcome == pywraplp.Solver.INFEASIBLE:
        return None
    if outcome != pywraplp.Solver.OPTIMAL:
        raise RuntimeError(f"no optimum within {seconds} s")
    chosen = [(bar, value, round(variable.solution_value())) for bar, value, variable in bars]
    cost: int = sum(count * (bar.price - value) for bar, value, count in chosen)
    for name, (delivery, minimum, free_from) in order.terms.items():
        spent = sum(count * bar.price for bar, _, count in chosen if bar.merchant == name)
        if any(count for bar, _, count in chosen if bar.merchant == name):
            cost += (0 if free_from and spent >= free_from else delivery) + max(0, minimum - spent)
    for name, trip in order.trips.items():
        fetched = sum(count * bar.length for bar, _, count in chosen if bar.merchant == name)
        cost += trip.cost * trip.number(fetched) if fetched else 0
    return cost


def made_up(seed: int) -> Order:
    """An order of up to 20 pieces from two merchants with deliveries and minimum orders, some with more."""
    draw = random.Random(seed)
    sections = []
    pieces = draw.randint(1, 20)
    for _ in range(draw.choice((1, 1, 2, 3))):
        if not pieces:
            break
        here = draw.randint(1, pieces)
        pieces -= here
        wanted: dict[int, int] = {}
        while here:
            n = draw.randint(1, min(here, 5))
            length = draw.randint(20, 580) * 10
            wanted[length] = wanted.get(length, 0) + n
            here -= n
        rate = draw.randint(25, 90)
        bars = []
        for merchant in ("Depot", "Wharf"):
            for length in draw.sample((6000, 6500, 7500, 8000, 12000), draw.randint(1, 3)):
                bars.append(Bar(merchant, length, length * rate * draw.randint(85, 115) // 10_000 * CENT))
        if draw.random() < 0.3:
            bars.append(Bar("Yard", 6000, 6000 * rate * draw.randint(115, 150) // 10_000 * CENT))
        if draw.random() < 0.4:
            bars += [Bar("", draw.randint(30, 400) * 10, draw.choice((0, 100, 500)) * CENT) for _ in range(2)]
        sections.append(Section(tuple(sorted(wanted.items())), tuple(bars)))
    terms = {
        name: (draw.choice((0, 0, 1500, 2500, 4000)) * CENT, draw.choice((0, 5000, 10_000, 15_000, 30_000)) * CENT, 0)
        for name in ("Depot", "Wharf")
    }
    return Order(tuple(sections), terms, value=draw.choice((0, 0, 0, 15 * CENT // 100)))


def delivered_free(seed: int) -> Order:
    """Such an order, of at most ten pieces, where what the merchants deliver is free from about what it costs on."""
    draw = random.Random(f"free {seed}")
    order = made_up(seed)
    while sum(number for section in order.sections for _, number in section.wanted) > 10:
        order = made_up(draw.randrange(10**6))
    least = least_cost(order) or 0
    terms = {
        name: (
            draw.choice((0, 1500, 2500, 4000)) * CENT,
            draw.choice((minimum, 0)),
            draw.choice((0, *(round(least * share / CENT) * CENT for share in (0.3, 0.7, 0.95, 1.0, 1.05, 1.2)))),
        )
        for name, (_, minimum, _) in order.terms.items()
    }
    return replace(order, terms=terms)
