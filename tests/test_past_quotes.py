"""What was quoted is kept with its day, and fills the next form."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.actions.kept_prices import past_prices_file
from cutplan.actions.past_quotes import keep_quotes
from cutplan.problems import ProblemsFound
from cutplan.words.quoted_words import kept_text, kept_values
from tests.commands import document, run

TODAY = date(2031, 6, 4)


def test_prices_are_only_added(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    path = past_prices_file(rack.path)
    first = keep_quotes("prices.csv", rack, day="2031-05-01", today=TODAY)
    before = path.read_bytes()
    assert (first.noted, first.before) == (2, 0)
    again = keep_quotes("prices.csv", rack, day="2031-05-01", today=TODAY)
    assert kept_text(again) == f"0 prices of 2031-05-01 noted in {path}; 2 noted before."
    assert path.read_bytes() == before
    Path("prices.csv").write_text(Path("prices.csv").read_text().replace("19.80", "21.00"))
    dearer = keep_quotes("prices.csv", rack, day="2031-06-01", today=TODAY)
    assert dearer.noted == 2
    # By hand: 35.40 both times, 21.00 over 19.80 is 6.06 % more; the mean of 0 and that.
    assert kept_text(dearer).splitlines()[1] == (
        "Yard: on average 3.0 % dearer than at first; 2 prices quoted more than once over 31 days."
    )
    assert path.read_bytes().startswith(before)
    assert not rack.path.exists(), "it needs no ledger"


def test_a_form_is_filled_with_the_last_and_read_back(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    keep_quotes("prices.csv", rack, day="2031-05-01", today=TODAY)
    past = past_prices_file(rack.path)
    form = actions.price_form(parts, "form.csv", past=past, today=TODAY, merchants=["Yard", "Dock"], stock=["6 m"])
    rows = list(csv.reader(form.read_text().splitlines()))
    assert [(row[0], row[5], row[6], row[7], row[10]) for row in rows[1:]] == [
        ("Yard", "6000 mm", "35.4", "each", "2031-05-01, 34 days ago"),
        ("Yard", "3000 mm", "19.8", "each", "2031-05-01, 34 days ago"),
        ("Dock", "6000 mm", "", "each", ""),
    ]
    (Path("form.csv")).write_text("\n".join(line for line in form.read_text().splitlines() if "Dock" not in line))
    job = actions.read_job(parts, prices="form.csv")
    assert [offer.bar_price for offer in job.offers] == [35_400_000, 19_800_000]
    alone = actions.price_form(parts, "alone.csv", past=past, today=TODAY)
    assert len(alone.read_text().splitlines()) == 3, "no blank rows beside what is known"


def test_prices_in_a_workbook_are_numbers_and_read_back(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    Path("prices.csv").write_text(Path("prices.csv").read_text().replace("19.80", "19.805"))
    keep_quotes("prices.csv", rack, day="2031-05-01", today=TODAY)
    form = actions.price_form(parts, "form.xlsx", past=past_prices_file(rack.path), today=TODAY)
    heads, *rows = openpyxl.load_workbook(form)["Prices"].iter_rows(min_row=3, values_only=True)
    assert [row[heads.index("Price")] for row in rows] == [35.4, 19.805]
    assert [offer.bar_price for offer in actions.read_job(parts, prices=form).offers] == [35_400_000, 19_805_000]


def test_a_form_that_nothing_quoted_fills_is_said_to_be_blank(parts: str) -> None:
    said = "Nothing that was quoted before fits this job: no price is filled in."
    text = run("prices", parts, "--last", "--out", "form.csv").stdout
    assert said in text.splitlines()
    assert document(run("prices", parts, "--last", "--out", "again.csv", "--json"))["filled"] == 0
    run("quoted", "prices.csv", "--date", "2024-05-01")
    assert said not in run("prices", parts, "--last", "--out", "third.csv").stdout
    assert document(run("prices", parts, "--last", "--out", "last.csv", "--json"))["filled"] == 2
    assert "filled" not in document(run("prices", parts, "--out", "blank.csv", "--json"))


def test_what_cannot_be_read_costs_nothing_kept(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    keep_quotes("prices.csv", rack, day="2031-05-01", today=TODAY)
    path = past_prices_file(rack.path)
    before = path.read_bytes()
    Path("bad.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,dear,each\n")
    for file, day in (("bad.csv", ""), ("prices.csv", "tomorrow"), ("none.csv", ""), ("prices.csv", "2031-06-05")):
        with pytest.raises(ProblemsFound):
            keep_quotes(file, rack, day=day, today=TODAY)
    assert path.read_bytes() == before
    path.write_bytes(before + b"torn")
    with pytest.raises(ProblemsFound, match="row 4"):
        keep_quotes("prices.csv", rack, day="2031-06-01", today=TODAY)
    assert path.read_bytes() == before + b"torn"


def test_the_commands(parts: str) -> None:
    values = document(run("quoted", "prices.csv", "--date", "2024-05-01", "--json"))
    assert (values["day"], values["noted"], values["before"]) == ("2024-05-01", 2, 0)
    assert run("quoted", "prices.csv", "--date", "2024-05-01").stdout.startswith("0 prices of 2024-05-01 noted in ")
    assert run("prices", parts, "--last", "--out", "form.csv").exit_code == 0
    assert ",19.8,each,," in Path("form.csv").read_text()


def test_the_last_day_is_today(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    assert keep_quotes("prices.csv", rack, day="2031-06-04", today=TODAY).day == TODAY
    with pytest.raises(ProblemsFound, match="2031-06-04 at the latest") as refused:
        keep_quotes("prices.csv", rack, day="2031-06-05", today=TODAY)
    assert [problem.code for problem in refused.value.problems] == ["price.day"]
    assert keep_quotes("prices.csv", rack, today=TODAY).before == 2


def test_what_is_passed_over_is_told(parts: str) -> None:
    rows = ("Yard,SHS 50x50x3,,no,", "Yard,SHS 60x60x3,6000,none,", "Yard,SHS 60x60x3,7500,,", "Dock,SHS 40x40x3,,,")
    with Path("prices.csv").open("a") as file:
        file.write("".join(f"{row}\n" for row in rows))
    kept = keep_quotes("prices.csv", actions.find_rack(near=parts, who="Ines"), today=TODAY)
    assert (kept.noted, kept.unsold, kept.unpriced) == (2, 2, 2)
    assert kept_text(kept).endswith(" Passed over: 4 rows, 2 not sold and 2 without a price.")
    assert kept_values(kept)["unsold"] == 2
