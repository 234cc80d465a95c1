"""What a parts list, a section or a job says, before anything is planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from cutplan.problems import Problem, ProblemsFound
from cutplan.words.list_found import GroupFound

if TYPE_CHECKING:
    from cutplan.model import InputFile, Job, Offcut
    from cutplan.reading.job_files import Beside


MOST_NAMED = 6


def read_job(parts: Path | str | Sequence[Path | str], **beside: Unpack[Beside]) -> Job:
    """Read a parts list and all that belongs to it.

    Parameters
    ----------
    parts
        Parts list, csv or xlsx; or several, to be planned and bought together for one workshop, price list and rack.
    beside
        What :class:`cutplan.reading.job_files.Beside` names: ``workshop``, ``prices``, ``rack``, ``holes``, ``stock``,
        ``quotes``, ``sheet`` and ``times``. Once the workshop has a ledger, that is the rack, and a rack file is read
        only when it is given here.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input, placed, all at once.
    """
    from cutplan import reading
    from cutplan.actions.rack_plans import offered_by, offered_together
    from cutplan.model import joined
    from cutplan.reading.saws import dealt_told

    lists = [Path(each) for each in ([parts] if isinstance(parts, Path | str) else parts)]
    _refuse_same_names(lists)
    jobs: list[Job] = []
    problems: list[Problem] = []
    ledgers: list[Path] = []

    def noting(path: Path, *asked: Any) -> tuple[InputFile, tuple[Offcut, ...]]:
        ledgers.append(path)
        return offered_by(path, *asked)

    for each in lists:
        try:
            jobs.append(reading.read_job(each, ledger=noting, alone=len(lists) == 1, **beside))
        except ProblemsFound as found:
            problems += found.problems
    if problems:
        raise ProblemsFound(dict.fromkeys(problems))
    if len(jobs) > 1 and len(ledgers) == len(jobs) and len(set(ledgers)) == 1:
        jobs = offered_together(jobs, ledgers[0])
    job = joined(jobs)
    if len(jobs) > 1 and job.workshop.saws:
        job = replace(job, assumptions=(*job.assumptions, *dealt_told(job)))
    return replace(job, warnings=(*job.warnings, *_not_in_the_font(job)))


def _refuse_same_names(lists: Sequence[Path]) -> None:
    """Refuse lists of one name before they are read: what is wrong in a cell is placed by the name of its file."""
    problems = []
    for name in dict.fromkeys(each.stem for each in lists):
        same = [str(each) for each in lists if each.stem == name]
        if len(same) > 1:
            where, found = " and ".join(same), f'{len(same)} lists named "{name}"'
            accepted = "lists whose files have names of their own"
            problems.append(Problem.statement(where, found, accepted, code="joined.names"))
    if problems:
        raise ProblemsFound(problems)


def _not_in_the_font(job: Job) -> list[Problem]:
    """A warning of letters that the shipped font lacks, with words that hold them; paper may not show them."""
    shop = job.workshop
    words = [job.name, shop.name, shop.default_finish]
    for part in job.parts:
        words += [part.mark, part.grade, part.finish, part.assembly, part.note, part.cope, part.section.designation]
    for line in job.others:
        words += [line.name, line.merchant, line.assembly, line.note]
    for offer in job.offers:
        words += [offer.merchant, offer.grade, offer.finish]
    for offcut in job.offcuts:
        words += [offcut.mark, offcut.grade, offcut.finish, offcut.place, offcut.heat_number]
    strange = [word for word in dict.fromkeys(words) if not word.isascii()]
    if not strange:
        return []
    from cutplan.reports.lettering import lacking

    holding = [word for word in strange if lacking(word)]
    if not holding:
        return []
    named = ", ".join(holding[:MOST_NAMED]) + (f" and {len(holding) - MOST_NAMED} more" * (len(holding) > MOST_NAMED))
    return [
        Problem(
            where=job.name,
            found=f"letters that the shipped font lacks, in {named}",
            accepted="letters of any script; on paper they are set in a font of the system that has them, else as �",
            found_is_text=False,
            code="plan.letters",
        )
    ]


def check(job: Job) -> tuple[GroupFound, ...]:
    """What a list asks for, group by group, before anything is planned."""
    from cutplan.model import carrying, groups_of, within_carry
    from cutplan.model.section_totals import finished_mass

    found = []
    for group in groups_of(job):
        carried = sum(
            within_carry(offer, job.workshop) or carrying(offer, job.workshop, group.parts) is not None
            for offer in group.offers
        )
        length = sum(part.quantity * part.length for part in group.parts)
        found.append(
            GroupFound(
                title=group.title,
                parts=len(group.parts),
                pieces=group.pieces,
                length=length,
                mass=sum(part.quantity * finished_mass(part) for part in group.parts),
                offers=carried,
                too_long=len(group.offers) - carried,
                offcuts=len(group.offcuts),
                priced=group.priced,
            )
        )
    return tuple(found)
