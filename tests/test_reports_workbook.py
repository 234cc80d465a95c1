"""The workbook read back holds the plan's numbers, its sums follow its prices, and it prints as meant."""

from __future__ import annotations

import io
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.model import Job, Merchant, Plan
from cutplan.reports.rows import rows_of
from cutplan.reports.terminal import summary
from cutplan.reports.workbook import workbook_bytes, write_workbook
from tests import builders
from tests.hand_plans import hand_plan

FORMULA_LIKE = "=SUM(A1:A9)"
LONG = "MWMWMWMWMWMWMWMWMWMWMWMW"
UNICODE = "Ständer ж 梁柱"


def trailer(**changes: Any) -> tuple[Job, Plan]:
    """Two sections, two merchants, charges, tax, an offcut, a mitre and marks that are hard to write."""
    side = builders.square_tube(50)
    parts = [
        builders.part(FORMULA_LIKE, 4, 2500, assembly="bed & deck", note="+note", typed_section="-box"),
        builders.part(LONG, 2, 700, assembly="@side", mitres=(45, 45)),
        builders.part(UNICODE, 1, 900, section=side, assembly="bed & deck"),
    ]
    offers = [
        builders.offer("P1", 6500, "31.35"),
        builders.offer("P2", 6000, "27.5", merchant="Far"),
        builders.offer("P3", 3000, "19.99", merchant="Far", section=side),
    ]
    merchants = [Merchant(name="Far", delivers=True, delivery=20_000_000, minimum_order=60_000_000)]
    job = builders.job(
        parts, offers, [builders.offcut("R1", 800)], kerf="2.5", end_trim=10, keep=200, merchants=merchants
    )
    job = replace(job, workshop=replace(job.workshop, tax_millionths=210_000, **changes))
    bars = (
        ("P1", [FORMULA_LIKE, FORMULA_LIKE]),
        ("P2", [FORMULA_LIKE, FORMULA_LIKE, LONG]),
        ("R1", [LONG]),
        ("P3", [UNICODE]),
    )
    return job, hand_plan(job, *bars)


def book(job: Job, plan: Plan, *, data_only: bool = False) -> Any:
    return load_workbook(io.BytesIO(workbook_bytes(job, plan)), data_only=data_only)


def texts(sheet: Any) -> list[str]:
    return [cell.value for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]


def row_of(sheet: Any, text: str) -> int:
    """The first row that holds a text."""
    return next(cell.row for row in sheet.iter_rows() for cell in row if cell.value == text)


def test_sheets_stand_in_the_order_of_the_day() -> None:
    names = book(*trailer()).sheetnames
    assert names == ["Buy", "Fetch", "Cut", "Put away", "Weight and cost", "Parts", "Notes"]


def test_sheets_with_nothing_to_say_are_left_out() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [builders.offer("P1", 1000, 5)])
    assert book(job, hand_plan(job, ("P1", ["A"]))).sheetnames == ["Buy", "Cut", "Weight and cost", "Parts", "Notes"]


def test_nothing_to_buy_is_said() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [], [builders.offcut("R1", 1100)])
    assert "Nothing to buy." in texts(book(job, hand_plan(job, ("R1", ["A"])))["Buy"])


def test_cells_read_back_equal_the_plan() -> None:
    job, plan = trailer()
    sheet = book(job, plan)["Cut"]
    for block in rows_of(job, plan).blocks:
        title = f"{block.title}: {block.what}"
        first = row_of(sheet, title)
        head = next(row for row in range(first, first + 30) if sheet.cell(row, 4).value == "Part mark")
        for place, cut in enumerate(block.cuts, 1):
            row = head + place
            assert sheet.cell(row, 4).value == cut.mark
            assert round(sheet.cell(row, 30).value * 1_000_000) == cut.length
            assert round(sheet.cell(row, 43).value * 1_000_000) == cut.running
        assert sheet.cell(head + len(block.cuts) + 1, 1).value == block.left_over


def test_the_piece_length_is_the_largest_figure() -> None:
    sheet = book(*trailer())["Cut"]
    row = row_of(sheet, "Part mark") + 1
    sizes = {cell.coordinate: cell.font.size for cell in sheet[row] if cell.value is not None}
    length, running = sizes.pop(f"AD{row}"), sizes.pop(f"AQ{row}")
    assert length > running > max(size for cell, size in sizes.items() if not cell.startswith("D"))


def test_text_is_never_a_formula() -> None:
    found = book(*trailer())
    for sheet in found:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value in (FORMULA_LIKE, "+note", "-box", "@side"):
                    assert cell.data_type == "s", f"{sheet.title} {cell.coordinate}"
                    assert cell.quotePrefix
    assert FORMULA_LIKE in texts(found["Parts"])
    assert FORMULA_LIKE in texts(found["Cut"])


def test_hard_marks_are_written_whole() -> None:
    found = book(*trailer())
    for name in ("Cut", "Parts"):
        assert {LONG, UNICODE} <= set(texts(found[name]))


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
        assert isinstance(shown[sheet][cell].value, int | float), (sheet, cell)


def test_the_money_to_pay_is_shown_and_live() -> None:
    """31.35 + 27.50 + 19.99 = 78.84; Far: 47.49 bought, 20 delivery, 12.51 to its minimum; 21 % on 111.35."""
    job, plan = trailer()
    shown, live = book(job, plan, data_only=True), book(job, plan)
    at = {text: row_of(shown["Buy"], text) for text in ("to pay, tax included", "tax of 21 %")}
    assert shown["Buy"].cell(at["to pay, tax included"], 7).value == 134.73
    assert shown["Buy"].cell(at["tax of 21 %"], 7).value == 23.38
    assert live["Buy"].cell(at["to pay, tax included"], 7).value.startswith("=ROUND(")
    row = row_of(shown["Weight and cost"], "to pay, tax included")
    assert shown["Weight and cost"].cell(row, 12).value == 134.73
    assert live["Weight and cost"].cell(row, 12).value.startswith("='Buy'!")


def test_tax_in_the_prices_is_taken_out_for_show() -> None:
    job, plan = trailer(prices_include_tax=True)
    shown = book(job, plan, data_only=True)["Buy"]
    assert shown.cell(row_of(shown, "to pay, tax of 21 % included"), 7).value == 111.35
    assert shown.cell(row_of(shown, "tax in it"), 7).value == 19.33, "111.35 x 0.21 / 1.21"


def test_money_is_shared_by_section_and_assembly() -> None:
    job, plan = trailer()
    shown = book(job, plan, data_only=True)["Weight and cost"]
    assert shown.cell(row_of(shown, "SHS 40x40x3 (-box) to EN 10219-2, any grade, black"), 12).value == 58.85
    bed = 58.85 * 10000 / 11400 + 19.99
    assert shown.cell(row_of(shown, "bed & deck"), 12).value == pytest.approx(bed, abs=1e-5)
    assert shown.cell(row_of(shown, "bed & deck"), 2).value == 5


def test_a_section_without_a_price_is_named_and_left_out() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)])
    sheet = book(job, hand_plan(job, ("P1", ["A"])), data_only=True)["Buy"]
    row = row_of(sheet, "1 length x 6 m SHS 40x40x3, EN 10219-2, grade not stated, black")
    assert (sheet.cell(row, 6).value, sheet.cell(row, 7).value, sheet.cell(row, 5).value) == (None, 0, "no price")
    assert '"left out"' in sheet.cell(row, 7).number_format
    assert any("Left out of the money" in text for text in texts(sheet))


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
    shown = book(job, plan, data_only=False)["Weight and cost"]
    row = row_of(shown, "SHS 50x50x3 to EN 10219-2, any grade, black")
    assert shown.cell(row, 12).value == "=0"
    (caution,) = (text for text in texts(book(job, plan)["Notes"]) if "Grade unknown" in text)
    assert "offcut P1, to be cut into parts whose grade is not specified: B." in caution


def test_a_sum_of_nothing_but_missing_prices_is_not_known() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None, merchant="")])
    found = book(job, hand_plan(job, ("P1", ["A"])))
    assert "No merchant named, longest 6 m, 18.0 kg in all" in texts(found["Buy"])
    for name, column in (("Buy", 7), ("Weight and cost", 12)):
        to_pay = found[name].cell(row_of(found[name], "to pay"), column)
        assert to_pay.number_format == '#,##0.00;-#,##0.00;"not known"', name
    job, plan = trailer()
    sheet = book(job, plan)["Buy"]
    assert sheet.cell(row_of(sheet, "to pay, tax included"), 7).number_format == "#,##0.00"


def test_material_used_is_the_figure_of_the_terminal() -> None:
    """2 x 2000 of 6300 is 63.49...: rounded down in both."""
    job = builders.job([builders.part("A", 2, 2000)], [builders.offer("P1", 6300, 9)])
    plan = hand_plan(job, ("P1", ["A", "A"]))
    sheet = book(job, plan)["Weight and cost"]
    assert sheet.cell(row_of(sheet, "together"), 11).value == 0.634
    assert "63.4 % of the length" in summary(job, plan, 80)


def test_same_bytes_twice() -> None:
    assert workbook_bytes(*trailer()) == workbook_bytes(*trailer())


def test_pages_are_set_up_for_the_workshop() -> None:
    for unit, paper in (("mm", 9), ("in", 1)):
        for sheet in book(*trailer(unit=unit)):
            setup = sheet.page_setup
            assert int(setup.paperSize) == paper
            assert setup.orientation == ("portrait" if sheet.title in ("Buy", "Notes") else "landscape")
            assert sheet.print_area
            assert sheet.print_title_rows.startswith("$1:$")
            assert sheet.oddFooter.center.text == "page &P of &N"
            assert sheet.oddFooter.left.text == "tiny"
            fits = sheet.title != "Cut"
            assert bool(sheet.sheet_properties.pageSetUpPr.fitToPage) is fits
            assert (setup.fitToHeight == 0) is fits


def test_an_ampersand_in_the_job_name_is_no_code_in_the_footer() -> None:
    job, plan = trailer()
    job = replace(job, name="Bed & deck")
    assert book(job, plan)["Buy"].oddFooter.left.text == "Bed && deck"


def test_no_macro_and_no_time_of_day(tmp_path: Path) -> None:
    job, plan = trailer()
    write_workbook(job, plan, tmp_path / "plan.xlsx")
    found = load_workbook(tmp_path / "plan.xlsx", keep_vba=True)
    assert found.vba_archive is None or not any("vba" in name for name in found.vba_archive.namelist())
    assert found.properties.created == found.properties.modified


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed: no recalculation to compare")
def test_sums_follow_a_changed_price_in_a_spreadsheet_program(tmp_path: Path) -> None:
    job, plan = trailer()
    found = book(job, plan)
    buy = found["Buy"]
    row = row_of(buy, "1 length x 6 m SHS 40x40x3 (-box), EN 10219-2, grade not stated, black")
    assert buy.cell(row, 6).value == 27.5
    buy.cell(row, 6).value = 47.5  # so the minimum order is met: 67.49
    changed = tmp_path / "changed.xlsx"
    found.save(changed)  # without what the formulas come to, so that they must be worked out
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation={tmp_path.as_uri()}/profile",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(tmp_path / "out"),
            str(changed),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    after = load_workbook(tmp_path / "out" / "changed.xlsx", data_only=True)
    to_pay = row_of(after["Buy"], "to pay, tax included")
    # 31.35 + 47.50 + 19.99 + 20 delivery = 118.84, and 21 %
    assert after["Buy"].cell(to_pay, 7).value == pytest.approx(118.84 + 24.96)
    cost = after["Weight and cost"]
    assert cost.cell(row_of(cost, "to pay, tax included"), 12).value == pytest.approx(118.84 + 24.96)
    bed = 78.85 * 10000 / 11400 + 19.99
    assert cost.cell(row_of(cost, "bed & deck"), 12).value == pytest.approx(bed)
