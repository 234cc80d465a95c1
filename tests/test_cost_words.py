"""Costs in words and as JSON, which say the same."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.costing.costs import cost_of
from cutplan.costing.handwork import Handwork, Task
from cutplan.units import CURRENCY, INCHES, MILLIMETRES, money_text
from cutplan.words.cautions import BATH
from cutplan.words.cost_words import (
    TO_PAY,
    area_text,
    cost_rows,
    cost_text,
    cost_values,
    done_text,
    hours_text,
    litres_text,
    minutes_text,
    notes_of,
    odd_notes,
    percent,
)
from tests.costed import FIGURES, PAINT, ZINC, bench_planned, two_planned


def test_figures_in_words() -> None:
    assert percent(88_750) == "8.875 %"
    assert minutes_text(31_250) == "31.25 min"
    assert hours_text(375_000) == "6.25 h"
    assert litres_text(84) == "0.084 l"
    # 1 ft2 is 0.09290304 m2 by the yard of 1959: 12.78 m2 are 137.56 ft2.
    assert (area_text(12_780_000, MILLIMETRES), area_text(12_780_000, INCHES)) == ("12.78 m2", "137.56 ft2")


def test_the_sums_are_those_of_the_lines_above() -> None:
    made, plan = bench_planned()
    taxed = replace(made, workshop=replace(made.workshop, tax_millionths=210_000))
    cost = cost_of(taxed, plan, replace(FIGURES, coats=(PAINT, ZINC)))
    sofar = 0
    rows = cost_rows(cost, taxed.workshop)
    for row in rows:
        if row.block:
            sofar += row.amount
        else:
            assert row.amount == sofar, row.what
    assert (rows[-1].what, rows[-1].amount) == (TO_PAY, cost.to_pay)
    assert [row.what for row in rows if not row.block] == ["subtotal", "cost", "price without tax", "to pay"]


@pytest.mark.parametrize(
    ("what", "how", "amount"),
    [
        ("bars handled", "1 x 4 min = 4 min", 400),
        ("strokes of the saw, SHS 40x40x3", "3 x 1.4 min = 4.2 min", 420),
        ("walls drilled, 10 mm", "2 x 2 min = 4 min", 400),
        ("ends welded on, SHS 40x40x3", "6 x 6 min = 36 min", 3600),
        ("paint on black", "0.3774 m2 x 2 at 9 m2 a litre: 0.084 l x 18.00", 151),
        ("zinc on black", "7.500 kg x 1.20, but at least 40.00", 4000),
        ("hinge", "2 x 5.00", 1000),
        ("wire, gas, discs and blades", "10 % of 60.00", 600),
        ("putting on paint", "0.7548 m2 x 10 min = 7.548 min", 755),
    ],
)
def test_the_arithmetic_is_visible(what: str, how: str, amount: int) -> None:
    made, plan = bench_planned()
    rows = cost_rows(cost_of(made, plan, replace(FIGURES, coats=(PAINT, ZINC))), made.workshop)
    (found,) = [row for row in rows if row.what == what]
    assert (found.how, found.amount) == (how, amount * CURRENCY // 100)


def test_a_coat_that_no_part_gets_is_named() -> None:
    made, plan = bench_planned()
    cost = cost_of(made, plan, replace(FIGURES, coats=(PAINT, replace(ZINC, on="blakc"))))
    (note,) = odd_notes(cost)
    assert note == 'No part of this job gets the coat zinc, on "blakc"; finishes here: black.'
    assert note in notes_of(cost)
    assert note in cost_text(cost, made.name, made.workshop)


def test_text_and_json_say_the_same() -> None:
    made, plan = bench_planned()
    cost = cost_of(made, plan, replace(FIGURES, coats=(PAINT,)))
    text, values = cost_text(cost, made.name, made.workshop), cost_values(cost, made.name, made.workshop)
    for row in values["rows"]:
        assert f"{row['amount']}  {row['how']}".rstrip() in text
    assert values["price"] == money_text(cost.price)
    assert sum(Fraction(each["price"]) for each in values["assemblies"]) == Fraction(values["price"])
    assert values["surfaces"][0]["area_m2"] == "0.3016"
    assert all(note in text for note in values["notes"])


def test_guesses_and_closed_sections_are_told() -> None:
    made, plan = bench_planned()
    told = notes_of(cost_of(made, plan, replace(FIGURES, coats=(PAINT,))))
    assert "8 of the figures of minutes are guesses: measure yours." in told[0]
    assert BATH in told
    measured = replace(FIGURES, measured=frozenset(FIGURES.hours.__slots__), hour_rate=0)
    told = notes_of(cost_of(made, plan, measured))
    assert "guesses" not in told[0]
    assert "no hour rate is set" in told[0]
    assert BATH not in told


def test_sections_go_by_their_inches_in_a_workshop_that_works_in_them() -> None:
    """50.8 mm are 2 in and 3.175 mm 1/8 in: HSS 2x2x1/8 (ASTM A500 names hollow sections so)."""
    made, plan = bench_planned()
    cost = cost_of(made, plan, FIGURES)
    designation = "SHS 50.8x50.8x3.175"
    bought = replace(cost.steel[0], designation=designation, title=f"{designation} to ASTM A500, any grade, black")
    strokes = Task(work=Handwork.STROKES, size=designation, count=1, each=1000, by_assembly=())
    rows = cost_rows(replace(cost, steel=(bought,)), replace(made.workshop, unit="in"))
    assert rows[0].what == "HSS 2x2x1/8 to ASTM A500, any grade, black"
    assert done_text(strokes, INCHES) == "strokes of the saw, HSS 2x2x1/8"


def test_in_inches_a_coat_is_told_in_square_feet_too() -> None:
    """0.3774 m2 are 4.06 ft2 and 0.7548 m2 are 8.12 ft2, at 0.09290304 m2 to the square foot (yard of 1959)."""
    made, plan = bench_planned()
    shop = replace(made.workshop, unit="in")
    rows = {row.what: row.how for row in cost_rows(cost_of(made, plan, replace(FIGURES, coats=(PAINT,))), shop)}
    assert rows["paint on black"] == "0.3774 m2 (4.06 ft2) x 2 at 9 m2 a litre: 0.084 l x 18.00"
    assert rows["putting on paint"] == "0.7548 m2 (8.12 ft2) x 10 min = 7.548 min"


def test_jobs_planned_together_are_told_with_their_sums() -> None:
    made, plan = two_planned()
    cost = cost_of(made, plan, FIGURES)
    lines = cost_text(cost, made.name, made.workshop).splitlines()
    at = lines.index("Price without tax, by job:")
    first = cost.jobs[0]
    assert lines[at + 1] == f"  bench: {money_text(first.price)}, {hours_text(first.minutes)}"
    values = cost_values(cost, made.name, made.workshop)
    assert [each["job"] for each in values["jobs"]] == ["bench", "shelf"]
    assert values["jobs"][0]["price"] == money_text(first.price)
    alone = cost_of(*bench_planned(), FIGURES)
    assert cost_values(alone, "bench", made.workshop)["jobs"] == []
    assert "by job" not in cost_text(alone, "bench", made.workshop)
