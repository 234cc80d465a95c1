"""What is kept at the saw beside the ticks, in a cut record that the command reads."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import CUT_RECORD_FILE, Parts, Step
from cutplan.problems import ProblemsFound
from tests.benches import PLAN, bars_in_plan
from tests.commands import run

pytestmark = pytest.mark.usefixtures("parts_planned")
RECORD = PLAN.with_name(CUT_RECORD_FILE)


def all_cut(rack: actions.Rack) -> None:
    for bar in bars_in_plan():
        actions.tick_parts(PLAN, rack, Step.CUT, Parts(bar=bar))


def kept_bar() -> int:
    _, plan = actions.read_plan(PLAN)
    return next(bar.number for bar in plan.bars if bar.drop.mark or bar.drop.fate.value == "keep")


def test_what_is_put_away_is_a_cut_record_that_record_reads() -> None:
    rack = actions.rack_of_plan(PLAN)
    all_cut(rack)
    actions.put_away(PLAN, rack, kept_bar(), measured="1171", place="left shelf")
    assert actions.at_the_saw(PLAN, rack).put_away == {kept_bar(): ("1171", "left shelf")}
    assert run("record", str(PLAN), "--actual", str(RECORD)).exit_code == 0
    assert "1171 mm" in run("rack", "show").stdout


def test_a_record_of_another_plan_says_nothing_of_this_one() -> None:
    rack = actions.rack_of_plan(PLAN)
    all_cut(rack)
    actions.put_away(PLAN, rack, kept_bar(), measured="1171")
    RECORD.write_text(RECORD.read_text().replace(actions.fingerprint(PLAN), "0a1b2c3d"))
    assert actions.at_the_saw(PLAN, rack).put_away == {}


def test_a_bar_that_the_plan_does_not_have_is_refused() -> None:
    with pytest.raises(ProblemsFound, match="bar 9"):
        actions.put_away(PLAN, actions.rack_of_plan(PLAN), 9)
    assert not RECORD.exists()


def test_a_length_that_a_bar_cannot_leave_is_refused_and_what_stood_there_stays() -> None:
    rack = actions.rack_of_plan(PLAN)
    all_cut(rack)
    actions.put_away(PLAN, rack, kept_bar(), measured="1171")
    before = RECORD.read_bytes()
    with pytest.raises(ProblemsFound, match="as the plan leaves"):
        actions.put_away(PLAN, rack, kept_bar(), measured="5000")
    assert RECORD.read_bytes() == before
    assert [path.name for path in PLAN.parent.iterdir() if path.is_dir()] == []


def test_a_plan_file_is_judged_once_and_anew_when_it_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan.actions import CheckFailed

    first = actions.read_plan(PLAN)
    assert actions.read_plan(PLAN)[1] is first[1]
    text = PLAN.read_text()
    PLAN.write_text(text.replace('"1200.0"', '"1201.0"') if '"1200.0"' in text else text.replace("1200", "1201", 1))
    with pytest.raises((CheckFailed, ProblemsFound)):
        actions.read_plan(PLAN)
