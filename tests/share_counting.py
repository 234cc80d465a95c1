"""What numbers of bars of shares come to at least, by trying every number; and splits by a seed."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from itertools import product

from cutplan.model import Split

Ranges = Sequence[tuple[int, int]]


def some_splits(draw: random.Random, sources: int, demand: Sequence[int], number: int) -> tuple[Split, ...]:
    """Splits in turn, of any share made so far, with any range of bars; of one source at most once by what is kept."""
    splits: list[Split] = []
    kept_of = draw.choice([None, *range(sources)])
    for _ in range(number):
        if kept_of is not None and draw.random() < 0.5:
            low = draw.randint(0, 2)
            high = draw.randint(low, low + sum(demand))
            splits.append(Split(share=kept_of, part=0, copies=0, low=low, high=high, kept=True))
            kept_of = None
            continue
        part = draw.randrange(len(demand))
        copies = draw.randint(1, demand[part])
        low = draw.randint(0, demand[part] // copies)
        high = draw.randint(low, demand[part] // copies)
        share = draw.randrange(sources + len(splits))
        splits.append(Split(share=share, part=part, copies=copies, low=low, high=high))
    return tuple(splits)


def numbers_of_bars(ranges: Ranges, splits: Sequence[Split]) -> Iterator[tuple[int, ...]]:
    """Numbers of bars of every share left that keep all ranges."""
    source_of = list(range(len(ranges)))
    made_by: list[tuple[int, ...]] = [()] * len(ranges)
    for number, split in enumerate(splits):
        source_of.append(source_of[split.share])
        made_by.append((*made_by[split.share], number))
    for bars in product(*(range(ranges[source][1] + 1) for source in source_of)):
        of_source = [
            sum(n for n, s in zip(bars, source_of, strict=True) if s == source) for source in range(len(ranges))
        ]
        of_split = [sum(n for n, made in zip(bars, made_by, strict=True) if k in made) for k in range(len(splits))]
        keeps = all(low <= n <= high for n, (low, high) in zip(of_source, ranges, strict=True))
        if keeps and all(split.low <= n <= split.high for n, split in zip(of_split, splits, strict=True)):
            yield bars


def least_by_counting(ranges: Ranges, splits: Sequence[Split], costs: Sequence[int | None]) -> int | None:
    """The least sum of so much a bar of each share; of a share without a cost there is no bar."""
    return min(
        (
            sum((cost or 0) * n for cost, n in zip(costs, bars, strict=True))
            for bars in numbers_of_bars(ranges, splits)
            if not any(n and cost is None for cost, n in zip(costs, bars, strict=True))
        ),
        default=None,
    )


def some_sum(seed: int) -> tuple[Ranges, tuple[Split, ...], list[int | None]]:
    """Ranges of one or two sources, up to three splits, and what a bar of each share costs."""
    draw = random.Random(seed)
    ranges = []
    for _ in range(draw.randint(1, 2)):
        low = draw.choice([0, 0, draw.randint(0, 3)])
        ranges.append((low, draw.randint(low, 4)))
    splits = some_splits(draw, len(ranges), [4, 3, 1], draw.randint(0, 3))
    costs = [draw.choice([None, *range(-4, 6)]) for _ in range(len(ranges) + len(splits))]
    return ranges, splits, costs
