"""Job and Plan as the plain values of plan.json.

How the fields of a job and a plan are written stands where they are defined; here are those that only a file has. The
order of keys is the order of writing; nothing here depends on the day, the machine or how long the search took.
"""

from __future__ import annotations

import json
import platform
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib import metadata
from typing import Annotated, Any, TypeAlias

from cutplan.fields import COST, COUNT, LENGTH, MONEY, NAME, SIGNED_MONEY, SPREAD, Kind, constant, record_of, said
from cutplan.model import (
    Assumption,
    CutBar,
    Earlier,
    Goal,
    Group,
    GroupPlan,
    InputFile,
    Job,
    MerchantCase,
    Offcut,
    OtherLine,
    Part,
    Plan,
    Proof,
    Status,
    StockLength,
    Workshop,
    as_brought,
    dealt_out,
    groups_of,
    serves,
    within_carry,
)
from cutplan.model.job import REST_OF
from cutplan.model.runs import runs_of
from cutplan.model.totals import Totals, totals_of
from cutplan.planfile.card_values import Marking, marking_of
from cutplan.planfile.digest import KEY, digest_of
from cutplan.planfile.integers import Integers, integers_of
from cutplan.problems import Problem
from cutplan.sections.section import SECTION, Family, Section
from cutplan.units import Length, Money

SCHEMA_VERSION = "1"

RECORDED = ("ortools", "numpy", "openpyxl", "pandas", "pint", "segno", "typst")
"""Libraries whose release can change a plan or a file."""

Document: TypeAlias = dict[str, Any]
"""Values that JSON can hold, by key."""

LIBRARIES = Kind(schema={"type": "object", "additionalProperties": {"type": "string"}})
RUN_LENGTH = Kind(schema={"type": "integer", "minimum": 1})
DIGEST = Kind(schema={"type": "string", "pattern": "^[0-9a-f]{64}$"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """What wrote the file."""

    name: Annotated[str, constant("cutplan")("the program")]
    version: Annotated[str, NAME]
    python: Annotated[str, NAME]
    libraries: Annotated[
        dict[str, str], LIBRARIES("releases of libraries that can change a plan; blank when not installed")
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """Units of all values in this file."""

    length: Annotated[str, constant("mm")("unit of lengths")] = "mm"
    angle: Annotated[str, constant("degrees from square")("unit of angles")] = "degrees from square"
    mass: Annotated[str, constant("kg")("unit of masses")] = "kg"
    money: Annotated[str, said("currency of all money")]
    money_scale: Annotated[str, constant("0.000001")("smallest amount held, in the currency")] = "0.000001"
    money_rounding: Annotated[str, said("where money is rounded, and how")] = (
        "each bar price is rounded once, half up, to the money scale; "
        "each amount to pay is rounded once, half up, to 0.01, and sums are of these"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where the job comes from."""

    name: str
    files: Annotated[tuple[InputFile, ...], said("input files with their digests")]
    assumptions: Annotated[tuple[Assumption, ...], said("what was assumed")]
    warnings: Annotated[tuple[Problem, ...], said("in reading order")]
    silenced: Annotated[int, COUNT("how many warnings are not told, as their line was looked at")]
    earlier: Annotated[Earlier | None, said("the plan of which this one is the rest; null where it is the first")]


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyValues:
    """What holds for one family, defaults filled in."""

    family: Family
    minus_tolerance: Annotated[Length, LENGTH]
    keep: Annotated[Length, LENGTH]
    offcut_value_per_mm: Annotated[Money, MONEY]
    standard: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopEntry:
    """The workshop's settings as used."""

    workshop: Annotated[Workshop, SPREAD]
    values_used: Annotated[tuple[FamilyValues, ...], said("every family; follows from the settings above")]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartEntry:
    """A line of the parts list."""

    part: Annotated[Part, SPREAD]
    served_by: Annotated[
        tuple[str, ...], said("grades of bars in this job that may serve the part; a blank one is unknown")
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferEntry:
    """A stock length on sale."""

    offer: Annotated[StockLength, SPREAD]
    within_carry: Annotated[bool, said("can it be brought home")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """Bars cut alike one after another: the first of them and the parts cut from it, START first."""

    bar: Annotated[CutBar, SPREAD]
    count: Annotated[
        int,
        RUN_LENGTH("how many bars are cut so, numbered on from this one; copies of each part go on from bar to bar"),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupEntry:
    """Parts of one section, grade and finish."""

    title: Annotated[str, NAME]
    goal: Goal
    cost_unit: Annotated[str, said("unit of cost and bound: the currency, or kg")]
    section: Annotated[Section, SECTION]
    grade: Annotated[str, said("blank when a part leaves its grade open")]
    finish: str
    parts: Annotated[tuple[Annotated[str, NAME], ...], said("marks, in the order of the duals")]
    integers: Integers
    bars: Annotated[tuple[Bar, ...], said("in cutting order")]
    cost: Annotated[int, COST("sum over the bars")]
    proof: Proof


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What the plan comes to; money of all groups planned by money, charges included."""

    job_name: str
    status: Status
    cost: Annotated[Money, SIGNED_MONEY]
    bound: Annotated[Money, SIGNED_MONEY("no plan costs less")]
    possible_saving: Annotated[Money, SIGNED_MONEY("what is not excluded; 0 when proven")]
    stopped_by: str
    as_dealt: Annotated[
        bool,
        said(
            "true where bars could have been dealt to the saws in another way: status, bound and possible saving are "
            "then of plans in which each saw keeps its share",
            rare=True,
        ),
    ] = False
    fetched: Annotated[
        tuple[Annotated[str, NAME], ...],
        said("merchants whose order is fetched, of those who might deliver it", rare=True),
    ] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobEntry:
    """What a plan file says of the job alone, which reading the lists again must give again."""

    job: Origin
    workshop: WorkshopEntry
    sections: Annotated[tuple[Section, ...], said("every section once")]
    parts: Annotated[tuple[PartEntry, ...], said("in the order of the parts list", least=1)]
    marking: Marking
    offers: Annotated[tuple[OfferEntry, ...], said("all offers, used or not")]
    offcuts: Annotated[tuple[Offcut, ...], said("all offcuts, used or not")]
    others: Annotated[tuple[OtherLine, ...], said("what is bought and weighed but not cut")]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanEntry:
    """What a plan says by itself."""

    result: Result
    groups: Annotated[tuple[GroupEntry, ...], said("in the order of their first part")]
    cases: Annotated[tuple[MerchantCase, ...], said("together they cover every set of charging merchants")]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPlan:
    """A plan of the same job with no length too long to carry."""

    plan: Annotated[PlanEntry, SPREAD]
    if_delivered: Annotated[None, Kind(schema={"type": "null"})("none beside this one")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFile:
    """A job, its plan and how cheapest is known, with all that is needed to recheck both."""

    schema_version: Annotated[str, constant(SCHEMA_VERSION)("version of this schema")] = SCHEMA_VERSION
    program: Program
    units: Units
    job_entry: Annotated[JobEntry, SPREAD]
    plan_entry: Annotated[PlanEntry, SPREAD]
    if_delivered: Annotated[
        OtherPlan | None,
        said("the plan were every bar delivered, where both are proven and that one is cheaper or lighter; else null"),
    ]
    totals: Totals
    digest: Annotated[
        str,
        DIGEST(
            "SHA-256, in hexadecimal, of all other values as JSON with sorted keys, no blanks and ASCII letters alone"
        ),
    ] = ""


def to_document(job: Job, plan: Plan) -> Document:
    """A job and its plan as plain values, ready for JSON.

    Parameters
    ----------
    job, plan
        The plan's groups are those of the job, and every bar comes from a source of its group.

    Raises
    ------
    ValueError
        When the plan does not belong to the job, or two different sections bear one key.
    """
    groups = groups_of(job)
    totals = totals_of(job, plan)
    other = plan.if_delivered
    entry = PlanFile(
        program=_program(),
        units=Units(money=job.workshop.currency),
        job_entry=_job(job, groups),
        plan_entry=_plan(job, groups, plan),
        if_delivered=None if other is None else OtherPlan(plan=_plan(job, groups, other)),
        totals=totals,
    )
    document = record_of(PlanFile).write(entry)
    return {**document, KEY: digest_of(document)}


def job_document(job: Job) -> Document:
    """What a plan file says of the job alone, which reading the lists again must give again."""
    return record_of(JobEntry).write(_job(job, groups_of(job)))


def plan_digest(job: Job, plan: Plan) -> str:
    """What tells one plan from another, whichever release wrote it: the job's name, its parts and every bar.

    A plan of the rest is told from all before it by the plan that it goes on from: where nothing was cut, the same
    bars are cut alike again.
    """
    parts = [record_of(PartEntry).write(entry) for entry in _parts(job, groups_of(job))]
    digest = sha256(f"[{json.dumps(job.name)}, {json.dumps(parts, sort_keys=True)}, [".encode())
    write = record_of(CutBar).write
    for place, group in enumerate(plan.groups):
        digest.update(b", [" if place else b"[")
        for number, bar in enumerate(group.bars):
            digest.update((", " if number else "").encode() + json.dumps(write(bar), sort_keys=True).encode())
        digest.update(b"]")
    digest.update(b"]]")
    for file in job.files:
        if file.role == REST_OF:
            digest.update(file.sha256.encode())
    return digest.hexdigest()


@cache
def schema() -> Document:
    """The JSON Schema of plan.json (draft 2020-12), as ``plan.schema.json`` has it for other programs."""
    definitions: Document = {}
    whole = record_of(PlanFile).schema(definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:cutplan:plan:{SCHEMA_VERSION}",
        "title": f"cutplan plan file, version {SCHEMA_VERSION}",
        **whole,
        "$defs": dict(sorted(definitions.items())),
    }


@cache
def _program() -> Program:
    """This release and its libraries; looking them up takes a hundredth of a second."""
    versions = {}
    for name in RECORDED:
        try:
            versions[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            versions[name] = ""
    return Program(
        name="cutplan",
        version=metadata.version("cutplan"),
        python=platform.python_version(),
        libraries=versions,
    )


def _job(job: Job, groups: Sequence[Group]) -> JobEntry:
    workshop = job.workshop
    return JobEntry(
        job=Origin(
            name=job.name,
            files=job.files,
            assumptions=job.assumptions,
            warnings=job.warnings,
            silenced=job.silenced,
            earlier=job.earlier,
        ),
        workshop=WorkshopEntry(
            workshop=workshop,
            values_used=tuple(
                FamilyValues(
                    family=family,
                    minus_tolerance=-workshop.counted_on(family, 0),
                    keep=workshop.keep_length(family),
                    offcut_value_per_mm=workshop.offcut_value(family),
                    standard=workshop.standard(family),
                )
                for family in Family
            ),
        ),
        sections=_sections(job),
        parts=_parts(job, groups),
        marking=marking_of(job),
        offers=tuple(OfferEntry(offer=offer, within_carry=within_carry(offer, workshop)) for offer in job.offers),
        offcuts=job.offcuts,
        others=job.others,
    )


def _sections(job: Job) -> tuple[Section, ...]:
    """Every section once, in the order of first use."""
    found: dict[str, Section] = {}
    for section in (item.section for items in (job.parts, job.offers, job.offcuts) for item in items):
        if found.setdefault(section.key, section) != section:
            raise ValueError(f"two different sections are called {section.key}")
    return tuple(found.values())


def _parts(job: Job, groups: Sequence[Group]) -> tuple[PartEntry, ...]:
    """Every part in the order of the list, with the grades that serve it in its group."""
    home = {part.mark: number for number, group in enumerate(groups) for part in group.parts}
    grades = [sorted({bar.grade for bars in (group.offers, group.offcuts) for bar in bars}) for group in groups]
    return tuple(
        PartEntry(part=part, served_by=tuple(grade for grade in grades[home[part.mark]] if serves(grade, part.grades)))
        for part in job.parts
    )


def _plan(job: Job, groups: Sequence[Group], plan: Plan) -> PlanEntry:
    job = as_brought(job, plan)
    return PlanEntry(
        result=Result(
            job_name=plan.job_name,
            status=plan.status,
            cost=plan.cost,
            bound=plan.bound,
            possible_saving=plan.possible_saving,
            stopped_by=plan.stopped_by,
            as_dealt=bool(dealt_out(job)),
            fetched=plan.fetched,
        ),
        groups=tuple(_group(job, group, planned) for group, planned in zip(groups, plan.groups, strict=True)),
        cases=plan.cases,
    )


def _group(job: Job, group: Group, planned: GroupPlan) -> GroupEntry:
    return GroupEntry(
        title=planned.title,
        goal=planned.goal,
        cost_unit=job.workshop.currency if planned.goal is Goal.MONEY else "kg",
        section=group.section,
        grade=group.grade,
        finish=group.finish,
        parts=tuple(part.mark for part in group.parts),
        integers=integers_of(group, job.workshop, planned.proof),
        bars=tuple(Bar(bar=first, count=count) for first, count in runs_of(planned.bars)),
        cost=sum(bar.cost for bar in planned.bars),
        proof=planned.proof,
    )
