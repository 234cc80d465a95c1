"""The cut record: a sheet with a row per bar of a plan, filled in at the saw."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from cutplan.model import CutBar, Plan, SourceKind, Workshop
from cutplan.model.cut_facts import BarFact, Spoiled, left_after
from cutplan.problems import ProblemsFound, Refused
from cutplan.reading.reason import uncut_fault
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.headings import Heading, Kind
from cutplan.reading.sheets.raw_cells import load_file
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Row, and_more
from cutplan.units import LENGTH_FORMS, MM, Figures, length_text, parse_length_or_zero, parse_quantity

CUT_RECORD: tuple[Heading, ...] = (
    Heading("Bar", Kind.COUNT, needed=True, variants=("bar no", "bar number"), about="its number in the plan"),
    Heading("Source", Kind.TEXT, variants=("from", "offcut"), about="what it was cut from, as printed"),
    Heading("Section", Kind.TEXT, about="as printed"),
    Heading("Cut", Kind.TEXT, needed=True, variants=("was cut",), about="yes, no, part, how many parts, or bent"),
    Heading(
        "Left over as measured",
        Kind.LENGTH,
        variants=("left over", "left", "measured"),
        about="what is usable, 0 for nothing; blank is as planned, but not of a bent bar; of a bar not cut, its length",
    ),
    Heading(
        "Spoiled parts",
        Kind.TEXT,
        variants=("spoiled",),
        about="with what they came to, such as P3 = 1187 or 2 x P3 = 1187; P3 = 0 where it is scrap",
    ),
    Heading("Note", Kind.TEXT, variants=("notes", "remark", "remarks"), about="kept with the movement"),
    Heading("Plan", Kind.TEXT, variants=("plan number",), about="the number of the plan, as printed"),
)

CUT_FORMS = "yes, no, part, the number of parts cut counted from START, or bent for a bar that cannot be used"
BENT_FORMS = "what length of the bent bar is usable, 0 where nothing is"
SPOILED_FORMS = "parts of this bar and what they came to, such as P3 = 1187 or 2 x P3 = 1187; P3 = 0 where it is scrap"
_WORDS = {
    **dict.fromkeys(("yes", "y", "all", "done", "x"), "yes"),
    **dict.fromkeys(("no", "n", "not cut", "none"), "no"),
    **dict.fromkeys(("part", "partly", "in part"), "part"),
    **dict.fromkeys(("bent", "scrapped", "scrap", "not usable"), "bent"),
}
NEAR = 25 * MM
"""How far a measured left over may lie from what a number of cuts leaves, for that number to be meant: kerfs of a whole
bar may add up to this (own choice, no source)."""
_SPOILED = re.compile(r"(?:(?P<count>\d{1,6})\s*[x×]\s*)?(?P<mark>.+?)(?:\s*=\s*(?P<length>[^=]+))?")


@dataclass(frozen=True, slots=True)
class _Bar:
    bar: CutBar
    ends: tuple[tuple[int, int], ...]

    def left(self, cut: int) -> int:
        return left_after(self.bar.length, self.ends, cut)


def read_cut_record(path: Path, plan: Plan, workshop: Workshop, number: str = "") -> dict[int, BarFact]:
    """What a cut record says of the bars of a plan, by bar number.

    Parameters
    ----------
    workshop
        Gives the unit of bare lengths and the decimal sign, and how lengths are printed.
    number
        That of the plan, as it is printed; a row with another one is of another plan.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it: a bar without a row, a bar of another plan, a cell that cannot be understood.
    """
    findings = Findings()
    facts: dict[int, BarFact] = {}
    table = read_table(load_file(path), CUT_RECORD, findings, workshop.decimal_sign)
    if table is None:
        raise ProblemsFound(in_order(findings.problems))
    bars = {bar.number: _Bar(bar, tuple((cut.end, cut.kerf) for cut in bar.cuts)) for bar in plan.bars}
    left_column = table.columns.get("Left over as measured")
    unit = (left_column.unit if left_column else "") or workshop.unit
    parse = partial(parse_length_or_zero, default_unit=unit)
    seen: set[int] = set()
    unsaid: list[Row] = []
    for row in table.rows(findings):
        at = row.needed("Bar", parse_quantity, f"the number of a bar, {min(bars)} to {max(bars)}")
        if at is None:
            continue
        if at not in bars or at in seen:
            found = f"bar {at} again" if at in seen else f"bar {at}"
            row.refuse("Bar", found, f"each bar of the plan once, 1 to {len(bars)}", typed=False, code="record.bar")
            continue
        seen.add(at)
        bar, source, noted = bars[at].bar, row.words("Source"), row.words("Plan")
        if noted and number and noted.removeprefix("plan ").casefold() != number.casefold():
            row.refuse("Plan", noted, f"{number}, the plan that is recorded", code="record.plan")
        # A length bought is printed as such, ``6 m from Yard``, which no mark begins like.
        bought = bar.kind is SourceKind.BOUGHT and source[:1].isdigit()
        if source and bar.source not in source and not bought:
            accepted = f"{bar.source}, which the plan cuts bar {at} from"
            row.refuse("Source", source, accepted, "is this the record of another plan?", code="record.plan")
        left = row.parse("Left over as measured", parse, None, LENGTH_FORMS)
        if not row.text("Cut") and not row.told("Cut"):
            unsaid.append(row)
            continue
        fact = _fact(row, bars[at], left, workshop)
        if fact is not None and row.sound:
            facts[at] = fact
    if unsaid:
        unsaid[0].refuse("Cut", f"a blank cell{and_more(unsaid)}", CUT_FORMS, typed=False, code="cell.blank")
    missing = [at for at in bars if at not in seen]
    if missing and not findings.problems:
        names = ", ".join(map(str, missing[:10])) + (f" and {len(missing) - 10} more" if len(missing) > 10 else "")
        findings.add_statement(
            0,
            table.sheet.place,
            f"no row for bar {names}",
            "a row for every bar of the plan",
            code="record.bar_missing",
        )
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return facts


def _fact(row: Row, bar: _Bar, left: int | None, shop: Workshop) -> BarFact | None:
    word = row.needed("Cut", str, CUT_FORMS)
    if word is None:
        return None
    spoiled = _spoiled(row, bar, shop.figures)
    cut = _how_many(row, word, bar, left, shop)
    if cut is None:
        return None
    _check_left(row, bar, left, cut, shop)
    bent = _WORDS.get(word.lower()) == "bent"
    if bent and left is None and row.sound:
        row.refuse("Left over as measured", "a blank cell", BENT_FORMS, typed=False, code="record.usable")
    return BarFact(
        cut=None if cut == len(bar.ends) else cut, left=left, spoiled=spoiled, scrapped=bent, note=row.words("Note")
    )


def _how_many(row: Row, word: str, bar: _Bar, left: int | None, shop: Workshop) -> int | None:
    """How many parts were cut; None with a problem noted when that cannot be told."""
    known, most = _WORDS.get(word.lower(), ""), len(bar.ends)
    if known == "part":
        near = [cut for cut in range(1, most) if left is not None and abs(bar.left(cut) - left) <= NEAR]
        if len(near) == 1:
            return near[0]
        there = "nothing" if left is None else length_text(left, shop.printing)
        leaves = ", ".join(f"{length_text(bar.left(cut), shop.printing)} after {cut}" for cut in range(1, most)[:6])
        row.refuse(
            "Cut",
            f"part of bar {bar.bar.number}, with {there} left over",
            f"the number of parts cut, or a left over that tells it: {leaves}"
            if most > 1
            else "yes or no: the bar is cut into one part",
            typed=False,
            code="record.partly",
        )
        return None
    if known:
        return {"yes": most, "no": 0, "bent": 0}[known]
    if word.isascii() and word.isdigit() and len(word) < 7 and 0 <= int(word) <= most:
        return int(word)
    row.refuse(
        "Cut", word, CUT_FORMS, f"bar {bar.bar.number} has {most} parts" if word.isdigit() else "", code="record.cut"
    )
    return None


def _check_left(row: Row, bar: _Bar, left: int | None, cut: int, shop: Workshop) -> None:
    """A left over that is longer than a bar can come by is a slip, and so is a bar not cut that became shorter."""
    fault = uncut_fault(left, bar.bar.length, shop.printing) if left is not None and cut == 0 else ""
    if fault and _WORDS.get(row.text("Cut").lower()) != "bent":
        row.refuse("Left over as measured", row.text("Left over as measured"), fault, code="record.left_over")
    most, planned = bar.left(cut) + 4 * NEAR, length_text(bar.left(cut), shop.printing)
    if left is not None and left > most:
        row.refuse(
            "Left over as measured",
            row.text("Left over as measured"),
            f"at most {length_text(most, shop.printing)}, as the plan leaves {planned} of this bar",
            code="record.left_over",
        )


def _spoiled(row: Row, bar: _Bar, figures: Figures) -> tuple[Spoiled, ...]:
    text = row.words("Spoiled parts")
    if not text:
        return ()
    there = Counter(cut.mark for cut in bar.bar.cuts)
    found: dict[str, Spoiled] = {}
    # Marks are parted by commas too, but not where a comma is the decimal sign of a length.
    parted = re.split(r";|,(?!\d)" if figures.decimal_sign == "," else "[;,]", text)
    for word in filter(None, (part.strip() for part in parted)):
        match = _SPOILED.fullmatch(word)
        mark = match["mark"].strip() if match else ""
        count = int(match["count"] or 1) if match else 0
        if match is None or mark not in there or not 1 <= count <= there[mark] or mark in found:
            on = ", ".join(f"{number} x {name}" for name, number in there.items())
            row.refuse("Spoiled parts", text, SPOILED_FORMS, f"bar {bar.bar.number} has {on}", code="record.spoiled")
            return ()
        try:
            measured = figures.length_or_zero(match["length"]) if match["length"] else None
        except Refused as refused:
            row.refuse("Spoiled parts", text, SPOILED_FORMS, refused.hint, code=refused.code)
            return ()
        if measured is None:
            unsaid = f"{word}, and not what it came to"
            row.refuse("Spoiled parts", unsaid, SPOILED_FORMS, typed=False, code="record.measured")
            return ()
        if count * measured > bar.bar.length:
            row.refuse("Spoiled parts", text, "parts that together are no longer than their bar", code="record.spoiled")
            return ()
        found[mark] = Spoiled(mark=mark, quantity=count, measured=measured or None)
    return tuple(found.values())
