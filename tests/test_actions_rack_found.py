"""Where a rack's ledger lies, and who does what is done."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import rack_found
from cutplan.problems import ProblemsFound


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
    assert rack_found._login() == ""
