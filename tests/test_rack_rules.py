"""What is kept of the rack's rules where a workshop file leaves them out, and where it does not."""

from __future__ import annotations

from pathlib import Path

from cutplan.reading.workshop.rack_rules import RackRules
from tests.input_files import read_workshop


def test_each_key_sets_its_rule_and_the_others_stay(tmp_path: Path) -> None:
    path = tmp_path / "workshop.toml"
    path.write_text("[rack]\nhold_days = 3\nscrap_price_per_kg = 0.25\n[replan]\nstay = 2.5\n")
    shop, problems = read_workshop(path)
    assert problems == []
    usual = RackRules()
    assert shop.rules == RackRules(
        hold_days=3, old_after_months=usual.old_after_months, scrap_price_per_kg=250_000, stay=25_000
    )
