"""What is measured: records of published sets, and seeded jobs of a workshop, as jobs."""

from __future__ import annotations

import gzip
import itertools
import json
import os
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from pathlib import Path
from typing import Any

from cutplan.model import NO_WORK, SQUARE, EndCut, Heel, Job, Merchant, Part, Saw, Work, Workshop
from cutplan.sections.section import Family
from cutplan.units import CURRENCY, DEGREE, MM, Length, Money
from tests import builders

FOLDER = "CUTPLAN_BENCHMARKS"
"""Environment variable that names the folder of the published sets; their licences keep them out of the project."""

ENDING = ".jsonl.gz"

KERF = Fraction(1, 2)
"""Kerf of the second run, in the record's unit of length. Below 1, so that every piece stays longer than 0."""

OFFCUT_VALUE_PER_MM: Money = 5_000
CARRY: Length = 4_000 * MM
"""5.00 a metre: at most an offcut's book rate (half of 10.00), and below the dearest step between two stock
lengths, (117 - 76) / (12 - 7.5) = 9.11 a metre, so that no plan gains by buying more."""


class Mitres(Enum):
    """How half the parts of made-up jobs are mitred; the value is what such a set is called."""

    NONE = ""
    ONE_ANGLE = "half mitred"
    TWO_ANGLES = "half mitred at two angles"
    ONE_LEG = "half mitred on one leg of an angle"


@dataclass(frozen=True, kw_only=True)
class Instance:
    """One job to plan. ``lower`` and ``upper`` enclose its least cost where that is known; they are one at a proof."""

    set: str
    name: str
    job: Job
    lower: Money | None = None
    upper: Money | None = None


def find(name: str) -> Path | None:
    """A file of records by its path, or a set by its bare name in the folder of the sets; None when there is none."""
    path = Path(name)
    if path.is_file():
        return path
    folder = os.environ.get(FOLDER)
    if folder and path.name == name:
        path = Path(folder) / (name if name.endswith(ENDING) else name + ENDING)
        if path.is_file():
            return path
    return None


def read_set(path: Path, *, every: int = 1, kerf: Fraction = Fraction(0)) -> Iterator[Instance]:
    """Every n-th record of a file, the first one included."""
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        for number, line in enumerate(lines):
            if number % every == 0:
                yield instance_of(json.loads(line), kerf)


def instance_of(record: dict[str, Any], kerf: Fraction = Fraction(0)) -> Instance:
    """A record as a job.

    Parameters
    ----------
    record
        ``capacity``, or ``stocks`` of length, number available and price; ``items`` of length and number wanted;
        ``optimum``, or ``lower`` and ``upper`` where it is open. A unit of length is taken as 1 mm; a bar without
        a price costs 1.
    kerf
        The same job for a saw of that kerf: stock C - k and pieces l - k. n pieces with n - 1 cuts between them
        take sum(l - k) + (n - 1) k = sum(l) - k, which fits C - k exactly when sum(l) fits C. [mm]
    """
    stocks = record.get("stocks") or [[record["capacity"], None, 1]]
    offers = [
        builders.offer(f"P{number}", str(length - kerf), price, available=available)
        for number, (length, available, price) in enumerate(stocks, start=1)
    ]
    parts = [builders.part(f"L{length}", wanted, str(length - kerf)) for length, wanted in record["items"]]
    optimum = record["optimum"]
    lower, upper = (record["lower"], record["upper"]) if optimum is None else (optimum, optimum)
    return Instance(
        set=record["set"],
        name=record["name"],
        job=builders.job(parts, offers, kerf=str(kerf)),
        lower=lower * CURRENCY,
        upper=upper * CURRENCY,
    )


def shop_jobs(
    lengths: int,
    *,
    seed: int,
    count: int,
    offcut_value: bool = False,
    cut_charges: bool = False,
    mitred: Mitres = Mitres.NONE,
    carry: bool = False,
    pieces: int = 0,
) -> Iterator[Instance]:
    """Made-up jobs of a workshop; the n-th is the same for every ``count``, whatever else is counted."""
    counted = {"offcut_value": offcut_value, "cut_charges": cut_charges, "carry": carry}
    for number in range(1, count + 1):
        yield shop_job(lengths, seed=seed, number=number, mitred=mitred, pieces=pieces, **counted)


def shop_job(
    lengths: int,
    *,
    seed: int,
    number: int,
    offcut_value: bool = False,
    cut_charges: bool = False,
    mitred: Mitres = Mitres.NONE,
    carry: bool = False,
    pieces: int = 0,
) -> Instance:
    """One made-up job: prices, kerf, trims and hold as a workshop may have them (common practice, no source).

    With ``cut_charges`` the merchant cuts its bars to plan; a cut of an offcut, made in the workshop, counts for less.
    With ``carry`` nothing longer than 4 m is brought home, and the merchant cuts all lengths for that, at 2 a cut;
    parts are then no longer than 3.9 m.
    Where half the parts are ``mitred``, two in three of those are at both ends. Of each length there are one to five,
    or as many as it takes to so many ``pieces``, divided by chance.
    """
    draw = random.Random(f"{lengths} {seed} {number}")
    saw = Saw(
        kerf=builders.mm(draw.choice(["2.0", "2.5", "3.0", "3.5"])),
        end_trim=10 * MM,
        end_trim_includes_cut=True,
        safe_hold=120 * MM,
    )
    section = _ANGLE if mitred is Mitres.ONE_LEG else builders.square_tube()
    parts = [
        builders.part(f"S{place}", draw.randint(1, 5), length, section=section)
        for place, length in enumerate(draw.sample(range(150, 3901 if carry else 5801), lengths), start=1)
    ]
    if pieces:
        shares = random.Random(f"{pieces} of {lengths} {seed} {number}")
        up_to = [0, *sorted(shares.sample(range(1, pieces), lengths - 1)), pieces]
        parts = [replace(part, quantity=b - a) for part, (a, b) in zip(parts, itertools.pairwise(up_to), strict=True)]
    if mitred is not Mitres.NONE:
        parts = [_with_mitres(part, random.Random(f"mitred {part.mark} {seed} {number}"), mitred) for part in parts]
    offcuts = []
    for place in range(1, draw.randint(0, 6) + 1):
        length = draw.randint(400, 3500)
        book = Fraction(length * OFFCUT_VALUE_PER_MM, CURRENCY)
        ends = draw.choice(["sawn sawn", "sawn mill"])
        offcuts.append(builders.offcut(f"R{place}", length, str(book), ends, section=section))
    offers = [
        builders.offer(f"P{place}", length, price, section=section)
        for place, (length, price) in enumerate(((6000, 60), (7500, 76), (12000, 117)), start=1)
    ]
    value = ((Family.SHS, OFFCUT_VALUE_PER_MM),) if offcut_value else ()
    work: Work = NO_WORK
    merchants: tuple[Merchant, ...] = ()
    if cut_charges:
        work = Work(per_cut=CURRENCY // 2)
        merchants = (Merchant(name=offers[0].merchant, cuts_to_plan=True, cut_charge=3 * CURRENCY // 2),)
    longest = 0
    if carry:
        longest = CARRY
        merchants = (Merchant(name=offers[0].merchant, cuts_to_carry=True, carry_cut_charge=2 * CURRENCY),)
    return Instance(
        set=shop_set(
            lengths, offcut_value=offcut_value, cut_charges=cut_charges, mitred=mitred, carry=carry, pieces=pieces
        ),
        name=f"seed {seed} job {number}",
        job=builders.job(
            parts,
            offers,
            offcuts,
            at=Workshop(saw=saw, offcut_value_per_mm=value, work=work, merchants=merchants, longest_carry=longest),
        ),
    )


_ANGLE = builders.part_of("EA 50x50x5").section


def _with_mitres(part: Part, draw: random.Random, mitred: Mitres) -> Part:
    if draw.random() < 0.5:
        return part
    end = EndCut(angle=draw.choice([45, 30] if mitred is Mitres.TWO_ANGLES else [45]) * DEGREE)
    other = end if draw.random() < 2 / 3 else SQUARE
    part = replace(part, depth=part.section.height, end_a=end, end_b=other)
    if mitred is Mitres.ONE_LEG:
        # A frame of angle has its heel outside or inside, and a mitre at one end only is at either of them.
        part = replace(part, heel=draw.choice([Heel.LONG_POINT, Heel.SHORT_POINT]))
        part = replace(part, end_a=part.end_b, end_b=part.end_a) if draw.random() < 0.5 else part
    return part


def shop_set(
    lengths: int,
    *,
    offcut_value: bool,
    cut_charges: bool,
    mitred: Mitres = Mitres.NONE,
    carry: bool = False,
    pieces: int = 0,
) -> str:
    """What a set of made-up jobs is called."""
    named = (
        f"{pieces:,} pieces" * bool(pieces),
        "offcut value" * offcut_value,
        "cut charges" * cut_charges,
        mitred.value,
        "carry 4 m" * carry,
    )
    return ", ".join((f"shop {lengths} lengths", *(words for words in named if words)))
