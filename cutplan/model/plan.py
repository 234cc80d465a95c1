"""A Plan: every bar cut, what becomes of each left over, what it costs and how that is known.

Lengths in nanometres, money in millionths of the currency. Totals are computed,
never stored.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from typing import Annotated

from cutplan.fields import (
    ANGLE,
    COST,
    COUNT,
    MONEY,
    NAME,
    PAIR,
    POSITIVE_LENGTH,
    SIGNED_LENGTH,
    SIGNED_MONEY,
    WHOLE,
    YES_OR_NO,
    place_in,
    said,
)
from cutplan.model.offcut import EndState
from cutplan.model.placing import Way
from cutplan.units import Angle, Length, Mass, Money


class Held(Enum):
    """Which side of a cut is clamped while it is made."""

    BAR = "bar"
    PART = "part"
    NOT_CUT = "not cut"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One part in its place on a bar, and what the saw takes after it.

    Parameters
    ----------
    mark, copy
        Part, and which of its pieces this is, counted from 1 over the whole plan.
    start, end
        Running dimensions from START to the part's extreme points. [nm]
    angle_a, angle_b
        End angles as placed: A is nearer START.
    kerf
        What the saw takes after ``end``, up to the next part: the wider of the kerfs of the two ends that meet there,
        each kerf / cos of its angle; of a shared cut what that takes; after the last part its own, or what is left.
    held
        Side clamped during the cut at ``end``.
    turn
        True when that side can only be clamped by turning the bar end for end.
    turned, rolled
        How the part lies, where end A is not towards START as listed; see :class:`cutplan.model.placing.Way`.
    shared
        True when the cut at ``end`` is that of the next part's near end too: that part starts one kerf after ``end``,
        less what the two mitres reach into one another.
    """

    mark: Annotated[str, NAME]
    copy: Annotated[int, WHOLE("which piece of the part, from 1")]
    start: Annotated[Length, SIGNED_LENGTH("running dimension from START in mm")]
    end: Annotated[Length, SIGNED_LENGTH("running dimension from START in mm")]
    angle_a: Annotated[Angle, ANGLE("end nearer START, degrees from square")] = 0
    angle_b: Annotated[Angle, ANGLE("far end, degrees from square")] = 0
    kerf: Annotated[Length, SIGNED_LENGTH("what the cut takes after the part, in mm")]
    held: Held
    turn: Annotated[bool, said("must the bar be turned end for end to hold it")] = False
    turned: Annotated[bool, said("does end B lie towards START", rare=True)] = False
    rolled: Annotated[int, COUNT("quarter turns clockwise that the part is rolled by, seen from START", rare=True)] = 0
    shared: Annotated[bool, said("is the cut after it the next part's too", rare=True)] = False

    @property
    def way(self) -> Way:
        """How the part lies."""
        return Way(self.turned, self.rolled)


def nested_in(cuts: Sequence[Cut]) -> Length:
    """By how much parts reach into one another at the cuts that they share. [nm]"""
    return sum(cut.end + cut.kerf - after.start for cut, after in pairwise(cuts) if cut.shared)


class Fate(Enum):
    """What becomes of a left over."""

    KEEP = "keep"
    SCRAP = "scrap"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """What is left of a bar after its last part; ``start`` equals ``end`` when nothing is.

    The end nearer START is sawn; ``far_end`` says how the other end is. A mill
    end stays on: it is trimmed only when the offcut is used. ``mark`` is the one
    reserved for a left over to keep; blank where no rack gives marks.
    """

    start: Annotated[Length, SIGNED_LENGTH("mm from START")]
    end: Annotated[Length, SIGNED_LENGTH("mm from START")]
    far_end: EndState
    fate: Fate
    value: Annotated[Money, SIGNED_MONEY("value of a kept left over")] = 0
    mark: Annotated[str, said("mark reserved for it on the rack; blank where none is")] = ""

    @property
    def length(self) -> Length:
        """[nm]"""
        return self.end - self.start


def strokes(cuts: Sequence[Cut], *, start_trim: Length, length: Length, on_slant: bool = False) -> int:
    """How many strokes of the saw a bar takes; what cuts are charged and counted by.

    START is squared where it is trimmed, unless a mitre comes first; that takes none where it lies ``on_slant``, the
    slanted end of the piece. Each end of a part takes a stroke, but two square
    ends that meet at one kerf take one together, as do mitres that share a cut, and a square end that is flush with the
    end of the bar takes none.

    Parameters
    ----------
    cuts
        The parts in their places, at least one.
    start_trim
        What is taken off START. [nm]
    length
        Of the bar. [nm]
    """
    first, last = cuts[0], cuts[-1]
    parted = sum([2 if (one.angle_b or other.angle_a) and not one.shared else 1 for one, other in pairwise(cuts)])
    begun = not on_slant and (start_trim > 0 or first.angle_a > 0)
    return int(begun) + parted + int(last.angle_b > 0 or last.end < length)


class SourceKind(Enum):
    """Where a bar comes from."""

    BOUGHT = "bought"
    OFFCUT = "offcut"


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceOf:
    """Which piece a bar is of a length that its merchant cuts so that it can be carried.

    ``ordered`` are the lengths that its pieces are ordered by, in the order of cutting; the last is what is left.
    Pieces of lengths cut alike are alike, so that nothing says which lie in one length. [nm]
    """

    ordered: Annotated[
        tuple[Annotated[Length, POSITIVE_LENGTH], ...], said("what the pieces are ordered by, in the order of cutting")
    ]
    number: Annotated[int, WHOLE("which of them this bar is, from 1")]

    def __post_init__(self) -> None:
        if not 1 <= self.number <= len(self.ordered):
            raise ValueError("a piece is one of those that its length is cut into")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutBar:
    """One bar and the sequence of parts cut from it, START first.

    Parameters
    ----------
    number
        Counted from 1 over the whole plan, in cutting order.
    source
        Offer id or offcut mark.
    length
        Length counted on, or the offcut's length. [nm]
    start_trim, far_trim
        What is taken off, or kept clear of, at START and at the far end; 0 for a sawn end. [nm]
    starts_on_slant
        True where the first part begins on the slanted end of a piece from the rack, at its long point, with no cut.
    cost
        Price or book value and what work counts for, less the value of a kept left over. Milligrams in a group
        planned by mass.
    slack
        By how much the parts could grow in all before the set no longer fits. [nm]
    piece_of
        Where the bar is a piece of a length that the merchant cuts for the carry; the first of them bears the price
        of the length, and one of them may be left whole, with no cut in it.
    """

    number: Annotated[int, WHOLE("from 1 over the whole plan")]
    kind: SourceKind
    source: Annotated[str, said("offer id or offcut mark")]
    length: Annotated[Length, SIGNED_LENGTH("length counted on in mm")]
    start_trim: Annotated[Length, SIGNED_LENGTH]
    far_trim: Annotated[Length, SIGNED_LENGTH]
    starts_on_slant: Annotated[
        bool, said("does the first part begin on the slanted end of the piece, with no cut there", rare=True)
    ] = False
    piece_of: Annotated[
        PieceOf | None, said("which piece of a length that the merchant cuts for the carry", rare=True)
    ] = None
    cuts: Annotated[tuple[Cut, ...], said("cuts in order; none only in a piece of a length that is left whole")]
    drop: Drop
    cost: Annotated[int, COST("price or book value less the value of a kept left over")]
    slack: Annotated[Length, SIGNED_LENGTH("by how much the parts could grow in all, in mm")]

    def __post_init__(self) -> None:
        if not self.cuts and self.piece_of is None:
            raise ValueError(f"bar {self.number} holds no part")

    @property
    def buys(self) -> bool:
        """Does the bar stand for a length that is bought? Of the pieces of one only the first does."""
        return self.kind is SourceKind.BOUGHT and (self.piece_of is None or self.piece_of.number == 1)

    @property
    def strokes(self) -> int:
        """See :func:`strokes`; none in a piece that is left whole."""
        if not self.cuts:
            return 0
        on_slant = self.starts_on_slant
        return strokes(self.cuts, start_trim=self.start_trim, length=self.length, on_slant=on_slant)

    @property
    def nested(self) -> Length:
        """See :func:`nested_in`."""
        return nested_in(self.cuts)


class Status(Enum):
    """How cheapest is known."""

    RECHECKED = "proven, rechecked"
    BY_SEARCH = "proven by search"
    NOT_PROVEN = "not proven"


class Goal(Enum):
    """What was made as small as possible."""

    MONEY = "money"
    MASS = "bought mass"


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Bars told apart by how many of a part they hold, or by whether their left over is kept.

    Before any split the shares are the sources, in their order. A split takes from share ``share`` the bars with
    ``copies`` or more of the part at place ``part`` of the group, and of parts cut alike, and makes them a new
    share, the last; in the case at hand there are ``low`` to ``high`` of them. One by what is ``kept`` takes those
    whose left over is kept; it names no part, both numbers are 0.
    """

    share: Annotated[int, WHOLE("number of the share that is split, from 0")]
    part: Annotated[int, WHOLE("place of the part among the duals, from 0; parts cut alike count with it")]
    copies: Annotated[int, WHOLE("least copies on a bar of the new share")]
    low: Annotated[int, place_in("bars", 0)]
    high: Annotated[int, place_in("bars", 1)]
    kept: Annotated[bool, YES_OR_NO("the new share has the bars whose left over is kept, of any parts", rare=True)] = (
        False
    )

    @property
    def bars(self) -> Annotated[tuple[int, int], PAIR("least and most bars of the new share when it is made")]:
        """Least and most bars of the new share."""
        return self.low, self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """Which bars a plan of a case for less than ``below`` can be made of: those not too dear by these duals.

    Bars whose left over is ``kept`` are listed too, or else may hold anything. Duals and what keeping a left over is
    charged are as in a leaf. They hold for all bars of the case, or of what the first ``splits`` of the leaf leave.
    """

    duals: Annotated[tuple[Annotated[int, WHOLE], ...], said("worth of one piece of each part, as in the leaf")]
    keep_dual: Annotated[int, WHOLE("charge for keeping one left over, in the unit of the duals")] = 0
    below: Annotated[int, COST("plans for less are made of the bars listed")]
    kept: Annotated[bool, YES_OR_NO("bars whose left over is kept are listed too; else they may hold anything")] = True
    splits: Annotated[int, WHOLE("how many of the leaf's first splits, by what is kept, the duals hold within")] = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One case of the proof: count ranges of the sources, splits of their bars if any, and integer duals.

    Parameters
    ----------
    ranges
        (least, most) bars of each source of the group, in the order of ``GroupPlan.sources``.
    splits
        In turn. Leaves of the same ranges and splits but for the last number of bars together make one case.
    duals
        Worth of one piece of each part, in 1/denominator of a cost unit; not negative.
    keep_dual
        What keeping one left over is charged where their number is limited, in the same unit; not negative.
    listing
        Where the duals hold for bars that are listed alone; others are in no plan for less than it says. A split then
        takes bars from no share: those of the new one are in the one that it is split from too. Where bars whose left
        over is kept are not listed, a split by what is kept is of a source, and one by a part is about other bars. So
        all leaves of a case have a listing, or none; with it these bars are listed in all, or in none.
    split_duals
        With a listing, what one more bar in the new share of each split is worth, in the unit of the duals; nothing if
        such bars are not listed.
    """

    ranges: Annotated[
        tuple[Annotated[tuple[int, int], PAIR("least and most bars of one source")], ...],
        said("one pair for each source of the proof"),
    ]
    duals: Annotated[
        tuple[Annotated[int, WHOLE], ...],
        said("worth of one piece of each part, in 1/denominator of a millionth of the cost unit; may exceed 2^53"),
    ]
    keep_dual: Annotated[int, WHOLE("charge for keeping one left over, in the unit of the duals")] = 0
    splits: Annotated[tuple[Split, ...], said("in turn; before them the shares are the sources, by number from 0")] = ()
    listing: Annotated[
        Listing | None,
        said(
            "which bars the duals hold for, where not for all; a new share's bars stay in that which is split",
            rare=True,
        ),
    ] = None
    split_duals: Annotated[
        tuple[Annotated[int, WHOLE], ...],
        said("worth of one more bar in the new share of each split, with a listing", rare=True),
    ] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What is known about the least cost of one group with one set of sources allowed.

    ``bound`` is a cost that no plan can beat; for RECHECKED and for the bound of
    NOT_PROVEN it is the least over ``leaves``, whose ranges together cover every
    case. ``sources`` lists offer ids, then offcut marks, in the order of the
    ranges; ``step`` is the working step that the duals were checked at.
    ``stopped_by`` is blank when the search ended by itself.
    """

    sources: Annotated[tuple[str, ...], said("offer ids, then all offcut marks of the group")]
    status: Status
    denominator: Annotated[int, WHOLE("of the duals")]
    step: Annotated[Length, POSITIVE_LENGTH("working step in mm: w is rounded down to it")]
    bound: Annotated[int, COST("no plan costs less")]
    stopped_by: Annotated[str, said("which limit ended the search; blank when it ended by itself")] = ""
    rounds: Annotated[int, COUNT] = 0
    patterns: Annotated[int, COUNT] = 0
    nodes: Annotated[int, COUNT] = 0
    leaves: Annotated[tuple[Leaf, ...], said("cases whose ranges are disjoint and together cover all counts of bars")]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupPlan:
    """The bars of one group, and its proof with the chosen merchants' offers."""

    title: str
    goal: Goal
    bars: tuple[CutBar, ...]
    proof: Proof


@dataclass(frozen=True, slots=True, kw_only=True)
class Multiplier:
    """How much a merchant's bar prices count for in the proofs of a case: numerator / denominator, from 0 to 1.

    The rest, 1 less that, is what the minimum order counts for.
    """

    merchant: str
    numerator: Annotated[int, COUNT]
    denominator: Annotated[int, COUNT]


@dataclass(frozen=True, slots=True, kw_only=True)
class MerchantCase:
    """What buying from exactly these charging merchants costs at least.

    ``merchants`` are those with a delivery charge or a minimum order that are
    bought from, ``delivered_free`` those of them that reach the sum from which
    on they deliver free, ``fetched`` those whose order is fetched where it may
    be delivered too; merchants without charges are open in every case. Of those
    ``carry_uncharged`` no cut for the carry counts in the proofs; of others who make
    some free each counts, and what free ones save at most is taken off. With
    ``and_more`` the case stands for every larger set of them too. ``proofs``
    bound every money group, in group order; they may allow more sources than
    the case does, never fewer. A bar price counts in them by the merchant's
    multiplier, rounded down; it is 1 for merchants without one. ``by_search``
    tells that the bound was shown by a search over all groups, where the proofs
    give less; ``stopped_by`` what kept the case from being closed, else blank.
    """

    merchants: Annotated[
        tuple[str, ...], said("merchants with a delivery charge or minimum order that are bought from")
    ]
    delivered_free: Annotated[
        tuple[str, ...], said("those of them whose bars come to the sum from which on delivery is free")
    ] = ()
    fetched: Annotated[
        tuple[str, ...], said("those of them whose order is fetched, where it may be delivered too", rare=True)
    ] = ()
    carry_uncharged: Annotated[
        tuple[str, ...],
        said("merchants who make some cuts for the carry free, and none of whose counts in the proofs", rare=True),
    ] = ()
    and_more: Annotated[bool, said("true when it stands for every larger set too")] = False
    multipliers: Annotated[
        tuple[Multiplier, ...],
        said(
            "merchants whose bar prices count in the proofs by less than 1; the rest is what their minimum orders "
            "count for"
        ),
    ] = ()
    charges: Annotated[Money, MONEY("their deliveries, and trips to them at least")]
    bound: Annotated[Money, SIGNED_MONEY]
    by_search: Annotated[bool, said("true when the bound was shown by a search over all groups, not by the proofs")] = (
        False
    )
    stopped_by: Annotated[str, said("what kept the case from being closed; blank when it was")] = ""
    proofs: Annotated[tuple[Proof, ...], said("one for each group planned by money, in group order")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The answer to a Job.

    ``status`` speaks of the money of all priced groups together, delivery and
    minimum orders included; ``bound`` and ``cost`` are that money.
    ``if_delivered`` is the plan of the same job with no length too long to
    carry, where both are proven and that one is cheaper or lighter. ``fetched``
    are the merchants whose order is fetched, of those who might deliver it.
    """

    job_name: str
    groups: tuple[GroupPlan, ...]
    cases: tuple[MerchantCase, ...]
    status: Status
    bound: Money
    cost: Money
    if_delivered: Plan | None = None
    stopped_by: str = ""
    fetched: tuple[str, ...] = ()

    @property
    def bars(self) -> Iterator[CutBar]:
        """Every bar, group by group."""
        return (bar for group in self.groups for bar in group.bars)

    @property
    def possible_saving(self) -> Money:
        """Money that is not excluded: 0 when proven."""
        return 0 if self.status is not Status.NOT_PROVEN else self.cost - self.bound

    @property
    def money_forgone(self) -> Money:
        """What the carry costs, charges of merchants counted: 0 unless it is proven."""
        other = self.if_delivered
        if other is None or Status.NOT_PROVEN in (self.status, other.status):
            return 0
        return max(0, self.cost - other.cost)

    @property
    def mass_forgone(self) -> dict[str, Mass]:
        """What the carry costs in bought mass, by the titles of groups planned by mass: those where it is proven."""
        found = {}
        for group, other in zip(self.groups, self.if_delivered.groups if self.if_delivered else (), strict=False):
            proven = Status.NOT_PROVEN not in (group.proof.status, other.proof.status)
            saving = sum(bar.cost for bar in group.bars) - sum(bar.cost for bar in other.bars)
            if group.goal is Goal.MASS and proven and saving > 0:
                found[group.title] = saving
        return found
