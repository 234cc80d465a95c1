"""Marking cards as the plain values of plan.json; all of it follows from the parts."""

from __future__ import annotations

from typing import Any

from cutplan.drilling import Drill
from cutplan.model import Job
from cutplan.model.edges import MINIMA, EdgeCaution
from cutplan.model.marking import Card, DrillLine, cards_of, jigs_of
from cutplan.planfile.decimals import decimal_text


def marking(job: Job) -> dict[str, Any]:
    """Cards in the order of the parts list, and which parts share a drilling jig."""
    return {
        "cards": [_card(card) for card in cards_of(job)],
        "jigs": [{"marks": list(jig.marks), "stop": jig.stop} for jig in jigs_of(job.parts)],
        "minima": MINIMA,
    }


def _card(card: Card) -> dict[str, Any]:
    return {
        "mark": card.part.mark,
        "drills": [_line(line, card.part.quantity) for line in card.drills],
        "cautions": [_caution(caution) for caution in card.cautions],
    }


def _line(line: DrillLine, pieces: int) -> dict[str, Any]:
    return {
        "diameter": decimal_text(line.diameter),
        "name": line.name,
        "standard": line.standard,
        "each": line.each,
        "in_all": line.each * pieces,
        "pilot": line.pilot,
        "metric": _drill(line.metric, line.diameter),
        "inch": _drill(line.inch, line.diameter),
    }


def _drill(drill: Drill | None, diameter: int) -> dict[str, Any] | None:
    if drill is None:
        return None
    return {"name": drill.name, "wider_by": decimal_text(drill.diameter - diameter)}


def _caution(caution: EdgeCaution) -> dict[str, Any]:
    return {
        "near": caution.near.value,
        "face": caution.face,
        "diameter": decimal_text(caution.diameter),
        "positions": [decimal_text(position) for position in caution.positions],
        "found": decimal_text(caution.found),
        "least": decimal_text(caution.least),
    }
