"""Nothing is lost and nothing appears: what goes into every movement comes out of it, piece by piece and section by
section, in length and in book value.

All of it is told by the movements alone. A piece never changes its section, so mass, which is its length at the
section's own figure, is kept wherever length is.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from cutplan.rack.pieces import COMING, Kind, Material
from cutplan.units import Length, Money, mm_text, money_text

_MOVEMENTS = """
SELECT movement.id, movement.action, what, plan, undoes, piece.id, mark, parent, designation, standard, finish, kind,
    quantity, length_change, bar, parts, kerf_and_trim, scrap, held, state.id, length, value, grade, heat_number,
    certificate, end_a, end_b, angle_a, angle_b, wall
FROM movement JOIN action ON action.id = movement.action JOIN piece ON piece.id = movement.piece
JOIN state ON state.id = movement.state ORDER BY movement.id
"""

_OTHER_SECTION = """
SELECT piece.mark, parent.mark FROM piece JOIN piece AS parent ON parent.id = piece.parent
WHERE (piece.designation, piece.standard, piece.finish) <> (parent.designation, parent.standard, parent.finish)
ORDER BY piece.id
"""

_STAYING = frozenset((Kind.USED, Kind.SCRAPPED, Kind.HELD, Kind.RELEASED))
"""Movements that leave a piece as it is: what leaves is what lay there."""

_SIGNS = {
    **dict.fromkeys(COMING, (1,)),
    **dict.fromkeys((Kind.USED, Kind.SCRAPPED), (-1,)),
    **dict.fromkeys((Kind.MOVED, Kind.HELD, Kind.RELEASED), (0,)),
    **dict.fromkeys((Kind.CORRECTED, Kind.COUNTED, Kind.UNDONE), (-1, 0, 1)),
}
"""Whether more of a piece, as many or fewer are there after a movement of a kind."""

_SPLITTING = frozenset((Kind.USED, Kind.SCRAPPED, Kind.RETURNED, Kind.UNDONE))
"""Movements in which length becomes parts, kerf and scrap, or is that no more."""

_CUTTING = frozenset((Kind.USED, Kind.CUT_FROM, Kind.SCRAPPED, Kind.RETURNED))
"""Movements out of which, bar by bar, as much comes as went in."""


class _Row(NamedTuple):
    number: int
    action: int
    what: str
    plan: str
    undoes: int | None
    piece: int
    mark: str
    parent: int | None
    designation: str
    standard: str
    finish: str
    kind: str
    quantity: int
    change: Length
    bar: int | None
    parts: Length
    kerf_and_trim: Length
    scrap: Length
    held: int
    state: int
    length: Length
    value: Money | None
    grade: str
    heat_number: str
    certificate: str
    end_a: str
    end_b: str
    angle_a: int
    angle_b: int
    wall: Length | None

    @property
    def material(self) -> tuple[str, str, str]:
        return self.designation, self.standard, self.finish

    @property
    def origin(self) -> tuple[str, str, str]:
        """What a piece has from the bar it was cut from."""
        return self.grade, self.heat_number, self.certificate

    @property
    def sums(self) -> tuple[int, ...]:
        """What a counter-movement takes back."""
        return self.quantity, self.change, self.parts, self.kerf_and_trim, self.scrap, self.held


@dataclass(slots=True)
class _Action:
    """What the movements of one action come to."""

    over: dict[tuple[str, tuple[str, str, str]], Length] = field(default_factory=lambda: defaultdict(int))
    """Length that came out of a bar or a piece beyond what was in it, by its name and its section."""
    sums: dict[int, tuple[int, ...]] = field(default_factory=dict)
    before: dict[int, _Row] = field(default_factory=dict)
    """How pieces were before it."""
    used: dict[int, _Row] = field(default_factory=dict)
    """The piece that each bar was cut from."""
    worth: dict[int, Money] = field(default_factory=lambda: defaultdict(int))
    """Book value of what was kept of each bar."""
    gave: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    aside: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    """Of a lot, how many were taken out of it by a count or a correction, and how many became a lot of their own."""
    corrected: set[int] = field(default_factory=set)


def unbalanced(db: sqlite3.Connection) -> list[str]:
    """Every movement, action and piece in which length, section or book value is not kept, in sentences."""
    rows = db.execute(_OTHER_SECTION)
    found = [f"{mark}: of another section than {parent}, which it was part of" for mark, parent in rows]
    return [*found, *_Replay().faults(db)]


class _Replay:
    """Goes through the movements in order and keeps what each is held to."""

    def __init__(self) -> None:
        self.had: dict[int, tuple[int, _Row]] = {}
        self.actions: dict[int, _Action] = {}
        self.received: dict[str, int] = {}
        self.cut: dict[tuple[str, int], int] = {}
        self.taken: dict[int, tuple[Length, Money]] = {}
        """The longest and the dearest that was taken of a piece for work that no plan knows of."""
        self.totals: dict[tuple[str, str, str], list[Length]] = defaultdict(lambda: [0, 0, 0])

    def faults(self, db: sqlite3.Connection) -> Iterator[str]:
        last: _Row | None = None
        for row in map(_Row._make, db.execute(_MOVEMENTS)):
            if last is not None and last.action != row.action:
                yield from self._whole(last)
            yield from self._one(row)
            last = row
        if last is not None:
            yield from self._whole(last)
        for material, totals in self.totals.items():
            for what, length in zip(("parts", "kerf and trim", "scrap"), totals, strict=True):
                if length < 0:
                    yield f"{_title(material)}: {mm_text(-length)} mm more of {what} came back than ever left the rack"

    def _one(self, row: _Row) -> Iterator[str]:
        """A movement for itself."""
        done = self.actions.setdefault(row.action, _Action())
        had, before = self.had.get(row.piece, (0, None))
        kind, now = Kind(row.kind), had + row.quantity
        this = f"{row.mark}: movement {row.number}"
        if now < 0:
            yield f"{this} leaves {now} of it"
        follows = now * row.length - had * (before.length if before else 0)
        if follows != row.change:
            yield f"{this} says {mm_text(row.change)} mm, {mm_text(follows)} mm follow"
        elif kind in COMING and row.change != row.quantity * row.length:
            came, by = mm_text(row.quantity * row.length), mm_text(row.change)
            yield f"{row.mark}: with movement {row.number} {came} mm came, and the rack grew by {by} mm"
        if (row.quantity > 0) - (row.quantity < 0) not in _SIGNS[kind]:
            yield f"{this}, {kind.value}, is of {row.quantity} pieces"
        if kind not in _SPLITTING and (row.parts or row.kerf_and_trim or row.scrap):
            yield f"{this}, {kind.value}, says what was cut of it"
        yield from self._same(row, kind, had, before, this)
        yield from self._deeds(row, kind, this)
        yield from self._returned(row, kind, before, this)
        bar = done.used.get(row.bar) if kind is Kind.CUT_FROM and row.bar is not None else None
        if bar is not None and row.origin != bar.origin:
            yield f"{this}, cut from, is not of the grade and heat of bar {row.bar}, from which it was cut"
        self._add(row, kind, done, before)
        self.had[row.piece] = now, row

    def _same(self, row: _Row, kind: Kind, had: int, before: _Row | None, this: str) -> Iterator[str]:
        """What a movement may not change of a piece that lies there."""
        if before is None or (not had and kind is not Kind.RELEASED):
            return
        if kind in _STAYING and row.state != before.state:
            yield f"{this}, {kind.value}, changes what is known of it"
        elif kind is Kind.MOVED and _but_place(row) != _but_place(before):
            yield f"{this}, {kind.value}, changes more than its place"
        elif kind in COMING and (row.value, row.origin) != (before.value, before.origin):
            yield f"{this}, {kind.value}, changes what is known of those that lie there"
        elif row.value != before.value and (kind is Kind.COUNTED or (kind is Kind.CORRECTED and row.what != "correct")):
            yield f"{this}, {kind.value}, changes its book value from {_money(before.value)} to {_money(row.value)}"

    def _deeds(self, row: _Row, kind: Kind, this: str) -> Iterator[str]:
        """What was delivered for a plan is not bought again as it is cut, and no bar of a plan is cut twice."""
        if not row.plan:
            return
        if kind is Kind.BOUGHT:
            if row.what == "receive":
                self.received[row.plan] = row.action
            elif row.plan in self.received:
                yield f"{this} buys what action {self.received[row.plan]} received for the plan"
        elif kind is Kind.USED and row.bar is not None:
            if (row.plan, row.bar) in self.cut:
                yield f"{this} cuts bar {row.bar}, which action {self.cut[row.plan, row.bar]} cut"
            self.cut[row.plan, row.bar] = row.action

    def _returned(self, row: _Row, kind: Kind, before: _Row | None, this: str) -> Iterator[str]:
        """What is brought back is no longer and no dearer than when it was taken."""
        if kind is Kind.USED and row.bar is None:
            length, value = self.taken.get(row.piece, (0, 0))
            self.taken[row.piece] = max(length, row.length), max(value, row.value or 0)
        elif kind is Kind.RETURNED:
            from_piece = row.parent if before is None and row.parent is not None else row.piece
            length, value = self.taken.get(from_piece, (0, 0))
            if row.length > length:
                yield f"{this} brings back {mm_text(row.length)} mm, {mm_text(length)} mm were taken"
            if (row.value or 0) > value:
                yield f"{this} brings back what is worth {_money(row.value)}, {_money(value)} was taken"

    def _add(self, row: _Row, kind: Kind, done: _Action, before: _Row | None) -> None:
        done.sums[row.piece] = tuple(a + b for a, b in zip(done.sums.get(row.piece, (0,) * 6), row.sums, strict=True))
        if before is not None:
            done.before.setdefault(row.piece, before)
        totals = self.totals[row.material]
        for place, length in enumerate((row.parts, row.kerf_and_trim, row.scrap)):
            totals[place] += length
        if kind in _CUTTING:
            name = row.mark if row.bar is None else f"bar {row.bar}"
            done.over[name, row.material] += row.change + row.parts + row.kerf_and_trim + row.scrap
        if kind is Kind.USED and row.bar is not None:
            done.used[row.bar] = row
        elif kind is Kind.CUT_FROM and row.bar is not None:
            done.worth[row.bar] += row.value or 0
        elif kind in (Kind.COUNTED, Kind.CORRECTED):
            if before is None and row.parent is not None:
                done.aside[row.parent] += row.quantity
            else:
                done.gave[row.piece] -= row.quantity
                if kind is Kind.CORRECTED:
                    done.corrected.add(row.piece)

    def _whole(self, last: _Row) -> Iterator[str]:
        """An action, when all its movements are read."""
        done, number = self.actions[last.action], last.action
        for (name, material), over in done.over.items():
            if over:
                more = "more" if over > 0 else "less"
                yield (
                    f"action {number}, {_title(material)}: "
                    f"{mm_text(abs(over))} mm {more} came out of {name} than was in it"
                )
        for bar, used in done.used.items():
            if done.worth[bar] > (used.value or 0):
                yield (
                    f"action {number}: what is kept of bar {bar} is worth {_money(done.worth[bar])}, "
                    f"{used.mark} was worth {_money(used.value)}"
                )
        for piece in done.gave.keys() | done.aside.keys():
            gave, aside = done.gave[piece], done.aside[piece]
            if aside > gave or (piece in done.corrected and aside != gave):
                yield f"action {number}: {aside} taken out of {self.had[piece][1].mark}, which has {gave} fewer"
        if last.undoes is not None:
            yield from self._undone(done, number, last.undoes)

    def _undone(self, done: _Action, number: int, undoes: int) -> Iterator[str]:
        """Counter-movements bring everything back, and pieces to what they were."""
        first = self.actions.get(undoes, _Action())
        for piece in first.sums.keys() | done.sums.keys():
            row, was = self.had[piece][1], first.before.get(piece)
            sums = zip(first.sums.get(piece, (0,) * 6), done.sums.get(piece, (0,) * 6), strict=True)
            if any(a + b for a, b in sums) or (was is not None and row.state != was.state):
                yield f"{row.mark}: action {number} does not bring it back to what it was before action {undoes}"
        self.received = {plan: action for plan, action in self.received.items() if action != undoes}
        self.cut = {bar: action for bar, action in self.cut.items() if action != undoes}


def _but_place(row: _Row) -> tuple[object, ...]:
    return row.length, row.value, row.origin, row.end_a, row.end_b, row.angle_a, row.angle_b, row.wall


def _title(material: tuple[str, str, str]) -> str:
    designation, standard, finish = material
    return Material(designation=designation, standard=standard, finish=finish).title


def _money(value: Money | None) -> str:
    return "what the workshop says" if value is None else money_text(value)
