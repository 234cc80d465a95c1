"""The run of six benches, from its workbook with a sheet for each assembly to the quote for a customer."""

from __future__ import annotations

import json
import shutil
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from tests.commands import run
from tests.samples.planned import INPUTS


@pytest.mark.thorough
def test_the_bench_run_is_quoted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(INPUTS / "market-stand", tmp_path / "inputs")
    monkeypatch.chdir(tmp_path)
    planned = run("plan", "inputs/bench-run.xlsx", "--times", "6", "--prices", "inputs/prices.csv", "--out", "bench")
    assert planned.exit_code == 0, planned.output
    told = run("quote", "bench/plan.json", "--customer", "Fernhollow", "--valid-until", "2031-07-31", "--json")
    assert told.exit_code == 0, told.output
    quote = json.loads(told.stdout)
    book = json.loads(Path("bench/plan.json").read_text(encoding="utf-8"))
    sheets = [sheet for sheet in openpyxl.load_workbook("inputs/bench-run.xlsx").sheetnames if sheet != "Prices"]
    assemblies = {each["assembly"]: each["made"] for each in book["totals"]["assemblies"]}
    assert assemblies == dict.fromkeys(sheets, 6)
    costed = json.loads(run("cost", "bench/plan.json", "--json").stdout)
    # The lines that make the price add up to it in cents, and so do the assemblies of the quote.
    assert Fraction(quote["price"]) == Fraction(costed["price"])
    assert sum(Fraction(each["price"]) for each in costed["assemblies"]) == Fraction(quote["price"])
    assert [Path(file).suffix for file in quote["files"]] == [".pdf", ".xlsx"]
    assert all(Path(file).stat().st_size > 1000 for file in quote["files"])
