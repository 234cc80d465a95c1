"""Sums the drawing leaves out, and their parts added to a list."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.sections.section import Section
    from cutplan.sums import Answer

Value = TypeVar("Value")


def brace(
    opening: str, *, depth: str = "", section: str = "", against: str = "top and bottom", unit: str = "mm"
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
        Of bare numbers: ``mm`` or ``in``.

    Raises
    ------
    ProblemsFound
        When something cannot be understood or no such brace can be cut.
    """
    from cutplan import sums

    width, height = _understood("opening", lambda: sums.parse_size(opening, unit))
    across = depth_of(depth, section, unit)
    return _understood("brace", lambda: sums.brace(width, height, across, against, unit))


def frame(
    size: str, *, measured: str, joint: str = "mitred", depth: str = "", section: str = "", unit: str = "mm"
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
    depth, section, unit
        As for :func:`brace`.

    Raises
    ------
    ProblemsFound
        When something cannot be understood, or the frame would have no opening.
    """
    from cutplan import sums

    width, height = _understood(measured, lambda: sums.parse_size(size, unit))
    across = depth_of(depth, section, unit)
    return _understood(measured, lambda: sums.frame(width, height, across, measured=measured, joint=joint, unit=unit))


def spacing(
    clear: str, *, count: int | None = None, most: str = "", width: str = "0", piece: str = "", unit: str = "mm"
) -> Answer:
    """Parts spread evenly between two faces: so many, or so many that no gap is wider than ``most``.

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

    Raises
    ------
    ProblemsFound
        When something cannot be understood, or the parts leave no gap.
    """
    from cutplan import sums
    from cutplan.units import parse_length, parse_length_or_zero

    between = _understood("distance", lambda: parse_length(clear, unit))
    wide = _understood("--width", lambda: parse_length_or_zero(width, unit))
    long = _understood("--length", lambda: parse_length(piece, unit)) if piece else None
    if (count is None) == (not most):
        raise ProblemsFound([_statement("spacing", "both or neither of --count and --most", "one of the two")])
    if count is not None:
        return _understood("--count", lambda: sums.spacing(between, wide, count, piece=long, unit=unit))
    gap = _understood("--most", lambda: parse_length(most, unit))
    return _understood("--most", lambda: sums.spacing_at_most(between, wide, gap, piece=long, unit=unit))


def append_parts(
    answer: Answer,
    path: Path | str,
    *,
    section: str,
    mark: str = "",
    quantity: int = 1,
    depth: str = "",
    unit: str = "mm",
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

    Returns
    -------
    int
        Rows added.

    Raises
    ------
    ProblemsFound
        When the list cannot take the rows; it is then as it was.
    """
    from cutplan.units import angle_text, typed_length
    from cutplan.writing.append import append_parts as append

    found = _section(section)
    if not answer.pieces:
        raise ProblemsFound([_statement("--append", "no parts to add", "--length with the length of each part")])
    rows = []
    for number, piece in enumerate(answer.pieces, 1):
        row: dict[str, str | int] = {
            "Quantity": piece.quantity * quantity,
            "Section": section,
            "Length": typed_length(piece.length, unit),
            "Note": piece.name,
        }
        if mark:
            row["Mark"] = mark if len(answer.pieces) == 1 else f"{mark}-{number}"
        if piece.angle:
            row |= {"Cut A": angle_text(piece.angle), "Cut B": angle_text(piece.angle), "Length is": "long point"}
            if piece.parallel:
                row["Lean"] = "parallel"
            if len(found.mitre_depths) > 1:
                row["Depth"] = typed_length(depth_of(depth, section, unit), unit)
        rows.append(row)
    append(Path(path), rows)
    return len(rows)


def depth_of(depth: str, section: str, unit: str) -> int:
    """Depth in the plane of the frame: as given, which must be a side of the section, or the section's one depth. [nm]

    Raises
    ------
    ProblemsFound
        When neither says it.
    """
    from cutplan.units import USUAL, length_text, parse_length

    given = _understood("--depth", lambda: parse_length(depth, unit)) if depth else None
    if not section:
        if given is None:
            raise ProblemsFound([_statement("depth", "no depth of the section", "--depth or --section")])
        return given
    sides = _section(section).mitre_depths
    names = " or ".join(length_text(side, USUAL[unit]) for side in sides)
    if given is None and len(sides) > 1:
        raise ProblemsFound([_statement("--section", f"{section}, which has two different sides", f"--depth {names}")])
    if given is not None and given not in sides:
        raise ProblemsFound([Problem(where="--depth", found=depth, accepted=f"{names}, a side of {section}")])
    return given if given is not None else sides[0]


def sum_text(answer: Answer, *, unit: str = "mm") -> str:
    """A sum in lines of plain text, with its formulas."""
    from cutplan import sums

    return sums.answer_text(answer, unit)


def sum_values(answer: Answer) -> dict[str, Any]:
    """A sum as values for JSON."""
    from cutplan import sums

    return sums.answer_values(answer)


def _section(text: str) -> Section:
    from cutplan.actions.sections import section

    return section(text)


def _understood(where: str, work_out: Callable[[], Value]) -> Value:
    try:
        return work_out()
    except Refused as refused:
        raise ProblemsFound([Problem.at(where, refused)]) from None


def _statement(where: str, found: str, accepted: str) -> Problem:
    return Problem(where=where, found=found, accepted=accepted, found_is_text=False)
