"""What the rack offers to a job: pieces of its sections that no other job holds, oldest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

from cutplan.model import Offcut, Part, Workshop
from cutplan.model.placing import side_of_slant
from cutplan.rack.handling import NewPiece
from cutplan.rack.pieces import Material, Standing, State
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from cutplan.sections import Section, read_section


def offered(ledger: Ledger, workshop: Workshop, job: str, parts: Sequence[Part], today: str) -> tuple[Offcut, ...]:
    """The pieces that a job may be cut from, in the order in which they came onto the rack.

    Parameters
    ----------
    workshop
        Gives the density, and the book value of a piece that has none of its own.
    job
        Its own holds count as free.
    parts
        Only what serves one of them by section and finish is offered.
    today
        Holds past their day count as free. [``2031-06-01``]
    """
    wanted = {(part.section.key, part.finish) for part in parts}
    designations = sorted({part.section.designation for part in parts})
    found = []
    for piece in sorted(standing(ledger, designations=designations), key=lambda piece: (piece.since, piece.order)):
        count = piece.quantity - sum(h.quantity for h in piece.holds if h.job != job and h.until >= today)
        offcut = offcut_of(piece, workshop, count) if count > 0 else None
        if offcut and (offcut.section.key, offcut.finish) in wanted:
            found.append(offcut)
    return tuple(found)


def offcut_of(piece: Standing, workshop: Workshop, quantity: int) -> Offcut:
    """A piece on the rack as a job knows it; one without a book value is taken at the workshop's offcut value."""
    section = read_section(
        piece.material.designation,
        standard=piece.material.standard,
        standard_of=workshop.standard,
        density=workshop.density,
    )
    state = _slant_known(piece.state, section)
    value = state.value
    return Offcut(
        mark=piece.mark,
        section=section,
        grade=state.grade,
        finish=piece.material.finish,
        length=state.longest,
        end_a=state.end_a,
        end_b=state.end_b,
        place=state.place,
        heat_number=state.heat_number,
        book_value=workshop.book_value(section.family, state.length) if value is None else value,
        quantity=quantity,
        **_slant(state),
    )


def _slant_known(state: State, section: Section) -> State:
    """With what its slant runs across, where that was never noted and all sides of the section are alike."""
    if not state.angle_a or state.depth or len(section.mitre_depths) > 1:
        return state
    (depth,) = section.mitre_depths
    side = side_of_slant(section, depth)
    return state if side is None else replace(state, depth=depth, side=side)


def _slant(state: State) -> dict[str, Any]:
    """Of end A, where it is known what it runs across."""
    if state.longest == state.length:
        return {}
    return {"angle_a": state.angle_a, "depth": state.depth, "side": state.side}


def piece_of(offcut: Offcut, workshop: Workshop, where: str = "mark") -> NewPiece:
    """A piece as a job knows it, to be put on a rack under the mark it has.

    A book value that is the workshop's own for the length is left open, so that it follows the workshop file.
    """
    usual = workshop.book_value(offcut.section.family, offcut.length)
    section = offcut.section
    return NewPiece(
        material=Material(designation=section.designation, standard=section.standard, finish=offcut.finish),
        state=State(
            length=offcut.length - offcut.tip,
            end_a=offcut.end_a,
            end_b=offcut.end_b,
            angle_a=offcut.angle_a,
            depth=offcut.depth,
            side=offcut.side,
            grade=offcut.grade,
            place=offcut.place,
            heat_number=offcut.heat_number,
            value=None if offcut.book_value == usual else offcut.book_value,
        ),
        quantity=offcut.quantity,
        mark=offcut.mark,
        where=where,
    )


def digest(offcuts: Sequence[Offcut]) -> str:
    """What a rack offered, as a digest that stands for the file that a plan was made from."""
    return sha256("\n".join(map(repr, map(_figures, offcuts))).encode()).hexdigest()


def _figures(offcut: Offcut) -> tuple[object, ...]:
    return (
        offcut.mark, offcut.section.key, offcut.grade, offcut.finish, offcut.length, offcut.end_a.value,
        offcut.end_b.value, offcut.place, offcut.heat_number, offcut.quantity,
        *((offcut.angle_a, offcut.depth, offcut.side) if offcut.angle_a else ()), offcut.book_value,
    )  # fmt: skip


def changes(before: Sequence[Offcut], now: Sequence[Offcut]) -> tuple[str, ...]:
    """What changed on the rack between two looks, in words; empty when nothing did. Book values are not compared."""
    had, has = ({offcut.mark: offcut for offcut in offcuts} for offcuts in (before, now))
    told = [f"{mark} is not there any more, or is held for another job" for mark in had if mark not in has]
    told += [f"{mark} has come" for mark in has if mark not in had]
    for mark in had.keys() & has.keys():
        told += [f"{mark} has changed"] if _figures(had[mark])[:-1] != _figures(has[mark])[:-1] else []
    return tuple(sorted(told))
