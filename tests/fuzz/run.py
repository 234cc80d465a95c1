"""Read files changed at random, in forked processes with limits on processor time and memory, and count how it ends.

    python -m tests.fuzz.run --cases 3000 [--seed 1] [--kind "plan.json"] [--processes 2]

Each case has a number from which it is made anew: ``--first N --cases 1`` repeats one alone. Of the jobs that are read
one in four is planned, with a limit of a second, and printed. A case fails when it ends in a trace, is aborted, takes
more than ten seconds of processor time, as much again for planning and printing, or comes to more than a gigabyte.
"""

from __future__ import annotations

import argparse
import faulthandler
import json
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from cutplan import actions
from cutplan.actions import CheckFailed
from cutplan.model import Job
from cutplan.problems import NoPlan, ProblemsFound
from tests.forked import GIGABYTE
from tests.fuzz.kinds import KINDS, sound_folder
from tests.fuzz.mutations import mutated

SECONDS = 10
BATCH = 250
PLANNED_SHARE = 0.25
MOST_PLANNED = 2_000
"""Parts of a job up to which it is planned and printed: how long more take is measured, not fuzzed."""
READ, REFUSED, PLANNED, NO_PLAN = "read", "refused", "planned", "no plan"
TRACE, ABORT, SLOW, LARGE = "trace", "abort", "over 10 s", "over 1 GB"
BAD = (TRACE, ABORT, SLOW, LARGE)


def one_case(number: int, seed: int, sound: Path, folder: Path, kind: str = "") -> tuple[str, str, str]:
    """Run a case: its kind, how it ended, and the trace where there is one."""
    chance = random.Random(f"{seed} {number}")
    name = kind or list(KINDS)[number % len(KINDS)]
    shutil.copytree(sound, folder, dirs_exist_ok=True)
    path = folder / KINDS[name].file
    path.write_bytes(mutated((sound / KINDS[name].file).read_bytes(), chance))
    try:
        how, job = _timed(lambda: _read(name, folder))
        if (
            isinstance(job, Job)
            and sum(part.quantity for part in job.parts) <= MOST_PLANNED
            and chance.random() < PLANNED_SHARE
        ):
            how = _timed(lambda: _planned(job, folder / "out"))
    except TimeoutError:
        return name, SLOW, ""
    except MemoryError:
        return name, LARGE, ""
    except BaseException:
        return name, TRACE, traceback.format_exc()
    return name, how, ""


def _timed(step: Callable[[], Any]) -> Any:
    """What a step returns.

    Raises
    ------
    TimeoutError
        When it took more than its processor time; where it takes still more, the process is killed.
    """
    begun = time.process_time()
    resource.setrlimit(resource.RLIMIT_CPU, (int(begun) + SECONDS + 1, resource.RLIM_INFINITY))
    answer = step()
    if time.process_time() - begun > SECONDS:
        raise TimeoutError
    return answer


def _read(name: str, folder: Path) -> tuple[str, object]:
    try:
        return READ, KINDS[name].read(folder)
    except (ProblemsFound, NoPlan, CheckFailed):
        return REFUSED, None


def _planned(job: Job, folder: Path) -> str:
    """Plan a job that was read and write all that is printed; nothing but a part without a bar may prevent that."""
    try:
        plan = actions.plan(job, time_limit=1)
    except NoPlan:
        return NO_PLAN
    actions.write_plan(job, plan, folder)
    actions.print_labels(folder / "plan.json")
    return PLANNED


def batch(numbers: range, seed: int, sound: Path, kind: str) -> Iterator[tuple[int, str, str, str]]:
    """Cases in one forked process after another: one that is killed costs no case but the one it was at."""
    left = list(numbers)
    while left:
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            _work(left, seed, sound, kind, writing)
        os.close(writing)
        with os.fdopen(reading, "rb") as pipe:
            whole = pipe.read().decode("ascii").split("\n")[:-1]  # a killed one may leave half a line
        _, status = os.waitpid(child, 0)
        for line in whole:
            number, name, how, trace = json.loads(line)
            yield number, name, how, trace
        left = left[len(whole) :]
        if left:
            killed = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
            name = kind or list(KINDS)[left[0] % len(KINDS)]
            yield left.pop(0), name, SLOW if killed == signal.SIGXCPU else ABORT, f"killed by signal {killed}"


def _work(numbers: list[int], seed: int, sound: Path, kind: str, writing: int) -> None:
    faulthandler.disable()  # what killed it is in the signal
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 2)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    size = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (size + GIGABYTE,) * 2)
    with tempfile.TemporaryDirectory(dir=sound.parent) as place:
        for number in numbers:
            folder = Path(place) / str(number)
            name, how, trace = one_case(number, seed, sound, folder, kind)
            shutil.rmtree(folder, ignore_errors=True)
            os.write(writing, (json.dumps([number, name, how, trace]) + "\n").encode("ascii"))
    os._exit(0)


def run(
    first: int, cases: int, *, seed: int = 1, kind: str = "", processes: int = 2
) -> list[tuple[int, str, str, str]]:
    """Run cases in so many processes at a time."""
    with tempfile.TemporaryDirectory() as place:
        sound = sound_folder(Path(place) / "sound")
        waiting = [range(at, min(at + BATCH, first + cases)) for at in range(first, first + cases, BATCH)]
        if processes == 1 or len(waiting) == 1:
            return [ended for numbers in waiting for ended in batch(numbers, seed, sound, kind)]
        from concurrent.futures import ThreadPoolExecutor

        # Each thread only waits for the process it forked.
        with ThreadPoolExecutor(processes) as threads:
            return [
                ended for done in threads.map(lambda n: list(batch(n, seed, sound, kind)), waiting) for ended in done
            ]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=3000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kind", choices=KINDS, default="")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    ended = run(asked.first, asked.cases, seed=asked.seed, kind=asked.kind, processes=asked.processes)
    counts = Counter((name, how) for _, name, how, _ in ended)
    columns = (READ, PLANNED, NO_PLAN, REFUSED, *BAD)
    print(f"{'':20}" + "".join(f"{word:>11}" for word in columns))
    for name in dict.fromkeys(name for _, name, _, _ in ended):
        print(f"{name:20}" + "".join(f"{counts[name, how]:>11}" for how in columns))
    totals = Counter(how for _, _, how, _ in ended)
    print(f"{f'{len(ended)} cases':20}" + "".join(f"{totals[how]:>11}" for how in columns))
    for number, name, how, trace in ended:
        if how in BAD:
            print(f"\ncase {number} of seed {asked.seed}, {name}: {how}\n{trace}")
    return any(totals[how] for how in BAD) or len(ended) != asked.cases


if __name__ == "__main__":
    sys.exit(main())
