"""The package's answer to files: the only module here that imports it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutplan import actions
from cutplan.problems import NoPlan, ProblemsFound

SECONDS = 10.0
"""Time limit of one plan; one stopped by it is not proven, and is judged as such."""


@dataclass(frozen=True)
class Answer:
    """A plan as plan.json holds it, with what the package's own checker found; or why there is none."""

    document: dict[str, Any] | None = None
    objections: tuple[str, ...] = ()
    no_plan: str = ""
    refused: str = ""


def ask(parts: Path, seconds: float = SECONDS) -> Answer:
    """Read and plan a list with the files beside it."""
    try:
        job = actions.read_job(parts)
        plan = actions.plan(job, time_limit=seconds)
    except NoPlan as none:
        return Answer(no_plan=str(none))
    except ProblemsFound as found:
        return Answer(refused="; ".join(f"{p.where}: {p.found} ({p.accepted})" for p in found.problems))
    return Answer(document=actions.document(job, plan), objections=tuple(actions.verify((job, plan))))
