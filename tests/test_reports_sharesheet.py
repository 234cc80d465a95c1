"""What each of several lists comes to, on the sheet of mass and cost and in the summary."""

from __future__ import annotations

import io
from dataclasses import replace

import openpyxl

from cutplan.model import Merchant, joined
from cutplan.reports.terminal.plan_text import summary
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.units import CURRENCY
from cutplan.words.share_words import RULE
from tests.hand_plans import hand_plan
from tests.test_model_joining import BENCH, GATE

BOTH = joined([GATE, BENCH])
JOB = replace(BOTH, workshop=replace(BOTH.workshop, merchants=(Merchant(name="Yard", delivery=19 * CURRENCY),)))
PLAN = hand_plan(JOB, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"]))


def test_a_row_for_each_list_and_the_rule() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(JOB, PLAN)))
    rows = [[value for value in row if value is not None] for row in book["Mass and cost"].values]
    assert [RULE] in rows
    at = rows.index([RULE])
    assert rows[at + 1][:5] == ["job", "parts", "parts, m", "parts, kg", "other, kg"]
    assert rows[at + 1][5:] == ["lengths", "charges", "other things", "amount"]
    gate, bench = rows[at + 2], rows[at + 3]
    assert gate[:4] == ["gate", 3, 0.9, 2.7]
    assert bench[:4] == ["bench", 2, 1, 3]
    number = at + 3
    # The lengths are the cells of its assemblies, the charges go with them, and the sum is of the three.
    assert gate[5].count("$L$") == 2
    assert bench[5].count("$L$") == 1
    assert f"*SUM(I{number}:I{number})/(" in gate[6]
    assert f"*SUM(I{number}:I{number + 1})/(" in bench[6]
    assert "-ROUND(" in bench[6]
    assert gate[-1] == f"=I{number}+J{number}+K{number}"


def test_the_summary_names_the_lists() -> None:
    text = summary(JOB, PLAN, 80)
    assert "gate + bench: 5 parts from 2 bars" in text
    assert "of it gate" in text
    assert "3 parts, 2.7 kg, 20.47 EUR before tax" in text
    assert "2 parts, 3.0 kg, 20.53 EUR before tax" in text


def test_a_single_list_is_not_told_apart() -> None:
    assert "of it" not in summary(GATE, hand_plan(GATE, ("P1", ["A", "A", "B"])), 80)
