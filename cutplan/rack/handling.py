"""What is done to single pieces: put on the rack, moved, put right, taken off, brought back, scrapped; and undoing."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from cutplan.model import EndState
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.rack.entry import STATE_COLUMNS, Entry, action, entry, known_mark, on_hand, state_of
from cutplan.rack.holding import holds_on
from cutplan.rack.issuing import take_mark
from cutplan.rack.pieces import Doing, Kind, Material, Split, Standing, State
from cutplan.rack.store import Ledger
from cutplan.units import Length

TAKE = "take"
"""The word of the action by which pieces leave for work that no plan knows of."""


Judge = Callable[[Sequence[Standing]], None]
"""Looks at pieces that something is to be done to and raises what stands against it: inside the transaction, because
they may be others than those that were looked at before it."""


def _anything(_: Sequence[Standing]) -> None:
    """Nothing stands against it."""


Settle = Callable[[Standing], State]
"""What else of a piece follows from what is put right."""


def _as_said(piece: Standing) -> State:
    """Nothing else."""
    return piece.state


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPiece:
    """A piece to put on the rack. ``mark`` is painted on it already; blank asks for a new one.

    ``where`` says in messages where its line stands.
    """

    material: Material
    state: State
    quantity: int = 1
    mark: str = ""
    where: str = "mark"


def add(ledger: Ledger, doing: Doing, pieces: Sequence[NewPiece], kind: Kind = Kind.PUT) -> tuple[str, ...]:
    """Put pieces on the rack, all or none, and return their marks.

    Raises
    ------
    ProblemsFound
        Every mark that cannot be had.
    """
    problems: list[Problem] = []
    with entry(ledger, doing) as writing:
        taken: list[str] = []
        for piece in pieces:
            try:
                taken.append(take_mark(writing.db, piece.mark) if piece.mark else "")
            except Refused as refused:
                problems.append(Problem.at(piece.where, refused))
        if problems:
            raise ProblemsFound(problems)
        return tuple(
            writing.new_piece(kind, piece.material, piece.state, piece.quantity, mark=mark)
            for piece, mark in zip(pieces, taken, strict=True)
        )


def scrap(
    ledger: Ledger, doing: Doing, marks: Sequence[str], quantity: int | None = None, judge: Judge = _anything
) -> tuple[Standing, ...]:
    """Take pieces off the rack for scrap, all or none: so many of each mark, or all of it.

    Returns how they were, each with the holds that ended with it.
    """
    with entry(ledger, doing) as writing:
        there = all_on_hand(writing.db, marks)
        judge(there)
        pieces = [_some_of(piece, quantity or piece.quantity) for piece in there]
        for piece in pieces:
            split = Split(scrap=piece.state.length * piece.quantity)
            writing.move(piece.mark, Kind.SCRAPPED, -piece.quantity, split=split)
        return tuple(_with_ended(writing, piece) for piece in pieces)


def move(ledger: Ledger, doing: Doing, marks: Sequence[str], place: str) -> tuple[Standing, ...]:
    """Note where pieces lie from now on, and return how they are now."""
    with entry(ledger, doing) as writing:
        pieces = [replace(p, state=replace(p.state, place=place)) for p in all_on_hand(writing.db, marks)]
        for piece in pieces:
            writing.move(piece.mark, Kind.MOVED, state=piece.state)
        return tuple(pieces)


def correct(
    ledger: Ledger,
    doing: Doing,
    mark: str,
    quantity: int | None = None,
    judge: Judge = _anything,
    settle: Settle = _as_said,
    **changes: Any,
) -> tuple[Standing, Standing]:
    """Put right what is known of a piece; ``changes`` are fields of State. Returns it before and after.

    After it has the holds of jobs whose plans count on it as long as it was, and those that ended. So many of those
    that bear the mark have one of their own from then on; without ``quantity`` it is all of them.
    """
    with entry(ledger, doing) as writing:
        (there,) = all_on_hand(writing.db, [mark])
        judge([there])
        before = _some_of(there, quantity or there.quantity)
        after = replace(before, state=replace(before.state, **changes))
        after = replace(after, state=settle(after))
        if after == before:
            raise ProblemsFound(
                [
                    Problem(
                        where=before.mark,
                        found="nothing that differs from what is known",
                        accepted="at least one figure or word that is to be put right",
                        found_is_text=False,
                        code="rack.correction",
                    )
                ]
            )
        if before.quantity == there.quantity:
            writing.move(before.mark, Kind.CORRECTED, state=after.state)
            other = after.state.longest != before.state.longest
            return before, replace(after, holds=holds_on(writing.db, before.mark) if other else ())
        writing.move(before.mark, Kind.CORRECTED, -before.quantity)
        note = f"some of {before.mark}"
        own = writing.new_piece(
            Kind.CORRECTED, after.material, after.state, after.quantity, parent=before.mark, note=note
        )
        return before, replace(after, mark=own, holds=tuple(writing.released.get(before.mark, ())))


def take(ledger: Ledger, doing: Doing, mark: str, quantity: int = 1, judge: Judge = _anything) -> Standing:
    """Take a piece for work that no plan knows of, and return what was taken, with the holds that ended with it.

    All its length counts as parts until it is brought back.
    """
    with entry(ledger, doing) as writing:
        (there,) = all_on_hand(writing.db, [mark])
        judge([there])
        piece = _some_of(there, quantity)
        writing.move(piece.mark, Kind.USED, -quantity, split=Split(parts=quantity * piece.state.length))
        return _with_ended(writing, piece)


def _with_ended(writing: Entry, piece: Standing) -> Standing:
    """A piece that left, with the holds that ended because of it."""
    return replace(piece, holds=tuple(writing.released.get(piece.mark, ())))


def _some_of(piece: Standing, quantity: int) -> Standing:
    """So many of those that bear a mark; raises ProblemsFound where fewer lie there."""
    if quantity > piece.quantity:
        raise ProblemsFound(
            [
                Problem(
                    where=piece.mark,
                    found=f"{quantity} wanted",
                    accepted=f"at most {piece.quantity}, as many as lie on the rack",
                    found_is_text=False,
                    code="rack.quantity",
                )
            ]
        )
    return replace(piece, quantity=quantity)


def bring_back(ledger: Ledger, doing: Doing, mark: str, length: Length | None = None, place: str = "") -> Standing:
    """Bring a piece back that was taken: as it was, or what is left of it, at its share of the book value.

    Raises
    ------
    ProblemsFound
        When it was not taken, or is said to have grown.
    """
    with entry(ledger, doing) as writing:
        taken = still_out(writing.db, mark)
        known, out, before, material = taken.mark, taken.quantity, taken.state, taken.material
        if length is not None and length > before.longest:
            raise _not_brought_back(known, f"{known}, longer than when it was taken")
        left = before if length is None else _left_of(known, before, length)
        now = left.length
        share = None if before.value is None else before.value * now // before.length
        state = replace(left, place=place or before.place, value=share)
        others = writing.db.execute(
            f"SELECT {STATE_COLUMNS} FROM on_hand JOIN piece ON piece.id = on_hand.piece "
            "JOIN state ON state.id = on_hand.state WHERE mark = ?",
            (known,),
        ).fetchone()
        if others and not place and now == before.length == state_of(others).length:
            state = state_of(others)  # it lies with the others again, unless these were measured anew meanwhile
        if (others and state != state_of(others)) or (
            out > 1 and state.length != before.length
        ):  # it is not like the others any more
            known = writing.new_piece(
                Kind.RETURNED, material, state, parent=known, split=Split(parts=-now), note=f"was one of {known}"
            )
            return Standing(mark=known, material=material, state=state, quantity=1)
        writing.move(known, Kind.RETURNED, 1, state=state, split=Split(parts=-now))
        return Standing(mark=known, material=material, state=state, quantity=1)


def _left_of(mark: str, before: State, length: Length) -> State:
    """What is left of a piece, as measured from end to end.

    Whether a slanted end was cut off is not known: counted to the short point as if it were there still, no more of
    it is promised than there is. A piece with two mill ends has one at most.
    """
    tip = before.longest - before.length
    if length == before.longest:
        return before
    if length <= tip:
        raise _not_brought_back(mark, f"{mark}, no longer than its slanted end is")
    return replace(before, length=length - tip, end_a=EndState.SAWN if before.is_full else before.end_a)


def still_out(db: sqlite3.Connection, mark: str) -> Standing:
    """What was taken under a mark and is still out, as it was when it was last taken; raises ProblemsFound for none."""
    known = known_mark(db, mark, "mark")
    out, last = _taken(db, known)
    if not out:
        found = f"{known}, of which none is out any more" if last else f"{known}, which was not taken"
        raise _not_brought_back(known, found)
    row = db.execute(
        f"SELECT designation, standard, finish, {STATE_COLUMNS} FROM movement "
        "JOIN piece ON piece.id = movement.piece JOIN state ON state.id = movement.state WHERE movement.id = ?",
        (last,),
    ).fetchone()
    material = Material(designation=row[0], standard=row[1], finish=row[2])
    return Standing(mark=known, material=material, quantity=out, state=state_of(row[3:]))


def _taken(db: sqlite3.Connection, mark: str) -> tuple[int, int | None]:
    """How many of a mark are out, and the movement by which they were last taken; None where none ever was.

    What came back as a piece of its own counts as come back; what then happens to it has to do with it alone.
    """
    not_undone = "action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"
    taken, last = db.execute(
        "SELECT coalesce(-sum(quantity), 0), max(movement.id) FROM movement JOIN piece ON piece.id = movement.piece "
        f"JOIN action ON action.id = movement.action WHERE mark = ? AND what = ? AND kind = ? AND {not_undone}",
        (mark, TAKE, Kind.USED.value),
    ).fetchone()
    (back,) = db.execute(
        "SELECT coalesce(sum(quantity), 0) FROM movement JOIN piece ON piece.id = movement.piece "
        "LEFT JOIN piece AS parent ON parent.id = piece.parent JOIN action ON action.id = movement.action "
        f"WHERE kind = ? AND {not_undone} AND CASE WHEN movement.id = "
        "(SELECT min(id) FROM movement AS first WHERE first.piece = piece.id) THEN parent.mark ELSE piece.mark END = ?",
        (Kind.RETURNED.value, mark),
    ).fetchone()
    return int(taken - back), last


def _not_brought_back(mark: str, found: str) -> ProblemsFound:
    return ProblemsFound(
        [
            Problem(
                where="mark",
                found=found,
                accepted="the mark of a piece that was taken and is still out, no longer than it was",
                hint=f"cutplan rack history {mark} says where it went; what was found is added anew",
                found_is_text=False,
                code="rack.not_out",
            )
        ]
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone:
    """The action that was undone, and the marks whose pieces moved."""

    doing: Doing
    marks: tuple[str, ...]


def undo(ledger: Ledger, doing: Doing) -> Undone:
    """Take back the last action that is not taken back yet, by counter-movements.

    Raises
    ------
    ProblemsFound
        When there is none.
    """
    with ledger.changing() as db:
        last = db.execute(
            "SELECT id, at, who, what, job, plan, reason FROM action WHERE undoes IS NULL "
            "AND id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL) ORDER BY id DESC LIMIT 1"
        ).fetchone()
        if last is None:
            raise ProblemsFound(
                [
                    Problem(
                        where=str(ledger.path),
                        found="nothing left to undo",
                        accepted="a ledger with an action that is not undone",
                        found_is_text=False,
                        code="rack.nothing_undone",
                    )
                ]
            )
        moves = db.execute(
            "SELECT movement.id, mark FROM movement JOIN piece ON piece.id = movement.piece "
            "WHERE action = ? ORDER BY movement.id DESC",
            (last[0],),
        ).fetchall()
        with action(db, doing, undoes=last[0]) as writing:
            for movement, _ in moves:
                writing.reverse(movement)
            db.execute("DELETE FROM once WHERE action = ?", (last[0],))
        names = ("at", "who", "what", "job", "plan", "reason")
        return Undone(
            doing=Doing(**dict(zip(names, last[1:], strict=True))),
            marks=tuple(dict.fromkeys(mark for _, mark in reversed(moves))),
        )


def all_on_hand(db: sqlite3.Connection, marks: Sequence[str]) -> tuple[Standing, ...]:
    """Every piece named, each once; all that cannot be found is reported together."""
    found: dict[str, Standing] = {}
    problems: list[Problem] = []
    for mark in marks:
        try:
            piece = on_hand(db, mark, "mark")
            found[piece.mark] = piece
        except ProblemsFound as refused:
            problems += refused.problems
    if problems:
        raise ProblemsFound(problems)
    return tuple(found.values())
