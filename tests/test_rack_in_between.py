"""What another command does after one has begun, and before its transaction has: it counts, as if it had come first."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from cutplan import actions
from cutplan.model import Plan
from cutplan.problems import ProblemsFound
from cutplan.rack.store import Ledger
from tests.rack_look import look

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = "reports/frame/plan.json"
TUBE = "SHS 40x40x3"

Deed = Callable[[actions.Rack], Any]


@contextmanager
def just_before(other: Callable[[], object]) -> Iterator[None]:
    """Another command is done at the last moment before the first transaction that changes the ledger."""
    changing = Ledger.changing
    waiting = [other]

    def after_the_other(ledger: Ledger) -> Any:
        if waiting:
            waiting.pop()()
        return changing(ledger)

    with mock.patch.object(Ledger, "changing", after_the_other):
        yield


def said(deed: Deed, rack: actions.Rack) -> str:
    """What a command refuses; blank where it does what it is told."""
    try:
        deed(rack)
    except ProblemsFound as refused:
        return str(refused)
    return ""


def counted(place: str, *rows: str) -> Deed:
    def deed(rack: actions.Rack) -> None:
        sheet = rack.path.with_name("count.csv")
        sheet.write_text("\n".join(["Mark,Section,Found,Length as measured", *rows]) + "\n")
        actions.rack_count(rack, place, sheet)

    return deed


ON_THE_RACK: dict[str, tuple[Deed, Deed, str]] = {
    # what another one does, what this one does, what this one is then told
    "counted, where a piece has come": (
        lambda rack: actions.rack_move(rack, ["C1"], "C1"),
        counted("C1", f"E1,{TUBE},1,"),
        "no row for C1, which should lie here",
    ),
    "counted, where one has gone": (
        lambda rack: actions.rack_move(rack, ["E1"], "B1"),
        counted("C1", f"E1,{TUBE},0,"),
        "",
    ),
    "scrapped, and there are more": (
        counted("B1", f"A1,{TUBE},1,", f"C1,{TUBE},3,"),
        lambda rack: actions.rack_scrap(rack, ["C1"]),
        "C1, of which 3 lie there",
    ),
    "taken, and there are more": (
        counted("B1", f"A1,{TUBE},1,", f"C1,{TUBE},3,"),
        lambda rack: actions.rack_take(rack, "C1"),
        "C1, of which 3 lie there",
    ),
    "put right, and there are more": (
        counted("B1", f"A1,{TUBE},1,", f"C1,{TUBE},3,"),
        lambda rack: actions.rack_correct(rack, "C1", length="2990"),
        "C1, of which 3 lie there",
    ),
    "put right, and it is another length by now": (
        lambda rack: actions.rack_correct(rack, "A1", length="500", reason="typed in feet at first"),
        lambda rack: actions.rack_correct(rack, "A1", length="2400"),
        "2400",
    ),
    "put right, and it is gone": (
        lambda rack: actions.rack_scrap(rack, ["A1"]),
        lambda rack: actions.rack_correct(rack, "A1", length="2400"),
        "A1, which is not on the rack any more",
    ),
    "brought back, and it is back": (
        lambda rack: actions.rack_return(rack, "F1", length="whole"),
        lambda rack: actions.rack_return(rack, "F1", length="whole"),
        "F1, of which none is out any more",
    ),
}


@pytest.fixture
def rack(tmp_path: Path) -> actions.Rack:
    """A1 and the full length C1 at B1, the full length E1 at C1, and F1, which is out."""
    (tmp_path / "workshop.toml").write_text("")
    rack = actions.find_rack(near=tmp_path / "parts.csv", who="Ines")
    actions.rack_add(rack, TUBE, "2410", place="B1")
    actions.rack_add(rack, TUBE, "3 m", place="B1", end_a="mill", end_b="mill")
    actions.rack_add(rack, TUBE, "3 m", place="C1", end_a="mill", end_b="mill")
    actions.rack_add(rack, TUBE, "700", place="C1")
    actions.rack_take(rack, "F1")
    return rack


@pytest.mark.parametrize("case", ON_THE_RACK)
def test_at_the_rack(case: str, rack: actions.Rack) -> None:
    other, deed, told = ON_THE_RACK[case]
    as_one_after_the_other(rack, other, deed, told)


def as_one_after_the_other(rack: actions.Rack, other: Deed, deed: Deed, told: str) -> None:
    """What comes of both is what comes of them one after the other, in which the second is told ``told``."""
    bo = actions.find_rack(near=rack.path.with_name("parts.csv"), who="Bo")
    kept = rack.path.with_name("kept")
    shutil.copyfile(rack.path, kept)
    other(bo)
    answer = said(deed, rack)
    assert told in answer
    assert bool(told) == bool(answer)
    both = look(rack.path.parent)
    shutil.copyfile(kept, rack.path)
    with just_before(lambda: other(bo)):
        assert said(deed, rack) == answer
    found = look(rack.path.parent)
    assert (found.lying, found.rows) == (both.lying, both.rows)


WITH_A_JOB: dict[str, tuple[Deed, Deed, Deed, str]] = {
    # what was done before, what another one does, what this one does, what this one is then told
    "closed, and the record is taken back": (
        lambda rack: actions.record(PLAN, rack),
        actions.undo,
        lambda rack: actions.job_close(rack, PLAN),
        "still to cut",
    ),
    "closed, and closed before": (
        lambda rack: actions.record(PLAN, rack),
        lambda rack: actions.job_close(rack, PLAN),
        lambda rack: actions.job_close(rack, PLAN),
        "a plan that is closed, to be closed",
    ),
    "ordered, and ordered before": (
        lambda rack: actions.rack_add(rack, TUBE, "700"),
        lambda rack: actions.job_ordered(PLAN, rack),
        lambda rack: actions.job_ordered(PLAN, rack),
        "",
    ),
    "recorded as ticked, and more is ticked": (
        lambda rack: actions.tick_parts(PLAN, rack, actions.Step.CUT, actions.Parts(bar=1)),
        lambda rack: actions.tick_parts(PLAN, rack, actions.Step.CUT, actions.Parts(bar=2)),
        lambda rack: actions.record(PLAN, rack),
        "",
    ),
    "received, and received before": (
        lambda rack: actions.job_ordered(PLAN, rack),
        lambda rack: actions.receive(PLAN, rack),
        lambda rack: actions.receive(PLAN, rack),
        "",
    ),
}


@pytest.mark.parametrize("case", WITH_A_JOB)
def test_at_a_job(case: str, parts: str, parts_planned: Plan) -> None:
    before, other, deed, told = WITH_A_JOB[case]
    rack = actions.find_rack(near=parts, who="Ines")
    before(rack)
    as_one_after_the_other(rack, other, deed, told)


def test_an_order_noted_by_another_meanwhile_is_not_told_as_new(parts: str, parts_planned: Plan) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    actions.rack_add(rack, TUBE, "700")
    with just_before(lambda: actions.job_ordered(PLAN, rack)):
        done = actions.job_ordered(PLAN, rack)
    assert (done.merchants, done.before) == ((), ("Yard",))
