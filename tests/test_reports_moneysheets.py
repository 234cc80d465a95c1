"""What is bought and what it costs: sums follow the prices, show their value in a preview, tell what is not known."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from cutplan.model import Merchant
from cutplan.reports.terminal.plan_text import summary
from cutplan.reports.workbook import moneysheets
from cutplan.units import CURRENCY
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import book, row_of, texts, trailer

OFFICE = pytest.mark.skipif(
    shutil.which("soffice") is None, reason="LibreOffice is not installed: no recalculation to compare"
)


def test_nothing_to_buy_is_said() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [], [builders.offcut("R1", 1100)])
    assert "Nothing to buy." in texts(book(job, hand_plan(job, ("R1", ["A"])))["Buy"])


def formulas(found: Any) -> dict[tuple[str, str], str]:
    return {
        (sheet.title, cell.coordinate): cell.value
        for sheet in found
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def test_every_formula_shows_a_value_in_a_preview() -> None:
    job, plan = trailer()
    shown = book(job, plan, data_only=True)
    live = formulas(book(job, plan))
    assert len(live) > 15
    for sheet, cell in live:
        kinds = str if (sheet, cell) == ("Buy", "A3") else (int, float)  # the status is a sentence
        assert isinstance(shown[sheet][cell].value, kinds), (sheet, cell)


def test_the_status_follows_the_price_cells() -> None:
    """Beside each price cell lies the price of the plan, hidden; one that differs changes what the status says."""
    job, plan = trailer()
    sheet = book(job, plan)["Buy"]
    rows = [row for row in range(4, sheet.max_row + 1) if isinstance(sheet.cell(row, 8).value, int | float)]
    assert rows
    assert sheet.column_dimensions["H"].hidden
    assert all(sheet.cell(row, 6).value == sheet.cell(row, 8).value for row in rows)
    formula = sheet["A3"].value
    assert "Cheapest: prices changed since planning; plan again" in formula
    compared = re.findall(r"F(\d+):F(\d+)<>H(\d+):H(\d+)", formula)
    assert {n for first, last, *_ in compared for n in range(int(first), int(last) + 1)} == set(rows)
    assert all((first, last) == tuple(same) for first, last, *same in compared)


def test_prices_are_shown_as_money() -> None:
    """62.533628 for a length, which a price by the foot comes to, is shown to the cent and kept as it is."""
    job = builders.job([builders.part("A", 1, 900)], [builders.offer("P1", 1000, "62.533628")])
    sheet = book(job, hand_plan(job, ("P1", ["A"])))["Buy"]
    shown = [cell.number_format for (cell,) in sheet.iter_rows(min_col=6, max_col=6) if cell.value == 62.533628]
    assert shown == ["#,##0.00"]


def test_the_money_to_pay_is_shown_and_live() -> None:
    """31.35 + 27.50 + 19.99 = 78.84; Far: 47.49 bought, 20 delivery, 12.51 to its minimum; 21 % on 111.35."""
    job, plan = trailer()
    shown, live = book(job, plan, data_only=True), book(job, plan)
    at = {text: row_of(shown["Buy"], text) for text in ("to pay, tax included", "tax of 21 %")}
    assert shown["Buy"].cell(at["to pay, tax included"], 7).value == 134.73
    assert shown["Buy"].cell(at["tax of 21 %"], 7).value == 23.38
    assert live["Buy"].cell(at["to pay, tax included"], 7).value.startswith("=ROUND(")
    row = row_of(shown["Mass and cost"], "to pay, tax included")
    assert shown["Mass and cost"].cell(row, 12).value == 134.73
    assert live["Mass and cost"].cell(row, 12).value.startswith("='Buy'!")


def test_tax_in_the_prices_is_taken_out_for_show() -> None:
    job, plan = trailer(prices_include_tax=True)
    shown = book(job, plan, data_only=True)["Buy"]
    assert shown.cell(row_of(shown, "to pay, tax of 21 % included"), 7).value == 111.35
    assert shown.cell(row_of(shown, "tax in it"), 7).value == 19.33, "111.35 x 0.21 / 1.21"


def test_money_is_shared_by_section_and_assembly() -> None:
    job, plan = trailer()
    shown = book(job, plan, data_only=True)["Mass and cost"]
    assert shown.cell(row_of(shown, "-box (SHS 40x40x3) to EN 10219-2, any grade, black"), 12).value == 58.85
    # 58.85 x 10000 / 11400 is 51.6228.
    bed = 51.62 + 19.99
    assert shown.cell(row_of(shown, "bed & deck"), 12).value == pytest.approx(bed, abs=1e-5)
    assert shown.cell(row_of(shown, "bed & deck"), 2).value == 5


def test_a_section_without_a_price_is_named_and_left_out() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)])
    sheet = book(job, hand_plan(job, ("P1", ["A"])), data_only=True)["Buy"]
    row = row_of(sheet, "1 length x 6 m SHS 40x40x3, EN 10219-2, grade not stated, black")
    assert (sheet.cell(row, 6).value, sheet.cell(row, 7).value, sheet.cell(row, 5).value) == (None, 0, "no price")
    assert '"left out"' in sheet.cell(row, 7).number_format
    assert any("Not in the amounts" in text for text in texts(sheet))


def test_an_offcut_marked_like_an_offer_costs_nothing() -> None:
    side = builders.square_tube(50)
    parts = [builders.part("A", 1, 2500), builders.part("B", 1, 700, section=side)]
    offers = [builders.offer("P1", 6000, 30), builders.offer("P2", 6000, 50, section=side)]
    job = builders.job(parts, offers, [builders.offcut("R1", 900, section=side)])
    plan = hand_plan(job, ("P1", ["A"]), ("R1", ["B"]))
    tube, offcut = plan.groups
    named = replace(offcut, bars=tuple(replace(bar, source="P1") for bar in offcut.bars))
    job = replace(job, offcuts=(replace(job.offcuts[0], mark="P1"),))
    plan = replace(plan, groups=(tube, named))
    shown = book(job, plan, data_only=False)["Mass and cost"]
    row = row_of(shown, "SHS 50x50x3 to EN 10219-2, any grade, black")
    assert shown.cell(row, 12).value == "=0"
    (caution,) = (text for text in texts(book(job, plan)["Notes"]) if "Grade unknown" in text)
    assert "offcut P1, to be cut into parts whose grade is not specified: B." in caution


def test_a_sum_of_nothing_but_missing_prices_is_not_known() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None, merchant="")])
    found = book(job, hand_plan(job, ("P1", ["A"])))
    assert "No merchant named, longest 6 m, 18.0 kg in total" in texts(found["Buy"])
    for name, column in (("Buy", 7), ("Mass and cost", 12)):
        to_pay = found[name].cell(row_of(found[name], "to pay"), column)
        assert to_pay.number_format == '#,##0.00;-#,##0.00;"not known"', name
    job, plan = trailer()
    sheet = book(job, plan)["Buy"]
    assert sheet.cell(row_of(sheet, "to pay, tax included"), 7).number_format == "#,##0.00"


def test_material_used_is_the_figure_of_the_terminal() -> None:
    """2 x 2000 of 6300 is 63.49...: rounded down in both."""
    job = builders.job([builders.part("A", 2, 2000)], [builders.offer("P1", 6300, 9)])
    plan = hand_plan(job, ("P1", ["A", "A"]))
    sheet = book(job, plan)["Mass and cost"]
    assert sheet.cell(row_of(sheet, "total"), 11).value == 0.634
    assert "63.4 % of the length" in summary(job, plan, 80)


def recalculated(found: Workbook, folder: Path) -> Workbook:
    """A workbook as a spreadsheet program works it out, saved without what its formulas come to."""
    changed = folder / "changed.xlsx"
    found.save(changed)
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation={folder.as_uri()}/profile",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(folder / "out"),
            str(changed),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    return load_workbook(folder / "out" / "changed.xlsx", data_only=True)


@pytest.mark.thorough
@OFFICE
def test_a_spreadsheet_program_comes_to_the_cents_that_are_printed(tmp_path: Path) -> None:
    """Prices, charges, shares and tax that all need rounding."""
    sides = (40, 50, 60)
    parts = [
        replace(builders.part(f"{name}{side}", n, 300, section=builders.square_tube(side)), assembly=name)
        for n, name in enumerate(("gate", "bench", "stand"), start=1)
        for side in sides
    ]
    prices = zip(sides, ("20.004", "13.334", "6.684"), strict=True)
    offers = [builders.offer(f"P{side}", 2000, price, section=builders.square_tube(side)) for side, price in prices]
    merchant = Merchant(
        name="Yard", delivery=7_777_777, minimum_order=60 * CURRENCY, cuts_to_plan=True, cut_charge=333_333
    )
    job = builders.job(parts, offers, merchants=[merchant])
    tax = replace(job.workshop, tax_millionths=88_750, prices_include_tax=True)
    job = replace(job, workshop=tax)
    cuts = {side: [f"gate{side}", *[f"bench{side}"] * 2, *[f"stand{side}"] * 3] for side in sides}
    plan = hand_plan(job, *((f"P{side}", cuts[side]) for side in sides))
    stored, after = book(job, plan, data_only=True), recalculated(book(job, plan), tmp_path)
    live = formulas(book(job, plan))
    assert len(live) > 20
    for sheet, cell in live:
        worked_out = after[sheet][cell].value
        if isinstance(worked_out, str):  # how cheapest is known, as long as no price was changed
            assert worked_out == stored[sheet][cell].value, (sheet, cell)
            continue
        assert worked_out == pytest.approx(stored[sheet][cell].value, abs=1e-9), (sheet, cell)
        assert worked_out == pytest.approx(round(worked_out, 2), abs=1e-9), (sheet, cell)


@pytest.mark.thorough
@OFFICE
def test_sums_follow_a_changed_price_in_a_spreadsheet_program(tmp_path: Path) -> None:
    job, plan = trailer()
    found = book(job, plan)
    buy = found["Buy"]
    row = row_of(buy, "1 length x 6 m -box (SHS 40x40x3), EN 10219-2, grade not stated, black")
    assert buy.cell(row, 6).value == 27.5
    buy.cell(row, 6).value = 47.5  # so the minimum order is met: 67.49
    after = recalculated(found, tmp_path)
    to_pay = row_of(after["Buy"], "to pay, tax included")
    # 31.35 + 47.50 + 19.99 + 20 delivery = 118.84, and 21 %
    assert after["Buy"].cell(to_pay, 7).value == pytest.approx(118.84 + 24.96)
    cost = after["Mass and cost"]
    assert cost.cell(row_of(cost, "to pay, tax included"), 12).value == pytest.approx(118.84 + 24.96)
    # 78.85 x 10000 / 11400 is 69.1667.
    bed = 69.17 + 19.99
    assert cost.cell(row_of(cost, "bed & deck"), 12).value == pytest.approx(bed)


def test_whether_delivery_is_free_follows_the_prices() -> None:
    yard = Merchant(name="Yard", delivery=38 * CURRENCY, free_delivery_from=500 * CURRENCY)
    assert moneysheets._delivery(yard, "G7") == "IF(G7>=500.0,0.0,38.0)"
    assert moneysheets._delivery(replace(yard, free_delivery_from=0), "G7") == "38.0"
    assert moneysheets._delivery(replace(yard, delivers=True), "G7") == "IF(G7>=500.0,0.0,38.0)"
    assert moneysheets._delivery(replace(yard, delivers=True, free_delivery_from=0), "G7") == "38.0"
