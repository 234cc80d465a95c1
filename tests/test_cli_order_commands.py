"""The command ``order``."""

from __future__ import annotations

from cutplan.model import Plan
from tests.commands import document, run


def test_orders_are_written_and_shown(parts_planned: Plan) -> None:
    shown = run("order", "reports/frame/plan.json", "--date", "2031-06-01", "--certificate", "EN 10204 type 3.1")
    assert shown.exit_code == 0, shown.output
    assert " of 2031-06-01\nTo: Yard\n" in shown.stdout
    assert "With certificate: EN 10204 type 3.1.\n" in shown.stdout
    values = document(run("order", "reports/frame/plan.json", "yard", "--number", "A7", "--json"))
    assert values["orders"][0]["number"] == "A7"
    assert [name.rpartition(".")[2] for name in values["orders"][0]["files"]] == ["pdf", "xlsx", "txt"]
    assert run("order", "none.json").exit_code == 1
    nobody = run("order", "reports/frame/plan.json", "Nobody")
    assert nobody.exit_code == 1
    assert "MERCHANT: found" in nobody.stderr
