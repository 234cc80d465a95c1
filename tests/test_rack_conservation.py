"""Length, section and book value are kept by every movement, and a ledger in which they are not is told from it alone.

Each ledger below is written whole and sealed, as a slip in this program would write it: its rows are as they were
written, its lengths add up over the whole, and only the movement itself says that steel or money came from nowhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.model import EndState
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import Entry, action, entry
from cutplan.rack.pieces import Hold, Kind, Material, Split, State
from cutplan.rack.replay import balance, balances, contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm

ANGLE = replace(racks.TUBE, designation="L 50x50x5", standard="EN 10056-1")
EURO = 1_000_000


def stock(ledger: Ledger) -> None:
    """A1: an offcut of the tube, worth 12; C1: an angle of the same length; E1: four full lengths of the tube."""
    pieces = [
        handling.NewPiece(material=racks.TUBE, state=racks.state(1000, value=12 * EURO, heat_number="H1")),
        handling.NewPiece(material=ANGLE, state=racks.state(1000)),
        handling.NewPiece(material=racks.TUBE, state=racks.full(3000, value=30 * EURO), quantity=4),
    ]
    assert handling.add(ledger, racks.doing(), pieces) == ("A1", "C1", "E1")


def use(writing: Entry, mark: str, *, bar: int = 1, **split: int) -> None:
    writing.move(mark, Kind.USED, -1, split=Split(**{what: mm(length) for what, length in split.items()}), bar=bar)


def keep(writing: Entry, material: Material, state: State, *, bar: int = 1, parent: str = "A1") -> None:
    writing.new_piece(Kind.CUT_FROM, material, state, bar=bar, parent=parent)


def kept(length: float, **other: object) -> State:
    return racks.state(length, **{"heat_number": "H1", **other})


def another_section(writing: Entry) -> None:
    use(writing, "A1", parts=600)
    keep(writing, ANGLE, kept(400))


def from_bar_to_bar(writing: Entry) -> None:
    """The tube gives 100 mm more than it had and the angle 100 mm less: together they add up."""
    use(writing, "A1", parts=1100)
    use(writing, "C1", bar=2, parts=900)


def another_heat(writing: Entry) -> None:
    use(writing, "A1", parts=600)
    keep(writing, racks.TUBE, kept(400, heat_number="H2"))


def more_worth(writing: Entry) -> None:
    use(writing, "A1", parts=600)
    keep(writing, racks.TUBE, kept(400, value=13 * EURO))


def worth_from_nothing(writing: Entry) -> None:
    use(writing, "C1", parts=600)
    keep(writing, ANGLE, racks.state(400, value=1), parent="C1")


def moved_and_dearer(writing: Entry) -> None:
    writing.move("A1", Kind.MOVED, state=racks.state(1000, value=14 * EURO, heat_number="H1", place="B2"))


def counted_and_dearer(writing: Entry) -> None:
    writing.move("A1", Kind.COUNTED, state=racks.state(990, value=14 * EURO, heat_number="H1"))


def corrected_by_a_record(writing: Entry) -> None:
    writing.move("A1", Kind.CORRECTED, state=racks.state(1000, heat_number="H1"))


def used_as_another(writing: Entry) -> None:
    """It leaves as it never lay there: 100 mm longer than it was, which its length alone would not tell."""
    writing.move("A1", Kind.USED, -1, state=racks.state(1100, heat_number="H1"), split=Split(parts=mm(1000)))


def came_to_others(writing: Entry) -> None:
    writing.move("E1", Kind.BOUGHT, 1, state=racks.full(3000, value=45 * EURO))


def made_of_nothing(writing: Entry) -> None:
    writing.move("A1", Kind.CORRECTED, split=Split(parts=mm(5), scrap=mm(-5)))


def two_lots_of_one(writing: Entry) -> None:
    writing.move("E1", Kind.COUNTED, -1)
    writing.new_piece(Kind.COUNTED, racks.TUBE, racks.full(3000), 2, parent="E1")


def lost_in_a_correction(writing: Entry) -> None:
    writing.move("E1", Kind.CORRECTED, -1)


def held_and_more(writing: Entry) -> None:
    writing.move("E1", Kind.HELD, 1, hold=Hold(quantity=1, job="gate", until="2031-06-01"))


def more_came_back(writing: Entry) -> None:
    """The offcut was never out."""
    writing.new_piece(Kind.RETURNED, racks.TUBE, racks.state(500), parent="A1", split=Split(parts=mm(-500)))


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        (another_section, "F1: of another section than A1, which it was part of"),
        (another_section, "action 2, SHS 40x40x3, black: 400 mm less came out of bar 1 than was in it"),
        (another_section, "action 2, L 50x50x5, black: 400 mm more came out of bar 1 than was in it"),
        (from_bar_to_bar, "action 2, SHS 40x40x3, black: 100 mm more came out of bar 1 than was in it"),
        (from_bar_to_bar, "action 2, L 50x50x5, black: 100 mm less came out of bar 2 than was in it"),
        (another_heat, "F1: movement 5, cut from, is not of the grade and heat of bar 1, from which it was cut"),
        (more_worth, "action 2: what is kept of bar 1 is worth 13.00, A1 was worth 12.00"),
        (worth_from_nothing, "action 2: what is kept of bar 1 is worth 0.00, C1 was worth what the workshop says"),
        (moved_and_dearer, "A1: movement 4, moved, changes more than its place"),
        (counted_and_dearer, "A1: movement 4, counted, changes its book value from 12.00 to 14.00"),
        (
            corrected_by_a_record,
            "A1: movement 4, corrected, changes its book value from 12.00 to what the workshop says",
        ),
        (used_as_another, "A1: movement 4, used, changes what is known of it"),
        (came_to_others, "E1: movement 4, bought, changes what is known of those that lie there"),
        (made_of_nothing, "A1: movement 4, corrected, says what was cut of it"),
        (two_lots_of_one, "action 2: 2 taken out of E1, which has 1 fewer"),
        (lost_in_a_correction, "action 2: 0 taken out of E1, which has 1 fewer"),
        (held_and_more, "E1: movement 4, held, is of 1 pieces"),
        (more_came_back, "F1: movement 4 brings back 500 mm, 0 mm were taken"),
        (more_came_back, "SHS 40x40x3, black: 500 mm more of parts came back than ever left the rack"),
    ],
    ids=lambda value: value.__name__ if callable(value) else "",
)
def test_what_comes_from_nowhere_is_told(ledger: Ledger, slip: Callable[[Entry], None], told: str) -> None:
    stock(ledger)
    assert contradictions(ledger) == ()
    with entry(ledger, racks.doing("record")) as writing:
        slip(writing)
    assert told in contradictions(ledger)


def test_a_length_that_is_sold_dearer_than_it_was_taken_is_told(ledger: Ledger) -> None:
    stock(ledger)
    handling.take(ledger, racks.doing("take"), "A1")
    with entry(ledger, racks.doing("return")) as writing:
        writing.move("A1", Kind.RETURNED, 1, state=kept(500, value=13 * EURO), split=Split(parts=mm(-500)))
    assert contradictions(ledger) == ("A1: movement 5 brings back what is worth 13.00, 12.00 was taken",)


@pytest.mark.parametrize(
    ("second", "told"),
    [
        (lambda writing: use(writing, "E1", parts=3000), "E1: movement 5 cuts bar 1, which action 2 cut"),
        (
            lambda writing: writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(3000)),
            "F1: movement 5 buys what action 2 received for the plan",
        ),
    ],
)
def test_what_a_delivery_and_a_record_say_of_a_bar_agrees(
    ledger: Ledger, second: Callable[[Entry], None], told: str
) -> None:
    stock(ledger)
    what = "receive" if "buys" in told else "record"
    with entry(ledger, racks.doing(what, plan="p")) as writing:
        if what == "receive":
            writing.move("E1", Kind.BOUGHT, 1, state=racks.full(3000, value=30 * EURO))
        else:
            use(writing, "E1", parts=3000)
    with entry(ledger, racks.doing("record", plan="p")) as writing:
        second(writing)
    assert contradictions(ledger) == (told,)


@pytest.mark.parametrize("whole", [True, False])
def test_an_undo_that_brings_back_something_else_is_told(ledger: Ledger, whole: bool) -> None:
    stock(ledger)
    handling.take(ledger, racks.doing("take"), "E1", 2)
    with ledger.changing() as db, action(db, racks.doing("undo"), undoes=2) as writing:
        writing.move("E1", Kind.UNDONE, 2 if whole else 1, split=Split(parts=mm(-6000 if whole else -3000)))
    told = ("E1: action 3 does not bring it back to what it was before action 2",)
    assert contradictions(ledger) == (() if whole else told)


def test_where_the_length_of_each_section_went(ledger: Ledger) -> None:
    stock(ledger)
    handling.scrap(ledger, racks.doing("scrap"), ["C1"])
    each = balances(ledger)
    assert {material.designation: (one.came_in, one.on_hand, one.scrap) for material, one in each.items()} == {
        "SHS 40x40x3": (mm(13_000), mm(13_000), 0),
        "L 50x50x5": (mm(1000), 0, mm(1000)),
    }
    assert balance(ledger).came_in == mm(14_000)


KG_PER_METRE = {"SHS 40x40x3": 3.30, "L 50x50x5": 3.77}
"""EN 10219-2 and EN 10056-1, from tables of those standards; both from memory, the second also in published/."""


def test_where_all_lengths_add_up_mass_may_not(ledger: Ledger) -> None:
    """Cut from a tube and kept as an angle: over the whole ledger no length is missing, yet 0.4 m became heavier."""
    stock(ledger)
    with entry(ledger, racks.doing("record")) as writing:
        another_section(writing)
    over_all = balance(ledger)
    assert over_all.came_in == over_all.on_hand + over_all.parts == mm(14_000)
    each = {material.designation: one for material, one in balances(ledger).items()}
    went = {name: one.on_hand + one.parts + one.kerf_and_trim + one.scrap for name, one in each.items()}
    heavier = sum((went[name] - mm(length)) / mm(1000) * KG_PER_METRE[name] for name, length in CAME.items())
    assert heavier == pytest.approx(0.4 * (3.77 - 3.30))
    assert [fault for fault in contradictions(ledger) if "L 50x50x5" in fault or "another section" in fault]


CAME = {"SHS 40x40x3": 13_000, "L 50x50x5": 1000}
"""Of the pieces of :func:`stock`. [mm]"""


def test_what_is_brought_back_is_worth_its_share(ledger: Ledger) -> None:
    stock(ledger)
    handling.take(ledger, racks.doing("take"), "A1")
    back = handling.bring_back(ledger, racks.doing("return"), "A1", mm(250))
    assert back.state.value == 3 * EURO, "a quarter of 12"
    handling.take(ledger, racks.doing("take"), "E1")
    assert handling.bring_back(ledger, racks.doing("return"), "E1", mm(1000)).state.value == 10 * EURO
    assert contradictions(ledger) == ()


@pytest.mark.parametrize(
    ("fact", "lengths"),
    [
        (BarFact(cut=0, scrapped=True, left=mm(1500)), ["1500"]),
        (BarFact(spoiled=(Spoiled(mark="B", measured=mm(840)),)), ["1157.5", "840"]),
        (BarFact(left=mm(1200), spoiled=(Spoiled(mark="B", measured=mm(840)),)), ["1200", "840"]),
    ],
)
def test_whatever_is_kept_of_a_piece_is_worth_its_share(ledger: Ledger, fact: BarFact, lengths: list[str]) -> None:
    """Of a piece that was written off, book value 0, nothing is worth anything again because a cut went wrong."""
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.state(2000, value=0))])
    job = builders.job(
        [builders.part("B", 1, 850)], [], [builders.offcut("A1", 2000)], kerf="2.5", keep=300, offcut_value_per_mm=2000
    )
    cut_bars.record(ledger, racks.doing("record", plan="p"), job, actions.plan(job), {1: fact})
    assert [(piece.state.length, piece.state.value) for piece in standing(ledger)] == [
        (mm(length), 0) for length in lengths
    ]
    assert contradictions(ledger) == ()


def test_a_bar_that_came_longer_than_counted_on_is_worth_no_more(ledger: Ledger) -> None:
    """1000 mm worth 10 give 100 mm and then 1900 measured: 9.50 of the 10 stay with it, not 19."""
    handling.add(
        ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.state(1000, value=10 * EURO))]
    )
    job = builders.job(
        [builders.part("B", 1, 100)], [], [builders.offcut("A1", 1000, 10)], keep=300, offcut_value_per_mm=100_000
    )
    cut_bars.record(ledger, racks.doing("record", plan="p"), job, actions.plan(job), {1: BarFact(left=mm(1900))})
    assert [piece.state.value for piece in standing(ledger)] == [9_500_000]
    assert [piece.state.end_b for piece in standing(ledger)] == [EndState.SAWN]
    assert contradictions(ledger) == ()
