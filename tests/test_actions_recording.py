"""Recording a plan: found again from the note beside it, told in words and as values."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.checked import read_plan
from cutplan.actions.recording import record
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.units import MM
from cutplan.words.recorded import record_text, record_values

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture
def plan_file(parts: str) -> Path:
    """The plan of the small list: 6500 mm of parts out of one bar of 6 m and one of 3 m."""
    rack = actions.find_rack(near=parts)
    actions.plan_into(actions.read_job(parts), "reports/frame", rack=rack)
    return Path("reports/frame/plan.json")


def test_the_ledger_is_made_where_the_note_says(plan_file: Path) -> None:
    rack = actions.rack_of_plan(plan_file, who="Ines")
    assert (rack.path, rack.path.exists()) == (Path("rack.ledger"), False)
    text = record_text(record(plan_file, rack, place="B2"))
    assert text.splitlines()[:2] == ["frame: recorded.", "Parts made: 6."]
    assert "paint this mark on it" in text
    assert "Scrap: " in text
    again = record(plan_file, rack)
    assert again.recorded is None
    assert record_text(again).endswith("by Ines. Nothing was changed.")
    assert record_values(again)["recorded_before"] is True
    assert {piece.state.place for piece in actions.rack_show(rack)} == {"B2"}


def test_a_plan_with_no_note_needs_its_rack_named(plan_file: Path, tmp_path: Path) -> None:
    Path("reports/frame/rack.txt").unlink()
    with pytest.raises(ProblemsFound, match="no note beside it that says which rack it belongs to"):
        actions.rack_of_plan(plan_file)
    assert actions.rack_of_plan(plan_file, ledger="other.ledger").path == Path("other.ledger")
    assert actions.rack_of_plan(plan_file, workshop=tmp_path / "workshop.toml").path == tmp_path / "rack.ledger"


def test_a_plan_from_the_rack_needs_the_ledger(parts: str) -> None:
    rack = actions.find_rack(near=parts)
    actions.rack_add(rack, "SHS 40x40x3", "2600")
    actions.plan_into(actions.read_job(parts), "out", rack=rack)
    rack.path.unlink()
    with pytest.raises(ProblemsFound, match="no ledger"):
        record("out/plan.json", rack)
    assert not rack.path.exists()


def test_a_plan_that_was_tampered_with_is_not_recorded(plan_file: Path) -> None:
    plan_file.write_text(plan_file.read_text().replace('"copy": 1', '"copy": 2', 1))
    with pytest.raises(actions.CheckFailed, match=r"plan\.json does not hold, and nothing was written\. Was it"):
        read_plan(plan_file)


def test_what_was_not_cut_is_told(plan_file: Path) -> None:
    rack = actions.rack_of_plan(plan_file)
    _, plan = read_plan(plan_file)
    first, second = plan.bars
    facts = {
        first.number: BarFact(spoiled=(Spoiled(mark=first.cuts[0].mark, measured=700 * MM),)),
        second.number: BarFact(cut=0),
    }
    done = record(plan_file, rack, facts=facts)
    text = record_text(done)
    assert f"Spoiled: 1 x {first.cuts[0].mark}." in text
    assert "Not cut, on the rack:" in text
    assert "Still to cut: " in text
    values = record_values(done)
    assert sum(values["still_to_cut"].values()) == 1 + len(second.cuts)
    assert {piece["length_mm"] for piece in values["on_the_rack"]} >= {"700"}
