"""What recording came to, in words and as values."""

from __future__ import annotations

from cutplan.rack.outcome import Recorded
from cutplan.rack.pieces import Doing
from cutplan.units import KG, MM
from cutplan.words.recorded import Cut, record_text, record_values
from tests.builders import job, offer, part
from tests.hand_plans import hand_plan

JOB = job([part("A", 2, 1400)], [offer("P1", 3000, 9)])
PLAN = hand_plan(JOB, ("P1", ["A", "A"]))
DONE = Recorded(
    made=(("A", 1),),
    spoiled=(("A", 1),),
    missing=(("A", 1),),
    kept=(),
    uncut=(),
    received=False,
    used=("R1", "R1"),
    scrap=200 * MM,
    scrap_mass=KG,
    kerf_and_trim=5 * MM,
)


def test_recorded_before() -> None:
    before = Doing(at="2031-05-04T09:30:00Z", who="Ines", what="record", job="gate", plan="")
    cut = Cut(job=JOB, plan=PLAN, before=before)
    assert record_text(cut).endswith(": recorded already, 2031-05-04 09:30 UTC by Ines. Nothing was changed.")
    assert record_values(cut)["recorded_before"] is True


def test_made_spoiled_and_still_to_cut() -> None:
    cut = Cut(job=JOB, plan=PLAN, recorded=DONE)
    assert record_text(cut).splitlines()[1:] == [
        "Parts made: 1.",
        "Off the rack: R1.",
        "Scrap: 200 mm, 1.0 kg.",
        "Spoiled: 1 x A.",
        "Still to cut: 1 x A. cutplan replan plans them from what is there.",
    ]
    values = record_values(cut)
    assert (values["made"], values["spoiled"], values["still_to_cut"]) == ({"A": 1}, {"A": 1}, {"A": 1})
    assert (values["off_the_rack"], values["scrap_mm"], values["kerf_and_trim_mm"]) == (["R1"], "200", "5")
