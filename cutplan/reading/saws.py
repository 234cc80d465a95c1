"""On which of several saws each part is cut: the one its row says, else the first that takes it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from cutplan.model import Assumption, Job, Offcut, Part, Saw, StockLength, Workshop, dealt_out, groups_of
from cutplan.model.job import DEALT
from cutplan.reading.lists.parts import PartsRead
from cutplan.reading.sheets.findings import Findings
from cutplan.units import angle_text, length_text

OF_SAWS = frozenset({"assumed.saw", DEALT})
"""Codes of what is said of several saws."""

SHOWN = 8
"""So many marks are named of the parts of a saw."""


def name_saws(parts: PartsRead, workshop: Workshop, findings: Findings) -> None:
    """Give every part the name of its saw, where the workshop has several; what none takes is refused.

    Where it has one, a row that names a saw is refused: nobody knows which is meant.
    """
    assert parts.table is not None or not parts.lines
    saws = {saw.name.casefold(): saw for saw in workshop.saws}
    for place, line in enumerate(parts.lines):
        part, typed = line.part, line.part.saw
        named = saws.get(typed.casefold())
        if not typed and not saws:
            continue
        if typed and named is None:
            accepted = f"one of {', '.join(saw.name for saw in workshop.saws)}, or an empty cell"
            nowhere = "an empty cell, or [[saw]] blocks in the workshop file"
            _refuse(parts, part, "Saw", f'"{typed}"', accepted if saws else nowhere, findings)
            continue
        saw = named or next((saw for saw in workshop.saws if saw.takes(part.section, part.steeper_angle)), None)
        if saw is None or not saw.takes(part.section, part.steeper_angle):
            among = [saw] if saw else workshop.saws
            why = "; ".join(f"{each.name} {' and '.join(_reasons(each, part, workshop))}" for each in among)
            takes = f"{saw.name} does not take" if saw else "no saw takes"
            accepted = "a part that the saw takes, or another saw" if saw else "a part that one of the saws takes"
            _refuse(parts, part, "Saw" if saw else "Section", f"{part.mark}, which {takes}: {why}", accepted, findings)
            continue
        parts.lines[place] = replace(line, part=replace(part, saw=saw.name))


def _refuse(parts: PartsRead, part: Part, heading: str, found: str, accepted: str, findings: Findings) -> None:
    assert parts.table is not None
    findings.add_statement(part.row, parts.table.place(part.row, heading), found, accepted, code="part.saw")


def _reasons(saw: Saw, part: Part, workshop: Workshop) -> Iterator[str]:
    """Why a saw does not take a part."""
    how = workshop.printing
    if not saw.fits_family(part.section):
        yield f"takes {', '.join(family.value for family in saw.families)} alone"
    if not saw.fits_size(part.section):
        yield f"takes sides up to {length_text(saw.largest, how)}"
    if part.steeper_angle > saw.steepest:
        yield f"cuts up to {angle_text(saw.steepest)}°" if saw.steepest else "cuts square alone"


def saws_told(parts: Iterable[Part], workshop: Workshop) -> Iterator[Assumption]:
    """One sentence for each saw that something is cut on: what, and by which figures."""
    how, wanted = workshop.printing, list(parts)
    for saw in workshop.saws:
        marks = [part.mark for part in wanted if part.saw == saw.name]
        if not marks:
            continue
        named = ", ".join(marks[:SHOWN]) + (f" and {len(marks) - SHOWN} more" if len(marks) > SHOWN else "")
        trim = "mill ends as they come"
        if saw.mill_trim:
            cut = "its cut included" if saw.end_trim_includes_cut else "its cut on top"
            trim = f"end trim {length_text(saw.end_trim, how.fine)}, {cut}"
        hold = f"holds {length_text(saw.safe_hold, how)} or more" if saw.safe_hold else "holds any length"
        figures = f"kerf {length_text(saw.kerf, how.fine)}, {trim}, {hold}"
        yield Assumption("assumed.saw", f"On {saw.name} ({figures}): {named}.")


def dealt_told(job: Job) -> Iterator[Assumption]:
    """What there is a limited number of and several saws could be given, with the saw that each went to."""
    dealt, how = dealt_out(job), job.workshop.printing
    for group in groups_of(job):
        bars = dealt.get(group.title, ())
        given = [bar.mark for bar in bars if isinstance(bar, Offcut)]
        given += [f"{bar.available} x {length_text(bar.length, how)} of {bar.merchant or 'no merchant'}"
                  for bar in bars if isinstance(bar, StockLength)]  # fmt: skip
        if given:
            named = ", ".join(given[:SHOWN]) + (f" and {len(given) - SHOWN} more" if len(given) > SHOWN else "")
            yield Assumption("assumed.dealt", f"{group.section.designation} for {group.saw} alone: {named}.")
