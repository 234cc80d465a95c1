"""Quotes given for a plan: kept once, the same again or another one."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from tests.costed import bench_planned

pytestmark = pytest.mark.usefixtures("no_paper")


def test_the_same_quote_keeps_its_number_and_another_gets_the_next(tmp_path: Path) -> None:
    actions.write_plan(*bench_planned(), tmp_path)
    file = tmp_path / "plan.json"
    rack = actions.find_rack(near=file, who="Ines")
    first = actions.quote_plan(file, rack, customer="Fernhollow")
    again = actions.quote_plan(file, rack, customer="Fernhollow", by_assembly=True)
    other = actions.quote_plan(file, rack, customer="Quarry Lane Farm")
    assert [done.quote.number for done in (first, again, other)] == ["Q1", "Q1", "Q2"]
    assert [done.before for done in (first, again, other)] == [False, True, False]
    with pytest.raises(ProblemsFound) as refused:
        actions.quote_plan(file, rack, customer="a third one", number="Q1")
    assert [problem.code for problem in refused.value.problems] == ["quote.number"]
    assert not (tmp_path / "quote-Q3.pdf").exists()
    actions.undo(rack)
    assert actions.quote_plan(file, rack, customer="a third one").quote.number == "Q3"
