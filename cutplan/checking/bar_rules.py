"""Can every bar be cut as the plan says, and does it hold what the job asks for?

Each bar is laid out anew from its source and the marks in its cuts, and
compared figure by figure.
"""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from itertools import pairwise
from operator import attrgetter, eq

from cutplan.checking.carry_pieces import bar_source, piece_failures, whole_faults
from cutplan.checking.solids import face_faults, gaps_of, kerfs_of, lying_faults
from cutplan.checking.sources import (
    Source,
    at_mm,
    at_saw_of,
    cost_text,
    goal_of,
    keep_length,
)
from cutplan.model import (
    Clamp,
    Cut,
    CutBar,
    Earlier,
    Fate,
    Goal,
    Group,
    GroupPlan,
    Held,
    Job,
    Part,
    PieceOf,
    Plan,
    SourceKind,
    serves,
)
from cutplan.units import MM, Angle, Length

Say = Callable[[str], None]


def numbering_failures(job: Job, plan: Plan) -> list[str]:
    """Bars are numbered 1, 2, 3 ... over the whole plan, in order.

    In the rest of an earlier plan they are numbered on from it, and bars that stay stand first in their group with the
    numbers they have.
    """
    given = 0 if job.earlier is None else job.earlier.bars
    staying = set() if job.earlier is None else set(job.earlier.stay)
    failures = []
    expected = given + 1
    for planned in plan.groups:
        before = 0
        for bar in planned.bars:
            if bar.number in staying and bar.number > before:
                staying.remove(bar.number)
                before = bar.number
                continue
            before = given
            if bar.number != expected:
                failures.append(f"bar {bar.number} stands where bar {expected} belongs")
            expected += 1
    return failures + [f"bar {number} is said to stay, and is not in the plan" for number in sorted(staying)]


def mark_failures(plan: Plan) -> list[str]:
    """A mark is reserved for one left over."""
    used = Counter(bar.drop.mark for bar in plan.bars if bar.drop.mark)
    return [f"the mark {mark} is reserved for {count} left overs" for mark, count in used.items() if count > 1]


def bar_failures(job: Job, group: Group, planned: GroupPlan) -> list[str]:
    """What is wrong with the bars of one group.

    Parameters
    ----------
    job, group
        What is asked for.
    planned
        The same group in the plan.

    Returns
    -------
    list of str
        Sentences that name group, bar, part and figures; empty when the bars hold.
    """
    job, goal = at_saw_of(job, group), goal_of(group)
    most_of: dict[tuple[SourceKind, str], int | None] = {}
    known: dict[tuple[SourceKind, str, PieceOf | None], tuple[Source | None, Sequence[str]]] = {}
    parts = {part.mark: part for part in group.parts}
    offcuts = {offcut.mark: offcut for offcut in group.offcuts}
    failures: list[str] = []

    kept = sum(bar.drop.fate is Fate.KEEP for bar in planned.bars)
    most = job.workshop.most_kept
    if most is not None and kept > most:
        failures.append(f"{group.title}: {kept} left overs are kept, the workshop keeps at most {most}")

    sound: CutBar | None = None
    for bar in planned.bars:
        if sound is not None and _is_cut_as(bar, sound):
            continue
        before = len(failures)

        def say(text: str, bar: CutBar = bar) -> None:
            failures.append(f"{group.title}: bar {bar.number}{text}")

        what_of = (bar.kind, bar.source, bar.piece_of)
        if what_of not in known:
            known[what_of] = bar_source(job, group, goal, bar)
        source, cut_wrong = known[what_of]
        if source is None:
            what = "offer" if bar.kind is SourceKind.BOUGHT else "offcut"
            say(f": {bar.source} is no {what} that serves this group")
            continue
        most_of[bar.kind, bar.source] = source.most
        for text in cut_wrong:
            say(text)
        piece = offcuts.get(bar.source) if bar.kind is SourceKind.OFFCUT else None
        if bar.starts_on_slant:
            if piece is None or not piece.angle_a:
                say(f": is said to start on a slanted end, {bar.source} has none")
            source = replace(source, start_trim=0)
        _check_source(bar, source, say)
        if piece is not None and piece.angle_a:
            for text in face_faults(bar, parts, piece, job.workshop.saw):
                say(text)
        _check_layout(job, group, bar, source, parts, kept == most, say)
        if len(failures) == before:
            sound = bar
    failures += [f"{group.title}: {text}" for text in piece_failures(planned.bars)]
    used = Counter((bar.kind, bar.source) for bar in planned.bars if bar.piece_of is None or bar.piece_of.number == 1)
    for (kind, name), count in used.items():
        there = most_of.get((kind, name))
        if there is not None and count > there:
            noun = "offcut" if kind is SourceKind.OFFCUT else "offer"
            failures.append(f"{group.title}: {noun} {name} is used {count} times, there are {there}")
    failures += _copy_failures(group, planned) if job.earlier is None else _later_copies(job.earlier, group, planned)
    return failures


_ALL_OF_A_BAR = attrgetter(*(field.name for field in fields(CutBar) if field.name not in ("number", "cuts")))
_ALL_OF_A_CUT = attrgetter(*(field.name for field in fields(Cut) if field.name != "copy"))


def _is_cut_as(bar: CutBar, other: CutBar) -> bool:
    """Does a bar differ from another in its number and in which copies it holds alone, so that one check is for both?

    Bars cut alike follow one another in a plan, and of a hundred thousand parts most are in such a run.
    """
    if len(bar.cuts) != len(other.cuts) or _ALL_OF_A_BAR(bar) != _ALL_OF_A_BAR(other):
        return False
    return all(map(eq, map(_ALL_OF_A_CUT, bar.cuts), map(_ALL_OF_A_CUT, other.cuts)))


def _check_source(bar: CutBar, source: Source, say: Say) -> None:
    if not source.carried:
        say(f": {source.name} is longer than the longest carry and its merchant does not deliver")
    for what, stated, derived in (
        ("is", bar.length, source.length),
        ("has a start trim of", bar.start_trim, source.start_trim),
        ("has a far trim of", bar.far_trim, source.far_trim),
    ):
        if stated != derived:
            say(f": {what} {at_mm(stated)}, {source.name} gives {at_mm(derived)}")


def _check_layout(
    job: Job, group: Group, bar: CutBar, source: Source, parts: dict[str, Part], may_scrap: bool, say: Say
) -> None:
    """Lay the bar out anew: positions, kerfs, holding, left over, cost and slack."""
    if not bar.cuts:
        for text in whole_faults(bar):
            say(text)
        _check_drop(job, group, bar, source, source.length, may_scrap, say)
        _check_cost(job, group, bar, source, parts, say)
        return
    unknown = [cut for cut in bar.cuts if cut.mark not in parts]
    for cut in unknown:
        say(f", {cut.mark} copy {cut.copy}: is no part of this group")
    if unknown:
        return
    for cut, text in lying_faults(bar, parts, job.workshop.saw):
        say(f", {cut.mark} copy {cut.copy}: {text}")
    gaps = gaps_of(bar, parts, job.workshop.saw.kerf)
    at = source.start_trim
    ends: list[Length] = []
    for index, cut in enumerate(bar.cuts):
        part = parts[cut.mark]
        for text in _part_faults(cut, part, source, at, index):
            say(f", {cut.mark} copy {cut.copy}: {text}")
        ends.append(at + part.length)
        at = ends[-1] + gaps[index]
    to_spare = source.length - source.far_trim - ends[-1]
    if bar.slack != to_spare:
        say(f": has a slack of {at_mm(bar.slack)} stated, {at_mm(to_spare)} by its parts")
    if to_spare < 0:
        room = source.length - source.start_trim - source.far_trim
        say(f": its parts and the kerfs between them take {at_mm(room - to_spare)}, it has room for {at_mm(room)}")
        return
    left = max(0, source.length - at)
    _check_cutting(job, bar, source, parts, ends, say)
    _check_cut_to_fit(job, bar, parts, left, say)
    _check_drop(job, group, bar, source, left, may_scrap, say)
    _check_cost(job, group, bar, source, parts, say)


def strokes_needed(bar: CutBar, source: Source) -> int:
    """How often the saw goes through a bar, gap by gap from START to the far end.

    Each mitre in a gap takes a stroke of its own but where two share it, and square ends take one together, unless
    nothing is cut off there.
    """
    first, last = bar.cuts[0], bar.cuts[-1]
    begun = 0 if bar.starts_on_slant else _strokes_in((first.angle_a,), cut_off=source.start_trim > 0)
    between = sum(
        _strokes_in((cut.angle_b,) if cut.shared else (cut.angle_b, after.angle_a), cut_off=True)
        for cut, after in pairwise(bar.cuts)
    )
    return begun + between + _strokes_in((last.angle_b,), cut_off=last.end < source.length)


def _strokes_in(ends: tuple[Angle, ...], *, cut_off: bool) -> int:
    """The strokes in one gap, by the angles of the ends there."""
    if not any(ends):
        return int(cut_off)
    return sum(angle > 0 for angle in ends) + (cut_off and 0 in ends)


def _part_faults(cut: Cut, part: Part, source: Source, at: Length, index: int) -> list[str]:
    """What is wrong with one part in its place; ``at`` is where it has to start."""
    faults = []
    if not serves(source.grade, part.grades):
        faults.append(f"wants grade {part.grade}, {source.name} is of {source.grade or 'unknown'} grade")
    if cut.start != at:
        before = "the cut before it ends" if index else "the start trim ends"
        faults.append(f"starts at {at_mm(cut.start)}, {at_mm(at)} is where {before}")
    if cut.end != at + part.length:
        faults.append(f"ends at {at_mm(cut.end)}, {at_mm(at + part.length)} is where its length ends")
    return faults


def _check_cutting(
    job: Job,
    bar: CutBar,
    source: Source,
    parts: dict[str, Part],
    ends: Sequence[Length],
    say: Say,
) -> None:
    """Kerf of each cut, and whether it can be held: the first cut always can when those after it can.

    Where the last part ends flush and is not cut off, it is what the vice holds for the cut before it.
    """
    saw = job.workshop.saw
    kerfs = kerfs_of(bar, saw.kerf)
    final = parts[bar.cuts[-1].mark]
    uncut = ends[-1] == source.length and not bar.cuts[-1].angle_b
    cut_at_start = final.mitred and not bar.starts_on_slant
    if uncut and len(bar.cuts) == 1 and cut_at_start and final.grip < saw.safe_hold:
        say(
            f", {final.mark} copy {bar.cuts[-1].copy}: cannot be held while its end A is cut, {at_mm(final.grip)} is "
            f"below the safe hold of {at_mm(saw.safe_hold)}"
        )
    for index, (cut, end) in enumerate(zip(bar.cuts, ends, strict=True)):
        part = parts[cut.mark]
        label = f", {cut.mark} copy {cut.copy}: "
        last = index == len(bar.cuts) - 1
        beyond = source.length - end
        kerf = min(kerfs[index], beyond)
        if cut.kerf != kerf:
            say(f"{label}its cut takes {at_mm(cut.kerf)}, it should be {at_mm(kerf)}")
        if last and uncut and (cut.held is Held.NOT_CUT or saw.kerf > 0):
            # A blade of no width at the very end of a bar may be counted as a cut or as none.
            if cut.held is not Held.NOT_CUT or cut.turn:
                say(f"{label}is flush with the end of the bar, there is nothing to cut off or to hold")
            continue
        if cut.held is Held.NOT_CUT:
            say(f"{label}is said to need no cut, {at_mm(beyond)} of the bar lie beyond it")
            continue
        bar_side = beyond - kerf
        if uncut and index == len(bar.cuts) - 2:
            bar_side = final.grip
        if bar_side >= saw.safe_hold:
            if cut.held is not Held.BAR or cut.turn:
                say(f"{label}is held on the part side or turned, the bar side of {at_mm(bar_side)} can be held")
        elif part.grip < saw.safe_hold:
            say(
                f"{label}cannot be held: {at_mm(bar_side)} on the bar side and {at_mm(part.grip)} on the part "
                f"side are both below the safe hold of {at_mm(saw.safe_hold)}"
            )
        elif cut.held is not Held.PART:
            say(f"{label}is held on the bar side, which has {at_mm(bar_side)} of the {at_mm(saw.safe_hold)} needed")
        elif cut.turn is not (saw.clamp is Clamp.BAR_SIDE):
            say(f"{label}the bar {'need not' if cut.turn else 'must'} be turned to hold the part with this vice")


def _check_cut_to_fit(job: Job, bar: CutBar, parts: dict[str, Part], left: Length, say: Say) -> None:
    """Parts that are cut to fit come last, but for one part that alone can be held during the last cut."""
    hold = job.workshop.saw.safe_hold
    ordered = [parts[cut.mark] for cut in bar.cuts]
    to_fit = [part for part in ordered if part.cut_to_fit]
    if not to_fit:
        return
    if left < hold <= ordered[-1].grip and all(part.grip < hold for part in to_fit):
        ordered.pop()
    seen = False
    for part, cut in zip(ordered, bar.cuts, strict=False):
        if seen and not part.cut_to_fit:
            say(f", {cut.mark} copy {cut.copy}: is cut after a part that is cut to fit, which comes last on its bar")
        seen = seen or part.cut_to_fit


def _check_drop(job: Job, group: Group, bar: CutBar, source: Source, left: Length, may_scrap: bool, say: Say) -> None:
    """``may_scrap``: as many left overs as may be kept are, so that a long one may go to scrap as well."""
    currency = job.workshop.currency
    drop = bar.drop
    if (drop.start, drop.end) != (source.length - left, source.length):
        say(
            f": its left over runs from {at_mm(drop.start)} to {at_mm(drop.end)}, it should be "
            f"{at_mm(source.length - left)} to {at_mm(source.length)}"
        )
    if drop.far_end is not source.far_end:
        say(f": the far end of its left over is said to be {drop.far_end.value}, it is {source.far_end.value}")
    kept = left > 0 and left >= keep_length(job, group) and not (may_scrap and drop.fate is Fate.SCRAP)
    fate = Fate.KEEP if kept else Fate.SCRAP if left else Fate.NONE
    if drop.fate is not fate:
        say(f": its left over of {at_mm(left)} is marked {drop.fate.value}, it should be {fate.value}")
    if drop.mark and fate is not Fate.KEEP:
        say(f": its left over is {fate.value} and has the mark {drop.mark}, which is for one to keep")
    value = left * source.rate // MM if kept else 0
    if drop.value != value:
        say(
            f": its left over is valued at {cost_text(drop.value, Goal.MONEY, currency)}, "
            f"it should be {cost_text(value, Goal.MONEY, currency)}"
        )


def _check_cost(job: Job, group: Group, bar: CutBar, source: Source, parts: dict[str, Part], say: Say) -> None:
    """Price and work less the value of the left over, as far as that is right."""
    # Asked of every bar, which takes its time where there are very many.
    setups = len({parts[cut.mark].cut_alike for cut in bar.cuts}) if source.per_setup else 0
    strokes = strokes_needed(bar, source) if bar.cuts else 0
    cost = source.price + source.per_cut * strokes + source.per_setup * setups - bar.drop.value
    if bar.cost != cost:
        goal, currency = goal_of(group), job.workshop.currency
        say(
            f": costs {cost_text(bar.cost, goal, currency)} by the plan, "
            f"{cost_text(cost, goal, currency)} by its price, work and left over"
        )


def _later_copies(earlier: Earlier, group: Group, planned: GroupPlan) -> list[str]:
    """In the rest of an earlier plan: as many of every part as are asked for, spares beyond them at most.

    Bars that stay have copies that were given, each once; all others are counted on from there.
    """
    failures = []
    stay = frozenset(earlier.stay)
    for part in group.parts:
        given = earlier.copy(part.mark)
        cut = [(bar.number in stay, cut.copy) for bar in planned.bars for cut in bar.cuts if cut.mark == part.mark]
        old, new = sorted(copy for stays, copy in cut if stays), [copy for stays, copy in cut if not stays]
        if len(set(old)) != len(old) or any(not 1 <= copy <= given for copy in old):
            failures.append(f"{group.title}: {part.mark}: bars that stay have copies {old}, 1 to {given} were given")
        if sorted(new) != list(range(given + 1, given + len(new) + 1)):
            failures.append(f"{group.title}: {part.mark}: copies {sorted(new)} are not counted on from {given}")
        if not part.quantity <= len(cut) <= part.quantity + part.spares:
            and_spares = f" and up to {part.spares} spare" if part.spares else ""
            failures.append(f"{group.title}: {part.mark}: {len(cut)} are cut, {part.quantity}{and_spares} are wanted")
    return failures


def _copy_failures(group: Group, planned: GroupPlan) -> list[str]:
    """Every copy of every part exactly once, spares beyond them at most once and counted on from there."""
    bars: dict[tuple[str, int], list[int]] = defaultdict(list)
    for bar in planned.bars:
        for cut in bar.cuts:
            bars[cut.mark, cut.copy].append(bar.number)
    wanted = {part.mark: part.quantity for part in group.parts}
    spares = {part.mark: part.spares for part in group.parts}
    failures = []
    for (mark, copy), where in sorted(bars.items()):
        if mark in wanted and not 1 <= copy <= wanted[mark] + spares[mark]:
            and_spares = f" and {spares[mark]} spare" if spares[mark] else ""
            failures.append(
                f"{group.title}: bar {where[0]}, {mark} copy {copy}: only {wanted[mark]}{and_spares} are asked for"
            )
        elif mark in wanted and copy > wanted[mark] + 1 and (mark, copy - 1) not in bars:
            failures.append(f"{group.title}: {mark} copy {copy} is cut, but not copy {copy - 1} before it")
        if len(where) > 1:
            on = " and ".join(str(number) for number in where)
            failures.append(f"{group.title}: {mark} copy {copy} is cut {len(where)} times, on bars {on}")
    there = Counter(mark for mark, copy in bars if 1 <= copy <= wanted.get(mark, 0))
    for mark, quantity in wanted.items():
        missing = quantity - there[mark]
        if missing:
            # The first few are looked for one by one: of a plan from anywhere, a quantity may be beyond all counting.
            not_cut = (copy for copy in itertools.count(1) if (mark, copy) not in bars)
            shown = ", ".join(map(str, itertools.islice(not_cut, min(missing, 5)))) + (" ..." if missing > 5 else "")
            failures.append(f"{group.title}: {mark}: {missing} of {quantity} are not cut (copy {shown})")
    return failures
