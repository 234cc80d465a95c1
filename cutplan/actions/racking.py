"""What is done to pieces on the rack: put there, taken, brought back, moved, put right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.gone_wrong import Unsaid
from cutplan.actions.rack_found import Rack
from cutplan.actions.slanted_ends import with_known_slant
from cutplan.actions.typed_values import Typed, check_wall, printable_words, read_state, section_typed
from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.pieces import Standing

if TYPE_CHECKING:
    from cutplan.rack.pieces import Life, State

WHOLE = "whole"
"""What is said of a piece that comes back as it was."""


def rack_show(
    rack: Rack, *, section: str | None = None, at_least: str | None = None, place: str | None = None
) -> tuple[Standing, ...]:
    """What lies on the rack: all of it, of one section, from a length on, or in one place."""
    from cutplan.rack.standing import standing

    with Typed() as typed:
        named = typed.read("--section", lambda text: section_typed(rack.workshop, text, "").designation, section)
        least = typed.read("--at-least", rack.workshop.figures.length_or_zero, at_least)
    with rack.open(read_only=True) as ledger:
        return standing(ledger, designations=None if named is None else [named], at_least=least or 0, place=place)


def rack_add(
    rack: Rack,
    section: str,
    length: str,
    *,
    quantity: int = 1,
    mark: str = "",
    standard: str = "",
    finish: str = "",
    reason: str = "",
    found: bool = False,
    across: str | None = None,
    **state: str | None,
) -> tuple[str, ...]:
    """Put pieces on the rack and return their marks.

    Parameters
    ----------
    quantity
        So many alike. Full lengths (two mill ends) share one mark, offcuts get one each.
    mark
        Painted on the piece already; blank is given a new one.
    found
        They lay there unknown, rather than being put there.
    across
        The side of the section that a slanted end runs across, where two differ.
    state
        Grade, heat number, certificate, place, photo, ends, wall and value, as typed; see :data:`STATE_READERS`.
    """
    from cutplan.model import EndState
    from cutplan.rack.handling import NewPiece, add
    from cutplan.rack.pieces import Kind, Material, State
    from cutplan.reading.lists.material import tidy_finish
    from cutplan.sections import finish_in_name

    with Typed() as typed:
        known = typed.read("SECTION", lambda text: section_typed(rack.workshop, text, standard), section)
        notation = rack.workshop.notation
        named = typed.read("SECTION", lambda text: finish_in_name(text, notation), section) if known else ""
        values = read_state(rack.workshop, typed, {"length": length, **state})
        if known is not None and "wall" in values:
            typed.read("--wall", lambda _: check_wall(values["wall"], known), "")
    assert known is not None
    material = Material(
        designation=known.designation,
        standard=known.standard,
        finish=tidy_finish(finish) or named or rack.workshop.default_finish,
    )
    full = with_known_slant(rack.workshop, known, State(**values), across)
    one_lot = quantity == 1 or (full.end_a is EndState.MILL and full.end_b is EndState.MILL)
    _check_count(quantity, whole=one_lot)
    if mark and not one_lot:
        raise ProblemsFound([_several_marks(quantity)])
    piece = NewPiece(material=material, state=full, quantity=quantity if one_lot else 1, mark=mark, where="--mark")
    with rack.open(create=True) as ledger:
        pieces = [piece] * (1 if one_lot else quantity)
        return add(ledger, rack.doing("add", reason=reason), pieces, Kind.FOUND if found else Kind.PUT)


def rack_read(rack: Rack, path: Path | str, *, reason: str = "") -> tuple[str, ...]:
    """Put the pieces of a rack file on the rack under the marks they have, all or none; returns the marks."""
    from cutplan.rack.handling import add
    from cutplan.rack.offering import piece_of
    from cutplan.reading.lists.rack_list import read_rack_file

    pieces = [
        piece_of(offcut, rack.workshop, f"{Path(path).name}, row {offcut.row}")
        for offcut in read_rack_file(Path(path), rack.workshop)
    ]
    with rack.open(create=True) as ledger:
        return add(ledger, rack.doing("read", reason=reason), pieces)


def rack_to_begin(rack: Rack) -> tuple[Path, int] | None:
    """The rack file that the workshop names, and how many pieces are in it, where no ledger has them yet.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with that file.
    """
    from cutplan.reading.lists.rack_list import read_rack_file

    if rack.rack_file is None or rack.path.exists():
        return None
    pieces = read_rack_file(rack.rack_file, rack.workshop)
    return rack.rack_file, sum(piece.quantity or 0 for piece in pieces)


def _check_count(quantity: int, *, whole: bool) -> None:
    """Refuse none, and more at once than anybody could mean."""
    from cutplan.reading.reason import MOST_ALIKE, MOST_MARKS

    most = MOST_ALIKE if whole else MOST_MARKS
    if 1 <= quantity <= most:
        return
    alike = "full lengths" if whole else "offcuts"
    accepted = f"1 to {most} {alike} at once{'' if whole else ', each of which is given a mark'}"
    raise ProblemsFound([Problem.statement("--quantity", str(quantity), accepted, code="rack.count")])


def _several_marks(quantity: int) -> Problem:
    return Problem(
        where="--mark",
        found=f"one mark for {quantity} offcuts",
        accepted="a mark of its own for every offcut; full lengths, which have two mill ends, share one",
        hint="leave --mark out to be given new ones, or add them one by one",
        found_is_text=False,
        code="rack.several_marks",
    )


def rack_scrap(
    rack: Rack, marks: Sequence[str], *, quantity: int | None = None, reason: str = ""
) -> tuple[Standing, ...]:
    """Take pieces off the rack for scrap; returns how they were.

    Raises
    ------
    Unsaid
        When several bear a mark, and not how many of them.
    """
    from cutplan.rack.handling import scrap

    with rack.open() as ledger:
        return scrap(ledger, rack.doing("scrap", reason=reason), marks, quantity, judge=_said(quantity))


def _said(quantity: int | None) -> Callable[[Sequence[Standing]], None]:
    """What is asked of the pieces meant before anything is done to them."""
    return _ask_how_many if quantity is None else lambda _: None


def _ask_how_many(pieces: Sequence[Standing]) -> None:
    """Ask how many are meant where several pieces bear a mark.

    Raises
    ------
    Unsaid
        When it is the only mark.
    ProblemsFound
        Every one of several marks.
    """
    problems = []
    for piece in pieces:
        if piece.quantity > 1:
            accepted = f"also --quantity, such as --quantity {piece.quantity} for all"
            if len(pieces) > 1:
                accepted = f"{piece.mark} by itself, with --quantity"
            found = f"{piece.mark}, of which {piece.quantity} lie there"
            problems.append(Problem.statement("mark", found, accepted, code="rack.quantity"))
    if problems and len(pieces) == 1:
        raise Unsaid(problems[0], "quantity", (), f"How many, 1 to {pieces[0].quantity}")
    if problems:
        raise ProblemsFound(problems)


def rack_move(rack: Rack, marks: Sequence[str], place: str) -> tuple[Standing, ...]:
    """Note where pieces lie from now on; returns how they are now."""
    from cutplan.rack.handling import move

    with Typed() as typed:
        known = typed.read("PLACE", printable_words, place)
    with rack.open() as ledger:
        return move(ledger, rack.doing("move"), marks, known or "")


def rack_correct(
    rack: Rack,
    mark: str,
    *,
    quantity: int | None = None,
    reason: str = "",
    across: str | None = None,
    **state: str | None,
) -> tuple[Standing, Standing]:
    """Put right what is known of a piece; returns it before and after.

    Raises
    ------
    Unsaid
        When several bear the mark, and not how many of them.
    """
    from cutplan.rack.handling import correct

    with Typed() as typed:
        values = read_state(rack.workshop, typed, state)

    def judge(pieces: Sequence[Standing]) -> None:
        _check_correction(rack, pieces[0], values, with_reason=bool(reason))
        _said(quantity)(pieces)

    def settle(piece: Standing) -> State:
        if across is None and not _ENDS & values.keys():
            return piece.state
        section = section_typed(rack.workshop, piece.material.designation, piece.material.standard)
        return with_known_slant(rack.workshop, section, piece.state, across)

    doing = rack.doing("correct", reason=reason)
    with rack.open() as ledger:
        return correct(ledger, doing, mark, quantity, judge=judge, settle=settle, **values)


_ENDS = {"end_a", "end_b", "angle_a", "angle_b"}


def _check_correction(rack: Rack, piece: Standing, values: dict[str, Any], *, with_reason: bool) -> None:
    """Refuse figures that make another piece of the one on the rack."""
    from cutplan.reading.reason import check_correction

    before, how = piece.state.length, rack.workshop.printing
    with Typed() as typed:
        if "length" in values and not with_reason:
            typed.read("--length", lambda _: check_correction(values["length"], before, how), "")
        if "wall" in values:
            section = section_typed(rack.workshop, piece.material.designation, piece.material.standard)
            typed.read("--wall", lambda _: check_wall(values["wall"], section), "")


def rack_take(rack: Rack, mark: str, *, quantity: int | None = None, reason: str = "") -> Standing:
    """Take a piece for work that no plan knows of; returns what was taken.

    Raises
    ------
    Unsaid
        When several bear the mark, and not how many of them.
    """
    from cutplan.rack.handling import take

    with rack.open() as ledger:
        return take(ledger, rack.doing("take", reason=reason), mark, quantity or 1, judge=_said(quantity))


def rack_return(rack: Rack, mark: str, *, length: str | None = None, place: str = "", reason: str = "") -> Standing:
    """Bring back what is left of a piece that was taken.

    Parameters
    ----------
    length
        What is left of it, as typed, or ``whole`` where it is as it was.

    Raises
    ------
    Unsaid
        When it is out, and not what is left of it.
    """
    from cutplan.rack.handling import bring_back, still_out
    from cutplan.units import length_text

    whole = " ".join((length or "").split()).casefold() == WHOLE
    with Typed() as typed:
        left = None if whole else typed.read("LENGTH", rack.workshop.figures.length, length or None)
        where = typed.read("--place", printable_words, place)
    with rack.open() as ledger:
        if not length:
            with ledger.reading() as db:
                taken = still_out(db, mark)
            long = length_text(taken.state.longest, rack.workshop.printing)
            found = f"{taken.mark}, {long} when it was taken, and not what is left of it"
            accepted = f"also its length, or {WHOLE}: cutplan rack return {taken.mark} {WHOLE}"
            problem = Problem.statement("LENGTH", found, accepted, code="rack.left_of")
            raise Unsaid(problem, "length", (), f"What length of it is left, or {WHOLE}")
        return bring_back(ledger, rack.doing("return", reason=reason), mark, left, where or "")


def rack_history(rack: Rack, mark: str) -> Life:
    """Where a piece came from and where it went."""
    from cutplan.rack.history import life

    with rack.open(read_only=True) as ledger:
        return life(ledger, mark)
