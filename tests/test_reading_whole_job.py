"""The whole of a job: which files, in which order, and the same wherever they lie."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from cutplan.model import Workshop
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job, read_offers
from tests.input_files import PARTS, PRICES, job_of, refusal, write_csv
from tests.small_folder import RACK, lay_out


def test_the_same_job_wherever_it_lies(tmp_path: Path) -> None:
    parts = lay_out(tmp_path / "a")
    shutil.copytree(parts.parent, tmp_path / "deep" / "er")
    assert read_job(parts) == read_job(tmp_path / "deep" / "er" / "gate.csv")


def test_messages_name_no_folder(tmp_path: Path) -> None:
    parts = lay_out(tmp_path / "a")
    (parts.parent / "rack.csv").unlink()
    with pytest.raises(ProblemsFound) as found:
        read_job(parts)
    assert str(found.value).startswith('workshop.toml, key "files.rack": found no such file "rack.csv".')
    assert str(tmp_path) not in str(found.value)


def test_a_broken_workshop_file_does_not_hide_the_rest(tmp_path: Path) -> None:
    found = refusal(tmp_path, (PARTS[0], ("A1", 2.5, "SHS 40x40x3", 1200)), prices=None, workshop="[saw")
    assert "what TOML does not allow" in found
    assert 'parts.csv, row 2, column B "Quantity"' in found
    assert "price list" not in found


def test_prices_and_rack_are_read_when_the_parts_are_missing(tmp_path: Path) -> None:
    found = refusal(tmp_path, tmp_path / "nothing.csv", rack=(RACK[0], ("R1", "SHS 40x40x3", "x")))
    assert found.splitlines()[0] == "nothing.csv: found no such file."
    assert 'rack.csv, row 2, column C "Length"' in found


def test_parts_as_csv_and_xlsx_are_the_same(tmp_path: Path) -> None:
    assert job_of(tmp_path, suffix=".csv").parts == job_of(tmp_path, suffix=".xlsx").parts


def test_a_csv_list_loads_no_heavy_library(tmp_path: Path) -> None:
    parts = lay_out(tmp_path / "a")
    code = (
        "import sys; from pathlib import Path; from cutplan.reading import read_job; "
        f"read_job(Path({str(parts)!r})); "
        "print([name for name in ('pandas', 'openpyxl', 'numpy', 'pint', 'pydantic') if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_a_further_price_list_is_read_alone(tmp_path: Path) -> None:
    offers = read_offers(write_csv(tmp_path / "more.csv", PRICES[:2]), Workshop())
    assert [offer.id for offer in offers] == ["#2"]


def test_a_further_price_list_that_is_wrong_tells_all_its_problems(tmp_path: Path) -> None:
    rows = (PRICES[0], *(("x",) * len(PRICES[0]) for _ in range(2)))
    with pytest.raises(ProblemsFound) as found:
        read_offers(write_csv(tmp_path / "more.csv", rows), Workshop())
    assert {problem.where.split(",")[1] for problem in found.value.problems} == {" row 2", " row 3"}
