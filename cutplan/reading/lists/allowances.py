"""What is added to a length before it is sawn: to one part by its line, to a whole list above its headings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache, partial

from cutplan.model import Allowance, Purpose
from cutplan.problems import Problem, Refused
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import tidy_heading
from cutplan.reading.sheets.raw_cells import cell_text, column_letter
from cutplan.reading.sheets.tables import Row, Table
from cutplan.units import LENGTH_FORMS, Length, parse_length_or_zero, with_point

COLUMNS = {
    "Weld shrinkage": Purpose.SHRINKAGE,
    "Grinding": Purpose.GRINDING,
    "Squaring": Purpose.SQUARING,
    "Cope allowance": Purpose.COPE,
    "Cut to fit": Purpose.FIT,
}
"""The columns that add to a length, in the order in which they are printed."""

_LABELS = {
    "weld shrinkage": Purpose.SHRINKAGE,
    "shrinkage": Purpose.SHRINKAGE,
    "grinding": Purpose.GRINDING,
    "squaring": Purpose.SQUARING,
    "cut to fit": Purpose.FIT,
}
"""What stands above the headings, before a length, for the whole list."""

_YES = ("yes", "y", "x", "true")
_NO = ("no", "n", "-", "false")
ALLOWANCE_FORMS = f"an allowance, 0 for none: {LENGTH_FORMS}"
FIT_FORMS = "what the part is sawn longer by, such as 20 mm; yes, where a row above the headings says Cut to fit: 20 mm"


@dataclass(slots=True)
class AllowanceReader:
    """Reads the allowances of rows.

    ``of_list`` holds for every part whose line is blank; ``unit`` is that of bare numbers.
    """

    unit: str
    of_list: Mapping[Purpose, Length] = field(default_factory=dict)
    _parsers: dict[str, Callable[[str], Length]] = field(default_factory=dict)

    def read(self, row: Row) -> tuple[Allowance, ...]:
        """The allowances of a row, those of the list among them."""
        found = []
        for heading, purpose in COLUMNS.items():
            if purpose is Purpose.FIT:
                length = row.parse(heading, self._fit(row), 0, FIT_FORMS)
            else:
                # A cope is the matter of its own line alone.
                blank = self.of_list.get(purpose, 0) if purpose is not Purpose.COPE else 0
                length = row.parse(heading, self._parser(row, heading), blank, ALLOWANCE_FORMS)
            if length:
                found.append(Allowance(purpose=purpose, length=length))
        return tuple(found)

    def _parser(self, row: Row, heading: str) -> Callable[[str], Length]:
        if heading not in self._parsers:
            column = row.table.columns.get(heading)
            unit = (column.unit if column else "") or self.unit
            self._parsers[heading] = lru_cache(maxsize=None)(partial(parse_length_or_zero, default_unit=unit))
        return self._parsers[heading]

    def _fit(self, row: Row) -> Callable[[str], Length]:
        def parse(text: str) -> Length:
            word = text.lower()
            if word in _NO:
                return 0
            if word in _YES:
                if Purpose.FIT not in self.of_list:
                    raise Refused(text, FIT_FORMS, code="allowance.fit")
                return self.of_list[Purpose.FIT]
            try:
                return self._parser(row, "Cut to fit")(text)
            except Refused as refused:
                raise Refused(text, FIT_FORMS, refused.hint, code="allowance.fit") from None

        return parse


def list_allowances(table: Table, unit: str, findings: Findings) -> dict[Purpose, Length]:
    """What the rows above the headings add to every part: ``Grinding: 1 mm``, or the length in the next cell.

    Parameters
    ----------
    table
        The parts list.
    unit
        Of a bare number.
    findings
        Gains a problem where a length after such a word cannot be read, or a word stands twice.
    """
    if table.stacked:
        return _same_on_all(table, unit, findings)
    found: dict[Purpose, Length] = {}
    for row, column, purpose, text in _labelled(table):
        where = f"{table.sheet.place}, row {row + 1}, column {column_letter(column)}"
        if purpose in found:
            statement = f"an allowance for {purpose.value} again"
            findings.add_statement(
                row + 1, where, statement, "one allowance for each purpose above the headings", code="allowance.twice"
            )
            continue
        try:
            plain = with_point(text, table.decimal_sign, ALLOWANCE_FORMS) if table.decimal_sign else text
            found[purpose] = parse_length_or_zero(plain, unit)
        except Refused as refused:
            findings.add(row + 1, Problem.at(where, Refused(text, ALLOWANCE_FORMS, refused.hint, code=refused.code)))
    return {purpose: length for purpose, length in found.items() if length}


def _same_on_all(table: Table, unit: str, findings: Findings) -> dict[Purpose, Length]:
    """What stands above the headings of several sheets; another allowance there than on the first is refused."""
    sheets = [sheet for _, sheet in table.stacked]
    first, *others = [(sheet.sheet, list_allowances(sheet, unit, findings)) for sheet in sheets]
    for sheet, found in others:
        if found != first[1]:
            statement = f'allowances above the headings that are not those of sheet "{first[0].name}"'
            accepted = "the same allowances on all sheets, or a column for them"
            findings.add_statement(0, sheet.place, statement, accepted, code="allowance.twice")
    return first[1]


def _labelled(table: Table) -> Iterator[tuple[int, int, Purpose, str]]:
    """Row and column, counted from 0, of each allowance above the headings, with what it is for and its text."""
    for row, cells in enumerate(table.sheet.rows[: table.heading_row]):
        texts = [" ".join(cell_text(cell).split()) for cell in cells]
        for column, text in enumerate(texts):
            label, _, value = text.replace("=", ":").partition(":")
            purpose = _LABELS.get(tidy_heading(label).removesuffix(" allowance"))
            if purpose is None:
                continue
            if value.strip():
                yield row, column, purpose, value.strip()
                continue
            beside = next((at for at in range(column + 1, len(texts)) if texts[at]), None)
            if beside is not None:
                yield row, beside, purpose, texts[beside]
