"""Marking cards in plan.json, and that they are held to what follows from the parts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from cutplan import planfile
from cutplan.fields import record_of
from cutplan.model import Job
from cutplan.planfile.card_values import Marking, marking_of
from tests.drilled import drilled, drilled_job, hole


def marking(job: Job) -> dict[str, Any]:
    return record_of(Marking).write(marking_of(job))


def test_figures_of_a_card() -> None:
    job, _ = drilled_job(drilled("A", hole(50, size="M12 clear")), drilled("B", hole(50, size="M12 clear"), length=700))
    found = marking(job)
    assert found["jigs"] == [{"marks": ["A", "B"], "stop": "A"}]
    card = found["cards"][0]
    assert card["mark"] == "A"
    (drill,) = card["drills"]
    assert drill["diameter"] == "13.5"
    assert drill["inch"] == {"name": "17/32 in", "wider_by": "-0.00625"}
    assert (drill["each"], drill["in_all"], drill["pilot"]) == (1, 1, True)


def test_cautions_keep_their_figures() -> None:
    job, _ = drilled_job(drilled("A", hole(11, size="10")))
    assert marking(job)["cards"][0]["cautions"] == [
        {"near": "end A", "face": 1, "diameter": "10", "positions": ["11"], "found": "11", "least": "12"}
    ]


def test_a_hole_wider_than_any_drill_has_none_near() -> None:
    job, _ = drilled_job(drilled("A", hole(200, across=60, size="80"), section="SHS 120x120x5"))
    (drill,) = marking(job)["cards"][0]["drills"]
    assert drill["metric"] is drill["inch"] is None


def test_written_and_read_back(tmp_path: Path) -> None:
    job, plan = drilled_job(drilled("A", hole(50, size="M12 clear"), hole(300, size="")))
    path = tmp_path / "plan.json"
    planfile.write(job, plan, path)
    assert planfile.from_document(planfile.read_document(path)) == (job, plan)
    text = json.loads(path.read_text(encoding="utf-8"))
    assert len(text["parts"][0]["holes"]) == 2
