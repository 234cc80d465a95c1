"""What a job bears of a purchase, in words."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import OtherLine, joined
from cutplan.model.totals import totals_of
from cutplan.units import CURRENCY, KG
from cutplan.words.share_words import marks_line, share_lines
from tests.hand_plans import hand_plan
from tests.test_model_joining import BENCH, GATE


def test_amounts_of_nothing_are_left_out_and_tax_is_named() -> None:
    post = OtherLine(name="post", quantity=1, mass_each=2 * KG, price_each=CURRENCY)
    job = joined([replace(GATE, others=(post,)), BENCH])
    job = replace(job, workshop=replace(job.workshop, tax_millionths=210_000))
    plan = hand_plan(job, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"]))
    whole = totals_of(job, plan)
    gate, bench = whole.lists
    said = share_lines(gate, 12_670_000, gate.part_mass, whole, job.workshop, known=True)
    assert said == [
        "3 parts, 2.7 kg, and other things of 2.0 kg. Its share of 6.0 kg to buy: 2.7 kg.",
        "Its share of the money, in EUR: lengths 9.47, other things 1.00; 12.67 of 25.41 to pay, tax included.",
    ]
    (only,) = share_lines(bench, 0, bench.part_mass, whole, job.workshop, known=False)
    assert only == "2 parts, 3.0 kg. Its share of 6.0 kg to buy: 3.0 kg."


def test_a_job_that_bears_nothing() -> None:
    job = joined([GATE, BENCH])
    whole = totals_of(job, hand_plan(job, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"])))
    nothing = replace(whole.lists[0], bars=0, charges=0, others_money=0)
    assert "in EUR: nothing; 0.00 of" in share_lines(nothing, 0, 0, whole, GATE.workshop, known=True)[1]


def test_how_marks_begin() -> None:
    assert marks_line("gate").endswith("marks of this job begin with gate/.")
