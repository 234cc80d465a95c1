"""The rack's actions: where the ledger lies, what is typed, who does it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import racking
from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.units import INCH, MILLIMETRES, MM
from cutplan.words.rack_values import balance_values, old_values, restored_values
from cutplan.words.rack_words import balance_text, old_text, restored_text
from tests import racks
from tests.builders import mm


def test_the_ledger_lies_where_the_workshop_file_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert actions.find_rack().path == Path("rack.ledger")
    inner = tmp_path / "jobs" / "gate"
    inner.mkdir(parents=True)
    shop = tmp_path / "workshop.toml"
    shop.write_text("")
    assert actions.find_rack(near=inner / "gate.csv").path == tmp_path / "rack.ledger"
    shop.write_text('[files]\nledger = "kept/our rack.ledger"\n')
    assert actions.find_rack(near=inner / "gate.csv").path == tmp_path / "kept" / "our rack.ledger"
    assert actions.find_rack(workshop=shop, ledger="other").path == Path("other")
    shop.write_text("[saw]\nkerf = 1\ncolour = 2\n")
    with pytest.raises(ProblemsFound, match="an unknown key"):
        actions.find_rack()


def test_who_and_when(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("LOGNAME", "ines")
    rack = actions.find_rack(near=tmp_path / "x")
    doing = rack.doing("add", reason="tidy")
    assert (doing.who, doing.what, doing.reason) == ("ines", "add", "tidy")
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", doing.at)
    assert actions.find_rack(near=tmp_path / "x", who="Ada").doing("add").who == "Ada"


def test_a_name_that_cannot_be_had(monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> str:
        raise OSError

    monkeypatch.setattr("getpass.getuser", none)
    assert racking._login() == ""


def test_what_is_typed_is_read_as_in_the_lists(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text('[workshop]\nunit = "in"\n[standards]\nSHS = "ASTM A500"\n')
    rack = actions.find_rack(near=tmp_path / "x")
    (mark,) = actions.rack_add(
        rack, "galv HSS 2x2x1/8", "47 1/4", end_a="Mill end", angle_b="22.5", grade=" a500 b ", wall="0.116", value="3"
    )
    (piece,) = actions.rack_show(rack, section="2x2x1/8 SHS", at_least="47")
    state = piece.state
    assert (piece.mark, piece.material.standard, piece.material.finish) == (mark, "ASTM A500", "galvanised")
    assert (state.length, state.grade, state.wall) == (47 * INCH + INCH // 4, "A500 B", 29464 * MM // 10_000)
    assert (state.end_a.value, state.angle_b, state.value) == ("mill", 22_500_000, 3_000_000)
    assert actions.rack_show(rack, at_least="48") == ()


def test_all_that_is_wrong_is_told_and_nothing_made(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with pytest.raises(ProblemsFound) as refused:
        actions.rack_add(rack, "SHS 40", "1,240", end_a="cut off", wall="x", value="-1", place="\x07", grade="a\x07")
    where = [problem.where for problem in refused.value.problems]
    assert where == ["SECTION", "LENGTH", "--end-a", "--wall", "--value", "--place", "--grade"]
    assert not list(tmp_path.iterdir())


def test_one_mark_for_one_piece(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with pytest.raises(ProblemsFound, match="one mark for 3 offcuts"):
        actions.rack_add(rack, "FL 50x6", "600", quantity=3, mark="R1")
    assert actions.rack_add(rack, "FL 50x6", "600", quantity=3) == ("A1", "C1", "E1")
    assert actions.rack_add(rack, "FL 50x6", "6 m", quantity=3, mark="r1", end_a="mill", end_b="mill") == ("R1",)


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


def test_a_list_is_brought_in_whole_or_not_at_all(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    path = tmp_path / "old list.csv"
    path.write_text(
        "Mark,Section,Length,End A,End B,Quantity,Book value,Place\n"
        "R1,SHS 40x40x3,1240,,mill,,2.50,=1+1\nF9,SHS 40x40x3,6000,mill,mill,4,,B1\n"
    )
    assert actions.rack_read(rack, path) == ("R1", "F9")
    long, short = actions.rack_show(rack)
    assert (long.quantity, long.state.value, short.state.value, short.state.place) == (4, None, 2_500_000, "=1+1")
    with pytest.raises(ProblemsFound, match=r"old list.csv, row 2: found .R1"):
        actions.rack_read(rack, path)
    path.write_text("Mark,Section,Length\nR3,SHS 40,1240\nR4,SHS 40x40x3,x\n")
    with pytest.raises(ProblemsFound) as refused:
        actions.rack_read(rack, path)
    assert len(refused.value.problems) == 2
    assert len(actions.rack_show(rack)) == 2


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
    assert racking.months_before(at, months) == then


def test_what_has_lain_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """FL 50x6 weighs 2.355 kg a metre: 0.05 x 0.006 x 7850."""
    (tmp_path / "workshop.toml").write_text("[rack]\nscrap_price_per_kg = 0.20\nold_after_months = 6\n")
    rack = actions.find_rack(near=tmp_path / "x")
    for at in ("2030-01-01T00:00:00Z", "2031-01-01T00:00:00Z", "2031-05-01T00:00:00Z"):
        monkeypatch.setattr(racking, "now", lambda at=at: at)
        actions.rack_add(rack, "FL 50x6", "1000", reason=at)
    monkeypatch.setattr(racking, "now", lambda: "2031-08-01T00:00:00Z")
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
