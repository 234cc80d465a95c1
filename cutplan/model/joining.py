"""Several lists planned and bought together: one Job in which every mark says whose it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from cutplan.model.job import DEALT, Assumption, Job
from cutplan.model.part import Part
from cutplan.model.stock_length import StockLength
from cutplan.problems import Problem, ProblemsFound

BETWEEN = "/"
"""Stands between the name of a list and a mark or an assembly of it: ``gate/G1``."""

TOGETHER = " + "
"""Stands between the names of lists that are planned together."""

_MOST_NAMED = 6
"""Marks that a warning names; of more it says how many."""


def joined(jobs: Sequence[Job]) -> Job:
    """One job of several, read for one workshop, one price list and one rack.

    Marks and assemblies get the name of their list in front, so that every sheet keeps the lists apart; parts without
    an assembly belong to one that is called as the list is.

    Parameters
    ----------
    jobs
        One or more; a single one stays as it is.

    Raises
    ------
    ProblemsFound
        When two lists have one name, or were read with another workshop, price list or rack.
    """
    if len(jobs) == 1:
        return jobs[0]
    problems = [*_same_names(jobs), *_other_grounds(jobs)]
    if problems:
        raise ProblemsFound(problems)
    jobs = [replace(job, assumptions=tuple(one for one in job.assumptions if one.code != DEALT)) for job in jobs]
    shared = set.intersection(*(set(job.assumptions) for job in jobs))
    told = [one for one in jobs[0].assumptions if one in shared]
    told += [
        replace(one, text=f"{job.name}: {one.text}") for job in jobs for one in job.assumptions if one not in shared
    ]
    together = "The lists are planned and bought together; each mark has the name of its list in front."
    told.append(Assumption("assumed.together", together))
    return Job(
        name=joined_name(jobs),
        parts=tuple(
            replace(
                part,
                mark=f"{job.name}{BETWEEN}{part.mark}",
                assembly=f"{job.name}{BETWEEN}{part.assembly}" if part.assembly else job.name,
                list_name=job.name,
            )
            for job in jobs
            for part in job.parts
        ),
        offers=_offers(jobs),
        offcuts=jobs[0].offcuts,
        others=tuple(
            replace(
                line,
                assembly=f"{job.name}{BETWEEN}{line.assembly}" if line.assembly else job.name,
                list_name=job.name,
            )
            for job in jobs
            for line in job.others
        ),
        workshop=jobs[0].workshop,
        files=tuple(dict.fromkeys(file for job in jobs for file in job.files)),
        assumptions=tuple(told),
        warnings=tuple(
            dict.fromkeys(warning for job in jobs for warning in (*job.warnings, *_marks_shared(job, jobs)))
        ),
        silenced=sum(job.silenced for job in jobs),
    )


def joined_name(jobs: Sequence[Job]) -> str:
    """What several lists are called together."""
    return TOGETHER.join(job.name for job in jobs)


def parted(job: Job) -> tuple[Job, ...]:
    """A job of several lists as a job for each, with the marks it has in the whole; one of a single list alone."""
    names = dict.fromkeys(part.list_name for part in job.parts)
    if len(names) == 1:
        return (job,)
    return tuple(
        replace(
            job,
            name=name,
            parts=tuple(part for part in job.parts if part.list_name == name),
            others=tuple(line for line in job.others if line.list_name == name),
        )
        for name in names
    )


def own_name(name: str, list_name: str) -> str:
    """A mark or an assembly as its list has it: ``G1`` of ``gate/G1``; blank is no assembly."""
    return "" if name == list_name else name.removeprefix(f"{list_name}{BETWEEN}")


def own_part(part: Part) -> Part:
    """A part with the mark and the assembly that its list has for it."""
    return replace(part, mark=own_name(part.mark, part.list_name), assembly=own_name(part.assembly, part.list_name))


def _same_names(jobs: Sequence[Job]) -> list[Problem]:
    return [
        Problem(where=name, found=f"{count} lists of this name", accepted="lists whose files have names of their own",
                found_is_text=False, code="joined.names")
        for name, count in Counter(job.name for job in jobs).items()
        if count > 1
    ]  # fmt: skip


def _other_grounds(jobs: Sequence[Job]) -> list[Problem]:
    """Lists that are not to be planned on the same grounds as the first."""
    first = jobs[0]
    problems = []
    for job in jobs[1:]:
        for what, same, hint in (
            ("workshop", job.workshop == first.workshop, "--workshop names one for all"),
            ("price list", _files(job, "prices") == _files(first, "prices"), "--prices names one for all"),
            ("rack", job.offcuts == first.offcuts, "--rack names one for all"),
        ):
            if not same:
                found = f"another {what} than {first.name} has"
                accepted = f"one {what} for lists that are planned together"
                problems.append(
                    Problem(
                        where=job.name,
                        found=found,
                        accepted=accepted,
                        hint=hint,
                        found_is_text=False,
                        code="joined.settings",
                    )
                )
    return problems


def _files(job: Job, role: str) -> set[str]:
    return {file.sha256 for file in job.files if file.role == role}


def _offers(jobs: Sequence[Job]) -> tuple[StockLength, ...]:
    """Every offer once. Those that a list made for its own sections bear numbers that others may have used too."""
    by_content: dict[StockLength, StockLength] = {}
    ids: set[str] = set()
    for job in jobs:
        for offer in job.offers:
            content = replace(offer, id="")
            if content in by_content:
                continue
            number, id = len(ids), offer.id
            while id in ids:
                number += 1
                id = f"#S{number}"
            ids.add(id)
            by_content[content] = replace(offer, id=id)
    return tuple(by_content.values())


def _marks_shared(job: Job, jobs: Sequence[Job]) -> list[Problem]:
    """A warning of marks that an earlier list has too, for other parts: at the bench they look the same."""
    marks: dict[str, str] = {}
    rows = {part.mark: part.row for part in job.parts}
    for other in jobs[: list(jobs).index(job)]:
        theirs = {part.mark: part for part in other.parts}
        for part in job.parts:
            same = theirs.get(part.mark)
            if same and (same.section.key, same.length) != (part.section.key, part.length):
                marks.setdefault(part.mark, other.name)
    if not marks:
        return []
    accepted = "marks that nobody takes for one another"
    if len(marks) == 1:
        ((mark, whose),) = marks.items()
        where, found = f"{job.name}, row {rows[mark]}", f'"{mark}", which {whose} has too, as another part'
    else:
        named = ", ".join(f'"{mark}"' for mark in list(marks)[:_MOST_NAMED])
        more = f" and {len(marks) - _MOST_NAMED} more marks" if len(marks) > _MOST_NAMED else ""
        whose = ", ".join(dict.fromkeys(marks.values()))
        where, found = job.name, f"{named}{more}, which {whose} has too, as other parts"
    return [Problem(where=where, found=found, accepted=accepted, found_is_text=False, code="joined.marks")]
