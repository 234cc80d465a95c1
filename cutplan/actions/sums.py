"""Sums the drawing leaves out, and their parts added to a list."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.calculators import Answer
    from cutplan.model import Workshop
    from cutplan.sections.section import Section

Value = TypeVar("Value")


def brace(
    opening: str,
    *,
    depth: str = "",
    section: str = "",
    against: str = "top and bottom",
    unit: str = "",
    workshop: Workshop | None = None,
) -> Answer:
    """A diagonal brace in an opening, such as ``1000 x 800``, ends flat against two of its sides.

    Parameters
    ----------
    opening
        Width and height inside the frame.
    depth, section
        Depth in the plane of the frame, or the section whose one depth it is.
    against
        ``top and bottom`` or ``sides``.
    unit
        Of bare numbers: ``mm`` or ``in``; blank is the workshop's.
    workshop
        Whose unit, decimal sign and standards hold.

    Raises
    ------
    ProblemsFound
        When something cannot be understood or no such brace can be cut.
    """
    from cutplan import calculators

    shop = _shop(workshop, unit)
    width, height = _size("opening", opening, shop)
    across = depth_of(depth, section, workshop=shop)
    return _understood("brace", lambda: calculators.brace(width, height, across, against, shop.unit))


def frame(
    size: str,
    *,
    measured: str,
    joint: str = "mitred",
    brace: bool = False,
    depth: str = "",
    section: str = "",
    unit: str = "",
    workshop: Workshop | None = None,
) -> Answer:
    """The four parts of a frame from its outside or inside size, and its check diagonals.

    Parameters
    ----------
    size
        Such as ``1000 x 600``, width first.
    measured
        ``outside`` or ``inside``.
    joint
        ``mitred``, ``width through`` or ``height through``.
    brace
        With a brace of the same section from corner to corner.
    depth, section, unit, workshop
        As for :func:`brace`.

    Raises
    ------
    ProblemsFound
        When something cannot be understood, or the frame would have no opening.
    """
    from cutplan import calculators

    shop = _shop(workshop, unit)
    width, height = _size(measured, size, shop)
    across = depth_of(depth, section, workshop=shop)
    found = _understood(
        measured, lambda: calculators.frame(width, height, across, measured=measured, joint=joint, unit=shop.unit)
    )
    return _understood("--brace", lambda: calculators.braced(found, across, 1, shop.unit)) if brace else found


def gate(
    opening: str,
    *,
    hinge_gap: str,
    latch_gap: str,
    below: str = "0",
    leaves: int = 1,
    joint: str = "mitred",
    brace: bool = False,
    depth: str = "",
    section: str = "",
    unit: str = "",
    workshop: Workshop | None = None,
) -> Answer:
    """The frames of a gate of one or two leaves, from its opening and the gaps around them.

    Parameters
    ----------
    opening
        Width between the posts and height from the ground, such as ``3000 x 1400``.
    hinge_gap, latch_gap, below
        Gaps at the hinges, at the latch (of two leaves between them) and under the leaf; 0 among them.
    leaves
        1 or 2.
    joint, brace, depth, section, unit, workshop
        As for :func:`frame`; a brace in each leaf.

    Raises
    ------
    ProblemsFound
        When something cannot be understood, or the gaps leave no leaf.
    """
    from cutplan import calculators

    shop = _shop(workshop, unit)
    width, height = _size("--opening", opening, shop)
    across = depth_of(depth, section, workshop=shop)
    typed = (("hinge", "--hinge-gap", hinge_gap), ("latch", "--latch-gap", latch_gap), ("below", "--below", below))
    gaps = {name: _understood(option, partial(shop.figures.length_or_zero, text)) for name, option, text in typed}
    found = _understood(
        "--opening",
        lambda: calculators.gate(width, height, across, **gaps, leaves=leaves, joint=joint, unit=shop.unit),
    )
    return _understood("--brace", lambda: calculators.braced(found, across, leaves, shop.unit)) if brace else found


def spacing(
    clear: str,
    *,
    count: int | None = None,
    most: str = "",
    width: str = "0",
    piece: str = "",
    unit: str = "",
    workshop: Workshop | None = None,
) -> Answer:
    """Parts spread evenly between two faces: ``count`` of them, or enough that no gap is wider than ``most``.

    Parameters
    ----------
    clear
        Distance between the two faces.
    count, most
        How many parts, or the widest gap; one of the two.
    width
        How wide each part stands in it.
    piece
        Length of each part, where they are to be cut.
    unit, workshop
        As for :func:`brace`.

    Raises
    ------
    ProblemsFound
        When something cannot be understood, or the parts leave no gap.
    """
    from cutplan import calculators

    shop = _shop(workshop, unit)
    between = _length("distance", clear, shop)
    wide = _understood("--width", lambda: shop.figures.length_or_zero(width))
    long = _length("--length", piece, shop) if piece else None
    if (count is None) == (not most):
        raise ProblemsFound(
            [_statement("spacing", "both or neither of --count and --most", "one of the two", code="command.either")]
        )
    if count is not None:
        return _understood("--count", lambda: calculators.spacing(between, wide, count, piece=long, unit=shop.unit))
    gap = _length("--most", most, shop)
    return _understood("--most", lambda: calculators.spacing_at_most(between, wide, gap, piece=long, unit=shop.unit))


def append_parts(
    answer: Answer,
    path: Path | str,
    *,
    section: str,
    mark: str = "",
    quantity: int = 1,
    depth: str = "",
    unit: str = "",
    workshop: Workshop | None = None,
) -> int:
    """Add the parts of a sum to a parts list, csv or xlsx; a csv list that is not there is begun.

    Parameters
    ----------
    mark
        Of the one part, or the beginning of the marks where there are several; blank leaves them to be numbered.
    quantity
        How many of what was worked out.
    depth
        As given to the sum, where the section has two sides.
    unit, workshop
        As for :func:`brace`; lengths are written with the decimal sign of the workshop, by which the list is read.

    Returns
    -------
    int
        Rows added.

    Raises
    ------
    ProblemsFound
        When the list cannot take the rows; it is then as it was.
    """
    from cutplan.units import angle_text
    from cutplan.writing.append import append_parts as append

    shop = _shop(workshop, unit)
    found = _section(section, shop)

    if not answer.pieces:
        raise ProblemsFound(
            [_statement("--append", "no parts to add", "--length with the length of each part", code="command.needed")]
        )
    rows = []
    for number, piece in enumerate(answer.pieces, 1):
        row: dict[str, str | int] = {
            "Quantity": piece.quantity * quantity,
            "Section": section,
            "Length": shop.figures.typed_length(piece.length),
            "Note": piece.name,
        }
        if mark:
            row["Mark"] = mark if len(answer.pieces) == 1 else f"{mark}-{number}"
        if piece.angle:
            angle = shop.figures.signed(angle_text(piece.angle))
            row |= {"Cut A": angle, "Cut B": angle, "Length is": "long point"}
            if piece.parallel:
                row["Lean"] = "parallel"
            if len(found.mitre_depths) > 1:
                row["Depth"] = shop.figures.typed_length(depth_of(depth, section, workshop=shop))
        rows.append(row)
    append(Path(path), rows)
    return len(rows)


def depth_of(depth: str, section: str, *, workshop: Workshop | None = None) -> int:
    """Depth in the plane of the frame: as given, which must be a side of the section, or the section's one depth. [nm]

    Raises
    ------
    ProblemsFound
        When neither says it.
    """
    from cutplan.units import USUAL, length_text

    shop = _shop(workshop)
    given = _length("--depth", depth, shop) if depth else None
    if not section:
        if given is None:
            raise ProblemsFound(
                [_statement("depth", "no depth of the section", "--depth or --section", code="sum.depth")]
            )
        return given
    sides = _section(section, shop).mitre_depths
    names = " or ".join(length_text(side, USUAL[shop.unit]) for side in sides)
    if given is None and len(sides) > 1:
        raise ProblemsFound(
            [_statement("--section", f"{section}, which has two different sides", f"--depth {names}", code="sum.depth")]
        )
    if given is not None and given not in sides:
        raise ProblemsFound(
            [Problem(where="--depth", found=depth, accepted=f"{names}, a side of {section}", code="sum.depth")]
        )
    return given if given is not None else sides[0]


def sum_text(answer: Answer, *, workshop: Workshop | None = None) -> str:
    """A sum in lines of plain text, with its formulas; saw angles as the scale of the workshop's saw reads them too."""
    from cutplan.words import sum_words

    shop = _shop(workshop)
    return sum_words.sum_text(answer, shop.unit, shop.saw.square_reads)


def sum_values(answer: Answer, *, workshop: Workshop | None = None) -> dict[str, Any]:
    """A sum as values for JSON."""
    from cutplan.words import sum_words

    shop = _shop(workshop)
    return sum_words.sum_values(answer, shop.unit, shop.saw.square_reads)


def _section(text: str, shop: Workshop) -> Section:
    from cutplan.actions.sections import section

    return section(text, workshop=shop)


def _shop(workshop: Workshop | None, unit: str = "") -> Workshop:
    """The workshop, with its own unit unless another is said."""
    from cutplan.model import Workshop

    shop = workshop or Workshop()
    return replace(shop, unit=unit) if unit else shop


def _length(where: str, text: str, shop: Workshop) -> int:
    return _understood(where, lambda: shop.figures.length(text))


def _size(where: str, text: str, shop: Workshop) -> tuple[int, int]:
    from cutplan.calculators import SIZE_FORMS, parse_size

    return _understood(where, lambda: parse_size(shop.figures.plain(text, SIZE_FORMS), shop.unit))


def _understood(where: str, work_out: Callable[[], Value]) -> Value:
    try:
        return work_out()
    except Refused as refused:
        raise ProblemsFound([Problem.at(where, refused)]) from None


def _statement(where: str, found: str, accepted: str, *, code: str) -> Problem:
    return Problem(where=where, found=found, accepted=accepted, found_is_text=False, code=code)
