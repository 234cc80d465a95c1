"""What became of many lists, in words and as values."""

from __future__ import annotations

from pathlib import Path

from cutplan.words.batch_words import batch_text, row_values
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


def test_as_values() -> None:
    assert row_values(DONE)["to_pay"] == "126.93"
    assert row_values(UNPRICED)["to_pay"] is None
    assert set(row_values(AT_FAULT)) == {"list", "folder", "outcome", "seconds", "faults"}
