"""What only the whole job can know: can every part be cut from something on sale or on the rack?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cutplan.model import EndState, Offcut, Part, StockLength, Workshop, carrying, grades_together, serves, within_carry
from cutplan.problems import nearest
from cutplan.reading.lists.parts import PartLine, PartsRead
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.lists.rack_list import RackRead
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.tables import and_more
from cutplan.units import length_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What one offer or offcut can give.

    ``gives`` is the longest square part, of a length cut to be carried that of its longest piece; ``whole`` is what it
    gives uncut. [nm]
    """

    source: StockLength | Offcut
    grade: str
    trims: int
    gives: int
    whole: int
    carried: bool
    title: str
    in_pieces: bool = False

    @property
    def gives_title(self) -> str:
        """What it is that gives so much."""
        return f"the longest piece to be carried of {self.title}" if self.in_pieces else self.title


def check_standards(parts: PartsRead, findings: Findings) -> None:
    """Refuse a designation whose standard one line states and another leaves to the workshop, where the two differ."""
    if parts.table is None:
        return
    stated: dict[str, PartLine] = {}
    for line in parts.lines:
        if line.material.standard_stated:
            stated.setdefault(line.part.section.designation, line)
    for line in parts.lines:
        other = stated.get(line.part.section.designation)
        if other is None or line.material.standard_stated or other.part.section.standard == line.part.section.standard:
            continue
        row, section = line.part.row, line.part.section
        findings.add_statement(
            row,
            parts.table.place(row, "Standard" if "Standard" in parts.table.columns else "Section"),
            f"{section.designation} with no standard, which is {section.standard} by the workshop, "
            f"while {parts.table.row_words(other.part.row)} has {other.part.section.standard}",
            "the standard in both rows, as the two are never cut from one bar",
            code="standard.differs",
        )


def check_sources(parts: PartsRead, prices: PricesRead, rack: RackRead, workshop: Workshop, findings: Findings) -> None:
    """Refuse parts that nothing on sale or on the rack could serve, and parts longer than all of it.

    Nothing is said of a material for which a row of the price list or rack could not be read: that row may be the
    answer.
    """
    if parts.table is None or prices.unclear or rack.unclear:
        return
    bars: dict[tuple[str, str], list[StockLength | Offcut]] = defaultdict(list)
    by_designation: dict[str, list[StockLength | Offcut]] = defaultdict(list)
    sources: list[StockLength | Offcut] = [*prices.offers, *rack.offcuts]
    for source in sources:
        by_designation[source.section.designation].append(source)
        if isinstance(source, Offcut) or source.available != 0:
            bars[source.section.key, source.finish].append(source)
    together = grades_together([line.part for line in parts.lines])
    # Parts with mitres by what is cut together: with and without a grade where one of them leaves it open.
    mitred: dict[tuple[tuple[str, str], str, str], list[Part]] = defaultdict(list)
    for line, group in zip(parts.lines, together, strict=True):
        if line.part.mitred:
            mitred[line.material.key, group, line.part.saw].append(line.part)
    known: dict[tuple[int, bool, str], Bar] = {}
    too_long: dict[tuple[tuple[str, str], str], list[PartLine]] = defaultdict(list)
    beyond_carry: dict[tuple[tuple[str, str], str], tuple[list[PartLine], Bar]] = {}
    unserved: dict[tuple[tuple[str, str], str], list[PartLine]] = defaultdict(list)
    for line, group in zip(parts.lines, together, strict=True):
        key = line.material.key
        if key in prices.spoiled or key in rack.spoiled:
            continue
        beside = mitred.get((key, group, line.part.saw), [])
        serving = []
        for source in bars.get(key, ()):
            if serves(source.grade, line.part.grades):
                same = id(source), bool(beside), line.part.saw
                known[same] = known.get(same) or _bar(source, workshop.at_saw(line.part.saw), beside)
                serving.append(known[same])
        if serving and not any(bar.carried for bar in serving):
            too_long[key, line.part.grade].append(line)
        elif serving:
            longer = _check_length(parts, line, serving, workshop, findings)
            if longer is not None:
                beyond_carry.setdefault((key, line.part.grade), ([], longer))[0].append(line)
        else:
            unserved[key, line.part.grade].append(line)
    if too_long:
        there = [source for key, _ in too_long for source in bars[key] if isinstance(source, StockLength)]
        _nothing_carried(parts, list(too_long.values()), _delivering_not(there, workshop), workshop, findings)
    if beyond_carry:
        _longer_than_carried(parts, list(beyond_carry.values()), workshop, findings)
    for lines in unserved.values():
        _nothing_serves(parts, lines, by_designation, findings)


def bars_of(prices: PricesRead, rack: RackRead, workshop: Workshop) -> list[Bar]:
    """Every bar there is to be had, on sale and on the rack."""
    sources: list[StockLength | Offcut] = [*prices.offers, *rack.offcuts]
    return [_bar(source, workshop) for source in sources if isinstance(source, Offcut) or source.available != 0]


def _bar(source: StockLength | Offcut, workshop: Workshop, parts: Iterable[Part] = ()) -> Bar:
    """Trims and what is left between them; a sawn end needs no trim, a mill end the saw's.

    Of a length that is cut to be carried it is those of its longest piece.
    """
    saw, how = workshop.saw, workshop.printing
    if isinstance(source, Offcut):
        counted, carried = source.length, True
        mill_ends = (source.end_a, source.end_b).count(EndState.MILL)
        title = f"offcut {source.mark} of {length_text(counted, how)}"
    else:
        counted, carried, mill_ends = source.counted, within_carry(source, workshop), 2
        title = f"the bar of {length_text(source.length, how)}"
        if counted != source.length:
            title += f", counted on for {length_text(counted, how)},"
        if source.row:
            title += f" in row {source.row} of the price list"
    trims = mill_ends * saw.mill_trim
    whole = Bar(
        source=source, grade=source.grade, trims=trims, gives=counted - trims, whole=counted - trims, carried=carried,
        title=title,
    )  # fmt: skip
    carry = carrying(source, workshop, parts) if isinstance(source, StockLength) else None
    if carry is None:
        return whole
    trims = sum(carry.trims(carry.least, 1))
    gives = carry.longest - carry.tolerance - trims
    return replace(whole, trims=trims, gives=gives, carried=True, in_pieces=True)


def _check_length(
    parts: PartsRead, line: PartLine, serving: list[Bar], workshop: Workshop, findings: Findings
) -> Bar | None:
    """Refuse a part longer than any bar; where one too long to carry is long enough it is given, to be named once."""
    assert parts.table is not None
    part, how = line.part, workshop.printing
    need = part.length
    carried = [bar for bar in serving if bar.carried]
    assert carried, "told for all parts together"
    if any(need <= bar.gives for bar in carried):
        return None
    longer = [bar for bar in serving if need <= bar.whole]
    if longer:
        return min(longer, key=lambda bar: bar.whole)
    best = max(carried, key=lambda bar: bar.gives)
    length = f"{length_text(part.length, how)}{' long point' if part.mitred else ''}"
    terms = [length]
    if best.trims:
        terms.append(f"{length_text(best.trims, how)} end trims")
    total = length_text(need + best.trims, how)
    gives = f"at most {length_text(max(0, best.gives), how)}, what {best.gives_title} gives after trim"
    hint = ""
    if need * 10 > max(bar.whole for bar in serving) * 11:
        hint = "more than a tenth longer than anything there is: is the length right, and its unit?"
    findings.add_statement(
        part.row,
        parts.table.place(part.row, "Length"),
        f"{part.mark}, which needs {f'a bar of {total}: ' if len(terms) > 1 else ''}{' + '.join(terms)}",
        gives,
        hint,
        code="part.too_long",
    )
    return None


def _longer_than_carried(
    parts: PartsRead, materials: list[tuple[list[PartLine], Bar]], workshop: Workshop, findings: Findings
) -> None:
    """One problem for all rows whose parts only such bars are long enough for as cannot be carried.

    It stands at the first; the bar beside the rows of a material is long enough for the first of them.
    """
    assert parts.table is not None
    lines = [line for of_one, _ in materials for line in of_one]
    part, how = lines[0].part, workshop.printing
    carry = length_text(workshop.carry, how)
    bars = [bar for _, bar in materials]
    bar = "a bar, or a piece of one," if any(bar.in_pieces for bar in bars) else "a bar"
    one = f"{bars[0].title} is longer than the longest carry, {carry}"
    if bars[0].in_pieces:
        one += f"; its longest piece gives {length_text(bars[0].gives, how)} after trim"
    lengths = [f"{line.part.mark} of {length_text(line.part.length, how)}" for line in lines[:3]]
    named = ", ".join(lengths) + (f" and {len(lines) - 3} more" if len(lines) > 3 else "")
    findings.add_statement(
        part.row,
        parts.table.place(part.row, "Length"),
        f"longer than any bar that can be carried gives: {named}{and_more(lines)}",
        f"parts that {bar} within the longest carry, {carry}, gives",
        one
        if len(materials) == 1
        else f"bars long enough for them are longer than the longest carry, {carry}: a merchant has to deliver them",
        code="part.too_long",
    )


def _delivering_not(offers: Iterable[StockLength], workshop: Workshop) -> str:
    """Why a merchant who delivers does not deliver one of these lengths; nothing where none delivers."""
    for offer in offers:
        terms = workshop.terms(offer.merchant)
        if terms.delivers and not terms.may_be_delivered:
            return f"{terms.name} delivers, but all is to be fetched there, by brought in the workshop file"
        if terms.delivers:
            longest = length_text(terms.longest_delivered, workshop.printing)
            return f"{terms.name} delivers lengths of up to {longest}, by longest_delivered"
    return ""


def _nothing_carried(
    parts: PartsRead, materials: list[list[PartLine]], why: str, workshop: Workshop, findings: Findings
) -> None:
    """One problem for all rows for which there are bars, each of them too long to carry; it stands at the first.

    ``why`` says what a merchant who delivers does not deliver, if there is one.
    """
    assert parts.table is not None
    lines = [line for lines in materials for line in lines]
    part, carry = lines[0].part, length_text(workshop.carry, workshop.printing)
    wanted = "; ".join(
        ", ".join(text for text in (one.section.key, one.grade, one.finish) if text)
        for one in (lines[0].part for lines in materials)
    )
    findings.add_statement(
        part.row,
        parts.table.place(part.row, "Section"),
        f"no bar of {wanted} but such as are longer than the longest carry{and_more(lines)}",
        f"a bar within the longest carry, {carry}, or one from a merchant who delivers or who cuts it to be carried",
        why or "merchants who do are said in the workshop file: delivers or cuts_to_carry",
        code="part.too_long",
    )


def _nothing_serves(
    parts: PartsRead,
    lines: list[PartLine],
    by_designation: dict[str, list[StockLength | Offcut]],
    findings: Findings,
) -> None:
    """One problem for all rows that ask for the same; it stands at the first."""
    assert parts.table is not None
    part = lines[0].part
    wanted = ", ".join(text for text in (part.section.key, part.grade, part.finish) if text)
    same = by_designation.get(part.section.designation, [])
    wanted_as_is = [
        source
        for source in same
        if (source.section.key, source.finish) == (part.section.key, part.finish) and serves(source.grade, part.grades)
    ]
    if wanted_as_is:
        hint = "the price list has it, with 0 available"
    elif same:
        hint = f"{part.section.designation} is there as {_ways(same, part.section.standard, part.finish)}"
        alike = [source for source in same if (source.section.key, source.finish) == (part.section.key, part.finish)]
        if part.grade and any(source.grade for source in alike):
            hint += "; a grade that serves it too is the designer's to name, in grades.also of the workshop file"
    else:
        near = nearest(part.section.designation, by_designation)
        hint = near.replace("did you mean", "nearest on sale or on the rack:").removesuffix("?")
    findings.add_statement(
        part.row,
        parts.table.place(part.row, "Section"),
        f"no stock length and no offcut of {wanted}{and_more(lines)}",
        "a section, standard, grade and finish of the price list or the rack",
        hint,
        code="part.no_offer",
    )


def _ways(sources: Iterable[StockLength | Offcut], standard: str, finish: str) -> str:
    """In which standards, grades and finishes a designation is there."""
    ways = []
    for source in sources:
        grade = source.grade or "grade unknown"
        ways.append(", ".join((source.section.standard, grade, source.finish)))
    shown = list(dict.fromkeys(ways))
    return " or ".join(shown[:3]) + (f" and {len(shown) - 3} more" if len(shown) > 3 else "")
