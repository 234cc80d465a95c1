"""The rack as a whole: sums by hand, copies, and what has lain long."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import rack_found, whole_rack
from cutplan.rack import handling
from cutplan.units import MILLIMETRES
from cutplan.words.rack_values import balance_values, old_values, restored_values
from cutplan.words.rack_words import balance_text, old_text, restored_text
from tests import racks
from tests.builders import mm


def test_a_ledger_that_was_mended(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "FL 50x6", "600", found=True)
    with rack.open() as ledger:
        ledger.db.execute("DELETE FROM on_hand")
    faults, repaired = actions.rack_verify(rack)
    assert (len(faults), repaired) == (1, 0)
    assert actions.rack_verify(rack, rebuild=True) == ((), 1)
    assert actions.rack_history(rack, "A1").movements[0].kind.value == "found"


def test_where_the_steel_went_in_length_and_mass(tmp_path: Path) -> None:
    """A flat 50x6 weighs 50 x 6 x 7850 / 10^6 = 2.355 kg/m."""
    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "FL 50x6", "2 m")
    actions.rack_add(rack, "FL 50x6", "800")
    actions.rack_take(rack, "A1")
    actions.rack_return(rack, "A1", length="600")
    actions.rack_scrap(rack, ["C1"])
    ((material, balance, section),) = actions.rack_balances(rack)
    went = [balance.came_in, balance.on_hand, balance.parts, balance.kerf_and_trim, balance.scrap]
    assert went == [mm(2800), mm(600), mm(1400), 0, mm(800)]
    text = (
        "FL 50x6, black: came 2800 mm, 6.6 kg; on the rack 600 mm, 1.4 kg; parts 1400 mm, 3.3 kg; scrap 800 mm, 1.9 kg"
    )
    assert balance_text(material, balance, section, MILLIMETRES) == text
    values = balance_values(material, balance, section)
    masses = [values[f"{what}_kg"] for what in ("came_in", "on_hand", "parts", "kerf_and_trim", "scrap")]
    assert masses == ["6.594", "1.413", "3.297", "0.000", "1.884"]
    assert float(masses[0]) == pytest.approx(sum(map(float, masses[1:])))


def test_a_section_that_is_not_known_has_no_mass(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with rack.open(create=True) as ledger:
        odd = replace(racks.TUBE, designation="Z 40")
        handling.add(ledger, racks.doing(), [handling.NewPiece(material=odd, state=racks.state(900))])
    (each,) = actions.rack_balances(rack)
    assert balance_text(*each, MILLIMETRES).endswith("its mass is not known, because cutplan knows no such section")
    assert balance_values(*each)["came_in_kg"] is None


def test_copies_and_putting_back(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "FL 50x6", "600")
    copy = actions.rack_backup(rack)
    assert re.fullmatch(r"rack\.ledger\.\d{14}", copy.name)
    assert actions.rack_backup(rack, tmp_path / "mine") == tmp_path / "mine"
    actions.rack_scrap(rack, ["A1"])
    done = actions.rack_restore(rack, copy)
    assert restored_values(done)["lost"][0]["what"] == "scrap"
    assert "Do again what is still true:" in restored_text(done)
    assert "UTC: scrap A1, " in restored_text(done)
    rack.path.unlink()
    assert restored_text(actions.rack_restore(rack, copy)).startswith("There was no ledger, so that ")
    assert len(actions.rack_show(rack)) == 1


def test_what_is_held_is_given_back(tmp_path: Path) -> None:
    from cutplan.rack.entry import entry
    from cutplan.rack.holding import hold_for

    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "FL 50x6", "600")
    with rack.open() as ledger, entry(ledger, rack.doing("hold")) as writing:
        hold_for(writing, "gate", {"A1": 1}, "2999-01-01")
    assert [piece.mark for piece in actions.rack_release(rack, job="gate")] == ["A1"]
    assert actions.rack_show(rack)[0].holds == ()


@pytest.mark.parametrize(
    ("at", "months", "then"),
    [
        ("2031-05-31T10:00:00Z", 3, "2031-02-28T10:00:00Z"),
        ("2031-05-31T10:00:00Z", 0, "2031-05-31T10:00:00Z"),
        ("2032-03-30T10:00:00Z", 1, "2032-02-29T10:00:00Z"),
        ("2031-01-15T10:00:00Z", 13, "2029-12-15T10:00:00Z"),
    ],
)
def test_months(at: str, months: int, then: str) -> None:
    assert whole_rack.months_before(at, months) == then


def test_what_has_lain_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """FL 50x6 weighs 2.355 kg a metre: 0.05 x 0.006 x 7850."""
    (tmp_path / "workshop.toml").write_text("[rack]\nscrap_price_per_kg = 0.20\nold_after_months = 6\n")
    rack = actions.find_rack(near=tmp_path / "x")
    for at in ("2030-01-01T00:00:00Z", "2031-01-01T00:00:00Z", "2031-05-01T00:00:00Z"):
        monkeypatch.setattr(rack_found, "now", lambda at=at: at)
        actions.rack_add(rack, "FL 50x6", "1000", reason=at)
    monkeypatch.setattr(rack_found, "now", lambda: "2031-08-01T00:00:00Z")
    found = actions.rack_old(rack)
    assert [(piece.mark, mass, money) for piece, mass, money in found] == [
        ("A1", 2_355_000, 471_000),
        ("C1", 2_355_000, 471_000),
    ]
    assert [piece.mark for piece, _, _ in actions.rack_old(rack, months=12)] == ["A1"]
    text = old_text(found, MILLIMETRES, "EUR")
    assert text.splitlines()[-1] == "Total 4.7 kg, scrap pays 0.94 EUR."
    assert text.startswith("2030-01-01  A1, FL 50x6, black, 1000 mm")
    assert old_values(found)["pieces"][0]["scrap_price"] == "0.471"
    assert old_text((), MILLIMETRES, "EUR") == "Nothing has been on the rack that long."
