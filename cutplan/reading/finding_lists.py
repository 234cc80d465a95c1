"""Which files of a folder are parts lists: told by their headings; by name only where a rack has no others."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from cutplan.problems import ProblemsFound
from cutplan.reading.job_files import workshop_of
from cutplan.reading.jobbook import PARTS_SHEET, open_book
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.lists.price_columns import PRICES
from cutplan.reading.lists.rack_columns import RACK
from cutplan.reading.sheets.headings import HOLES, Heading
from cutplan.reading.sheets.raw_cells import RawFile, Sheet, load_file, read_sheets
from cutplan.reading.sheets.table_search import has_headings, headings_found, rows_below
from cutplan.unfinished import PLAN_FILE

ENDINGS = (".csv", ".xlsx")
OTHER_LISTS: tuple[Sequence[Heading], ...] = (PRICES, RACK, HOLES)
RACK_WORDS = frozenset(("rack", "offcut", "offcuts"))
FEWEST_HEADINGS = 2
"""From which on a file is taken for a list; what it lacks is then reported when it is read."""


def parts_lists_in(folder: Path) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """The parts lists in a folder and in those below it, and its other csv and xlsx files, each in the order of names.

    What is hidden, what a spreadsheet program keeps beside an open file, and folders that hold a plan are passed over.
    A file that cannot be read is taken for a list, so that what is wrong with it is reported.
    """
    lists: list[Path] = []
    others: list[Path] = []
    for path in _files(folder):
        (lists if _is_parts_list(path) else others).append(path)
    return tuple(lists), tuple(others)


def price_lists_in(folder: Path) -> tuple[Path, ...]:
    """The files of a folder and of those below it with the headings of a price list, such as forms sent back."""
    found = []
    for path in parts_lists_in(folder)[1]:
        try:
            sheets = read_sheets(load_file(path), lambda rows: headings_found(rows, PRICES), [])
        except ProblemsFound:
            continue
        if any(rows_below(sheet, PRICES) is not None for sheet in sheets):
            found.append(path)
    return tuple(found)


def _files(folder: Path) -> Iterator[Path]:
    here = sorted(path for path in folder.iterdir() if not path.name.startswith((".", "~")))
    if any(path.name == PLAN_FILE for path in here):
        return
    for path in here:
        if path.is_dir():
            # A link to a folder further up would be gone through without end.
            if not path.is_symlink():
                yield from _files(path)
        elif path.name.lower().endswith(ENDINGS):
            yield path


def _is_parts_list(path: Path) -> bool:
    try:
        sheets = _sheets(open_book(load_file(path))[PARTS_SHEET])
        known, whole = _known(sheets, PARTS)
        others = [_known(sheets, headings) for headings in OTHER_LISTS]
        # A rack of marks, sections and lengths has as many headings of a parts list that lacks quantities.
        if known < FEWEST_HEADINGS or any(other > (known, whole) for other in others):
            return False
        return _known(sheets, RACK) < (known, whole) or not _is_called_rack(path)
    except ProblemsFound:
        return True


def _is_called_rack(path: Path) -> bool:
    """Is a file a rack by its name, or by the workshop file? With quantities, a short one has all headings of parts."""
    if RACK_WORDS.intersection(re.split(r"[^a-z]+", path.stem.lower())):
        return True
    try:
        rack = workshop_of(path, None).rack
    except ProblemsFound:
        return False
    return rack is not None and rack.resolve() == path.resolve()


def _sheets(file: RawFile) -> Sequence[Sheet]:
    return read_sheets(file, lambda rows: headings_found(rows, PARTS), [])


def delimiter_of(text: RawFile) -> str:
    """What parts the cells of a csv text: that with which it has most headings of a parts list or a price list.

    Raises
    ------
    ProblemsFound
        When it is no text.
    """
    (sheet,) = read_sheets(text, lambda rows: max(headings_found(rows, each) for each in (PARTS, PRICES)), [])
    return sheet.delimiter


def _known(sheets: Sequence[Sheet], headings: Sequence[Heading]) -> tuple[int, bool]:
    """How many headings of a list the best sheet holds, and whether none that is needed lacks."""
    return max(
        ((headings_found(sheet.rows, headings), rows_below(sheet, headings) is not None) for sheet in sheets),
        default=(0, False),
    )


def part_sheets(path: Path) -> tuple[str, ...]:
    """The sheets of a workbook that its parts are read from, by name; none of a text, or of what cannot be read."""
    if not path.name.lower().endswith(".xlsx"):
        return ()
    try:
        sheets = _sheets(open_book(load_file(path))[PARTS_SHEET])
    except ProblemsFound:
        return ()
    return tuple(sheet.name for sheet in sheets if sheet.name and not sheet.hidden and has_headings(sheet, PARTS))
