"""What a user waits for, each in a fresh process: processor seconds and peak memory against their limits.

``python tests/benchmarks/speed.py``; the exit code is 1 when a limit is missed or a command ends as it should not.
Each command is run with the interpreter that runs this file, whose environment holds ``cutplan``. What is measured is
what a user waits for from the second time on: the package is compiled to bytecode before, as an installer does, and a
command that is measured several times is run once before that, so that its files are not read from a cold disk.
"""

from __future__ import annotations

import compileall
import csv
import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "inputs" / "potting-benches.xlsx"
MOST_ROWS = 100_000
LONG_LIST = 5_000
MANY_ROWS = 20_000
GIGABYTE = 1e9

PLAN_ALONE = """
import resource, sys
from cutplan import actions
job = actions.read_job(sys.argv[1])
def seconds():
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)
if sys.argv[2] == "loaded":
    import cutplan.planning
started = seconds()
from cutplan.planning import plan_job
plan_job(job)
print(seconds() - started)
"""
"""Plans a list and prints the processor seconds of that alone, with or without the loading of the solver."""


IMPORT_SECTIONS = """
import time
import cutplan.units
started = time.process_time()
import cutplan.sections
print(time.process_time() - started)
"""
"""Prints the processor seconds of importing the sections room, when the units it stands on are loaded."""

READ_ROWS = """
import sys, time
import cutplan.reading
from cutplan import actions
started = time.process_time()
actions.read_job(sys.argv[1], stock=["12 m"])
print(time.process_time() - started)
"""
"""Reads a list, whatever that loads besides, and prints the processor seconds of it."""
WRITE_ALONE = """
import resource, sys, tempfile
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from tests import builders
from tests.hand_plans import hand_plan
from cutplan.actions.output_folder import write_files
bars, pieces = int(sys.argv[2]), int(sys.argv[3])
marks = [[f"P{bar}-{place}" for place in range(bar, pieces, bars)] for bar in range(bars)]
parts = [
    builders.part(mark, 1, 850 + len(mark) * 7 + place * 13, mitres=(45, 45) if place % 3 == 0 else (0, 0))
    for row in marks for place, mark in enumerate(row)
]
job = builders.job(parts, [builders.offer("O", 6500, 9)], kerf="2.5", end_trim=10, keep=300)
plan = hand_plan(job, *(("O", row) for row in marks))
def seconds():
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)
started = seconds()
with tempfile.TemporaryDirectory() as folder:
    write_files(job, plan, Path(folder))
print(seconds() - started)
"""
"""Writes every file of a plan in which no two bars are alike, and prints the processor seconds of that alone."""


CHECK_ALONE = """
import sys, time
from cutplan import actions, reading
import python_calamine
actions.check(actions.read_job("one.csv", stock=["6 m"]))
started = time.process_time()
actions.check(actions.read_job(sys.argv[1], stock=["6 m"]))
print(time.process_time() - started)
"""
"""Checks a list and prints the processor seconds of that alone, everything it imports loaded by a list of one row."""


@dataclass(frozen=True, kw_only=True)
class Task:
    """A command, how often it is run (the slowest counts), its limits, the exit code it must end with and what it says.

    With ``prints_seconds`` the command prints its own processor seconds, because only a part of it counts.
    """

    title: str
    command: Sequence[str]
    times: int = 1
    most_cpu: float | None = None
    most_bytes: float | None = None
    exit_code: int = 0
    says: str = ""
    prints_seconds: bool = False


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One run: processor and wall seconds, peak memory, exit code, what it printed."""

    cpu: float
    wall: float
    peak_bytes: int
    exit_code: int
    printed: str


def measured(command: Sequence[str], folder: Path) -> Measure:
    """Run a command in a folder; its children that it waited for are counted in."""
    started = time.perf_counter()
    with (folder / "printed").open("w+", encoding="utf-8") as out:
        child = subprocess.Popen(command, cwd=folder, stdin=subprocess.DEVNULL, stdout=out, stderr=subprocess.STDOUT)
        _, status, used = os.wait4(child.pid, 0)
        wall = time.perf_counter() - started
        child.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        printed = out.read()
    return Measure(
        cpu=used.ru_utime + used.ru_stime,
        wall=wall,
        peak_bytes=used.ru_maxrss * (1 if sys.platform == "darwin" else 1024),
        exit_code=child.returncode,
        printed=printed,
    )


def tasks(folder: Path) -> list[Task]:
    """What is measured; ``folder`` holds the long lists."""
    cutplan = str(Path(sys.executable).with_name("cutplan"))
    alone = [sys.executable, "-c", PLAN_ALONE, str(SAMPLE)]
    check = [cutplan, "check", "--stock", "6 m"]
    refuse: dict[str, Any] = {
        "most_cpu": 10.0,
        "most_bytes": GIGABYTE,
        "exit_code": 1,
        "says": f"at most {MOST_ROWS} rows",
    }
    return [
        Task(title="cutplan --help", command=[cutplan, "--help"], times=3, most_cpu=0.3),
        Task(title="cutplan section", command=[cutplan, "section", "SHS 40x40x3"], times=3, most_cpu=0.4),
        Task(
            title="  of which importing the sections room",
            command=[sys.executable, "-c", IMPORT_SECTIONS],
            times=3,
            most_cpu=0.03,
            prints_seconds=True,
        ),
        Task(
            title=f"read {MANY_ROWS:,} rows of every listed section",
            command=[sys.executable, "-c", READ_ROWS, "sections.csv"],
            times=3,
            most_cpu=2.0,
            prints_seconds=True,
        ),
        *(
            Task(
                title=f"every file of {bars} bars, {pieces} parts",
                command=[sys.executable, "-c", WRITE_ALONE, str(ROOT), str(bars), str(pieces)],
                times=3 if bars < 1000 else 1,
                most_cpu=limit,
                prints_seconds=True,
            )
            for bars, pieces, limit in ((40, 220, 1.5), (400, 2200, 12.0), (2000, 11_000, 60.0))
        ),
        Task(
            title=f"{SAMPLE.name} from file to workbook",
            command=[cutplan, "plan", str(SAMPLE), "--out", str(folder / "plan")],
            times=3,
            most_cpu=4.0,
        ),
        Task(
            title="  of which planning, solver loaded",
            command=[*alone, "loaded"],
            times=3,
            most_cpu=1.0,
            prints_seconds=True,
        ),
        Task(
            title="  of which planning and loading the solver", command=[*alone, "cold"], times=3, prints_seconds=True
        ),
        *(
            Task(
                title=f"check {LONG_LIST:,} rows, {suffix}, imports done",
                command=[sys.executable, "-c", CHECK_ALONE, f"long.{suffix}"],
                times=3,
                most_cpu=1.0,
                prints_seconds=True,
            )
            for suffix in ("csv", "xlsx")
        ),
        Task(title=f"refuse {MOST_ROWS + 1:,} rows, csv", command=[*check, "more.csv"], **refuse),
        Task(title=f"refuse {MOST_ROWS + 1:,} rows, xlsx", command=[*check, "more.xlsx"], **refuse),
        Task(title=f"read {MOST_ROWS:,} rows, csv", command=[*check, "most.csv"]),
        Task(title=f"read {MOST_ROWS:,} rows, xlsx", command=[*check, "most.xlsx"]),
    ]


def write_lists(folder: Path) -> None:
    """Lists of as many rows as are read, and of one row more, each as csv and as xlsx."""
    from openpyxl import Workbook

    for name, rows in (("one", 1), ("long", LONG_LIST), ("most", MOST_ROWS), ("more", MOST_ROWS + 1)):
        book = Workbook(write_only=True)
        sheet = book.create_sheet("Parts")
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            text = csv.writer(file)
            head: list[object] = ["Quantity", "Section", "Length"]
            for row in (head, *([1, "SHS 40x40x3", 500 + n % 4000] for n in range(rows))):
                text.writerow([*row])
                sheet.append(row)
        book.save(folder / f"{name}.xlsx")


def write_sections(folder: Path) -> None:
    """A list that goes through the listed sizes of many families in turn."""
    from cutplan.model import Workshop
    from cutplan.sections import sizes

    families = ("SHS", "RHS", "CHS", "PIPE", "angle", "flat", "round", "IPE", "HE", "UB", "PFC", "W", "HSS")
    found = [size for word in families for size in sizes(word, standard=None, standard_of=Workshop().standard)]
    with (folder / "sections.csv").open("w", encoding="utf-8", newline="") as file:
        text = csv.writer(file)
        text.writerow(["Quantity", "Section", "Standard", "Length"])
        for row in range(MANY_ROWS):
            size = found[row % len(found)]
            text.writerow([1 + row % 7, size.designation, size.standard, 500 + row % 4000])


def report(wanted: Sequence[Task], folder: Path) -> list[str]:
    """Run tasks in a folder, print a line for each, and return the titles of those that miss a limit."""
    missed = []
    print(f"{'':<44} {'CPU s':>7} {'limit':>6} {'wall s':>7} {'peak MB':>8} {'limit':>6}")
    for task in wanted:
        runs = [measured(task.command, folder) for _ in range(task.times + (task.times > 1))][-task.times :]
        wrong = [run for run in runs if run.exit_code != task.exit_code or task.says not in run.printed]
        if wrong:
            missed.append(task.title)
            print(f"{task.title:<44} ended with {wrong[0].exit_code}, wanted {task.exit_code} {task.says}")
            print(wrong[0].printed)
            continue
        cpu = max(float(run.printed.split()[0]) if task.prints_seconds else run.cpu for run in runs)
        peak = max(run.peak_bytes for run in runs)
        over = cpu > (task.most_cpu or cpu) or peak > (task.most_bytes or peak)
        if over:
            missed.append(task.title)
        wall = "" if task.prints_seconds else f"{max(run.wall for run in runs):.2f}"
        most_megabytes = f"{task.most_bytes / 1e6:.0f}" if task.most_bytes else ""
        print(
            f"{task.title:<44} {cpu:>7.2f} {task.most_cpu or '':>6} {wall:>7}"
            f" {peak / 1e6:>8.0f} {most_megabytes:>6}{'  MISSED' if over else ''}",
            flush=True,
        )
    return missed


def main() -> int:
    """Measure everything and print a table; the return value is the exit code."""
    compileall.compile_dir(ROOT / "cutplan", quiet=2)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        # A child inherits the peak memory of the process that starts it, so the lists are written in another one.
        write_sections(folder)
        writer = multiprocessing.get_context("spawn").Process(target=write_lists, args=(folder,))
        writer.start()
        writer.join()
        if writer.exitcode:
            return 1
        missed = report(tasks(folder), folder)
    print(f"missed: {', '.join(title.strip() for title in missed)}" if missed else "every limit is kept")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
