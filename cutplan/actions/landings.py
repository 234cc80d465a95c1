"""Positions that were spaced, written as landings onto the rails of a list: on their face, from where that begins."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.calculators import Answer
    from cutplan.model import Part, Workshop
    from cutplan.units import Length


def append_landings(
    answer: Answer,
    path: Path | str,
    rails: Sequence[str],
    *,
    face: int | None = None,
    start: str = "",
    what: str = "",
    workshop: Workshop,
) -> tuple[Path, int]:
    """Write where spaced parts land on rails of a list, to the tenth of a millimetre or 1/64 in.

    Parameters
    ----------
    answer
        Of :func:`cutplan.actions.spacing`.
    path
        The parts list that the rails stand in.
    rails
        Their marks.
    face
        The face they land on; None is the inner one of a mitred rail, and of a square one whose faces are alike face 1.
    start
        Where the first of the two faces lies, from end A; blank is where the face of the rail begins, which then has to
        be as long as the distance.
    what
        What lands there, for the note.

    Returns
    -------
    tuple
        The file with the holes of the list, and the rows written.

    Raises
    ------
    ProblemsFound
        When a rail is not in the list, or the distance does not lie on its face; nothing is written.
    """
    from cutplan.reading.whole_job import read_wanted
    from cutplan.writing.append import Values, append_holes

    _, parts = read_wanted(Path(path), None)
    known = {part.mark.casefold(): part for part in parts}
    problems: list[Problem] = []
    rows: list[Values] = []
    for mark in rails:
        part = known.get(mark.casefold())
        try:
            if part is None:
                raise Refused(mark, "marks of the list: " + ", ".join(each.mark for each in parts[:8]), code="sum.rail")
            number = face or _inner_face(part)
            first = _begins(part, number, _clear(answer), start, workshop)
        except Refused as refused:
            problems.append(Problem.at("--on", refused))
            continue
        note = f"{what or 'part'} lands here, its near face"
        for place in answer.places:
            typed = workshop.figures.typed_length(_markable(first + place, workshop.unit))
            rows.append({"Mark": part.mark, "Position": typed, "Face": number, "Note": note})
    if problems:
        raise ProblemsFound(problems)
    return append_holes(Path(path), rows), len(rows)


def _clear(answer: Answer) -> Length:
    """The distance between the two faces that the parts were spaced in. [nm]"""
    length = answer.steps[0].length
    assert length is not None
    return length


def _markable(length: Length, unit: str) -> Length:
    from cutplan.units import INCH, ROUNDED_UP_TO

    step = INCH // 64 if unit == "in" else ROUNDED_UP_TO
    return (length + step // 2) // step * step


def _inner_face(part: Part) -> int:
    """The face at the short points of a mitred part, the inner one of a frame's rail."""
    from cutplan.model.faces import face_numbers, faces_differ, is_angle, opposite, slanted_face

    accepted = f"--face with one of {', '.join(map(str, face_numbers(part.section)))}"
    if is_angle(part.section) or (not part.mitred and faces_differ(part.section)):
        raise Refused(f"{part.mark}, whose faces differ", accepted, code="sum.rail")
    return opposite(slanted_face(part) + 1) if part.mitred else 1


def _begins(part: Part, face: int, clear: Length, typed: str, workshop: Workshop) -> Length:
    """Where the distance begins on a rail, from end A, of a mitred one from its long point. [nm]"""
    from cutplan.model.faces import face_numbers, outline
    from cutplan.units import length_text

    how = workshop.printing
    numbers = face_numbers(part.section)
    if face not in numbers:
        raise Refused(f"face {face} of {part.mark}", f"one of {', '.join(map(str, numbers))}", code="sum.rail")
    at_a, at_b = outline(part, face)
    begins, ends = max(at_a), min(at_b)
    first = workshop.figures.length_or_zero(typed) if typed else begins
    fits = first >= begins and first + clear <= ends + _TOLERATED
    if not fits or (not typed and abs(ends - begins - clear) > _TOLERATED):
        long = f"{length_text(begins, how)} to {length_text(ends, how)} from end A"
        raise Refused(
            f"{part.mark}, whose face {face} reaches from {long}, for a distance of {length_text(clear, how)}",
            "a rail that is as long between its ends, or --from with where the distance begins",
            code="sum.rail",
        )
    return first


_TOLERATED: Length = 200_000
"""What a face may differ from the distance by: roundings to a tenth at either end. [nm]"""
