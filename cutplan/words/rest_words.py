"""Sentences of a plan of the rest and of a delivery: what is taken as done, and how the new plan differs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from cutplan.units import Length, Printing, counted, length_text, stock_text
from cutplan.words.naming import material_name

if TYPE_CHECKING:
    from cutplan.model import Part, StockLength
    from cutplan.rack.outcome import NowThere

NOTHING_LEFT = "Nothing is left to cut."
STILL_FITS = "The plan still fits what came."
BEYOND = "More than the plan cuts, held for it all the same:"
NO_LONGER_FITS = "The plan no longer fits:"


def bars_listed(numbers: Sequence[int]) -> str:
    """Bars by their numbers."""
    return f"{'bar' if len(numbers) == 1 else 'bars'} {', '.join(map(str, numbers))}"


def taken_as_cut(ticked: int, *, up_to_the_spoiled: bool = False) -> str:
    """How many parts are taken as cut for being ticked."""
    are = "is" if ticked == 1 else "are"
    more = ", and those up to the spoiled one" if up_to_the_spoiled else ""
    return f"{counted(ticked, 'part')} {are} taken as cut, as ticked{more}."


CUT_WITH_THAT_KERF = "What is left of bars that are cut counts with that kerf too, where it was not measured."
"""Said of a kerf wider than the one planned with."""


def bars_taken_as_cut(last: int, *, spoiled: bool, saw: str = "") -> str:
    """How far bars are taken as cut, on a saw where there are several; ``last`` is 0 for none."""
    if not last:
        return "No bar is taken as cut."
    on_saw = f" on {saw}" if saw else ""
    if last == 1:
        return f"Bar 1{on_saw} is taken as cut{' up to the spoiled part' if spoiled else ''}."
    return f"Bars up to {last}{on_saw} are taken as cut{f', bar {last} up to the spoiled part' if spoiled else ''}."


def other_saws_not_cut(numbers: Sequence[int]) -> str:
    """Bars before the one at the saw that are cut on other saws."""
    listed = bars_listed(numbers)
    return (
        f"On other saws {listed} {'is' if len(numbers) == 1 else 'are'} taken as not cut; a cut record says otherwise."
    )


def was_spoiled(mark: str, copy: int | None, measured: Length | None, typed: str) -> str:
    """A part that was cut wrong, and what it came to where that is known; 0 is scrap."""
    which = "" if copy is None else f" copy {copy}"
    came = f" and came to {typed}" if measured else " and is scrap" if measured == 0 else ""
    return f"{mark}{which} was spoiled{came}."


def cannot_be_used(bar: int, usable: Length, how: Printing) -> str:
    """A bar that is bent, but for some length of it."""
    return f"Bar {bar} cannot be used{f' but for {length_text(usable, how)} of it' if usable else ''}."


def taken_as_fetched(uncut: Sequence[NowThere], how: Printing) -> str:
    """Lengths that were bought and not cut, which are taken to be there although no delivery was noted."""
    alike: dict[str, list[int]] = {}
    for one in uncut:
        alike.setdefault(f"{stock_text(one.length, how)} {material_name(one.material, how)}", []).append(one.bar)
    lengths = "; ".join(f"{len(bars)} x {what} ({bars_listed(bars)})" for what, bars in alike.items())
    return f"No delivery is noted, so not cut and taken as fetched: {lengths}."


def not_planned_again(made: int) -> str:
    """How many parts are cut already."""
    return f"{counted(made, 'part')} {'is' if made == 1 else 'are'} cut already and not planned again."


def list_changes(had: Mapping[str, Part], has: Mapping[str, Part]) -> list[str]:
    """What a changed parts list says otherwise, by mark."""
    told = [f"{mark} is no longer wanted." for mark in had if mark not in has]
    told += [f"{mark} was added." for mark in has if mark not in had]
    told += [
        f"{mark}: {has[mark].quantity} wanted, not {part.quantity}."
        for mark, part in had.items()
        if mark in has and has[mark].quantity != part.quantity
    ]
    return told


def bars_of_the_rest(stay: Sequence[int], otherwise: Sequence[tuple[int, str, int]], new: Sequence[int]) -> list[str]:
    """Bars that stay as they were; those in the place of another, with their source and its number; new ones."""
    return [
        *([f"As they were, with their labels: {bars_listed(stay)}."] if stay else []),
        *(f"Bar {number}, from {source}, takes the place of bar {had}." for number, source, had in otherwise),
        *([f"New: {bars_listed(new)}."] if new else []),
    ]


def misfit(numbers: Sequence[int], least: Length, offer: StockLength, how: Printing) -> str:
    """Bars cut alike that no length is left for, and what each needs at least."""
    ordered = " ".join(filter(None, (offer.section.designation, offer.grade, offer.finish)))
    needs = "it needs" if len(numbers) == 1 else "each needs"
    return f"{bars_listed(numbers)}: nothing is left that the cuts fit; {needs} {length_text(least, how)} of {ordered}"


def from_another(bar: int, mark: str, length: Length, left: Length, how: Printing) -> str:
    """A bar that is cut from a length of another size than ordered."""
    return f"  bar {bar} from {mark}, {length_text(length, how)} long: {length_text(left, how)} left"


def received_before(job: str, at: str) -> str:
    """A delivery that was noted already."""
    return f"{job}: received already, {at}. Nothing was changed."
