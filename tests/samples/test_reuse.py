"""The second project is cut from what the first left, and figures say what that saved."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import SourceKind
from cutplan.model.totals import totals_of
from cutplan.units import CURRENCY
from cutplan.words.reused import reuse_text
from tests.sheets import leave_out_paper

INPUTS = Path(__file__).parent.parent.parent / "inputs"


@pytest.fixture(scope="module")
def first_cut(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, set[str]]:
    """The samples with a ledger, once the trailer is recorded, and the marks of what it left."""
    folder = tmp_path_factory.mktemp("shop") / "inputs"
    shutil.copytree(INPUTS, folder)
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        leave_out_paper(here)
        rack = actions.find_rack(near="garden-trailer.csv", who="Ines")
        actions.rack_read(rack, "rack.csv")
        first = actions.read_job("garden-trailer.csv")
        actions.plan_into(first, "reports/garden-trailer", rack=rack, hold=True)
        done = actions.record("reports/garden-trailer/plan.json", rack, place="top arm")
    assert done.recorded is not None
    return folder, {piece.mark for piece in done.recorded.kept}


@pytest.fixture
def left(first_cut: tuple[Path, set[str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Those marks, in a shop of a test's own."""
    folder, marks = first_cut
    shutil.copytree(folder, tmp_path / "inputs")
    monkeypatch.chdir(tmp_path / "inputs")
    return marks


@pytest.mark.thorough
def test_plan_record_plan(left: set[str]) -> None:
    assert left
    rack = actions.find_rack(near="garden-trailer.csv", who="Ines")
    second = actions.read_job("tool-stand.csv")
    with_rack, alone = actions.compare(second, no_rack=True)
    plan, _ = actions.plan_into(second, "reports/tool-stand", rack=rack)
    used = {bar.source for bar in plan.bars if bar.kind is SourceKind.OFFCUT}
    assert used & left, "offcuts of the first project are used in the second"
    assert actions.verify(Path("reports/tool-stand/plan.json")) == ()

    # What reuse saved: the same list bought new costs this much more, each side proven.
    assert with_rack.money is not None
    assert alone.money is not None
    saved = alone.money - with_rack.money
    money = totals_of(second, plan).money
    print(f"tool-stand: {saved / CURRENCY:.2f} EUR saved, {money.subtotal / CURRENCY:.2f} EUR to buy")
    assert saved > 40 * CURRENCY, "41.60 of 115.40 EUR when this was written"
    assert actions.record("reports/tool-stand/plan.json", rack).recorded is not None
    assert actions.rack_verify(rack) == ((), 0)
    for mark in used & left:
        life = actions.rack_history(rack, mark)
        assert (life.movements[0].doing.job, life.movements[-1].doing.job) == ("garden-trailer", "tool-stand")


@pytest.mark.usefixtures("left")
def test_the_summary_says_what_was_reused() -> None:
    rack = actions.find_rack(near="garden-trailer.csv")
    job = actions.read_job("tool-stand.csv")
    plan, _ = actions.plan_into(job, "second", rack=rack)
    reused = actions.reused(job, plan, rack)
    from_first = next(line for line in reused if line.job == "garden-trailer")
    assert from_first.pieces >= 1
    assert from_first.worth > 0
    text = reuse_text(job, reused)
    assert "garden-trailer" in text
    assert "at the lowest price on sale" in text
