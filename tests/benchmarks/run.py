"""Plan published sets and made-up shop jobs, compare with what is known, and keep the figures.

``python tests/benchmarks/run.py FILE.jsonl.gz ... --seconds S --out reports/benchmarks.csv``

The exit code is 1 when a plan contradicts a published value or its own check, 130 when interrupted.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))

from cutplan import actions
from cutplan.checking import check
from cutplan.model import Job
from cutplan.planning import plan_job
from cutplan.planning.scenarios import without_shared_mitres
from cutplan.problems import NoPlan, Refused
from cutplan.solving import Parameters, read_parameters
from cutplan.units import Money
from tests import builders
from tests.benchmarks import record, versus
from tests.benchmarks.instances import ENDING, FOLDER, KERF, Instance, Mitres, find, read_set, shop_jobs, shop_set

DONE, FAULT, INTERRUPTED = 0, 1, 130
SHOP_LENGTHS = (10, 20, 40, 60, 200, 1000)
MITRED = {"one": Mitres.ONE_ANGLE, "two": Mitres.TWO_ANGLES, "leg": Mitres.ONE_LEG}


@dataclass(frozen=True)
class Batch:
    """One set under one name, its instances made when asked for."""

    name: str
    note: str
    instances: Callable[[], Iterator[Instance]]


def main(arguments: list[str] | None = None) -> int:
    """Run what is asked for; the return value is the exit code."""
    parser = _parser()
    asked = parser.parse_args(arguments)
    if not asked.sets and asked.shop is None:
        parser.error("name a file of records, a set, or --shop")
    if asked.out and not record.fits(asked.out):
        parser.error(f"--out {asked.out}: no folder for it, or a csv with other headings")
    surroundings = record.surroundings()
    _warm_up()
    code = DONE
    for batch in _batches(asked):
        results, races, saved = [], [], []
        try:
            for instance in batch.instances():
                result = measured(instance, asked.seconds, asked.parameters)
                if result.stopped_by == "user":
                    raise KeyboardInterrupt
                results.append(result)
                print(f"  {batch.name}: {record.line(result)}", file=sys.stderr, flush=True)
                for fault in result.faults:
                    code = FAULT
                    print(f"*** FAULT *** {batch.name} {instance.name}: {fault}", flush=True)
                if asked.apart and result.cost is not None:
                    saved.append(_saved(instance.job, result.cost, asked.seconds))
                if asked.versus and result.cost is not None:
                    races.append(versus.raced(instance.job, result))
                    code = max(code, FAULT if _beaten(batch, races[-1]) else DONE)
        except KeyboardInterrupt:
            if results:
                print(record.block(record.summed(batch.name, results)))
            print("interrupted; nothing is recorded of this set")
            return INTERRUPTED
        if not results:
            continue
        summary = record.summed(batch.name, results)
        print(record.block(summary), flush=True)
        note = batch.note
        if races:
            print(versus.block(races), flush=True)
            note = "; ".join(text for text in (note, versus.note(races)) if text)
        if saved:
            told = f"sharing cuts saves {sum(saved) / len(saved):.2f} % mean, {max(saved):.2f} % largest"
            print(f"  {told}", flush=True)
            note = "; ".join(text for text in (note, told) if text)
        if asked.out:
            record.append(asked.out, record.row(summary, surroundings, seconds=asked.seconds, note=note))
    return code


def measured(instance: Instance, seconds: float, parameters: Parameters | None = None) -> record.Result:
    """Plan one instance as ``cutplan plan`` does and judge the plan, the judging not timed."""
    cpu, wall = _cpu(), time.perf_counter()
    try:
        plan = plan_job(instance.job, time_limit=seconds, parameters=parameters)
    except KeyboardInterrupt:
        raise
    except NoPlan as none:
        return _without_plan(instance, str(none), cpu, wall)
    except Exception:  # one broken instance must not cost the figures of all others
        return _without_plan(instance, traceback.format_exc(), cpu, wall)
    cpu, wall = _cpu() - cpu, time.perf_counter() - wall
    return record.judged(instance, plan, failures=check(instance.job, plan), cpu=cpu, wall=wall)


def _saved(job: Job, cost: Money, seconds: float) -> float:
    """What plans save in which mitres share cuts, in percent of the cost of one in which they do not; not timed."""
    apart = plan_job(without_shared_mitres(job).job, time_limit=seconds)
    return 100 * (apart.cost - cost) / max(1, apart.cost)


def _without_plan(instance: Instance, why: str, cpu: float, wall: float) -> record.Result:
    return record.Result(
        name=instance.name, cpu=_cpu() - cpu, wall=time.perf_counter() - wall, faults=(f"no plan: {why}",)
    )


def _cpu() -> float:
    """Processor time so far of this process and of those it waited for. [s]"""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def _warm_up() -> None:
    """Load what planning and checking load, so that the first instance is measured as the others are."""
    job: Job = builders.job([builders.part("A", 3, 400), builders.part("B", 2, 300)], [builders.offer("P1", 1000, 1)])
    check(job, plan_job(job))


def _beaten(batch: Batch, race: versus.Race) -> bool:
    """Tell loudly when another model found a cheaper plan than one that was called proven."""
    for name, cost in race.cheaper.items():
        kind = "FAULT" if race.proven else "WORSE"
        print(f"*** {kind} *** {batch.name} {race.name}: {name} found a cheaper plan, {cost}", flush=True)
    return race.proven and bool(race.cheaper)


def _batches(asked: argparse.Namespace) -> Iterator[Batch]:
    every = "" if asked.every == 1 else f"one in {asked.every}"
    for text in asked.sets:
        path = find(text)
        if path is None:
            print(f"skipped: {text} is no file here, nor a set in the folder that {FOLDER} names", flush=True)
            continue
        name = path.name.removesuffix(ENDING)
        kerfs = (Fraction(0), KERF) if asked.with_kerf else (Fraction(0),)
        for kerf in kerfs:
            title = f"{name}, kerf {float(kerf):g}" if kerf else name
            yield Batch(title, every, partial(read_set, path, every=asked.every, kerf=kerf))
    if asked.shop is not None:
        counted = {
            "offcut_value": asked.offcut_value,
            "cut_charges": asked.cut_charges,
            "mitred": MITRED.get(asked.mitred, Mitres.NONE),
            "carry": asked.carry,
            "pieces": asked.pieces,
        }
        make = partial(shop_jobs, asked.shop, seed=asked.seed, count=asked.count, **counted)
        yield Batch(shop_set(asked.shop, **counted), f"seed {asked.seed}", make)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="run.py", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("sets", nargs="*", metavar="FILE", help=f"*{ENDING}, or the name of a set in ${FOLDER}")
    parser.add_argument("--seconds", type=float, default=actions.TIME_LIMIT, help="time limit per job")
    parser.add_argument(
        "--parameters", type=_parameters, metavar="FILE", help="TOML file of figures that steer the search"
    )
    parser.add_argument("--out", type=Path, help="csv that a row per set is added to")
    parser.add_argument("--every", type=_positive, default=1, metavar="N", help="take one record in N")
    parser.add_argument("--with-kerf", action="store_true", help=f"once more with a kerf of {float(KERF):g} mm")
    parser.add_argument("--shop", type=int, choices=SHOP_LENGTHS, help="made-up jobs of so many distinct lengths")
    parser.add_argument("--seed", type=int, default=1, help="which made-up jobs")
    parser.add_argument("--count", type=_positive, default=10, help="how many made-up jobs")
    parser.add_argument("--offcut-value", action="store_true", help="made-up jobs: kept left overs are worth money")
    parser.add_argument("--cut-charges", action="store_true", help="made-up jobs: cuts cost money, the merchant's more")
    parser.add_argument(
        "--mitred", nargs="?", const="one", choices=tuple(MITRED), help="half the parts, at one angle if not said"
    )
    parser.add_argument("--carry", action="store_true", help="made-up jobs: lengths are cut to be carried, 4 m at most")
    parser.add_argument(
        "--pieces",
        type=_positive,
        default=0,
        metavar="N",
        help="made-up jobs: so many parts, not one to five of a length",
    )
    parser.add_argument("--apart", action="store_true", help="plan each once more with no cuts shared by mitres")
    parser.add_argument("--versus", action="store_true", help="race textbook models to the same cost")
    return parser


def _parameters(text: str) -> Parameters:
    try:
        return read_parameters(Path(text))
    except (OSError, Refused) as wrong:
        raise argparse.ArgumentTypeError(str(wrong)) from wrong


def _positive(text: str) -> int:
    number = int(text)
    if number < 1:
        raise argparse.ArgumentTypeError("a whole number from 1 up")
    return number


if __name__ == "__main__":
    sys.exit(main())
