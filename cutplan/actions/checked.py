"""What the checker says of a plan, and the one way to a plan file: nothing uses one that was not checked first."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.problems import ProblemsFound

if TYPE_CHECKING:
    from cutplan.checking import Review
    from cutplan.model import Job, Plan


_MOST_HELD = 8
"""Plan files in which everything was found to hold, and that are kept as they were read."""

_held: dict[str, tuple[Job, Plan]] = {}
"""Those, by the SHA-256 of their bytes, the one asked for last at the end. Each part that is ticked asks for the plan,
and to judge that takes a hundred times as long as to tick."""


class CheckFailed(Exception):
    """A plan did not pass the checker, so it is not handed out; ``failures`` says what does not hold.

    This is a fault in the program, unless the plan was read from ``plan_file``.
    """

    def __init__(self, failures: Sequence[str], plan_file: Path | str = "") -> None:
        self.failures = tuple(failures)
        self.plan_file = plan_file
        told = "The plan failed its check and nothing was written. This is a fault in cutplan, not in the input:"
        if plan_file:
            told = f"{plan_file} does not hold, and nothing was written. Was it changed since cutplan wrote it?"
        super().__init__("\n".join([told, *self.failures]))

    def __reduce__(self) -> tuple[type[CheckFailed], tuple[Sequence[str], Path | str]]:
        """So that it comes whole out of a helper process."""
        return CheckFailed, (self.failures, self.plan_file)


def confirm(job: Job, answer: Plan) -> None:
    """Let the checker judge a plan that was just made.

    Raises
    ------
    CheckFailed
        When it does not confirm it.
    """
    from cutplan import checking

    failures = checking.check(job, answer)
    if failures:
        raise CheckFailed(failures)


def verify(subject: Path | str | tuple[Job, Plan]) -> tuple[str, ...]:
    """Let the checker judge a plan: a plan.json written earlier, or a job and its plan.

    Returns
    -------
    tuple of str
        What does not hold; empty when plan and proof hold.

    Raises
    ------
    ProblemsFound
        When the file is no plan file.
    """
    return review(subject).failures


def review(subject: Path | str | tuple[Job, Plan], *, inputs: Job | None = None) -> Review:
    """As :func:`verify`, with what was rechecked and a sentence on each bound.

    Of a file, all its other values are judged too: what it derives from the plan (totals, whole numbers of the groups,
    bar prices) is derived anew, and the digest binds what cannot be.

    Parameters
    ----------
    inputs
        The lists that the file was made from, read again; whatever they say otherwise by now is a failure. Of a rack
        with a ledger, only the offcuts that the plan uses are compared: others come and go.
    """
    from cutplan import checking

    if isinstance(subject, tuple):
        return checking.review(*subject)
    document, _, plan, judged = _judged(Path(subject))
    return judged if inputs is None else _against(inputs, document, plan, judged)


def _against(job: Job, document: dict[str, Any], plan: Plan, judged: Review) -> Review:
    from cutplan import planfile
    from cutplan.actions.rack_plans import draws_from_ledger
    from cutplan.model import SourceKind

    used = {bar.source for bar in plan.bars if bar.kind is SourceKind.OFFCUT}
    found = planfile.differences_from(job, document, used if draws_from_ledger(job) else None)
    again = planfile.files_written_again(job, document)
    findings = [f"{name} was written again since, in nothing that the plan rests on" for name in again if not found]
    if not found and planfile.of_the_rest(document):
        findings.append("the lists, read again, say of what is left to cut what the plan file says")
    elif not found:
        findings.append("the lists, read again, say what the plan file says")
    return replace(judged, failures=(*judged.failures, *found), findings=(*judged.findings, *findings))


def read_plan(plan_file: Path | str) -> tuple[Job, Plan]:
    """The job and the plan of a plan.json in which everything holds.

    Raises
    ------
    ProblemsFound
        When the file is no plan file.
    CheckFailed
        When something in it does not hold.
    """
    from cutplan.actions.output_folder import settled

    path = Path(plan_file)
    settled(path.parent)
    digest = _digest(path)
    known = _held.pop(digest, None) if digest else None
    if known is None:
        _, job, plan, judged = _judged(path)
        if judged.failures:
            raise CheckFailed(judged.failures, plan_file)
        if not digest or _digest(path) != digest:
            return job, plan
        known = job, plan
    _held[digest] = known
    for oldest in list(_held)[:-_MOST_HELD]:
        _held.pop(oldest, None)
    return known


def _digest(path: Path) -> str:
    """Of the bytes of a file; blank where it is none, of which more is said where it is read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
    except (OSError, ValueError):
        return ""


def plan_for(plan_file: Path, job: Job) -> tuple[Job, Plan] | None:
    """What a plan.json holds, where all of it does and it answers a job as the lists of that are now; else None."""
    try:
        document, planned, answer, judged = _judged(plan_file)
    except ProblemsFound:
        return None
    return None if _against(job, document, answer, judged).failures else (planned, answer)


def as_it_says(plan_file: Path) -> tuple[Job, Plan]:
    """What a plan.json says, of which nothing is checked: to name the job in a list, and for nothing else.

    Raises
    ------
    ProblemsFound
        When the file is no plan file of this version.
    """
    from cutplan import planfile

    return planfile.from_document(planfile.read_document(plan_file), str(plan_file))


def _judged(path: Path) -> tuple[dict[str, Any], Job, Plan, Review]:
    from cutplan import checking, planfile
    from cutplan.actions.output_folder import settled

    settled(path.parent)
    document = planfile.read_document(path)
    job, plan = planfile.from_document(document, str(path))
    judged = checking.review(job, plan)
    failures = [*judged.failures, *planfile.digest_failures(document)]
    if not judged.failures:  # else there is no plan that totals could be worked out from
        failures += planfile.contradictions(document)
    return document, job, plan, replace(judged, failures=tuple(failures))
