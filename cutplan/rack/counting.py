"""A stock-take: what should lie in a place, what was found there, and the difference as movements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry, entry, known_mark, on_hand
from cutplan.rack.holding import holds_on
from cutplan.rack.pieces import Doing, Hold, Kind, Material, Standing, State
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from cutplan.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a stock-take says of one mark, or of a piece that bears none. ``length`` is None where it is as noted."""

    where: str
    mark: str
    found: int
    length: Length | None
    material: Material
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Where a stock-take and the ledger differ: how many should be there and were found, and the lengths. [nm]

    Parameters
    ----------
    was
        The mark they were found under, where they are some of a lot that lies elsewhere: ``mark`` is their new one.
    elsewhere
        How many of those found lay elsewhere by the ledger.
    released
        Holds that ended, because what they held is not there.
    held
        Holds of jobs whose plans count on another length.
    """

    mark: str
    material: Material
    expected: int
    found: int
    noted: Length
    measured: Length
    was: str = ""
    elsewhere: int = 0
    released: tuple[Hold, ...] = ()
    held: tuple[Hold, ...] = ()


def count(ledger: Ledger, doing: Doing, place: str, seen: Sequence[Seen]) -> tuple[Difference, ...]:
    """Make the ledger say what was seen in a place, and return every difference; no difference is no movement.

    A piece that lies elsewhere by the ledger is moved here; some of several lengths under one mark become a lot with a
    mark of its own, and the others stay where they are. What should lie here and is not in ``seen`` is refused,
    because a row left out says nothing.

    Raises
    ------
    ProblemsFound
        A piece of the place that no row names, a mark that was never given, more found of an offcut than one.
    """
    with entry(ledger, doing) as writing:
        # Looked up in the transaction: a piece that comes before it begins wants its row too.
        expected = {piece.mark: piece for piece in standing(ledger, place=place)}
        counter = _Counter(writing, place, expected)
        for each in seen:
            counter.see(each)
        for mark in expected.keys() - counter.seen:
            counter.problems.append(
                Problem(
                    where=str(place),
                    found=f"no row for {mark}, which should lie here",
                    accepted="a row for every piece of the place, with 0 where it was not found",
                    found_is_text=False,
                    code="count.missing",
                )
            )
        if counter.problems:
            raise ProblemsFound(sorted(counter.problems, key=str))
        return tuple(counter.differences)


class _Counter:
    def __init__(self, writing: Entry, place: str, expected: dict[str, Standing]) -> None:
        self.writing, self.place, self.expected = writing, place, expected
        self.seen: set[str] = set()
        self.problems: list[Problem] = []
        self.differences: list[Difference] = []

    def see(self, each: Seen) -> None:
        if not each.mark:
            for _ in range(each.found):
                state = replace(each.state, place=self.place)
                mark = self.writing.new_piece(Kind.FOUND, each.material, state)
                self._differs(mark, each.material, 0, 1, state.length, state.length)
            return
        try:
            mark = known_mark(self.writing.db, each.mark, each.where)
        except ProblemsFound as found:
            self.problems += found.problems
            return
        if mark in self.seen:
            self._refuse(each, f"{mark} again", "each mark once", code="count.twice")
            return
        self.seen.add(mark)
        try:
            self._known(mark, each, on_hand(self.writing.db, mark, each.where))
        except ProblemsFound as found:
            if each.found:
                self.problems += found.problems

    def _known(self, mark: str, each: Seen, piece: Standing) -> None:
        here = mark in self.expected
        if not here and not each.found:
            return
        length = each.length or piece.state.length
        if each.found > piece.quantity and not piece.state.is_full:
            self._refuse(
                each,
                f"{each.found} of {mark}",
                "at most 1 of an offcut; the others bear no mark of their own",
                code="count.offcut",
            )
            return
        if not here and each.found < piece.quantity:
            self._part_of_lot(piece, each.found, length)
            return
        place = piece.state.place if here else self.place
        state = replace(piece.state, length=length, place=place)
        if each.found == piece.quantity and state == piece.state:
            return
        self.writing.move(mark, Kind.COUNTED, each.found - piece.quantity, state=state)
        expected = piece.quantity if here else 0
        elsewhere = 0 if here else piece.quantity
        self._differs(mark, piece.material, expected, each.found, piece.state.length, length, elsewhere=elsewhere)

    def _part_of_lot(self, piece: Standing, found: int, length: Length) -> None:
        state = replace(piece.state, length=length, place=self.place)
        note = f"some of {piece.mark}"
        self.writing.move(piece.mark, Kind.COUNTED, -found, note=f"found in {self.place}")
        mark = self.writing.new_piece(Kind.COUNTED, piece.material, state, found, parent=piece.mark, note=note)
        self._differs(
            mark, piece.material, 0, found, piece.state.length, length, was=piece.mark, elsewhere=found
        )  # fmt: skip

    def _refuse(self, each: Seen, found: str, accepted: str, *, code: str) -> None:
        self.problems.append(Problem(where=each.where, found=found, accepted=accepted, found_is_text=False, code=code))

    def _differs(
        self, mark: str, material: Material, expected: int, found: int, noted: Length, measured: Length,
        *, was: str = "", elsewhere: int = 0,
    ) -> None:  # fmt: skip
        released = tuple(self.writing.released.pop(was or mark, ()))
        held = holds_on(self.writing.db, mark) if measured != noted else ()
        self.differences.append(
            Difference(
                mark=mark, material=material, expected=expected, found=found, noted=noted, measured=measured,
                was=was, elsewhere=elsewhere, released=released, held=held,
            )
        )  # fmt: skip
