"""A job in words and as JSON: the same figures in both."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from cutplan import actions
from cutplan.model import Job
from cutplan.rack.job_events import Event, JobStory, PlanNote, PlanStory
from cutplan.rack.job_money import JobMoney, Uncut
from cutplan.rack.stages import Step
from cutplan.rack.ticks import Tick
from cutplan.words.job_words import (
    JobShown,
    Ordered,
    Ticked,
    job_list_text,
    job_text,
    job_values,
    ordered_text,
    ticked_text,
)
from tests import racks
from tests.builders import mm

EURO = 1_000_000
FIRST = PlanStory(
    note=PlanNote(plan="one", folder="reports/gate", parts=8, to_pay=354_530_000),
    events=(
        Event(step=Step.PLANNED, at="2031-05-03T08:00:00Z", who="Ines"),
        Event(step=Step.ORDERED, at="2031-05-04T09:30:00Z", who="Ines", merchant="Yard", number="4711"),
        Event(step=Step.RECORDED, at="2031-05-09T16:00:00Z", who="Ines"),
    ),
    ticked=0,
)
REST = PlanStory(note=PlanNote(plan="two", folder="", parts=3, to_pay=119_500_000), events=(), ticked=2)
BACK = Uncut(mark="A1", material=racks.TUBE, length=mm(6000), quantity=1, each=42_100_000)
MONEY = JobMoney(paid=354_530_000, bought_again=119_500_000, returned=(BACK,), unknown=1)
"""Worked by hand: 354.53 + 119.50 = 474.03, less 42.10 that went back is 431.93."""

SHOWN = JobShown(
    story=JobStory(job="one", name="gate", number=1, plans=(FIRST, REST)),
    money=MONEY,
    made=(("A", 5), ("B", 2)),
    spoiled=(("B", 1),),
    to_come=((7, (("B", 4),)),),
    plan_file=Path("reports/gate/rest-1/plan.json"),
)


def rack(tmp_path: Path) -> actions.Rack:
    return actions.find_rack(near=tmp_path / "any", ledger=tmp_path / "rack.ledger", who="Ines")


def test_a_job_in_words(tmp_path: Path) -> None:
    euro = rack(tmp_path).workshop.currency
    assert job_text(SHOWN, rack(tmp_path).workshop).splitlines() == [
        "gate: being cut.",
        "Plan reports/gate: ordered 2031-05-04 from Yard number 4711, recorded 2031-05-09.",
        "Plan in a folder that is not noted: 2 of 3 parts ticked.",
        "Cut: 5 x A, 2 x B.",
        "Spoiled: 1 x B.",
        "To come:",
        "  bar 7: B copy 4",
        *(
            f"{what + ':':<22}{amount:>{len(f'354.53 {euro}'.strip())}}"
            for what, amount in (
                ("paid", f"354.53 {euro}".strip()),
                ("bought again", f"119.50 {euro}".strip()),
                ("returned to the rack", f"-42.10 {euro}".strip()),
                ("cost so far", f"431.93 {euro}".strip()),
            )
        ),
        "Returned: 1 x SHS 40x40x3, black, 6000 mm, not cut, A1.",
        "Not in these amounts: 1 section with no price.",
    ]


def test_the_same_for_json(tmp_path: Path) -> None:
    values = job_values(SHOWN, rack(tmp_path).workshop)
    money = values["money"]
    assert [money[name] for name in ("paid", "bought_again", "returned", "so_far", "without_price")] == [
        "354.53", "119.50", "42.10", "431.93", 1,
    ]  # fmt: skip
    assert (values["stage"], values["cut"], values["spoiled"]) == ("being cut", {"A": 5, "B": 2}, {"B": 1})
    assert values["to_come"] == [{"bar": 7, "parts": [{"part": "B", "copy": 4}]}]
    assert [event["step"] for event in values["plans"][0]["events"]] == ["planned", "ordered", "recorded"]


def test_what_is_not_known_is_said(tmp_path: Path) -> None:
    lost = replace(SHOWN, plan_file=None, to_come=(), missing=(("A", 2),))
    text = job_text(lost, rack(tmp_path).workshop)
    assert "What is to come is not known" in text
    assert "Still to cut: 2 x A. cutplan replan plans them" in text
    long = replace(SHOWN, to_come=tuple((number, (("B", number),)) for number in range(1, 30)))
    assert "  and 9 more bars" in job_text(long, rack(tmp_path).workshop)
    assert len(job_values(long, rack(tmp_path).workshop)["to_come"]) == 29


def test_lists_orders_and_ticks(tmp_path: Path, small_job: Job) -> None:
    two = replace(SHOWN.story, number=2)
    lines = job_list_text([(SHOWN.story, MONEY), (two, MONEY)], rack(tmp_path).workshop).splitlines()
    assert [line.split()[0] for line in lines] == ["gate#1", "gate#2"]
    assert all("being cut  2031-05-09  2 plans  so far 431.93" in line for line in lines)
    assert job_list_text([], rack(tmp_path).workshop).startswith("There is no job in the ledger yet")
    assert ordered_text(Ordered(job=small_job, merchants=("Yard",), before=())).endswith("ordered from Yard.")
    assert ordered_text(Ordered(job=small_job, merchants=(), before=("Yard",))).endswith("Nothing was changed.")
    tick = Tick(bar=5, part="A", copy=2)
    done = Ticked(job=small_job, step=Step.CUT, changed=(tick,), there=6, parts=6, begun=Path("rack.ledger"))
    assert ticked_text(done).splitlines() == [
        "Begun: rack.ledger; plans draw from it from now on.",
        "Ticked as cut: A copy 2 on bar 5.",
        f"{small_job.name}: 6 of 6 parts ticked.",
        "All are: cutplan record writes the plan down.",
    ]
