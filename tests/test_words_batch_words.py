"""What became of many lists, in words and as values."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan.rack.stages import Stage
from cutplan.words.batch_words import BEGUN, OTHERWISE, batch_text, progress_text, row_values
from tests.test_reports_batch_table import AT_FAULT, DONE, UNPRICED


def test_in_words() -> None:
    twice = [("R1", [Path("a.csv"), Path("b.csv")])]
    assert batch_text([DONE, AT_FAULT, UNPRICED], twice, True, 4).splitlines() == [
        "jobs/gate.csv: planned: 126.93 EUR, 55.5 kg, proven, rechecked",
        "=1+1.csv: at fault: row 2: wrong (2 faults)",
        "c.csv: as before: no price, 0.0 kg, not proven, stopped by user",
        "R1 of the rack is in more than one of these plans: a.csv, b.csv.",
        "Plans for 2 of 4 lists, 1 made now.",
        "Stopped; run it again and it goes on from here.",
    ]


@pytest.mark.parametrize("stage", Stage)
def test_a_plan_that_is_begun_is_a_plan(stage: Stage) -> None:
    """Every stage of the ledger but the first, in its word there."""
    assert (stage.value in BEGUN) == (stage is not Stage.PLANNED)
    row = replace(DONE, outcome=stage.value, faults=(OTHERWISE,))
    assert row.has_plan
    line, total = batch_text([row], [], False, 1).splitlines()
    assert line.startswith(f"jobs/gate.csv: {stage.value}: 126.93 EUR, 55.5 kg, proven, rechecked; the list is not as")
    assert total.startswith("Plans for 1 of 1 list")


@pytest.mark.parametrize(("money", "shown"), [(65_000_000, "65.00"), (131_700_000, "131.70"), (0, "0.00")])
def test_money_has_its_cents(money: int, shown: str) -> None:
    assert f": {shown} EUR, " in batch_text([replace(DONE, money=money)], [], False, 1)


@pytest.mark.parametrize(
    ("done", "of", "seconds", "shown"),
    [
        (1, 300, 2.0, "1 of 300, about 10 min left: =1+1.csv: at fault"),  # 299 lists of 2 s
        (270, 300, 600.0, "270 of 300, about 1 min left: =1+1.csv: at fault"),
        (290, 300, 600.0, "290 of 300: =1+1.csv: at fault"),
        (300, 300, 660.0, "300 of 300: =1+1.csv: at fault"),
    ],
)
def test_what_is_left(done: int, of: int, seconds: float, shown: str) -> None:
    assert progress_text(AT_FAULT, done, of, seconds) == shown


def test_as_values() -> None:
    assert row_values(DONE)["to_pay"] == "126.93"
    assert row_values(UNPRICED)["to_pay"] is None
    assert set(row_values(AT_FAULT)) == {"list", "folder", "outcome", "seconds", "faults"}
