"""What a list asks for, in words and as values."""

from __future__ import annotations

from dataclasses import replace

from cutplan import actions
from cutplan.model import Assumption
from cutplan.problems import SHOWN_AT_ONCE, Problem
from cutplan.words.list_found import found_text, found_values
from tests.builders import job, offer, part

JOB = replace(
    job([part("A", 2, 1400)], [offer("P1", 3000, 9)]),
    assumptions=(Assumption("assumed.kerf", "Kerf 2.5 mm."),),
    warnings=tuple(
        Problem(code="odd.marks", where=f"row {row}", found="A", accepted="another") for row in range(SHOWN_AT_ONCE + 1)
    ),
    silenced=1,
)


def test_assumptions_come_before_warnings_of_which_the_first_are_shown() -> None:
    lines = found_text(JOB, actions.check(JOB)).splitlines()
    assert lines.index("  Kerf 2.5 mm.") < lines.index(f"To look at: {SHOWN_AT_ONCE + 1} warnings")
    assert sum(line.startswith("  row ") for line in lines) == SHOWN_AT_ONCE
    assert "1 warning not shown, as the list says looked at" in lines


def test_values_have_codes_and_all_warnings() -> None:
    values = found_values(JOB, actions.check(JOB))
    assert values["assumptions"] == [{"code": "assumed.kerf", "text": "Kerf 2.5 mm."}]
    assert [each["code"] for each in values["warnings"]] == ["odd.marks"] * (SHOWN_AT_ONCE + 1)
    ((group,), silenced) = values["groups"], values["silenced"]
    assert (group["pieces"], group["length_mm"], group["offers"], silenced) == (2, "2800", 1, 1)
