"""Stock lengths given without a price list: a first answer needs no more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.model import StockLength, Workshop, serves
from cutplan.problems import Problem, Refused, nearest
from cutplan.reading.lists.material import MaterialReader
from cutplan.reading.lists.parts import PartLine
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.sheets.findings import Findings
from cutplan.sections.section import Section
from cutplan.units import length_text, parse_length, with_point

STOCK_FORMS = 'a length such as "6 m", or a section with its lengths such as "SHS 40x40x3: 6 m, 7.5 m"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Lengths for one designation, or for every section when ``designation`` is blank. [nm]"""

    typed: str
    designation: str
    lengths: tuple[int, ...]


def read_stock(texts: Sequence[str], workshop: Workshop, findings: Findings) -> list[Stock]:
    """The stock lengths given; what cannot be understood goes to ``findings``."""
    materials = MaterialReader(workshop)
    stock = []
    for text in texts:
        name, colon, lengths = text.rpartition(":")
        try:
            if workshop.decimal_sign:
                lengths = with_point(lengths, workshop.decimal_sign, STOCK_FORMS)
            if re.search(r"\d,\d", lengths):
                raise Refused(
                    text,
                    STOCK_FORMS,
                    "a comma between lengths has a space behind it; write 1200, not 1,200",
                    code="stock.unreadable",
                )
            section: Section | None = materials.section(name.strip()) if colon else None
            stock.append(
                Stock(
                    typed=text,
                    designation=section.designation if section else "",
                    lengths=tuple(
                        dict.fromkeys(parse_length(word.strip(), workshop.unit) for word in lengths.split(","))
                    ),
                )
            )
        except Refused as refused:
            hint = refused.hint or refused.accepted
            findings.add(
                0, Problem(where=_place(text), found=refused.found, accepted=STOCK_FORMS, hint=hint, code=refused.code)
            )
    return stock


def _place(text: str) -> str:
    return f'stock length "{text}"'


def stock_offers(
    stock: Sequence[Stock],
    lines: Sequence[PartLine],
    prices: PricesRead,
    workshop: Workshop,
    findings: Findings,
    *,
    for_this_job: bool = True,
) -> list[StockLength]:
    """Offers without price or merchant, for the part sections that the price list does not offer.

    Each stated grade of a section gets its own; a section asked for only without grade gets offers without. A named
    section must be among the parts and not in the price list, where a length without a price would hide the others;
    unless the lengths are not ``for_this_job`` but for all of the workshop's, when it is passed over.
    """
    grades: dict[tuple[str, str], list[str]] = {}
    for line in lines:
        part = line.part
        listed = any(
            offer.section.key == part.section.key and offer.finish == part.finish and serves(offer.grade, part.grades)
            for offer in prices.offers
        )
        if not listed:
            grades.setdefault(line.material.key, []).append(part.grade)
    sections = {line.material.key: line.part.section for line in lines}
    offers: list[StockLength] = []
    used: set[str] = set()
    for key, wanted in grades.items():
        section = sections[key]
        chosen: dict[int, None] = {}
        for entry in stock:
            if entry.designation in ("", section.designation):
                used.add(entry.typed)
                chosen.update(dict.fromkeys(entry.lengths))
        for grade in sorted({grade for grade in wanted if grade}) or [""]:
            for length in chosen:
                counted = workshop.counted_on(section.family, length)
                if counted <= 0:
                    family = section.family.value
                    found = f"{length_text(length, workshop.printing)}, no more than the minus tolerance of {family}"
                    findings.add_statement(0, "stock lengths", found, "a longer stock length", code="stock.short")
                    continue
                offers.append(
                    StockLength(
                        id=f"#S{len(offers) + 1}",
                        merchant="",
                        section=section,
                        grade=grade,
                        finish=key[1],
                        length=length,
                        counted=counted,
                    )
                )
    for entry in stock if for_this_job else ():
        if entry.typed in used or not lines:
            continue
        if not entry.designation:
            found = "stock lengths where the price list offers every section of the parts list"
            accepted = "stock lengths for what the price list does not offer, or a price list without those sections"
            findings.add_statement(0, _place(entry.typed), found, accepted, code="stock.section")
        else:
            names = list(dict.fromkeys(line.part.section.designation for line in lines))
            priced = entry.designation in names
            findings.add_statement(
                0,
                _place(entry.typed),
                "a section that the price list offers" if priced else "a section that no part needs",
                "a section of the parts list that has no offer in the price list",
                "" if priced else nearest(entry.designation, names),
                code="stock.section",
            )
    return offers
