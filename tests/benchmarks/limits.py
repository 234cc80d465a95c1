"""Does a time limit hold at any size: jobs up to what is read, planned with a limit of a second.

``python tests/benchmarks/limits.py [NAME ...] [--seconds S]``

The exit code is 1 when a search ends later than a second after its limit, a plan fails its check, takes a GB or more,
or has a bound of nothing. On a busy machine the processor's seconds say more than those of the clock.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))

from cutplan.checking import check
from cutplan.model import Job, Merchant, Work
from cutplan.planning import plan_job
from cutplan.units import CURRENCY, exact_money_text
from tests import builders

LATE = 1.0
"""How long after its limit a search may end. [s]"""

MOST_MEGABYTES = 1000


def lengths(different: int, *, quantity: int = 1, offers: int = 1, set_up: int = 0) -> Job:
    """So many different lengths in tenths of a millimetre; ``set_up`` is the money for setting the saw."""
    draw = random.Random(different)
    wanted = draw.sample(range(1000, 40_000), different) if different < 39_000 else range(1000, 1000 + different)
    scale = 10 if different < 39_000 else 20
    parts = [builders.part(f"M{n}", quantity, f"{length / scale:.2f}") for n, length in enumerate(wanted)]
    stock = [builders.offer(f"P{n}", 6000 + 250 * n, 60 + 2.4 * n) for n in range(offers)]
    return builders.job(parts, stock, kerf=3, end_trim=10, safe_hold=120, work=Work(per_setup=set_up))


def merchants(number: int, *, cut_charge: int = 0) -> Job:
    """So many merchants with a delivery charge and four stock lengths each; where cuts are charged they cut to plan."""
    draw = random.Random(number)
    parts = [builders.part(f"M{n}", draw.randint(1, 9), draw.randint(200, 4000)) for n in range(40)]
    terms = [
        Merchant(
            name=f"Yard {n}",
            delivers=True,
            delivery=draw.randint(5, 90) * CURRENCY,
            cuts_to_plan=cut_charge > 0,
            cut_charge=n * cut_charge,
        )
        for n in range(number)
    ]
    stock = [
        builders.offer(f"P{n}-{length}", length, length * draw.randint(8, 12) / 1000, merchant=f"Yard {n}")
        for n in range(number)
        for length in (6000, 6500, 7500, 12_000)
    ]
    return builders.job(parts, stock, kerf=3, merchants=terms)


def groups(number: int, sellers: int = 1) -> Job:
    """So many sections with twelve lengths each, sold by one merchant or by several who charge for delivery."""
    draw = random.Random(number)
    parts, stock = [], []
    delivery = 90 * CURRENCY * (sellers > 1)
    terms = [Merchant(name=f"Yard {n}", delivers=True, delivery=delivery) for n in range(sellers)]
    for side in range(20, 20 + number):
        section = builders.square_tube(side)
        parts += [
            builders.part(f"M{side}-{n}", draw.randint(1, 9), draw.randint(200, 4000), section=section)
            for n in range(12)
        ]
        stock += [
            builders.offer(f"P{side}-{m}-{n}", 6000 + 1500 * n, 60 + 16 * n + m, section=section, merchant=f"Yard {m}")
            for m in range(sellers)
            for n in range(2)
        ]
    return builders.job(parts, stock, kerf=3, safe_hold=120, merchants=terms)


CASES: dict[str, Callable[[], Job]] = {
    "1,000 lengths": lambda: lengths(1000),
    "1,000 lengths from ten": lambda: lengths(1000, offers=10),
    "5,000 lengths": lambda: lengths(5000),
    "5,000 lengths from ten": lambda: lengths(5000, offers=10),
    "5,000 lengths with set-ups": lambda: lengths(5000, set_up=CURRENCY // 2),
    "20,000 lengths": lambda: lengths(20_000),
    "100,000 lengths": lambda: lengths(100_000),
    "100,000 parts": lambda: lengths(50, quantity=2000),
    "60 merchants": lambda: merchants(60),
    "60 merchants who cut": lambda: merchants(60, cut_charge=CURRENCY // 100),
    "8 merchants": lambda: merchants(8),
    "200 groups": lambda: groups(200),
    "200 groups from 8 merchants": lambda: groups(200, sellers=8),
}


def main(arguments: list[str] | None = None) -> int:
    """Run what is asked for, each in a process of its own; the return value is the exit code."""
    parser = argparse.ArgumentParser(prog="limits.py", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(CASES))
    parser.add_argument("--seconds", type=float, default=1.0, help="time limit")
    parser.add_argument("--alone", help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.alone:
        return measured(asked.alone, asked.seconds)
    command = [sys.executable, __file__, "--seconds", str(asked.seconds), "--alone"]
    return max(subprocess.run([*command, name], check=False).returncode for name in asked.names or CASES)


def measured(name: str, seconds: float) -> int:
    """Plan one job and say how it went; 1 when it did not hold to its limits."""
    job = CASES[name]()
    plan_job(lengths(3))  # what planning loads
    wall, cpu = time.perf_counter(), time.process_time()
    plan = plan_job(job, time_limit=seconds)
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    judged = time.perf_counter()
    failures = check(job, plan)
    judged = time.perf_counter() - judged
    bad = bool(failures) or cpu > seconds + LATE or megabytes >= MOST_MEGABYTES or (plan.bound <= 0 < plan.cost)
    print(
        f"{name}: {cpu:.1f} s CPU, {wall:.1f} s, {megabytes} MB, {exact_money_text(plan.cost)}, "
        f"possible saving {(plan.cost - plan.bound) / plan.cost:.2%}, {plan.status.value}, checked in {judged:.1f} s"
        f"{' *** TOO MUCH ***' * bad}",
        *failures[:3],
        flush=True,
    )
    return int(bad)


if __name__ == "__main__":
    sys.exit(main())
