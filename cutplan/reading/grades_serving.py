"""Which grades on sale and on the rack serve the grades asked: by the standards, and by the workshop's own word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from cutplan.model import Assumption, Offcut, StockLength, Workshop
from cutplan.reading.lists.parts import PartsRead
from cutplan.sections.grades import pairs_of, serves_by_standard


def name_serving(parts: PartsRead, bars: Iterable[StockLength | Offcut], workshop: Workshop) -> None:
    """Give every part with a grade the others that serve it, of those that there are in its section and finish."""
    also, never = pairs_of(workshop.also_serve), pairs_of(workshop.never_serve)
    there: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for bar in bars:
        if bar.grade:
            there[bar.section.key, bar.finish][bar.grade] = None
    for place, line in enumerate(parts.lines):
        asked = line.part.grade
        others = tuple(
            grade
            for grade in there.get(line.material.key, ())
            if asked
            and grade != asked
            and (asked, grade) not in never
            and ((asked, grade) in also or serves_by_standard(grade, asked))
        )
        if others:
            parts.lines[place] = replace(line, part=replace(line.part, also_grades=others))


def serving_told(parts: PartsRead) -> Iterable[Assumption]:
    """One sentence for each grade that serves another, with the parts that ask for it."""
    marks: dict[tuple[str, str], list[str]] = defaultdict(list)
    for line in parts.lines:
        for grade in line.part.also_grades:
            marks[grade, line.part.grade].append(line.part.mark)
    for (grade, asked), of in marks.items():
        named = ", ".join(of[:8]) + (f" and {len(of) - 8} more" if len(of) > 8 else "")
        yield Assumption("assumed.serving", f"{grade} serves {asked}: {named}.")
