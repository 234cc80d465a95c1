"""The summary says what a buyer must know, in plain text of 80 columns at most."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from cutplan.model import Assumption, Job, Merchant, Plan
from cutplan.problems import Problem
from cutplan.reports.terminal.picture import BOXED
from cutplan.reports.terminal.plan_text import summary
from tests import builders
from tests.hand_plans import hand_plan


def planned() -> tuple[Job, Plan]:
    parts = [builders.part("A", 4, 2500, assembly="bed"), builders.part("B", 1, 700)]
    offers = [builders.offer("P1", 6000, "27.5")]
    merchants = [Merchant(name="Yard", delivery=15_000_000, minimum_order=60_000_000)]
    job = builders.job(
        parts, offers, [builders.offcut("R1", 800, 2)], kerf="2.5", end_trim=10, keep=300, merchants=merchants
    )
    shop = replace(job.workshop, tax_millionths=200_000)
    warning = Problem(code="odd.marks", where="list.csv, row 4", found="7", accepted="8")
    job = replace(
        job, workshop=shop, assumptions=(Assumption("assumed.kerf", "The kerf is 2.5 mm."),), warnings=(warning,)
    )
    return job, hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), ("R1", ["B"]))


def test_the_whole_summary() -> None:
    assert summary(*planned(), 80).splitlines() == WHOLE


def test_the_fingerprint_of_the_printed_sheets_stands_first() -> None:
    assert summary(*planned(), 80, fingerprint="0a1b2c3d").splitlines()[0] == "tiny: 5 parts from 3 bars, plan 0a1b2c3d"


WHOLE = """\
tiny: 5 parts from 3 bars
Buy from Yard
  2 lengths x 6 m SHS 40x40x3, EN 10219-2, grade not stated, black     55.00 EUR
  delivery                                                             15.00 EUR
  to make up the minimum order                                          5.00 EUR
Fetch from the rack: R1
To pay             90.00 EUR, with 15.00 EUR tax
Cheapest: proven, rechecked
Pieces of the rack are used up where it costs the same (sought, not proven): 1
  of 1 cut
Cut
  SHS 40x40x3, EN 10219-2, grade not stated, black
  Bars 1, 2 (2 cut alike): 6 m length from Yard; left over: keep 985 mm, far end
    mill
                                                                 keep 985 mm
    #|             A            |             A             |//////////|
     10                         2510                        5012.5     6000
  SHS 40x40x3, EN 10219-2, grade unknown, black
  Bar 3: offcut R1, 800 mm; left over: scrap 97.5 mm
                                                                  scrap 97.5 mm
    |                             B                            |xxxxxxx|
                                                               700     800
  # end trim, / left over to keep, x left over to scrap; figures run from START
Put on the rack: 2 x 985 mm SHS 40x40x3
To buy             2 lengths, 12 m, 36.0 kg
Material used      83.5 % of the length; parts 32.1 kg of 38.4 kg
Left over to keep  2 offcuts, 5.9 kg
Scrap              0.4 kg, kerf and end trim included
Cuts               7 strokes of the saw, squaring included
Value of offcuts   2.00 EUR of those cut, 0.00 EUR of those kept
To look at: 1 warning
  list.csv, row 4: found "7". Accepted: 8.
Assumed
  The kerf is 2.5 mm.
""".splitlines()


@pytest.mark.parametrize("width", [20, 40, 57, 80, 200])
def test_it_keeps_to_the_width(width: int) -> None:
    lines = summary(*planned(), width).splitlines()
    assert max(map(len, lines)) <= max(width, 40)
    drawn = slice(lines.index("Cut"), next(i for i, line in enumerate(lines) if line.startswith("Put on")))
    assert max(map(len, [*lines[: drawn.start], *lines[drawn.stop :]])) <= 80


def test_assumptions_come_last_and_only_those_that_bear_on_the_plan() -> None:
    job, plan = planned()
    paper = Assumption("assumed.paper", "Sheets are printed on A4.")
    job = replace(job, assumptions=(paper, *job.assumptions))
    assert summary(job, plan, 80).splitlines()[-3:] == [
        "Assumed",
        "  The kerf is 2.5 mm.",
        "  1 more changes nothing in this plan: --assumptions shows all",
    ]
    assert summary(job, plan, 80, all_assumed=True).splitlines()[-3:] == [
        "Assumed",
        "  Sheets are printed on A4.",
        "  The kerf is 2.5 mm.",
    ]


def test_one_part_of_one_bar() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, 9)])
    assert summary(job, hand_plan(job, ("P1", ["A"])), 80).splitlines()[0] == "tiny: 1 part from 1 bar"


def test_no_escape_codes() -> None:
    assert "\x1b" not in summary(*planned(), 80)


def test_every_pattern_is_drawn() -> None:
    parts = [builders.part(f"A{i}", 1, 1000 + i) for i in range(9)]
    job = builders.job(parts, [builders.offer("P1", 1500, 9)])
    text = summary(job, hand_plan(job, *(("P1", [part.mark]) for part in parts)), 80)
    assert all(re.search(rf"\| +{part.mark} +\|", text) for part in parts)


def test_bars_are_as_wide_as_the_terminal() -> None:
    lines = summary(*planned(), 200, BOXED).splitlines()
    assert max(len(line) for line in lines if "█" in line) > 180


def test_what_has_no_price_is_named() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)])
    text = summary(job, hand_plan(job, ("P1", ["A"])), 80)
    assert "no price" in text
    assert "No price           SHS 40x40x3 to EN 10219-2, any grade, black" in text
    assert "To pay             not known: nothing has a price" in text
    assert "0.00" not in text


def test_what_has_no_price_is_left_out_of_the_money_to_pay() -> None:
    side = builders.square_tube(50)
    parts = [builders.part("A", 1, 2500), builders.part("B", 1, 2500, section=side)]
    job = builders.job(parts, [builders.offer("P1", 6000, None), builders.offer("P2", 6000, 9, section=side)])
    text = summary(job, hand_plan(job, ("P1", ["A"]), ("P2", ["B"])), 80)
    assert "To pay             9.00 EUR; what has no price is left out" in text


def test_lengths_without_a_merchant() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None, merchant="")])
    lines = summary(job, hand_plan(job, ("P1", ["A"])), 80).splitlines()
    assert "Buy" in lines
    assert "  Bar 1: 6 m length; left over: keep 3500 mm, far end mill" in lines


def test_an_inch_section_keeps_its_typed_name() -> None:
    typed = {"typed_section": "HSS 2x2x1/8"}
    job = builders.job([builders.part("A", 3, 2000, **typed)], [builders.offer("P1", 6500, 9, merchant="Yard")])
    text = summary(job, hand_plan(job, *[("P1", ["A", "A", "A"])]), 80)
    assert "Put on the rack: 500 mm HSS 2x2x1/8 (SHS 40x40x3)" in text


def test_left_overs_alike_are_counted() -> None:
    job = builders.job([builders.part("A", 3, 2000)], [builders.offer("P1", 2500, 9)])
    text = summary(job, hand_plan(job, *[("P1", ["A"])] * 3), 80)
    assert "Put on the rack: 3 x 500 mm SHS 40x40x3" in text


def test_left_overs_alike_stand_together_with_their_marks() -> None:
    job = builders.job([builders.part("A", 3, 2000)], [builders.offer("P1", 2500, 9)])
    plan = hand_plan(job, *[("P1", ["A"])] * 3)
    (group,) = plan.groups
    marked = tuple(replace(bar, drop=replace(bar.drop, mark=f"C{bar.number}")) for bar in group.bars)
    text = summary(job, replace(plan, groups=(replace(group, bars=marked),)), 80)
    assert "Put on the rack: 3 x 500 mm SHS 40x40x3 (C1, C2, C3)" in text


def test_the_rack_may_be_enough() -> None:
    job = builders.job([builders.part("A", 1, 2000)], [], [builders.offcut("R1", 2200)])
    assert "Buy nothing: the rack holds enough." in summary(job, hand_plan(job, ("R1", ["A"])), 80)


def test_marks_with_no_room_are_named_below_their_bar() -> None:
    long = "upright of the left hand gate, hinge side, seen from the road outside"
    job = builders.job([builders.part(long, 3, 400), builders.part("A(9)", 1, 300)], [builders.offer("P1", 1900, 9)])
    text = " ".join(summary(job, hand_plan(job, ("P1", [long, long, long, "A(9)"])), 60).split())
    assert f"(1), (2), (3): {long} " in text
    assert "(9):" not in text
