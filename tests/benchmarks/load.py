"""Jobs far beyond a usual one: processor seconds and peak memory of the check and of every output, each by itself.

``python tests/benchmarks/load.py [JOB ...]``; the exit code is 1 when a limit is missed. The jobs are ``lines``,
20,000 lines in 40 sections; ``equal``, 200,000 parts of one line; ``million``, a million parts of 20 lines; and
``labels``, 8,000 lines of one part. Plans are made by first fit, so that the search has no share in the figures.
Each output is written by a fresh process, which makes job and plan anew; its peak memory holds them too.
"""

from __future__ import annotations

import random
import resource
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from cutplan.model import Goal, GroupPlan, Job, MerchantCase, Part, Plan, Proof, Status, groups_of  # noqa: E402
from tests import builders  # noqa: E402
from tests.benchmarks.speed import Task, report  # noqa: E402

MOST_CPU, MOST_BYTES = 120.0, 1.5e9
"""Of the check and all outputs of a job in one process, and so of each by itself."""
LABELS_CPU = 12.0


def lines() -> list[Part]:
    """20,000 lines in 40 sections, some mitred, one to three of each."""
    chance = random.Random(7)
    sections = [builders.square_tube(side, wall) for side in range(30, 130, 10) for wall in (3, 4, 5, 6)]
    return [
        builders.part(
            f"P{number}",
            chance.randint(1, 3),
            chance.randint(250, 3000),
            section=sections[number % 40],
            mitres=(45, 45) if number % 5 == 0 else (0, 0),
            assembly=f"frame {number // 40}",
        )
        for number in range(20_000)
    ]


JOBS: dict[str, Callable[[], list[Part]]] = {
    "lines": lines,
    "equal": lambda: [builders.part("A1", 200_000, 1130)],
    "million": lambda: [builders.part(f"A{number}", 50_000, 700 + 61 * number) for number in range(20)],
    "labels": lambda: [builders.part(f"P{number}", 1, 850 + number % 977) for number in range(8_000)],
}


def planned(name: str) -> tuple[Job, Plan]:
    """A job and a plan of it by first fit that the checker confirms; what it costs is said to be proven by search."""
    from cutplan.solving.bars import cut_bars
    from cutplan.solving.constructive import first_fit
    from cutplan.solving.parameters import Parameters
    from cutplan.solving.whole_numbers import instance_of

    parts = JOBS[name]()
    sections = dict.fromkeys(part.section for part in parts)
    offers = [builders.offer(f"O{number}", 6500, 9, section=section) for number, section in enumerate(sections)]
    job = builders.job(parts, offers, kerf="2.5", end_trim=10, keep=600)
    plans: list[GroupPlan] = []
    first = 1
    for group in groups_of(job):
        instance = instance_of(group, job.workshop, group.offers, Parameters())
        bars = first_fit(instance, [0], instance.demand, [instance.sources[0].most])
        assert bars is not None
        cut = tuple(cut_bars(instance, group, job.workshop, bars, first))
        first += len(cut)
        cost = sum(bar.cost for bar in cut)
        proof = Proof(
            sources=(instance.sources[0].id,), status=Status.BY_SEARCH, denominator=1, step=1, leaves=(), bound=cost
        )
        plans.append(GroupPlan(title=group.title, goal=Goal.MONEY, bars=cut, proof=proof))
    cost = sum(plan.proof.bound for plan in plans)
    case = MerchantCase(merchants=(), proofs=tuple(plan.proof for plan in plans), charges=0, bound=cost)
    return job, Plan(
        job_name=job.name, groups=tuple(plans), cases=(case,), status=Status.BY_SEARCH, bound=cost, cost=cost
    )


def check(job: Job, plan: Plan, _: Path) -> None:
    from cutplan import checking

    assert not checking.check(job, plan)


def plan_file(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan import planfile

    planfile.write(job, plan, folder / "plan.json")


def workbook(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan.reports.workbook.plan_xlsx import write_workbook

    write_workbook(job, plan, folder / "plan.xlsx", "0a1b2c3d")


def printed(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan.reports.paper.plan_pdf import write_plan_pdf

    write_plan_pdf(job, plan, folder / "plan.pdf", "0a1b2c3d")


def page(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan.reports.browser.plan_html import write_plan_html

    write_plan_html(job, plan, folder / "plan.html", "0a1b2c3d")


def labels(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan.reports.paper.labels import write_labels_pdf

    write_labels_pdf(job, plan, folder / "labels.pdf", "0a1b2c3d")


def screen(job: Job, plan: Plan, _: Path) -> None:
    from cutplan import actions

    actions.summary(job, plan)


def everything(job: Job, plan: Plan, folder: Path) -> None:
    from cutplan import actions

    actions.write_plan(job, plan, folder / "plan")


OUTPUTS: dict[str, Callable[[Job, Plan, Path], None]] = {
    "check": check,
    "plan.json": plan_file,
    "plan.xlsx": workbook,
    "plan.pdf": printed,
    "plan.html": page,
    "labels.pdf": labels,
    "screen": screen,
    "check and all files": everything,
}


def _seconds() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def write(name: str, output: str) -> None:
    """Print the processor seconds of one output of one job, and on the next line what was written."""
    job, plan = planned(name)
    started = _seconds()
    with tempfile.TemporaryDirectory() as folder:
        OUTPUTS[output](job, plan, Path(folder))
        seconds = _seconds() - started
        sizes = [file.stat().st_size for file in Path(folder).rglob("*.*")]
    print(seconds)
    print(f"{sum(sizes) / 1e6:.1f} MB", file=sys.stderr)


def main(wanted: list[str]) -> int:
    """Measure the jobs wanted and print a table; the return value is the exit code."""
    missed: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        for name in wanted or JOBS:
            tasks = [
                Task(
                    title=f"{name}: {output}",
                    command=[sys.executable, __file__, "--write", name, output],
                    most_cpu=LABELS_CPU if name == "labels" and output == "labels.pdf" else MOST_CPU,
                    most_bytes=MOST_BYTES,
                    prints_seconds=True,
                )
                for output in OUTPUTS
            ]
            missed += report(tasks, Path(folder))
    print(f"missed: {', '.join(missed)}" if missed else "every limit is kept")
    return 1 if missed else 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["--write"]:
        write(*sys.argv[2:4])
    else:
        sys.exit(main(sys.argv[1:]))
