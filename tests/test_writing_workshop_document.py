"""The keys of a workshop in another place: files are named from there, the rest stays as typed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cutplan.reading.workshop.workshop_file import settings
from cutplan.writing.workshop_document import document_for


def shop(folder: Path, document: dict[str, Any], *, from_file: bool = True) -> Any:
    return settings("workshop.toml", document, [], folder=folder, from_file=from_file)


def test_files_are_named_from_the_new_place(tmp_path: Path) -> None:
    typed = {"saw": {"kerf": "2 mm"}, "files": {"prices": "p.csv"}, "merchant": [{"name": "Yard"}]}
    found = document_for(
        shop(tmp_path, typed), tmp_path / "jobs" / "gate", {"prices": tmp_path / "p.csv", "rack": "r.csv"}
    )
    assert found == {
        "saw": {"kerf": "2 mm"},
        "files": {"prices": "../../p.csv", "rack": "r.csv", "ledger": "../../rack.ledger"},
        "merchant": [{"name": "Yard"}],
    }


def test_stock_lengths_in_use_take_the_place_of_the_workshops(tmp_path: Path) -> None:
    typed = {"stock": {"lengths": "6 m"}}
    assert document_for(shop(tmp_path, typed, from_file=False), tmp_path, {}) == typed
    other = document_for(shop(tmp_path, typed, from_file=False), tmp_path, {}, ["7 m", "RD 12: 3 m"])
    assert other == {"stock": {"lengths": "7 m; RD 12: 3 m"}}


def test_a_workshop_without_a_file_names_no_ledger(tmp_path: Path) -> None:
    assert document_for(shop(tmp_path, {}, from_file=False), tmp_path, {}) == {}
    typed = {"files": {"ledger": "mine.ledger"}}
    found = document_for(shop(tmp_path, typed, from_file=False), tmp_path / "gate", {})
    assert found == {"files": {"ledger": "../mine.ledger"}}
