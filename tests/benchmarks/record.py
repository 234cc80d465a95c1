"""What a run found, set by set: the sums, the table on the screen and the rows of the csv."""

from __future__ import annotations

import csv
import datetime
import os
import platform
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from cutplan.model import Plan, Status
from cutplan.units import CURRENCY, Money
from tests.benchmarks.instances import Instance

HEADINGS = (
    "date",
    "commit",
    "machine",
    "OR-Tools",
    "Python",
    "set",
    "time limit s",
    "instances",
    "proven rechecked",
    "proven by search",
    "optimum equal",
    "largest possible saving %",
    "mean s",
    "max s",
    "mean wall s",
    "max wall s",
    "note",
)
"""Seconds without "wall" are seconds of processor time, all processes and threads together."""


@dataclass(frozen=True, kw_only=True)
class Result:
    """One instance, planned. ``faults`` are claims that cannot be true; ``cost`` is None when there is no plan."""

    name: str
    status: Status = Status.NOT_PROVEN
    cost: Money | None = None
    bound: Money = 0
    optimum: Money | None = None
    cpu: float
    wall: float
    stopped_by: str = ""
    faults: tuple[str, ...] = ()

    @property
    def saving_percent(self) -> float:
        """What is not excluded, in percent of the cost; 100 without a plan."""
        if self.cost is None:
            return 100.0
        return 0.0 if self.status is not Status.NOT_PROVEN else 100 * (self.cost - self.bound) / max(1, self.cost)


@dataclass(frozen=True, kw_only=True)
class Summary:
    """A set in figures; ``equal`` is None when no instance has a published optimum."""

    set: str
    instances: int
    rechecked: int
    by_search: int
    equal: int | None
    saving_percent: float
    mean_cpu: float
    max_cpu: float
    mean_wall: float
    max_wall: float
    faults: int
    stopped: int


def judged(instance: Instance, plan: Plan, *, failures: Sequence[str], cpu: float, wall: float) -> Result:
    """A plan against what is published; ``failures`` are what the checker says of it."""
    faults = [f"the checker: {failure}" for failure in failures]
    if instance.lower is not None and plan.cost < instance.lower:
        faults.append(f"cost {_money(plan.cost)} is below the published least of {_money(instance.lower)}")
    if instance.upper is not None and plan.bound > instance.upper:
        how = plan.status.value if plan.status is not Status.NOT_PROVEN else "a bound"
        faults.append(f"{how} at {_money(plan.bound)}, but {_money(instance.upper)} is published")
    return Result(
        name=instance.name,
        status=plan.status,
        cost=plan.cost,
        bound=plan.bound,
        optimum=instance.upper if instance.lower == instance.upper else None,
        cpu=cpu,
        wall=wall,
        stopped_by=plan.stopped_by,
        faults=tuple(faults),
    )


def summed(name: str, results: Sequence[Result]) -> Summary:
    """The figures of one set; at least one result."""
    known = [result for result in results if result.optimum is not None]
    return Summary(
        set=name,
        instances=len(results),
        rechecked=sum(result.status is Status.RECHECKED for result in results),
        by_search=sum(result.status is Status.BY_SEARCH for result in results),
        equal=sum(result.cost == result.optimum for result in known) if known else None,
        saving_percent=max(result.saving_percent for result in results),
        mean_cpu=sum(result.cpu for result in results) / len(results),
        max_cpu=max(result.cpu for result in results),
        mean_wall=sum(result.wall for result in results) / len(results),
        max_wall=max(result.wall for result in results),
        faults=sum(bool(result.faults) for result in results),
        stopped=sum(result.stopped_by == "time limit" for result in results),
    )


def line(result: Result) -> str:
    """One instance in one line."""
    cost = "no plan" if result.cost is None else _money(result.cost)
    text = f"{result.name}: {result.status.value}, {cost}, {result.cpu:.2f} s CPU, {result.wall:.2f} s wall"
    if result.status is Status.NOT_PROVEN:
        text += f", bound {_money(result.bound)}, possible saving {result.saving_percent:.4f} %"
    return text + (f", stopped by {result.stopped_by}" if result.stopped_by else "")


def block(summary: Summary) -> str:
    """One set on the screen."""
    proven = summary.rechecked + summary.by_search
    lines = [
        f"{summary.set}: {summary.instances} instances",
        f"  proven                   {proven} ({summary.rechecked} rechecked, {summary.by_search} by search)",
        f"  published optimum        {'none known' if summary.equal is None else f'{summary.equal} equal'}",
        f"  largest possible saving  {summary.saving_percent:.4f} %",
        f"  CPU seconds              {summary.mean_cpu:.2f} mean, {summary.max_cpu:.2f} largest",
        f"  wall seconds             {summary.mean_wall:.2f} mean, {summary.max_wall:.2f} largest",
    ]
    if summary.stopped:
        lines.append(f"  stopped by the clock     {summary.stopped}")
    if summary.faults:
        lines.append(f"  FAULTS                   {summary.faults}")
    return "\n".join(lines)


def row(summary: Summary, surroundings: dict[str, str], *, seconds: float, note: str) -> dict[str, str]:
    """One set as a row of the csv, by :data:`HEADINGS`."""
    notes = [note, f"{summary.stopped} stopped by the clock" if summary.stopped else ""]
    notes.append(f"{summary.faults} FAULTS" if summary.faults else "")
    return surroundings | {
        "set": summary.set,
        "time limit s": f"{seconds:g}",
        "instances": str(summary.instances),
        "proven rechecked": str(summary.rechecked),
        "proven by search": str(summary.by_search),
        "optimum equal": "" if summary.equal is None else str(summary.equal),
        "largest possible saving %": f"{summary.saving_percent:.4f}",
        "mean s": f"{summary.mean_cpu:.3f}",
        "max s": f"{summary.max_cpu:.3f}",
        "mean wall s": f"{summary.mean_wall:.3f}",
        "max wall s": f"{summary.max_wall:.3f}",
        "note": "; ".join(text for text in notes if text),
    }


def surroundings() -> dict[str, str]:
    """Date, commit (with ``+`` when the package differs from it), machine and versions."""
    root = Path(__file__).parent
    commit = _git(root, "rev-parse", "--short", "HEAD") or "none"
    if _git(root, "status", "--porcelain", "--", ":/cutplan"):
        commit += "+"
    return {
        "date": datetime.date.today().isoformat(),
        "commit": commit,
        "machine": f"{_processor()}, {os.cpu_count()} cores",
        "OR-Tools": version("ortools"),
        "Python": platform.python_version(),
    }


def append(path: Path, new: dict[str, str]) -> None:
    """Add a row to a csv, with the headings when it is new."""
    fresh = not path.exists() or not path.stat().st_size
    with path.open("a", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, HEADINGS, lineterminator="\n")
        if fresh:
            writer.writeheader()
        writer.writerow(new)


def fits(path: Path) -> bool:
    """May rows be added here: no file yet, or one with these headings?"""
    if not path.exists() or not path.stat().st_size:
        return path.parent.is_dir()
    with path.open(encoding="utf-8", newline="") as file:
        return next(csv.reader(file), []) == list(HEADINGS)


def _money(money: Money) -> str:
    return f"{money / CURRENCY:.2f}"


def _git(folder: Path, *arguments: str) -> str:
    try:
        done = subprocess.run(["git", *arguments], cwd=folder, capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return ""
    return done.stdout.strip()


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        lines = []
    named = [text.partition(":")[2].strip() for text in lines if text.startswith("model name")]
    return named[0] if named else platform.processor() or platform.machine()
