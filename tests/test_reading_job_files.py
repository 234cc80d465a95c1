"""Which files belong to a parts list."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from cutplan.reading import read_job
from tests.input_files import PARTS, PRICES, refusal, write_csv
from tests.small_folder import lay_out


def test_the_workshop_file_names_the_other_files(tmp_path: Path) -> None:
    parts = lay_out(tmp_path / "a")
    job = read_job(parts)
    assert job.name == "gate"
    assert (len(job.offers), len(job.offcuts)) == (3, 1)
    assert [(file.role, file.name) for file in job.files] == [
        ("workshop", "workshop.toml"),
        ("parts", "gate.csv"),
        ("prices", "prices.csv"),
        ("rack", "rack.csv"),
    ]
    assert job.files[1].sha256 == sha256(parts.read_bytes()).hexdigest()


def test_files_given_come_before_those_named(tmp_path: Path) -> None:
    parts = lay_out(tmp_path / "a")
    other = write_csv(tmp_path / "other.csv", PRICES[:2])
    assert len(read_job(parts, prices=other).offers) == 1


def test_no_workshop_file_is_said(tmp_path: Path) -> None:
    parts = write_csv(tmp_path / "gate.csv", PARTS)
    job = read_job(parts, prices=write_csv(tmp_path / "prices.csv", PRICES))
    assert job.assumed[0] == "No workshop file: the settings are defaults."
    assert job.files[0].role == "parts"


def test_two_workshop_files_stop_no_other_message(tmp_path: Path) -> None:
    (tmp_path / "workshop-2.toml").write_text("", encoding="utf-8")
    found = refusal(tmp_path, (PARTS[0], ("A1", 2.5, "SHS 40x40x3", 1200)))
    assert found.count(": found") == 2
