"""Nothing is lost and nothing appears: what goes into every movement comes out of it, piece by piece and section by
section, in length and in book value.

All of it is told by the movements alone. A piece never changes its section, so mass, which is its length at the
section's own figure, is kept wherever length is.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple

from cutplan.rack.pieces import COMING, Kind, Material
from cutplan.rack.seals import Written
from cutplan.units import Length, Money, mm_text, money_text

_OTHER_SECTION = """
SELECT piece.mark, parent.mark FROM piece JOIN piece AS parent ON parent.id = piece.parent
WHERE (piece.designation, piece.standard, piece.finish) <> (parent.designation, parent.standard, parent.finish)
ORDER BY piece.id
"""

# Kinds by their words, as rows have them: a ledger of years has hundreds of thousands.
_BOUGHT, _USED, _CUT_FROM, _RETURNED = (kind.value for kind in (Kind.BOUGHT, Kind.USED, Kind.CUT_FROM, Kind.RETURNED))
_COUNTED, _CORRECTED, _MOVED, _RELEASED = (
    kind.value for kind in (Kind.COUNTED, Kind.CORRECTED, Kind.MOVED, Kind.RELEASED)
)
_COMING = frozenset(kind.value for kind in COMING)

_STAYING = frozenset(kind.value for kind in (Kind.USED, Kind.SCRAPPED, Kind.HELD, Kind.RELEASED))
"""Movements that leave a piece as it is: what leaves is what lay there."""

_SIGNS = {
    **dict.fromkeys(_COMING, (1,)),
    **dict.fromkeys((Kind.USED.value, Kind.SCRAPPED.value), (-1,)),
    **dict.fromkeys((Kind.MOVED.value, Kind.HELD.value, Kind.RELEASED.value), (0,)),
    **dict.fromkeys((Kind.CORRECTED.value, Kind.COUNTED.value, Kind.UNDONE.value), (-1, 0, 1)),
}
"""Whether more of a piece, as many or fewer are there after a movement of a kind."""

_SPLITTING = frozenset(kind.value for kind in (Kind.USED, Kind.SCRAPPED, Kind.RETURNED, Kind.UNDONE))
"""Movements in which length becomes parts, kerf and scrap, or is that no more."""

_CUTTING = frozenset(kind.value for kind in (Kind.USED, Kind.CUT_FROM, Kind.SCRAPPED, Kind.RETURNED))
"""Movements out of which, bar by bar, as much comes as went in."""


class _Row(NamedTuple):
    """A movement as :mod:`cutplan.rack.seals` reads it."""

    action: int
    number: int
    kind: str
    quantity: int
    change: Length
    bar: int | None
    parts: Length
    kerf_and_trim: Length
    scrap: Length
    note: str
    held: int
    held_for: str
    held_until: str
    piece: int
    mark: str
    designation: str
    standard: str
    finish: str
    parent: int | None
    state: int
    length: Length
    end_a: str
    end_b: str
    angle_a: int
    angle_b: int
    grade: str
    heat_number: str
    certificate: str
    place: str
    photo: str
    wall: Length | None
    value: Money | None

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


_NEVER_THERE: tuple[int, _Row | None] = (0, None)


@dataclass(slots=True)
class _Action:
    """What the movements of one action come to; ``undoes`` as it says, ``plan`` the digest of its plan."""

    number: int = 0
    what: str = ""
    plan: str = ""
    undoes: int | None = None
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


class Conserved:
    """Goes through the actions in order and keeps what each is held to.

    ``faults`` then says every movement, action and piece in which length, section or book value is not kept.
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        rows = db.execute(_OTHER_SECTION)
        self.found = [f"{mark}: of another section than {parent}, which it was part of" for mark, parent in rows]
        self.undone = {row[0] for row in db.execute("SELECT undoes FROM action WHERE undoes IS NOT NULL")}
        self.had: dict[int, tuple[int, _Row]] = {}
        self.actions: dict[int, _Action] = {}
        """Those that were undone: of all others nothing is asked once they are read."""
        self.received: dict[str, int] = {}
        self.cut: dict[tuple[str, int], int] = {}
        self.taken: dict[int, tuple[Length, Money]] = {}
        """The longest and the dearest that was taken of a piece for work that no plan knows of."""
        self.totals: dict[tuple[str, str, str], list[Length]] = defaultdict(lambda: [0, 0, 0])

    def see(self, written: Written) -> None:
        """The next action."""
        number, _, _, what, _, plan, _, undoes = written.action
        done = _Action(number=number, what=what, plan=plan, undoes=undoes)
        if number in self.undone:
            self.actions[number] = done
        for row in map(_Row._make, written.movements):
            self._one(row, done)
        self._whole(done)

    def faults(self) -> list[str]:
        """What is not kept, in sentences, when all actions were seen."""
        for material, totals in self.totals.items():
            for what, length in zip(("parts", "kerf and trim", "scrap"), totals, strict=True):
                if length < 0:
                    self.found.append(
                        f"{_title(material)}: {mm_text(-length)} mm more of {what} came back than ever left the rack"
                    )
        return self.found

    def _one(self, row: _Row, done: _Action) -> None:
        """A movement for itself."""
        had, before = self.had.get(row.piece, _NEVER_THERE)
        kind, now = row.kind, had + row.quantity
        if now < 0:
            self._say(row, f"leaves {now} of it")
        follows = now * row.length - (had * before.length if before is not None else 0)
        if follows != row.change:
            self._say(row, f"says {mm_text(row.change)} mm, {mm_text(follows)} mm follow")
        elif kind in _COMING and row.change != row.quantity * row.length:
            came, by = mm_text(row.quantity * row.length), mm_text(row.change)
            self.found.append(f"{row.mark}: with movement {row.number} {came} mm came, and the rack grew by {by} mm")
        if (row.quantity > 0) - (row.quantity < 0) not in _SIGNS[kind]:
            self._say(row, f", {kind}, is of {row.quantity} pieces")
        if row.parts or row.kerf_and_trim or row.scrap:
            if kind not in _SPLITTING:
                self._say(row, f", {kind}, says what was cut of it")
            totals = self.totals[row.material]
            for place, length in enumerate((row.parts, row.kerf_and_trim, row.scrap)):
                totals[place] += length
        if before is not None and before.state != row.state and (had or kind == _RELEASED):
            self._changed(row, before, done)
        if done.plan:
            self._deeds(row, done)
        if kind in _CUTTING:
            self._cut(row, done, before)
        elif kind in (_COUNTED, _CORRECTED):
            if before is None and row.parent is not None:
                done.aside[row.parent] += row.quantity
            else:
                done.gave[row.piece] -= row.quantity
                if kind == _CORRECTED:
                    done.corrected.add(row.piece)
        if done.undoes is not None or done.number in self.undone:
            sums = zip(done.sums.get(row.piece, (0,) * 6), row.sums, strict=True)
            done.sums[row.piece] = tuple(a + b for a, b in sums)
            if before is not None:
                done.before.setdefault(row.piece, before)
        self.had[row.piece] = now, row

    def _say(self, row: _Row, what: str) -> None:
        self.found.append(f"{row.mark}: movement {row.number}{'' if what.startswith(',') else ' '}{what}")

    def _changed(self, row: _Row, before: _Row, done: _Action) -> None:
        """What a movement may not change of a piece that lies there."""
        kind = row.kind
        if kind in _STAYING:
            self._say(row, f", {kind}, changes what is known of it")
        elif kind == _MOVED and _but_place(row) != _but_place(before):
            self._say(row, f", {kind}, changes more than its place")
        elif kind in _COMING and (row.value, row.origin) != (before.value, before.origin):
            self._say(row, f", {kind}, changes what is known of those that lie there")
        elif row.value != before.value and (kind == _COUNTED or (kind == _CORRECTED and done.what != "correct")):
            self._say(row, f", {kind}, changes its book value from {_money(before.value)} to {_money(row.value)}")

    def _deeds(self, row: _Row, done: _Action) -> None:
        """What was delivered for a plan is not bought again as it is cut, and no bar of a plan is cut twice."""
        if row.kind == _BOUGHT:
            if done.what == "receive":
                self.received[done.plan] = done.number
            elif done.plan in self.received:
                self._say(row, f"buys what action {self.received[done.plan]} received for the plan")
        elif row.kind == _USED and row.bar is not None:
            if (done.plan, row.bar) in self.cut:
                self._say(row, f"cuts bar {row.bar}, which action {self.cut[done.plan, row.bar]} cut")
            self.cut[done.plan, row.bar] = done.number

    def _cut(self, row: _Row, done: _Action, before: _Row | None) -> None:
        """What comes out of a bar or a piece, and that it is what the bar was."""
        name = row.mark if row.bar is None else f"bar {row.bar}"
        done.over[name, row.material] += row.change + row.parts + row.kerf_and_trim + row.scrap
        if row.kind == _USED:
            if row.bar is None:
                length, value = self.taken.get(row.piece, (0, 0))
                self.taken[row.piece] = max(length, row.length), max(value, row.value or 0)
            else:
                done.used[row.bar] = row
        elif row.kind == _CUT_FROM and row.bar is not None:
            bar = done.used.get(row.bar)
            if bar is not None and row.origin != bar.origin:
                self._say(row, f", cut from, is not of the grade and heat of bar {row.bar}, from which it was cut")
            done.worth[row.bar] += row.value or 0
        elif row.kind == _RETURNED:
            self._returned(row, before)

    def _returned(self, row: _Row, before: _Row | None) -> None:
        """What is brought back is no longer and no dearer than when it was taken."""
        from_piece = row.parent if before is None and row.parent is not None else row.piece
        length, value = self.taken.get(from_piece, (0, 0))
        if row.length > length:
            self._say(row, f"brings back {mm_text(row.length)} mm, {mm_text(length)} mm were taken")
        if (row.value or 0) > value:
            self._say(row, f"brings back what is worth {_money(row.value)}, {_money(value)} was taken")

    def _whole(self, done: _Action) -> None:
        """An action, when all its movements are read."""
        number = done.number
        for (name, material), over in done.over.items():
            if over:
                more = "more" if over > 0 else "less"
                self.found.append(
                    f"action {number}, {_title(material)}: "
                    f"{mm_text(abs(over))} mm {more} came out of {name} than was in it"
                )
        for bar, used in done.used.items():
            if done.worth[bar] > (used.value or 0):
                self.found.append(
                    f"action {number}: what is kept of bar {bar} is worth {_money(done.worth[bar])}, "
                    f"{used.mark} was worth {_money(used.value)}"
                )
        for piece in done.gave.keys() | done.aside.keys():
            gave, aside = done.gave[piece], done.aside[piece]
            if (aside and aside > gave) or (piece in done.corrected and aside != gave):
                mark = self.had[piece][1].mark
                self.found.append(f"action {number}: {aside} taken out of {mark}, which has {gave} fewer")
        if done.undoes is not None:
            self._undone(done, done.undoes)

    def _undone(self, done: _Action, undoes: int) -> None:
        """Counter-movements bring everything back, and pieces to what they were."""
        first = self.actions.get(undoes, _Action())
        for piece in first.sums.keys() | done.sums.keys():
            row, was = self.had[piece][1], first.before.get(piece)
            sums = zip(first.sums.get(piece, (0,) * 6), done.sums.get(piece, (0,) * 6), strict=True)
            if any(a + b for a, b in sums) or (was is not None and row.state != was.state):
                self.found.append(
                    f"{row.mark}: action {done.number} does not bring it back to what it was before action {undoes}"
                )
        self.received = {plan: action for plan, action in self.received.items() if action != undoes}
        self.cut = {bar: action for bar, action in self.cut.items() if action != undoes}


def _but_place(row: _Row) -> tuple[object, ...]:
    return row.length, row.value, row.origin, row.end_a, row.end_b, row.angle_a, row.angle_b, row.wall


def _title(material: tuple[str, str, str]) -> str:
    designation, standard, finish = material
    return Material(designation=designation, standard=standard, finish=finish).title


def _money(value: Money | None) -> str:
    return "what the workshop says" if value is None else money_text(value)
