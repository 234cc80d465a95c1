"""Leaves that tell bars apart by what they hold: do they cover their case, and what do numbers of bars cost at least?

The shares of a leaf are its sources at first; each split takes the bars that hold so many of a part, or of parts
laid alike, or whose left over is kept, from one share and makes them a new one. As every bar is in one share, what
holds for sources holds for shares too: a bar costs at least the margin of its share more than its parts are worth.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from cutplan.model import Group, Leaf, Listing, Part, Split

Run = tuple[int, int | None]
"""What one bar more costs, and for how many bars; None is for as many as one likes."""


@dataclass(frozen=True, slots=True)
class Share:
    """Bars of the source at ``position`` with at least and at most so many of parts that are laid alike.

    ``kept`` says whether their left over is kept and counts by its value, or counts nothing; None is either.
    """

    position: int
    least: tuple[tuple[Hashable, int], ...] = ()
    most: tuple[tuple[Hashable, int], ...] = ()
    kept: bool | None = None


@dataclass(slots=True)
class _Limits:
    position: int
    least: dict[Hashable, int] = field(default_factory=dict)
    most: dict[Hashable, int] = field(default_factory=dict)
    kept: bool | None = None

    def frozen(self) -> Share:
        return Share(self.position, tuple(self.least.items()), tuple(self.most.items()), self.kept)


def shares_of(parts: Sequence[Part], sources: int, splits: Sequence[Split]) -> tuple[Share, ...]:
    """The shares that splits leave of so many sources, the last made last."""
    shares = [_Limits(position) for position in range(sources)]
    for split in splits:
        divided = shares[split.share]
        made = replace(divided, least=dict(divided.least), most=dict(divided.most))
        shares.append(made)
        if split.kept:
            # Of bars told apart so before, one of the two has none, of which any margin holds.
            made.kept, divided.kept = True, False
            continue
        alike = parts[split.part].laid_alike
        made.least[alike] = max(split.copies, made.least.get(alike, 0))
        divided.most[alike] = min(split.copies - 1, divided.most.get(alike, split.copies))
    return tuple(share.frozen() for share in shares)


def split_failures(group: Group, number: int, leaf: Leaf) -> Iterator[str]:
    """What of the splits of a leaf says nothing."""
    for place, split in enumerate(leaf.splits):
        if not (0 <= split.share < len(leaf.ranges) + place and 0 <= split.part < len(group.parts)):
            yield f"leaf {number} splits a share or by a part that there is none of"
            return
        if split.kept and (split.part or split.copies):
            yield f"leaf {number} splits by what is kept and by a part"
            return
        if (split.copies < 1 and not split.kept) or not 0 <= split.low <= split.high:
            yield f"leaf {number} splits by {split.copies} copies in {split.low} to {split.high} bars"
            return


def listed_split_failures(number: int, leaf: Leaf, listing: Listing) -> Iterator[str]:
    """What of the splits of a leaf can be told neither of listed bars nor of those whose left over is kept.

    Where the latter are not listed.
    """
    before = leaf.splits[: listing.splits] if listing.splits >= 0 else ()
    if len(before) != listing.splits or (before and listing.kept) or not all(split.kept for split in before):
        yield f"the listing of leaf {number} says that it is made within {listing.splits} splits by what is kept"
    if listing.kept:
        return
    kept = {len(leaf.ranges) + place for place, split in enumerate(leaf.splits) if split.kept}
    for split, dual in zip(leaf.splits, leaf.split_duals, strict=True):
        if split.kept and dual:
            yield f"leaf {number} has a dual for a number of bars that are not listed"
        if split.kept and split.share >= len(leaf.ranges):
            yield f"leaf {number} tells apart by what is kept bars that are listed, or kept all"
        elif not split.kept and split.share in kept:
            yield f"leaf {number} tells apart by a part bars that are not listed"


def case_failure(group: Group, leaves: Sequence[tuple[int, Leaf]]) -> str | None:
    """Why leaves of the same ranges, each with its number, do not cover their case once; None when they do.

    No more bars can hold so many of a part than its quantity allows, nor are there more bars than pieces, so that
    numbers beyond need no leaf.
    """
    waiting = [(0, list(leaves))]
    while waiting:
        depth, beside = waiting.pop()
        ended = [number for number, leaf in beside if len(leaf.splits) == depth]
        if ended:
            if len(beside) > 1:
                other = next(number for number, _ in beside if number != ended[0])
                return f"leaves {ended[0]} and {other} of the proof overlap"
            continue
        heads = {(s.share, s.part, s.copies, s.kept) for s in (leaf.splits[depth] for _, leaf in beside)}
        if len(heads) > 1:
            return f"leaves {beside[0][0]} and {beside[-1][0]} of the proof split the same bars in two ways"
        _, part, copies, kept = heads.pop()
        by_number: dict[tuple[int, int], list[tuple[int, Leaf]]] = {}
        for number, leaf in beside:
            by_number.setdefault((leaf.splits[depth].low, leaf.splits[depth].high), []).append((number, leaf))
        wanted = 0
        for (low, high), within in sorted(by_number.items()):
            if low != wanted:
                return f"leaf {within[0][0]} of the proof does not go on where its neighbour ends, at {wanted} bars"
            wanted = high + 1
            waiting.append((depth + 1, within))
        alike = group.parts[part].laid_alike
        most = group.pieces
        if not kept:
            most = sum(one.quantity for one in group.parts if one.laid_alike == alike) // copies
        if wanted <= most:
            return f"the leaves beside leaf {beside[0][0]} of the proof end at {wanted - 1} of {most} bars"
    return None


def least_sum(ranges: Sequence[tuple[int, int]], splits: Sequence[Split], margins: Sequence[int | None]) -> int | None:
    """The least that bars of all shares come to at their margins; None when no numbers of bars satisfy the leaf.

    A share without a margin is one that no bar can be in.
    Within a share, bars may be swapped for each other, so that the least cost of n bars is convex in n: a number
    to begin with, its cost, and runs of bars that each cost no less than the one before.
    """
    begun: list[tuple[int, int, list[Run]] | None] = [
        (0, 0, [] if margin is None else [(margin, None)]) for margin in margins
    ]
    # From the last split back, so that both of its shares are summed up before what they were split from.
    for split in splits[::-1]:
        made = _cut_down(begun.pop(), split.low, split.high)
        rest = begun[split.share]
        if made is None or rest is None:
            begun[split.share] = None
        else:
            runs = sorted(made[2] + rest[2], key=lambda run: run[0])
            begun[split.share] = (made[0] + rest[0], made[1] + rest[1], runs)
    total = 0
    for some, (low, high) in zip(begun, ranges, strict=True):
        of_source = _cut_down(some, low, high)
        if of_source is None:
            return None
        total += of_source[1] + sum(cost * (most or 0) for cost, most in of_source[2] if cost < 0)
    return total


def _cut_down(some: tuple[int, int, list[Run]] | None, low: int, high: int) -> tuple[int, int, list[Run]] | None:
    """The same for ``low`` to ``high`` bars only; every run has an end then."""
    if some is None or some[0] > high:
        return None
    number, cost, runs = some
    left: list[Run] = []
    ahead = max(0, low - number)
    room = high - max(low, number)
    for one, most in runs:
        forced = ahead if most is None else min(most, ahead)
        ahead -= forced
        number += forced
        cost += one * forced
        free = room if most is None else min(most - forced, room)
        room -= free
        if free:
            left.append((one, free))
    return None if ahead else (number, cost, left)
