"""What is odd about a list though nothing is wrong with it: warnings that stop nothing.

A line whose column Looked at is filled says that somebody has looked; what its line, or its pair of lines, would be
warned about is then counted and not reported.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from cutplan.model import Offcut, Part, StockLength, Workshop, serves
from cutplan.problems import Problem
from cutplan.reading.crosscheck import Bar
from cutplan.reading.lists.parts import PartLine, PartsRead
from cutplan.reading.sheets.findings import Findings
from cutplan.units import INCH, MM, Length, Printing, length_text, stock_text

NEAR: Length = 5 * MM
"""Two lengths that differ by no more are easily taken for one another at the saw; from memory, common practice."""
ODD_SHARE = 4
"""A section used once, for less than this part of its shortest bar, may not be worth a bar."""
SHORT_BAR: Length = INCH // 4
"""By how much a bar may come short where a standard allows it: ASTM A500, cut lengths to 22 ft, +1/2 in, -1/4 in."""
SHORT_PART: Length = 10 * MM
"""Hardly anything is sawn this short; 1.200 typed for 1200 mm, or metres typed bare, are. From memory."""
MOST_NAMED = 6


RowWords = Callable[[int], str]
"""How a message names a row of the list."""


@dataclass(frozen=True, slots=True)
class Oddity:
    """One odd thing: the rows that bear on it, the first of which it is placed at, and its words."""

    rows: tuple[int, ...]
    heading: str
    found: str
    accepted: str
    code: str


def warn_about_oddities(parts: PartsRead, bars: Sequence[Bar], workshop: Workshop, findings: Findings) -> None:
    """Warn about every odd thing of a list that is sound.

    Parameters
    ----------
    parts
        The list; every part of it fits something.
    bars
        What there is to cut from.
    findings
        Gains the warnings, each at its first row, or at the one that somebody has looked at.
    """
    if parts.table is None:
        return
    lines, how, at = parts.lines, workshop.printing, parts.table.row_words
    by_material: dict[object, list[Bar]] = defaultdict(list)
    for bar in bars:
        by_material[bar.source.section.key, bar.source.finish].append(bar)
    serving = {
        line.part.mark: [bar for bar in by_material[line.material.key] if serves(bar.grade, line.part.grades)]
        for line in lines
    }
    found: list[Oddity] = [
        *_short(lines, how),
        *_near_twins(lines, how),
        *_marks_alike(lines, at),
        *_marks_on_the_rack(lines, bars),
        *_assemblies_alike(lines, at),
        *_odd_ones_out(lines, serving, how),
        *_stock_lengths(lines, serving, how),
        *_rack_alone(lines, serving),
        *_differing(lines, at),
        *_standards_apart(lines, at),
        *_alone(parts),
        *_only_at_full_length(lines, serving, workshop),
    ]
    for oddity in found:
        where = parts.table.place(oddity.rows[0], oddity.heading)
        problem = Problem(
            where=where, found=oddity.found, accepted=oddity.accepted, found_is_text=False, code=oddity.code
        )
        silenced = any(row in parts.looked_at for row in oddity.rows)
        findings.warn(min(parts.looked_at & set(oddity.rows)) if silenced else oddity.rows[0], problem)


def _drawn(lines: Iterable[PartLine]) -> list[Part]:
    """The parts as drawn: an opposite hand is odd only where they are."""
    return [line.part for line in lines if not line.part.opposite_hand]


def _short(lines: Sequence[PartLine], how: Printing) -> Iterator[Oddity]:
    for part in _drawn(lines):
        if part.finished < SHORT_PART:
            found = f"{part.mark} is {length_text(part.finished, how)} long"
            yield Oddity(
                (part.row,),
                "Length",
                found,
                "a part that short; else another unit is meant, such as 1.2 m",
                code="odd.short_part",
            )


def _near_twins(lines: Sequence[PartLine], how: Printing) -> Iterator[Oddity]:
    alike: dict[object, list[Part]] = defaultdict(list)
    for part in _drawn(lines):
        kind = (part.section.key, part.finish, part.grade, part.end_a, part.end_b, part.depth, part.lean, part.heel)
        alike[kind].append(part)
    for parts in alike.values():
        chain: list[Part] = []
        for part in sorted(parts, key=lambda part: part.length):
            apart = part.length - chain[-1].length if chain else 0
            if chain and apart == 0:
                continue
            if apart > NEAR:
                yield from _twins(chain, how)
                chain = []
            chain.append(part)
        yield from _twins(chain, how)


def _twins(chain: Sequence[Part], how: Printing) -> Iterator[Oddity]:
    if len(chain) < 2:
        return
    names = [f"{part.mark} {length_text(part.length, how.fine)}" for part in chain]
    shown = " and ".join(names) if len(names) == 2 else ", ".join(names[:MOST_NAMED])
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    rows = sorted((part.row for part in chain), reverse=True)
    yield Oddity(
        tuple(rows),
        "Length",
        f"easily mixed up: {shown}{more}",
        "lengths meant to differ; keep the parts apart",
        code="odd.near_twins",
    )


def _marks_alike(lines: Sequence[PartLine], at: RowWords) -> Iterator[Oddity]:
    first: dict[str, Part] = {}
    for part in _drawn(lines):
        other = first.setdefault(_as_read(part.mark), part)
        if other is not part:
            found = f'"{part.mark}", which reads like "{other.mark}" in {at(other.row)}, another part'
            yield Oddity(
                (part.row, other.row), "Mark", found, "marks that nobody takes for one another", code="odd.marks"
            )


def _marks_on_the_rack(lines: Sequence[PartLine], bars: Sequence[Bar]) -> Iterator[Oddity]:
    """Marks of parts that could be taken for one painted on a piece of the rack: both stand on the sheets."""
    on_rack = {_as_read(bar.source.mark): bar.source.mark for bar in bars if isinstance(bar.source, Offcut)}
    for part in _drawn(lines):
        mark = on_rack.get(_as_read(part.mark))
        if mark is not None:
            found = f'"{part.mark}", and a piece of the rack with the mark {mark}'
            yield Oddity((part.row,), "Mark", found, "marks that nobody takes for one another", code="odd.marks")


def _assemblies_alike(lines: Sequence[PartLine], at: RowWords) -> Iterator[Oddity]:
    """Names of assemblies that differ in capitals, blanks or hyphens alone; each reported once."""
    first: dict[str, Part] = {}
    told: set[str] = set()
    for part in _drawn(lines):
        if not part.assembly:
            continue
        other = first.setdefault(_as_read(part.assembly), part)
        if other.assembly != part.assembly and part.assembly not in told:
            told.add(part.assembly)
            found = f'"{part.assembly}", which reads like "{other.assembly}" in {at(other.row)}, another assembly'
            yield Oddity(
                (part.row, other.row), "Assembly", found, "one spelling, if they are one assembly", code="odd.assembly"
            )


def _as_read(name: str) -> str:
    """R 01, r-1 and R1 are read alike."""
    return re.sub(r"(?<!\d)0+(?=\d)", "", re.sub(r"[\s._\-]+", "", name.casefold()))


_Serving = Mapping[str, Sequence[Bar]]
"""By mark, the bars whose section, finish and grade serve a part."""


def _on_sale(bars: Iterable[Bar]) -> list[StockLength]:
    return [bar.source for bar in bars if isinstance(bar.source, StockLength) and bar.carried]


def _odd_ones_out(lines: Sequence[PartLine], serving: _Serving, how: Printing) -> Iterator[Oddity]:
    by_material: dict[object, list[Part]] = defaultdict(list)
    for line in lines:
        by_material[line.material.key].append(line.part)
    for parts in by_material.values():
        part = parts[0]
        bars = serving[part.mark]
        on_sale = _on_sale(bars)
        if len(parts) > 1 or part.quantity > 1 or not on_sale or any(isinstance(bar.source, Offcut) for bar in bars):
            continue
        shortest = min(offer.length for offer in on_sale)
        if part.length * ODD_SHARE < shortest:
            found = (
                f"{part.mark} is the only part of {part.section.designation}, {part.finish}: "
                f"{length_text(part.length, how)} of a bar of {stock_text(shortest, how)}"
            )
            yield Oddity(
                (part.row,),
                "Section",
                found,
                "a section worth a bar; another one of the job, or an offcut",
                code="odd.lone_section",
            )


def _stock_lengths(lines: Sequence[PartLine], serving: _Serving, how: Printing) -> Iterator[Oddity]:
    for part in _drawn(lines):
        if part.finished in {offer.length for offer in _on_sale(serving[part.mark])}:
            found = f"{part.mark} is {length_text(part.finished, how)}, exactly a length that is sold"
            yield Oddity(
                (part.row,),
                "Length",
                found,
                "a part that is cut; end trims make a whole bar shorter",
                code="odd.whole_bar",
            )


def _rack_alone(lines: Sequence[PartLine], serving: _Serving) -> Iterator[Oddity]:
    for part in _drawn(lines):
        enough = [bar.source for bar in serving[part.mark] if bar.carried and part.length <= bar.gives]
        offcuts = [source.mark for source in enough if isinstance(source, Offcut)]
        if offcuts and len(offcuts) == len(enough):
            marks = ", ".join(offcuts[:MOST_NAMED])
            found = f"{part.mark} is longer than anything sold gives; only the rack has enough: {marks}"
            yield Oddity(
                (part.row,), "Length", found, "a part that can be had again when one is spoiled", code="odd.no_spare"
            )


def _standards_apart(lines: Sequence[PartLine], at: RowWords) -> Iterator[Oddity]:
    """One designation asked for to two standards, which are two sections; each reported once."""
    first: dict[str, Part] = {}
    told: set[str] = set()
    for part in _drawn(lines):
        section = part.section
        other = first.setdefault(section.designation, part)
        if other.section.standard != section.standard and section.key not in told:
            told.add(section.key)
            found = f"{section.key}, and to {other.section.standard} in {at(other.row)}"
            yield Oddity(
                (part.row, other.row),
                "Section",
                found,
                "standards meant to differ: the two are never cut from one bar",
                code="odd.standards",
            )


def _differing(lines: Sequence[PartLine], at: RowWords) -> Iterator[Oddity]:
    """Walls of one size, and grades, that differ within an assembly; each reported once."""
    walls: dict[object, Part] = {}
    grades: dict[str, Part] = {}
    told: set[object] = set()
    for part in _drawn(lines):
        if not part.assembly:
            continue
        section = part.section
        size = (part.assembly, section.family, section.height, section.width)
        other = walls.setdefault(size, part)
        if other.section.thickness != section.thickness and size not in told:
            told.add(size)
            found = (
                f"{part.assembly} has {part.mark} of {section.designation} and {other.mark} of "
                f"{other.section.designation} ({at(other.row)})"
            )
            yield Oddity(
                (part.row, other.row), "Section", found, "walls meant to differ within one assembly", code="odd.walls"
            )
        if not part.grade:
            continue
        other = grades.setdefault(part.assembly, part)
        if other.grade != part.grade and part.assembly not in told:
            told.add(part.assembly)
            found = (
                f"{part.assembly} has {part.mark} of {part.grade} and {other.mark} of {other.grade} ({at(other.row)})"
            )
            yield Oddity(
                (part.row, other.row), "Grade", found, "grades meant to differ within one assembly", code="odd.grades"
            )


def _alone(parts: PartsRead) -> Iterator[Oddity]:
    members: dict[str, list[Part]] = defaultdict(list)
    for line in parts.lines:
        if line.part.assembly:
            members[line.part.assembly].append(line.part)
    with_others = {line.assembly for line in parts.others}
    for name, own in members.items():
        part = own[0]
        if len(own) == 1 and part.quantity == part.assemblies and name not in with_others:
            found = f"{part.mark} is all there is of {name}: nothing joins to it"
            yield Oddity(
                (part.row,), "Assembly", found, "an assembly of two parts or more, or no assembly", code="odd.lone_part"
            )


def _only_at_full_length(lines: Sequence[PartLine], serving: _Serving, workshop: Workshop) -> Iterator[Oddity]:
    tolerances = dict(workshop.minus_tolerance)
    for part in _drawn(lines):
        if part.section.family in tolerances:
            continue
        # An offcut was measured: it gives what it gives.
        spare = [
            bar.gives - part.length - (SHORT_BAR if isinstance(bar.source, StockLength) else 0)
            for bar in serving[part.mark]
            if bar.carried
        ]
        if spare and max(spare) < 0:
            found = (
                f"{part.mark} fits only a bar that comes at its full length: "
                f"one {length_text(SHORT_BAR, workshop.printing)} short is too short"
            )
            accepted = f"a longer bar, or minus_tolerance.{part.section.family.value} in the workshop file"
            yield Oddity((part.row,), "Length", found, accepted, code="odd.joined")
