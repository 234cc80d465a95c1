"""The columns of the parts list, each declared once: headings read, what it holds, how its cell is read.

What several cells say together is put together elsewhere: the ends of a part in
:mod:`cutplan.reading.lists.part_ends`, the rest in :mod:`cutplan.reading.lists.parts`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from cutplan.reading.lists.part_ends import (
    HEEL_FORMS,
    HEELS,
    LEAN_FORMS,
    LEANS,
    LENGTH_IS,
    LENGTH_IS_FORMS,
    SHARING_FORMS,
    parse_heel,
    parse_lean,
    parse_length_is,
    parse_sharing,
)
from cutplan.reading.lists.stamps import check_stamps, joined_stamps, read_stamps, stamps_of_all
from cutplan.reading.sheets.headings import (
    CHECK_COLUMN,
    NOTE,
    STANDARD,
    Heading,
    Kind,
    finish_heading,
    grade_heading,
    section_heading,
    words_of,
)
from cutplan.reading.sheets.own_columns import Column
from cutplan.reading.sheets.tables import Row, quantity_of
from cutplan.units import ANGLE_FORMS, QUANTITY_FORMS, parse_angle


class Wanted(NamedTuple):
    """How many of a part are wanted: by its row for an assembly made ``times``, and ``in_all`` with spares."""

    times: int
    in_all: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartColumn(Column):
    """A column whose cell alone gives a field of the model's Part.

    Parameters
    ----------
    differs
        What rows with one mark differ in where this does, in words; they are then refused.
    fits
        Notes what is wrong with a value for the quantity of its row and that of the opposite hand.
    made
        The value for all that are wanted, from that of the row; None: the same.
    join
        The value of several rows with one mark, from the value of each, its quantity and how many of the opposite
        hand; raises Refused. None: the first row's.
    """

    differs: str = ""
    fits: Callable[[Row, Any, int, int], None] | None = None
    made: Callable[[Any, Wanted], Any] | None = None
    join: Callable[[Sequence[tuple[Any, int, int]]], Any] | None = None


class EndColumn(Column):
    """A column that says something of the ends of a part; ``field`` is one of :class:`part_ends.Said`."""


_angle = lru_cache(maxsize=1000)(parse_angle)

LONGEST_MARK = 100
"""Percent-encoded, with the name of its list in front, it still fits the code of a label: 2331 bytes at level M
(ISO/IEC 18004, table 7)."""


def _mark(row: Row) -> str:
    mark = row.words("Mark")
    if len(mark) > LONGEST_MARK:
        found, accepted = f"a mark of {len(mark)} characters", f"at most {LONGEST_MARK} characters"
        row.refuse("Mark", found, accepted, typed=False, code="mark.long")
    return mark


def all_words(rows: Sequence[tuple[str, int, int]]) -> str:
    """Different texts, each once."""
    return "; ".join(dict.fromkeys(text for text, *_ in rows if text))


PARTS: tuple[Heading, ...] = (
    PartColumn(
        name="Mark",
        kind=Kind.TEXT,
        variants=(
            "piece mark",
            "pc mark",
            "item",
            "item no",
            "part",
            "part no",
            "part number",
            "part mark",
            "pos",
            "position",
            "item number",
            "part id",
            "mk",
            "ref",
            "reference",
            "drawing mark",
        ),
        about=f"the part's name on the drawing, up to {LONGEST_MARK} characters; "
        "blank ones are numbered P1, P2 and so on",
        shown=1,
        field="mark",
        cell=_mark,
    ),
    PartColumn(
        name="Quantity",
        kind=Kind.COUNT,
        needed=True,
        variants=(
            "qty",
            "no off",
            "number off",
            "nr off",
            "off",
            "pcs",
            "pieces",
            "count",
            "no required",
            "required",
            "quant",
            "qnty",
            "nos",
            "number required",
            "qty required",
            "qty reqd",
            "no reqd",
            "reqd",
            "total qty",
            "quantity required",
            "quantity as drawn",
            "as drawn",
        ),
        about="how many, 1 to 100000",
        shown=2,
        field="quantity",
        cell=lambda row: row.needed("Quantity", quantity_of, QUANTITY_FORMS),
    ),
    section_heading(3, "such as SHS 40x40x3; other for a thing that is not cut, assembly for how many of one are made"),
    Heading(
        "Length",
        Kind.LENGTH,
        needed=True,
        variants=(
            "cut length",
            "part length",
            "piece length",
            "finished length",
            "overall length",
            "cut to",
            "len",
            "l",
            "length each",
            "cutting length",
            "saw length",
            "sawn length",
            "cut size",
            "true length",
        ),
        about="millimetres, metres, or feet and inches; a bare number is in the heading's or the workshop's unit",
        shown=4,
        width=13,
    ),
    STANDARD,
    grade_heading(8, "blank: any grade serves"),
    finish_heading(9, "such as black or galvanised; blank is the workshop's"),
    PartColumn(
        name="Assembly",
        kind=Kind.TEXT,
        variants=("assy", "sub assembly", "subassembly", "weldment"),
        about="what the part belongs to; mass and cost are added up by it",
        shown=10,
        field="assembly",
        join=all_words,
    ),
    EndColumn(
        name="Cut A",
        kind=Kind.ANGLE,
        variants=("end cut a", "angle a", "end a", "mitre a", "miter a"),
        about="degrees from square, 0 to 75; blank is square",
        shown=5,
        field="angle_a",
        cell=lambda row: row.parse("Cut A", _angle, 0, ANGLE_FORMS),
    ),
    EndColumn(
        name="Cut B",
        kind=Kind.ANGLE,
        variants=("end cut b", "angle b", "end b", "mitre b", "miter b"),
        about="as Cut A",
        shown=6,
        field="angle_b",
        cell=lambda row: row.parse("Cut B", _angle, 0, ANGLE_FORMS),
    ),
    EndColumn(
        name="Length is",
        kind=Kind.TEXT,
        variants=("length meant", "length to", "measured to", "length given"),
        about="long point, short point or centre line, where an end is mitred; one side, where two mitres are parallel",
        shown=7,
        choices=words_of(LENGTH_IS),
        strict=True,
        field="meant",
        cell=lambda row: row.parse("Length is", parse_length_is, None, LENGTH_IS_FORMS),
    ),
    EndColumn(
        name="Lean",
        kind=Kind.TEXT,
        variants=("ends lean", "mitres lean", "miters lean"),
        about="how two mitres lean: opposite, as in a frame, or parallel, as in a brace; blank is opposite",
        choices=words_of(LEANS),
        strict=True,
        field="lean",
        cell=lambda row: row.parse("Lean", parse_lean, None, LEAN_FORMS),
    ),
    EndColumn(
        name="On table",
        kind=Kind.TEXT,
        variants=("face on table", "face down", "lies on", "laid on"),
        about="which face lies on the saw's table at a mitre, where two differ: flat, edge, wide side, narrow side, "
        "long leg, short leg, or the width of the face",
        field="on_table",
    ),
    Heading(
        "Depth",
        Kind.LENGTH,
        variants=("mitre depth", "miter depth", "mitre across", "miter across", "depth at mitre"),
        about="the side of the section a mitre runs across, as another way to say which face lies on the table",
    ),
    EndColumn(
        name="Heel",
        kind=Kind.TEXT,
        variants=("heel at", "heel side", "heel on"),
        about="of a mitred angle: long point or short point, the side its heel lies on at the first mitred end",
        choices=words_of(HEELS),
        strict=True,
        field="heel",
        cell=lambda row: row.parse("Heel", parse_heel, None, HEEL_FORMS),
    ),
    PartColumn(
        name="Share mitres",
        kind=Kind.TEXT,
        variants=("share cuts", "shared mitres", "share miters", "shared cuts"),
        about="no where a mitre may not be parted from a neighbour's by one cut, nor the part be turned for it",
        choices=("yes", "no"),
        strict=True,
        field="share_mitres",
        cell=lambda row: row.parse("Share mitres", parse_sharing, True, SHARING_FORMS),
        differs="entry under Share mitres",
    ),
    Heading(
        "Opposite hand",
        Kind.COUNT,
        variants=("opp hand", "oh", "quantity opposite hand", "qty opposite hand", "opposite handed", "qty oh"),
        about="how many more as the mirror image; they become a part of their own, marked -OH",
    ),
    Heading(
        "Cut to fit",
        Kind.LENGTH,
        variants=("fit up", "fit allowance", "cut after fit up"),
        about="what the part is sawn longer by, to be cut after fit-up; yes takes the list's own",
    ),
    Heading(
        "Weld shrinkage",
        Kind.LENGTH,
        variants=("shrinkage", "shrinkage allowance"),
        about="what is added to the length for it; blank is the list's, 0 is none",
    ),
    Heading("Grinding", Kind.LENGTH, variants=("grinding allowance", "dressing"), about="as Weld shrinkage"),
    Heading("Squaring", Kind.LENGTH, variants=("squaring allowance", "facing"), about="as Weld shrinkage"),
    EndColumn(
        name="Cope",
        kind=Kind.TEXT,
        variants=("notch", "copes", "notches", "cope or notch"),
        about="what is coped or notched, in words; of a round tube also such as tee on CHS 60.3x3.2, both ends, "
        "which is worked out",
        field="cope",
    ),
    Heading(
        "Cope allowance",
        Kind.LENGTH,
        variants=("notch allowance",),
        about="what is added to the length for a cope that is not worked out",
    ),
    Heading(
        "Weight each",
        Kind.MASS,
        variants=("mass each", "unit weight", "kg each", "weight per piece"),
        about="of a line marked other: kg, or with its unit, g or lb",
    ),
    Heading(
        "Price each",
        Kind.MONEY,
        variants=("cost each", "price per piece"),
        about="of a line marked other, on the tax basis of the price list",
    ),
    Heading("Merchant", Kind.TEXT, variants=("bought from",), about="of a line marked other: who sells it", width=18),
    Heading(
        "Holes",
        Kind.TEXT,
        variants=("drilling", "hole pattern", "holes in part"),
        about="the name of a pattern, or such as M12 clear, face 2: 50, 6 @ 75; see below",
    ),
    Heading(
        "Spares",
        Kind.TEXT,
        variants=("spare", "extra", "extras"),
        about="how many more are welcome where a left over gives them free; 2 bought adds two to the quantity",
    ),
    Heading(
        "Looked at",
        Kind.TEXT,
        variants=("checked", "warnings off"),
        about="anything here silences the warnings about this line; they are counted",
    ),
    PartColumn(
        name="Saw",
        kind=Kind.TEXT,
        variants=("cut on", "cut on saw", "which saw"),
        about="which of several saws of the workshop file it is cut on; blank is the first that takes it",
        field="saw",
        cell=lambda row: row.words("Saw"),
        differs="entry under Saw",
    ),
    PartColumn(
        name="Stamp",
        kind=Kind.TEXT,
        variants=("stamps", "stamping", "hard stamp", "stamped"),
        about="what to stamp on each copy: one text for all, or one for each such as `RK; JM; TP`",
        field="stamps",
        cell=read_stamps,
        fits=check_stamps,
        made=lambda stamps, wanted: stamps_of_all(stamps, wanted.times, wanted.in_all),
        join=joined_stamps,
    ),
    PartColumn(
        name=NOTE.name,
        kind=NOTE.kind,
        variants=NOTE.variants,
        about=NOTE.about,
        shown=11,
        width=NOTE.width,
        field="note",
        join=all_words,
    ),
    CHECK_COLUMN,
)
"""In the order in which messages and the manual name them."""

OWN_COLUMNS: tuple[PartColumn, ...] = tuple(heading for heading in PARTS if isinstance(heading, PartColumn))
"""Those that give a field by themselves."""

END_COLUMNS: tuple[EndColumn, ...] = tuple(heading for heading in PARTS if isinstance(heading, EndColumn))
"""Those that say something of the ends, but for *Depth*, whose heading may name a unit."""
