"""What a planned job costs: worked out, and written for the workshop."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.output_folder import fingerprint, reserved
from cutplan.actions.printing import printing
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.costing.cost_figures import CostFigures
    from cutplan.costing.costs import Cost
    from cutplan.model import Job, Plan, Workshop

COST_PDF, COST_BOOK = "cost.pdf", "cost.xlsx"


@dataclass(frozen=True, slots=True, kw_only=True)
class Costed:
    """What a job costs, and the files that say it."""

    job: Job
    cost: Cost
    files: tuple[Path, ...] = ()


def cost(job: Job, plan: Plan, figures: CostFigures | None = None) -> Cost:
    """What a planned job costs by a workshop's figures; those of a workshop that has none when not said."""
    from cutplan.costing.cost_figures import CostFigures
    from cutplan.costing.costs import cost_of

    return cost_of(job, plan, figures or CostFigures())


def cost_plan(plan_file: Path | str, rack: Rack, *, transport: str = "") -> Costed:
    """What the job of a plan costs, by the figures of the workshop file as they are now.

    Writes ``cost.pdf`` and ``cost.xlsx`` beside the plan.json.

    Parameters
    ----------
    transport
        An amount for this job, in place of the workshop's.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, the amount cannot be read, the workshop has another currency by now, or a file
        cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.reports.paper.cost_pdf import cost_pdf
    from cutplan.reports.rows import rows_of
    from cutplan.reports.workbook.cost_xlsx import cost_book

    path = Path(plan_file)
    with reserved(path.parent, workbook=False):
        job, plan = read_plan(path)
        found = cost_now(job, plan, rack, transport)
        rows = rows_of(job, plan)
        files = path.with_name(COST_PDF), path.with_name(COST_BOOK)
        made = cost_pdf(found, job.name, job.workshop, fingerprint(path)), cost_book(found, rows)
        for target, content in zip(files, made, strict=True):
            with printing(target) as file:
                file.write_bytes(content)
    return Costed(job=job, cost=found, files=files)


def shop_of_plan(plan_file: Path | str, workshop: Path | str | None = None) -> Rack:
    """The workshop by whose figures a plan is costed: the one named, else that of the note beside the plan, by which it
    is quoted too, else the nearest one from the plan upwards.

    Raises
    ------
    ProblemsFound
        When its file is not sound.
    """
    from cutplan.actions.rack_found import find_rack
    from cutplan.actions.rack_plans import noted_rack

    noted = noted_rack(Path(plan_file)) if workshop is None else None
    return find_rack(near=noted or plan_file, workshop=workshop, ledger=noted)


def cost_now(job: Job, plan: Plan, rack: Rack, transport: str) -> Cost:
    """What a planned job costs by the figures of its workshop as they are now, in the currency and with the tax that it
    was planned with.

    Raises
    ------
    ProblemsFound
        When the workshop has another currency by now, or the amount for transport cannot be read.
    """
    planned, now = job.workshop, rack.workshop
    if now.currency != planned.currency:
        raise ProblemsFound(
            [
                Problem(
                    where="workshop.currency",
                    found=now.currency,
                    accepted=f"{planned.currency}, in which the plan is priced",
                    hint="name the workshop file of the plan with --workshop, or plan the job again",
                    code="workshop.currency",
                )
            ]
        )
    found = replace(cost(job, plan, figures_of(rack, planned, transport)), unsaid=not rack.said)
    taxes = planned.tax_millionths, now.tax_millionths
    return found if taxes[0] == taxes[1] else replace(found, tax_differs=taxes)


def figures_of(rack: Rack, workshop: Workshop, transport: str) -> CostFigures:
    """The workshop's figures, with another amount for transport where one is said."""
    from cutplan.model.stock_length import price_as_typed
    from cutplan.units import CURRENCY, round_half_up, rounded_to_cents

    if not transport:
        return rack.costs
    untaxed = replace(workshop, prices_include_tax=False)
    try:
        amount = rounded_to_cents(round_half_up(price_as_typed(transport, untaxed) * CURRENCY))
    except Refused as refused:
        raise ProblemsFound([Problem.at("--transport", refused)]) from None
    return replace(rack.costs, transport=amount)
