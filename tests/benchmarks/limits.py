"""Does a time limit hold at any size: jobs up to what is read, planned with a limit of a second.

``python tests/benchmarks/limits.py [NAME ...] [--seconds S] [--share N]``

The exit code is 1 when a search ends later than a second after its limit, a plan fails its check, takes a GB or more,
or has a bound of nothing. On a busy machine the processor's seconds say more than those of the clock.

``--share 12`` is a machine of which planning has a twelfth of a processor: time goes by twelve times as fast as the
processor works, and the check belongs to what must be done a second after the limit.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))

from cutplan.checking import check
from cutplan.model import Job, Merchant, Work
from cutplan.planning import plan_job
from cutplan.solving import integer_master, listed_master, master
from cutplan.units import CURRENCY, exact_money_text
from tests import builders
from tests.benchmarks.instances import Mitres, shop_job

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


def shop(lengths: int, **other: Any) -> Job:
    """A made-up job of a workshop."""
    return shop_job(lengths, seed=1, number=1, **other).job


CASES: dict[str, Callable[[], Job]] = {
    "20 lengths": lambda: shop(20),
    "200 lengths": lambda: shop(200),
    "200 lengths, 10,000 parts": lambda: shop(200, pieces=10_000),
    "200 lengths for the carry": lambda: shop(200, carry=True),
    "200 lengths mitred for the carry": lambda: shop(200, carry=True, mitred=Mitres.ONE_ANGLE),
    "200 lengths mitred on a leg for the carry": lambda: shop(200, carry=True, mitred=Mitres.ONE_LEG),
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
    "40 groups": lambda: groups(40),
    "200 groups": lambda: groups(200),
    "200 groups from 8 merchants": lambda: groups(200, sellers=8),
}


def main(arguments: list[str] | None = None) -> int:
    """Run what is asked for, each in a process of its own; the return value is the exit code."""
    parser = argparse.ArgumentParser(prog="limits.py", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(CASES))
    parser.add_argument("--seconds", type=float, default=1.0, help="time limit")
    parser.add_argument("--share", type=int, default=1, help="how many share the processor")
    parser.add_argument("--alone", help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.alone:
        return (measured if asked.share == 1 else measured_shared)(asked.alone, asked.seconds, asked.share)
    command = [sys.executable, __file__, "--seconds", str(asked.seconds), "--share", str(asked.share), "--alone"]
    return max(subprocess.run([*command, name], check=False).returncode for name in asked.names or CASES)


@contextmanager
def shared(share: int) -> Iterator[Callable[[], float]]:
    """Let time go by so many times as fast as this process works; what is given tells how much went by. [s]"""
    begun = time.process_time()

    def passed() -> float:
        return share * (time.process_time() - begun)

    def slowed(owner: Any, name: str, place: int) -> Any:
        """A solver has a clock of its own, for which its limit is a share of what it is given."""
        solve = getattr(owner, name)

        def called(*given: Any, **named: Any) -> Any:
            return solve(*given[:place], given[place] / share, *given[place + 1 :], **named)

        return mock.patch.object(owner, name, called)

    with (
        mock.patch.object(time, "monotonic", passed),
        slowed(master, "solved", 1),
        slowed(listed_master, "solved", 1),
        slowed(integer_master._Program, "least", 4),
    ):
        yield passed


def measured_shared(name: str, seconds: float, share: int) -> int:
    """The same where planning has a share of the processor, the check with it."""
    job = CASES[name]()
    plan_job(lengths(3))
    with shared(share) as passed:
        plan = plan_job(job, time_limit=seconds, processes=0)
        searched = passed()
        failures = check(job, plan)
        judged = passed() - searched
    late = searched + judged > seconds + LATE
    print(
        f"{name}: {searched:.1f} s and {judged:.1f} s to check, {exact_money_text(plan.cost)}, "
        f"possible saving {(plan.cost - plan.bound) / plan.cost:.2%}, {plan.status.value}{' *** TOO LATE ***' * late}",
        *failures[:3],
        flush=True,
    )
    return int(late or bool(failures))


def measured(name: str, seconds: float, _: int = 1) -> int:
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
