"""Rows carry the plan's own numbers; identical bars are shown once; the largest kerf is exact."""

from __future__ import annotations

from dataclasses import replace

from cutplan import actions
from cutplan.model import Merchant
from cutplan.problems import Problem
from cutplan.reports.rows import rows_of
from cutplan.units import KG, MM
from tests import builders
from tests.builders import mm
from tests.hand_plans import hand_plan
from tests.trailer_bars import BARS, blocks, trailer


def test_order_rows_by_merchant() -> None:
    rows = rows_of(trailer(), hand_plan(trailer(), *BARS))
    ((first, second),) = rows.orders
    assert first.text == "1 length x 6.5 m SHS 40x40x3, EN 10219-2, S235, black"
    assert (first.line.count, first.line.money, first.price_typed) == (1, 30_000_000, "30 each")
    assert (second.line.mass, second.price_typed) == (18 * KG, "27.5 each")


def test_an_offer_without_a_price_says_so() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)])
    ((row,),) = rows_of(job, hand_plan(job, ("P1", ["A"]))).orders
    assert (row.price_typed, row.line.money) == ("no price", None)


def test_what_to_fetch() -> None:
    (row,) = rows_of(trailer(), hand_plan(trailer(), *BARS)).fetch
    assert (row.mark, row.length, row.place, row.heat_number) == ("R1", 800 * MM, "top arm", "H77")
    assert (row.mass, row.bar, row.grade) == (2_400_000, 3, "S235")
    assert row.section == "SHS 40x40x3", "as typed in the parts list too"


def test_an_unknown_grade_is_said_to_be() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 1500)])
    rows = rows_of(job, hand_plan(job, ("R7", ["A"])))
    assert rows.fetch[0].grade == "grade unknown"
    assert rows.put_away[0].grade == "grade unknown"
    assert rows.blocks[0].what == "SHS 40x40x3, EN 10219-2, grade unknown, black"


def test_what_to_put_away() -> None:
    first, second = rows_of(trailer(), hand_plan(trailer(), *BARS)).put_away
    assert first.section == "SHS 40x40x3"
    assert (first.bar, first.length, first.far_end, first.heat_number) == (1, 1485 * MM, "mill", "")
    # The mitre takes 2.5 / cos 45, rounded up to 3.6 mm.
    assert (second.bar, second.length) == (2, mm("281.4"))
    assert second.mass == 844_200


def test_an_offcut_hands_its_heat_number_on() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 1500, heat_number="H5")])
    (row,) = rows_of(job, hand_plan(job, ("R7", ["A"]))).put_away
    assert (row.heat_number, row.far_end) == ("H5", "sawn")


def test_money_is_known_where_a_group_has_prices_or_nothing_is_bought() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)], [builders.offcut("R1", 2600)])
    assert not rows_of(job, hand_plan(job, ("P1", ["A"]))).money_known
    assert rows_of(job, hand_plan(job, ("R1", ["A"]))).money_known
    assert rows_of(trailer(), hand_plan(trailer(), *BARS)).money_known


def test_a_section_without_a_price_of_which_nothing_is_bought_is_not_left_out() -> None:
    """Parts of 500 without a price come from an offcut of 1100; those of galvanised are bought at 9."""
    parts = [builders.part("P", 2, 500), builders.part("Q", 1, 500, finish="galvanised")]
    offers = [builders.offer("A", 1000, None), builders.offer("B", 1000, 9, finish="galvanised")]
    job = builders.job(parts, offers, [builders.offcut("R", 1100)])
    rows = rows_of(job, actions.plan(job))
    assert (rows.left_out, rows.money_known) == ((), True)
    unpriced = replace(job, offers=(offers[0], replace(offers[1], typed_price="", bar_price=None)))
    rows = rows_of(unpriced, actions.plan(unpriced))
    assert (len(rows.left_out), rows.money_known) == (1, False)


def test_part_rows_show_what_was_typed_beside_what_was_understood() -> None:
    a, b = rows_of(trailer(), hand_plan(trailer(), *BARS)).parts
    assert (a.section, a.typed_section, a.length, a.typed_length) == ("SHS 40x40x3", "box 40x3", 2500 * MM, "2500")
    assert (a.length_meant, a.short_point, a.mass) == ("", None, 30 * KG)
    assert (b.length_meant, b.short_point, b.note) == ("long point", 660 * MM, "mind the seam")


def test_warnings_take_one_line_each() -> None:
    job = replace(trailer(), warnings=(Problem(code="odd.marks", where="row 3", found="1", accepted="2", hint="3"),))
    rows = rows_of(job, hand_plan(job, *BARS))
    assert rows.warnings == ('row 3: found "1". Accepted: 2. hint: 3',)


def test_merchants_keep_their_charges() -> None:
    merchant = Merchant(name="Yard", delivery=20_000_000)
    job = builders.job([builders.part("A", 1, 1400)], [builders.offer("P1", 3000, 9)], merchants=[merchant])
    assert rows_of(job, hand_plan(job, ("P1", ["A"]))).totals.orders[0].delivery == 20_000_000


def test_inches_all_through() -> None:
    job = builders.job([builders.part("A", 2, 1270)], [builders.offer("P1", 6096, 9)])
    job = replace(job, workshop=replace(job.workshop, unit="in"))
    block = blocks(job, ("P1", ["A", "A"]))[0]
    assert block.source == "20 ft length from Yard"
    assert block.left_over == "left over: keep 140 in, far end mill"


def test_a_length_on_the_rack_is_no_offcut() -> None:
    """It was never cut: both its ends are the mill's."""
    rack = [builders.offcut("K1", 6000, ends="mill mill"), builders.offcut("K2", 900)]
    job = builders.job([builders.part("A", 2, 800)], [builders.offer("P1", 6000, 30)], rack)
    length, offcut = blocks(job, ("K1", ["A"]), ("K2", ["A"]))
    assert (length.source, offcut.source) == ("length K1, 6000 mm", "offcut K2, 900 mm")
