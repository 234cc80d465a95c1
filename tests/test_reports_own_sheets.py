"""The sheets of each of several jobs planned together, on paper."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from cutplan.model import Job, Plan, joined
from cutplan.reports.paper import dividing
from cutplan.reports.paper.dividing import divided
from cutplan.reports.paper.own_sheets import own_sheets, sort_sheet
from cutplan.reports.paper.plan_pdf import plan_data, plan_pdf
from cutplan.reports.rows import rows_of
from tests import builders
from tests.drilled import drilled, drilled_job, hole
from tests.hand_plans import hand_plan
from tests.test_model_joining import BENCH, GATE
from tests.test_reports_buying import table
from tests.test_reports_own_rows import BOTH, PLAN


def with_holes() -> tuple[Job, Plan]:
    """A job with two parts of one jig, seven stools, and another job with a part of that jig and one of its own."""
    first = drilled_job(drilled("A", hole(100)), drilled("B", hole(100), length=700))[0]
    stool = builders.part("Seat", 14, 300, assembly="stool", assemblies=7)
    gate = replace(first, name="gate", parts=(*first.parts, stool))
    bench = replace(drilled_job(drilled("A", hole(100), length=650), drilled("C", hole(90)))[0], name="bench")
    job = joined([gate, replace(bench, workshop=gate.workshop, offers=gate.offers)])
    bars = [(job.offers[0].id, [part.mark]) for part in job.parts for _ in range(part.quantity)]
    return job, hand_plan(job, *bars)


def titles(data: dict[str, Any]) -> list[str]:
    return [sheet["title"] for sheet in data["sheets"]]


def test_sheets_for_all_come_first_and_those_of_a_job_on_a_page_of_their_own() -> None:
    data = plan_data(rows_of(*with_holes()), "0a1b2c3d")
    shown = titles(data)
    assert shown[1:4] == ["Buy", "Cut", "Sort by job"]
    assert shown[-5:] == ["gate: parts", "gate: drill", "gate: units", "bench: parts", "bench: drill"]
    assert not {"Drill", "Parts by assembly", "Units"} & set(shown), "nothing is ticked on two sheets"
    assert [sheet["title"] for sheet in data["sheets"] if sheet.get("fresh")] == ["gate: parts", "bench: parts"]
    assert [entry["title"] for entry in data["sheets"][0]["index"]][-2:] == ["gate: parts", "bench: parts"]
    assert [sheet["step"] for sheet in data["sheets"]][-5:] == ["7", "", "", "8", ""]


def test_a_job_planned_alone_has_the_sheets_it_had() -> None:
    shown = titles(plan_data(rows_of(GATE, hand_plan(GATE, ("P1", ["A", "A", "B"]))), "0a1b2c3d"))
    assert "Parts by assembly" in shown
    assert "Sort by job" not in shown
    assert not any("gate" in title for title in shown[1:])


def test_parts_of_a_job_with_their_bars_its_things_and_its_share() -> None:
    """Lengths are three bars for 30.00: 900 of 1900 mm are 14.21; the two hinges are 2.00."""
    gate, bench = own_sheets(rows_of(BOTH, PLAN), 186)
    assert gate["lines"] == [
        "3 parts, 2.7 kg. Its share of 9.0 kg to buy: 4.3 kg.",
        "Its share of the money, in EUR: lengths 14.21, other things 2.00; 16.21 of 32.00 to pay.",
        "On bars, labels and the sheets to cut from, marks of this job begin with gate/.",
        "Lay every assembly out and tick each part. Lengths as finished, long point to long point. "
        "Bars, and in brackets which part from START it is on each.",
    ]
    assert [part["title"] for part in gate["parts"]] == ["leaf", "No assembly named", "Other things"]
    assert table(gate, 0) == [["A", "SHS 40x40x3", "400", "square", "1.2", "2", "1 (1, 3)", "ticks"]]
    assert table(gate, 2) == [["tick", "2 x hinge", "2.00"]]
    assert bench["lines"][1].endswith("lengths 15.79; 15.79 of 32.00 to pay.")


def test_parts_are_sorted_by_job() -> None:
    sheet = sort_sheet(rows_of(BOTH, PLAN))
    assert table(sheet, 0) == [["gate", "3", "2.7", "2"], ["bench", "2", "3.0", "3"]]
    assert table(sheet, 1) == [["1", "gate", "2 x A", "tick"], ["", "bench", "1 x B", "tick"]]
    apart = hand_plan(BOTH, *[("P1", [mark]) for mark in ("gate/A", "gate/A", "gate/B", "bench/A", "bench/B")])
    assert len(sort_sheet(rows_of(BOTH, apart))["parts"]) == 1, "no bar is for both"


def test_a_jig_that_serves_parts_of_another_job_says_so() -> None:
    gate, bench = rows_of(*with_holes()).jobs
    assert [card.mark for card in gate.cards] == ["A", "B"]
    (jig,) = gate.cards[0].jigs
    assert jig.startswith("Same holes from end A as B, bench/A:")
    assert bench.cards[0].jigs[0].startswith("Same holes from end A as gate/A, gate/B:")


@pytest.mark.usefixtures("paper")
def test_every_page_names_the_job_whose_it_is() -> None:
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(plan_pdf(*with_holes(), "0a1b2c3d"))).pages]
    heads = [page.splitlines()[0] for page in pages]
    names = [head.split(" planned with others")[0].split(" plan ")[0] for head in heads]
    assert names == ["gate + bench"] * 3 + ["gate", "bench"]


def test_a_piece_of_a_long_plan_knows_whose_page_it_begins_with(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in {"_ONE_PIECE": 3, "_PIECE": 1, "_ROWS": 2}.items():
        monkeypatch.setattr(dividing, name, value)
    pieces = divided(plan_data(rows_of(*with_holes()), "0a1b2c3d"))
    assert [piece["whose"] for piece in pieces if piece["whose"]]
    assert all(piece["whose"] == piece["sheets"][0].get("of", "") for piece in pieces)
    fresh = [sheet["title"] for piece in pieces for sheet in piece["sheets"] if sheet.get("fresh")]
    assert len(fresh) == 2, "a sheet that goes on begins no further page"


def test_names_of_jobs_are_printed_as_they_are() -> None:
    job = joined([replace(GATE, name="=gate #1"), BENCH])
    plan = hand_plan(job, ("P1", ["=gate #1/A", "=gate #1/A", "=gate #1/B"]), ("P1", ["bench/A", "bench/B"]))
    assert own_sheets(rows_of(job, plan), 186)[0]["title"] == "=gate #1: parts"
