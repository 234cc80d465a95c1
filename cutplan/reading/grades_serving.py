"""Which grades on sale and on the rack serve the grades asked: by the standards, and by the workshop's own word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from cutplan.model import Assumption, Offcut, StockLength, Workshop
from cutplan.problems import Problem
from cutplan.reading.lists.parts import PartLine, PartsRead
from cutplan.reading.sheets.findings import Findings
from cutplan.sections.grades import lower_yield, pairs_of, serves_by_standard


def serves_here(delivered: str, asked: str, workshop: Workshop) -> bool:
    """May a bar of one grade be cut into parts of another here: by the standards, and by the workshop's own word?"""
    pair = asked, delivered
    if delivered == asked or not asked or pair in pairs_of(workshop.never_serve):
        return delivered == asked or not asked
    return pair in pairs_of(workshop.also_serve) or (bool(delivered) and serves_by_standard(delivered, asked))


def name_serving(
    parts: PartsRead, bars: Iterable[StockLength | Offcut], workshop: Workshop, findings: Findings
) -> None:
    """Give every part with a grade the others that serve it, of those that there are in its section and finish.

    What the workshop lets serve is warned of where its name says a lower yield, or does not tell.
    """
    there: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for bar in bars:
        if bar.grade:
            there[bar.section.key, bar.finish][bar.grade] = None
    known: dict[tuple[str, str], bool] = {}
    for place, line in enumerate(parts.lines):
        asked = line.part.grade
        others = []
        for grade in there.get(line.material.key, ()) if asked else ():
            if (grade, asked) not in known:
                known[grade, asked] = grade != asked and serves_here(grade, asked, workshop)
                if known[grade, asked] and not serves_by_standard(grade, asked):
                    _warn_if_weaker(parts, line, grade, findings)
            if known[grade, asked]:
                others.append(grade)
        if others:
            parts.lines[place] = replace(line, part=replace(line.part, also_grades=tuple(others)))


def _warn_if_weaker(parts: PartsRead, line: PartLine, grade: str, findings: Findings) -> None:
    """Tell, at the first row that asks for it, of a grade in place of which the workshop lets a weaker one serve."""
    asked, row = line.part.grade, line.part.row
    lower = lower_yield(grade, asked)
    if lower is False or parts.table is None:
        return
    why = "by its name it has the lower yield" if lower else "their names do not tell which has the lower yield"
    findings.warn(
        row,
        Problem(
            where=parts.table.place(row, "Grade"),
            found=f"{grade} in place of {asked}, as grades.also in the workshop file lets it: {why}",
            accepted="what the designer allows for these parts",
            found_is_text=False,
            code="grade.weaker",
        ),
    )


def serving_told(parts: PartsRead) -> Iterable[Assumption]:
    """One sentence for each grade that serves another, with the parts that ask for it."""
    marks: dict[tuple[str, str], list[str]] = defaultdict(list)
    for line in parts.lines:
        for grade in line.part.also_grades:
            marks[grade, line.part.grade].append(line.part.mark)
    for (grade, asked), of in marks.items():
        named = ", ".join(of[:8]) + (f" and {len(of) - 8} more" if len(of) > 8 else "")
        yield Assumption("assumed.serving", f"{grade} serves {asked}: {named}.")
