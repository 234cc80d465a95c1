"""How sections, groups, orders, amounts and rows of names are called on every sheet and screen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from cutplan.model import CutBar, Job, Offcut, Part, SourceKind, StockLength, groups_of
from cutplan.model.part import sections_called
from cutplan.sections.inch_names import inch_name
from cutplan.units import Money, Printing, ceil_div, length_text, money_text, stock_text

if TYPE_CHECKING:
    from cutplan.rack.pieces import Material


def money_words(money: Money, currency: str) -> str:
    """An amount with its currency: ``31.50 EUR``."""
    return f"{money_text(money)} {currency}"


def per_mille(part: int, whole: int, *, up: bool = False) -> int:
    """``part`` of ``whole`` in thousandths, rounded down, or up with ``up``; 0 of nothing."""
    if whole <= 0:
        return 0
    return ceil_div(part * 1000, whole) if up else part * 1000 // whole


def percent_text(part: int, whole: int, *, up: bool = False) -> str:
    """``part`` of ``whole`` in percent with one decimal, rounded as :func:`per_mille`."""
    tenths = per_mille(part, whole, up=up)
    return f"{tenths // 10}.{tenths % 10}"


def section_names(job: Job) -> dict[str, str]:
    """The name of every section of the parts list by its key, as :func:`sections_called` has it."""
    return sections_called(job.parts, inches=job.workshop.printing.unit == "in")


def time_text(at: str) -> str:
    """A time that the ledger keeps, as people read it: ``2031-05-04 09:30 UTC``."""
    return f"{at[:10]} {at[11:16]} UTC"


def shop_name(designation: str, how: Printing) -> str:
    """What a workshop calls a section of which nothing was typed: by its inches where it works in them."""
    return inch_name(designation) if how.unit == "in" else designation


def material_name(material: Material, how: Printing) -> str:
    """Section and finish of a piece of the rack, as the workshop calls them."""
    return f"{shop_name(material.designation, how)}, {material.finish}"


def group_names(job: Job) -> dict[str, str]:
    """The name of every group by its title: the title with the name of :func:`section_names`."""
    names = section_names(job)
    return {
        group.title: group.title.replace(group.section.designation, names[group.section.key], 1)
        for group in groups_of(job)
    }


def grade_text(grade: str, missing: str) -> str:
    """A grade as an order names it: ``S235`` tells what it is, ``B`` and ``350`` do not and become ``grade B``.

    ``missing`` stands where none is stated.
    """
    return f"grade {grade}" if re.fullmatch(r"[A-Z]|\d+", grade) else grade or missing


def source_grade(source: StockLength | Offcut) -> str:
    """The grade of what a bar is cut from; that of a length on sale was not stated, that of an offcut is not known."""
    return grade_text(source.grade, "grade not stated" if isinstance(source, StockLength) else "grade unknown")


def serving_grade(source: StockLength | Offcut, parts: Iterable[Part]) -> str:
    """The grade of what a bar is cut from, and which grades asked it stands for: ``S355J2H, serves S355``."""
    asked = dict.fromkeys(part.grade for part in parts if part.grade not in ("", source.grade))
    return ", ".join([source_grade(source), *([f"serves {' and '.join(asked)}"] if asked else ())])


def section_words(name: str, standard: str, grade: str, finish: str) -> str:
    """``SHS 40x40x3, EN 10219-2, S235, black``; ``grade`` in words, left out where the standard ends with it."""
    grade = "" if grade and standard.split(" ")[-1] == grade else grade
    return ", ".join(word for word in (name, standard, grade, finish) if word)


def order_text(offer: StockLength, count: int, how: Printing, name: str) -> str:
    """``6 lengths x 6.5 m SHS 40x40x3, EN 10219-2, S235, black``; ``name`` is the section's."""
    noun = "length" if count == 1 else "lengths"
    what = section_words(name, offer.section.standard, source_grade(offer), offer.finish)
    return f"{count} {noun} x {stock_text(offer.length, how)} {what}"


def piece_word(piece: Offcut) -> str:
    """What a piece of the rack is: a length as it came from the mill, or an offcut."""
    return "length" if piece.is_full else "offcut"


def from_merchant(length: str, merchant: str) -> str:
    """``6 m from Yard``; the length alone where lengths were given without a merchant."""
    return f"{length} from {merchant}" if merchant else length


def source_names(job: Job) -> dict[tuple[SourceKind, str], str]:
    """What bars are cut from, by kind and id: the mark of a piece of the rack, else length and merchant."""
    how = job.workshop.printing
    names = {
        (SourceKind.BOUGHT, each.id): from_merchant(stock_text(each.length, how), each.merchant) for each in job.offers
    }
    return names | {(SourceKind.OFFCUT, each.mark): each.mark for each in job.offcuts}


def bar_source(bar: CutBar, names: Mapping[tuple[SourceKind, str], str], how: Printing) -> str:
    """What a bar is cut from by those names, and which piece of it: ``12 m from Yard, piece 2 of 3, 4399 mm``."""
    name = names[bar.kind, bar.source]
    if bar.piece_of is None:
        return name
    number, ordered = bar.piece_of.number, bar.piece_of.ordered
    return f"{name}, piece {number} of {len(ordered)}, {length_text(ordered[number - 1], how)}"


def numbers_text(numbers: Sequence[int]) -> str:
    """Bar numbers, runs drawn together: ``3``, ``3 to 5``, ``3, 7 to 9``."""
    runs = []
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        if len(members) > 2:
            runs.append(f"{members[0]} to {members[-1]}")
        else:
            runs.extend(str(number) for number in members)
    return ", ".join(runs)


def bars_text(numbers: Sequence[int]) -> str:
    """``bar 3``, ``bars 4 to 6``."""
    return f"{'bar' if len(numbers) == 1 else 'bars'} {numbers_text(numbers)}"


def names_text(names: Iterable[str], shown: int = 8) -> str:
    """Names in a row; beyond ``shown`` only how many more."""
    listed = list(dict.fromkeys(names))
    more = f" and {len(listed) - shown} more" if len(listed) > shown else ""
    return ", ".join(listed[:shown]) + more
