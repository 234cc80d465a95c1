"""The plain values of plan.json back into the same Job and Plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from cutplan.fields import record_of
from cutplan.model import (
    CutBar,
    Goal,
    GroupPlan,
    Job,
    MerchantCase,
    Offcut,
    OtherLine,
    Part,
    Plan,
    Proof,
    StockLength,
    Workshop,
)
from cutplan.model.runs import bars_of
from cutplan.planfile.document import Origin, Result
from cutplan.problems import Problem, ProblemsFound
from cutplan.sections.section import Section

Values = Mapping[str, Any]

MOST_PIECES = 5_000_000
"""Parts of a group that are read. A line of the file can stand for any number, and each takes memory."""


def from_document(document: Values, where: str = "plan file") -> tuple[Job, Plan]:
    """A job and its plan from the plain values :func:`~cutplan.planfile.to_document` gave.

    Parameters
    ----------
    document
        Satisfies the schema; what follows from other values is not looked at.
    where
        How a problem names the document.

    Raises
    ------
    ProblemsFound
        When a value cannot belong to any job or plan.
    """
    try:
        job = _job(document)
        return job, _plan(document)
    except (ValueError, KeyError, TypeError, ArithmeticError) as error:
        told = f"nothing is called {error}" if isinstance(error, KeyError) else str(error)
        raise ProblemsFound(
            [
                Problem(
                    where=where,
                    found=f"values that cannot be a plan ({told})",
                    found_is_text=False,
                    accepted="a plan file as cutplan wrote it",
                    code="plan_file.values",
                )
            ]
        ) from error


def _job(document: Values) -> Job:
    sections = {values["key"]: _section(values) for values in document["sections"]}
    about = record_of(Origin).read(document["job"])
    return Job(
        name=about.name,
        parts=tuple(record_of(Part).read(values, sections) for values in document["parts"]),
        offers=tuple(record_of(StockLength).read(values, sections) for values in document["offers"]),
        offcuts=tuple(record_of(Offcut).read(values, sections) for values in document["offcuts"]),
        others=tuple(record_of(OtherLine).read(values) for values in document["others"]),
        workshop=record_of(Workshop).read(document["workshop"]),
        files=about.files,
        assumptions=about.assumptions,
        warnings=about.warnings,
        silenced=about.silenced,
        earlier=about.earlier,
    )


def _section(values: Values) -> Section:
    section = record_of(Section).read(values)
    if section.key != values["key"]:
        raise ValueError(f"section {values['key']!r} should be called {section.key!r}")
    return section


def _plan(document: Values) -> Plan:
    result = record_of(Result).read(document["result"])
    return Plan(
        job_name=result.job_name,
        groups=tuple(
            GroupPlan(
                title=values["title"],
                goal=Goal(values["goal"]),
                bars=_bars(values["bars"]),
                proof=record_of(Proof).read(values["proof"]),
            )
            for values in document["groups"]
        ),
        cases=tuple(record_of(MerchantCase).read(values) for values in document["cases"]),
        status=result.status,
        bound=result.bound,
        cost=result.cost,
        if_delivered=None if document["if_delivered"] is None else _plan(document["if_delivered"]),
        stopped_by=result.stopped_by,
        fetched=result.fetched,
    )


def _bars(runs: Sequence[Values]) -> tuple[CutBar, ...]:
    pieces = sum(run["count"] * len(run["cuts"]) for run in runs)
    if pieces > MOST_PIECES:
        raise ValueError(f"{pieces:,} parts in one group, at most {MOST_PIECES:,} can be read")
    return tuple(bar for run in runs for bar in bars_of(record_of(CutBar).read(run), run["count"]))
