"""What a planned job costs, asked as its user does."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.costing_jobs import figures_of
from cutplan.problems import ProblemsFound
from cutplan.units import CURRENCY
from cutplan.words.cost_words import notes_of
from tests.costed import FIGURES, bench_planned

pytestmark = pytest.mark.usefixtures("no_paper")


def test_figures_are_those_of_the_workshop_file_as_it_is_now(tmp_path: Path) -> None:
    actions.write_plan(*bench_planned(), tmp_path)
    shop = tmp_path / "workshop.toml"
    shop.write_text("[cost]\nhour_rate = 60\n")
    before = actions.cost_plan(tmp_path / "plan.json", actions.find_rack(near=tmp_path / "plan.json"))
    shop.write_text("[cost]\nhour_rate = 120\nmargin = 50\n")
    after = actions.cost_plan(tmp_path / "plan.json", actions.find_rack(near=tmp_path / "plan.json"))
    assert before.cost.minutes == after.cost.minutes == 52_200
    assert after.cost.cost - before.cost.cost == 52_200_000
    assert after.cost.margin == after.cost.cost
    assert [file.name for file in after.files] == ["cost.pdf", "cost.xlsx"]
    assert all(file.read_bytes() for file in after.files)


def test_currency_and_tax_are_those_of_the_plan(tmp_path: Path) -> None:
    """The plan is in EUR with no tax."""
    file, shop = tmp_path / "plan.json", tmp_path / "workshop.toml"
    actions.write_plan(*bench_planned(), tmp_path)
    shop.write_text("[tax]\npercent = 21\n")
    taxed = actions.cost_plan(file, actions.find_rack(near=file)).cost
    assert (taxed.tax, taxed.to_pay) == (0, taxed.price)
    assert "Tax is 0 %, as in the plan; the workshop as it is now has 21 %." in notes_of(taxed)
    (tmp_path / "cost.pdf").unlink()
    shop.write_text('[workshop]\ncurrency = "USD"\n')
    for ask in (actions.cost_plan, actions.quote_plan):
        with pytest.raises(ProblemsFound) as found:
            ask(file, actions.find_rack(near=file))
        (problem,) = found.value.problems
        assert (problem.where, problem.found, problem.code) == ("workshop.currency", "USD", "workshop.currency")
    assert not (tmp_path / "cost.pdf").exists()
    assert not list(tmp_path.glob("quote-*"))
    assert not list(tmp_path.glob("*.ledger"))


def test_that_there_is_no_workshop_file_is_told(tmp_path: Path) -> None:
    """One named otherwise than workshop*.toml is not found by itself, and hours would cost nothing without a word."""
    file = tmp_path / "plan.json"
    actions.write_plan(*bench_planned(), tmp_path)
    shop = tmp_path / "ours.toml"
    shop.write_text("[cost]\nhour_rate = 60\n")
    told = "No workshop file was found, so that all figures are defaults; --workshop names one."
    without = actions.shop_of_plan(file)
    assert told in notes_of(actions.cost_plan(file, without).cost)
    assert told in actions.quote_plan(file, without, number="7").notes
    assert told not in notes_of(actions.cost_plan(file, actions.shop_of_plan(file, shop)).cost)


@pytest.mark.parametrize(("typed", "amount"), [("", 0), ("25", 25), ("25.50", 25.5), ("EUR 30", 30)])
def test_transport_of_this_job(typed: str, amount: float, tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "plan.json")
    assert figures_of(rack, bench_planned()[0].workshop, typed).transport == amount * CURRENCY


def test_an_amount_that_is_none_is_placed(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "plan.json")
    with pytest.raises(ProblemsFound) as found:
        figures_of(rack, bench_planned()[0].workshop, "12 USD")
    (problem,) = found.value.problems
    assert (problem.where, problem.found, problem.code) == ("--transport", "12 USD", "money.currency")


def test_the_library_costs_a_plan() -> None:
    assert actions.cost(*bench_planned(), FIGURES).price == 203_780_000
    assert actions.cost(*bench_planned()).minutes == 52_200
