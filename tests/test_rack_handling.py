"""Single pieces: put, moved, put right, taken, brought back, scrapped; and all of it undone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import EndState
from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.entry import entry
from cutplan.rack.holding import hold_for
from cutplan.rack.pieces import Hold, Kind, Split, State
from cutplan.rack.replay import balance, contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from cutplan.units import DEGREE
from tests import racks
from tests.builders import mm


def test_marks_that_cannot_be_had_are_all_told(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    pieces = [
        handling.NewPiece(material=racks.TUBE, state=racks.state(), mark=mark, where=f"row {row}")
        for row, mark in enumerate(["R1", "A1", "R1", "RI"], 2)
    ]
    with pytest.raises(ProblemsFound) as refused:
        handling.add(ledger, racks.doing(), pieces)
    assert [problem.where for problem in refused.value.problems] == ["row 3", "row 4", "row 5"]
    assert len(standing(ledger)) == 1
    assert handling.add(ledger, racks.doing(), pieces[:1]) == ("R1",)


def test_scrap_counts_as_scrap(ledger: Ledger) -> None:
    racks.put(ledger, 500, 700)
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), ["a1", "A1"])
    assert [piece.mark for piece in standing(ledger)] == ["C1"]
    assert balance(ledger).scrap == mm(500)
    with pytest.raises(ProblemsFound, match="A1, which is not on the rack any more") as refused:
        handling.scrap(ledger, racks.doing("scrap"), ["A1", "C1", "K9"])
    assert len(refused.value.problems) == 2
    assert [piece.mark for piece in standing(ledger)] == ["C1"]


def test_what_is_known_is_put_right(ledger: Ledger) -> None:
    racks.put(ledger, 500, grade="")
    before, after = handling.correct(ledger, racks.doing("correct"), "A1", length=mm(498), grade="S235JR")
    assert (before.state.length, after.state.length) == (mm(500), mm(498))
    assert [piece.state for piece in standing(ledger)] == [racks.state(498, grade="S235JR")]
    assert balance(ledger).came_in == mm(498)
    with pytest.raises(ProblemsFound, match="nothing that differs from what is known"):
        handling.correct(ledger, racks.doing("correct"), "A1", length=mm(498))


def test_some_of_a_lot_are_put_right_under_a_mark_of_their_own(ledger: Ledger) -> None:
    lot_of(ledger, 4)
    before, after = handling.correct(ledger, racks.doing("correct"), "A1", 3, length=mm(5990))
    assert (before.mark, before.quantity, before.state.length) == ("A1", 3, mm(6000))
    assert [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)] == [
        ("A1", 1, mm(6000)),
        (after.mark, 3, mm(5990)),
    ]
    assert balance(ledger).came_in == mm(6000 + 3 * 5990)
    with pytest.raises(ProblemsFound, match="at most 1, as many as lie on the rack"):
        handling.correct(ledger, racks.doing("correct"), "A1", 2, length=mm(5990))
    assert contradictions(ledger) == ()
    handling.undo(ledger, racks.doing("undo"))
    assert [(piece.mark, piece.quantity) for piece in standing(ledger)] == [("A1", 4)]
    assert contradictions(ledger) == ()


def test_taken_and_brought_back_shorter(ledger: Ledger) -> None:
    racks.put(ledger, 900)
    assert handling.take(ledger, racks.doing("take"), "A1").quantity == 1
    assert standing(ledger) == ()
    back = handling.bring_back(ledger, racks.doing("return"), "A1", mm(350), "C3")
    assert [(piece.mark, piece.state) for piece in standing(ledger)] == [(back.mark, back.state)]
    assert (back.state.length, back.state.place) == (mm(350), "C3")
    assert (balance(ledger).parts, balance(ledger).on_hand) == (mm(550), mm(350))
    assert contradictions(ledger) == ()
    with pytest.raises(ProblemsFound, match="A1, of which none is out any more"):
        handling.bring_back(ledger, racks.doing("return"), "A1")


def test_a_piece_does_not_grow(ledger: Ledger) -> None:
    racks.put(ledger, 900)
    handling.take(ledger, racks.doing("take"), "A1")
    with pytest.raises(ProblemsFound, match="A1, longer than when it was taken"):
        handling.bring_back(ledger, racks.doing("return"), "A1", mm(901))


def test_some_of_a_lot_are_taken(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=4)])
    handling.take(ledger, racks.doing("take"), "A1", 3)
    with pytest.raises(ProblemsFound, match="at most 1, as many as lie on the rack"):
        handling.take(ledger, racks.doing("take"), "A1", 2)
    handling.bring_back(ledger, racks.doing("return"), "A1")
    assert [piece.quantity for piece in standing(ledger)] == [2]


def test_one_of_a_lot_comes_back_whole_after_the_others_were_measured_anew(ledger: Ledger) -> None:
    """It is as long as it was when it was taken, and no longer like them: it gets a mark of its own."""
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=2)])
    handling.take(ledger, racks.doing("take"), "A1")
    whole = racks.full().length
    handling.correct(ledger, racks.doing("correct"), "A1", length=whole - mm(1))
    back = handling.bring_back(ledger, racks.doing("return"), "A1")
    assert back.mark != "A1"
    assert sorted(piece.state.length for piece in standing(ledger)) == [whole - mm(1), whole]
    assert contradictions(ledger) == ()


def test_everything_is_undone_step_by_step(ledger: Ledger) -> None:
    racks.put(ledger, 900, 500)
    seen = [standing(ledger)]
    steps = (
        lambda: handling.move(ledger, racks.doing("move"), ["A1", "C1"], "B2"),
        lambda: handling.correct(ledger, racks.doing("correct"), "A1", length=mm(890)),
        lambda: handling.take(ledger, racks.doing("take"), "A1"),
        lambda: handling.bring_back(ledger, racks.doing("return"), "A1", mm(400)),
        lambda: handling.scrap(ledger, racks.doing("scrap"), ["A1", "C1"]),
    )
    for step in steps:
        step()
        seen.append(standing(ledger))
    for before, what in zip(reversed(seen[:-1]), ("scrap", "return", "take", "correct", "move"), strict=True):
        assert handling.undo(ledger, racks.doing("undo")).doing.what == what
        assert standing(ledger) == before
    assert handling.undo(ledger, racks.doing("undo")).marks == ("A1", "C1")
    assert standing(ledger) == ()
    assert contradictions(ledger) == ()
    with pytest.raises(ProblemsFound, match="nothing left to undo"):
        handling.undo(ledger, racks.doing("undo"))
    (rows,) = ledger.db.execute("SELECT count(*) FROM movement").fetchone()
    assert rows == 2 * (2 + 2 + 1 + 1 + 1 + 2), "every movement has its counter-movement, none is gone"


def test_one_of_a_lot_brought_back_shorter_is_a_piece_of_its_own(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=3)])
    handling.take(ledger, racks.doing("take"), "A1")
    back = handling.bring_back(ledger, racks.doing("return"), "A1", mm(4000))
    assert [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)] == [
        ("A1", 2, mm(6000)),
        (back.mark, 1, mm(4000)),
    ]
    assert back.mark != "A1"
    assert contradictions(ledger) == ()


def lot_of(ledger: Ledger, quantity: int) -> None:
    """Full lengths under the mark A1."""
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=quantity)])


def test_as_many_come_back_as_were_taken(ledger: Ledger) -> None:
    lot_of(ledger, 4)
    handling.take(ledger, racks.doing("take"), "A1", 3)
    handling.bring_back(ledger, racks.doing("return"), "A1", mm(2500))
    handling.bring_back(ledger, racks.doing("return"), "A1")
    handling.move(ledger, racks.doing("move"), ["A1"], "B2")
    handling.bring_back(ledger, racks.doing("return"), "A1")
    with pytest.raises(ProblemsFound, match="A1, of which none is out any more"):
        handling.bring_back(ledger, racks.doing("return"), "A1")
    assert [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)] == [
        ("A1", 3, mm(6000)),
        ("C1", 1, mm(2500)),
    ]
    assert contradictions(ledger) == ()


def test_a_return_taken_back_is_out_again(ledger: Ledger) -> None:
    lot_of(ledger, 2)
    handling.take(ledger, racks.doing("take"), "A1", 1)
    for _ in range(2):
        handling.bring_back(ledger, racks.doing("return"), "A1", mm(2500))
        handling.undo(ledger, racks.doing("undo"))
    handling.undo(ledger, racks.doing("undo"))
    with pytest.raises(ProblemsFound, match="A1, which was not taken"):
        handling.bring_back(ledger, racks.doing("return"), "A1")
    assert [(piece.mark, piece.quantity) for piece in standing(ledger)] == [("A1", 2)]


def test_what_came_back_as_a_piece_of_its_own_is_taken_and_returned_by_its_own_mark(ledger: Ledger) -> None:
    lot_of(ledger, 2)
    handling.take(ledger, racks.doing("take"), "A1", 1)
    own = handling.bring_back(ledger, racks.doing("return"), "A1", mm(2500)).mark
    handling.take(ledger, racks.doing("take"), own)
    with pytest.raises(ProblemsFound, match="A1, of which none is out any more"):
        handling.bring_back(ledger, racks.doing("return"), "A1")
    handling.bring_back(ledger, racks.doing("return"), own, mm(2400))
    with pytest.raises(ProblemsFound, match=f"{own}, of which none is out any more"):
        handling.bring_back(ledger, racks.doing("return"), own)


def test_a_bar_that_a_plan_used_up_whole_is_not_brought_back(ledger: Ledger) -> None:
    racks.put(ledger, 900)
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(900)))
    with pytest.raises(ProblemsFound, match="A1, which was not taken"):
        handling.bring_back(ledger, racks.doing("return"), "A1")


def _do(ledger: Ledger, step: str) -> None:
    """A word of the table below, done to a lot A1."""
    what, _, figure = step.partition(" ")
    if what == "take":
        handling.take(ledger, racks.doing("take"), "A1", int(figure))
    elif what == "back":
        handling.bring_back(ledger, racks.doing("return"), "A1", mm(figure) if figure else None)
    elif what == "scrap":
        handling.scrap(ledger, racks.doing("scrap"), ["A1"], int(figure))
    elif what == "plan":
        with entry(ledger, racks.doing("record", plan=figure)) as writing:
            writing.move("A1", Kind.USED, -1, split=Split(parts=mm(6000)), bar=1)
    else:
        assert what == "undo"
        handling.undo(ledger, racks.doing("undo"))


OUT: dict[str, tuple[str, int | str]] = {
    # what was done to three lengths under one mark: how many are out, or why none is
    "nothing": ("", "A1, which was not taken"),
    "one is taken": ("take 1", 1),
    "two at once": ("take 2", 2),
    "one after another": ("take 1, take 1", 2),
    "all of them": ("take 3", 3),
    "one of two comes back": ("take 2, back", 1),
    "one of two comes back shorter": ("take 2, back 2500", 1),
    "both come back": ("take 2, back 2500, back", "A1, of which none is out any more"),
    "the taking is taken back": ("take 1, undo", "A1, which was not taken"),
    "the return is taken back": ("take 1, back, undo", 1),
    "the return of a shorter one is taken back": ("take 1, back 2500, undo", 1),
    "one is out and another scrapped": ("take 1, scrap 1", 1),
    "a scrapped one is not out": ("scrap 1", "A1, which was not taken"),
    "one that a plan used is not out": ("plan p", "A1, which was not taken"),
    "one that a plan used beside one that was taken": ("take 1, plan p", 1),
    "taken again": ("take 1, back, take 1", 1),
}


@pytest.mark.parametrize("case", OUT)
def test_what_is_out(case: str, ledger: Ledger) -> None:
    lot_of(ledger, 3)
    steps, expected = OUT[case]
    for step in filter(None, steps.split(", ")):
        _do(ledger, step)
    if isinstance(expected, str):
        with pytest.raises(ProblemsFound, match=expected):
            handling.still_out(ledger.db, "a1")
        return
    assert handling.still_out(ledger.db, "a1").quantity == expected
    for _ in range(expected):
        handling.bring_back(ledger, racks.doing("return"), "A1")
    with pytest.raises(ProblemsFound, match="none is out any more"):
        handling.still_out(ledger.db, "A1")
    assert contradictions(ledger) == ()


def held_lot(ledger: Ledger) -> Hold:
    """Three full lengths, two of them held."""
    lot_of(ledger, 3)
    with entry(ledger, racks.doing("hold")) as writing:
        hold_for(writing, "gate", {"A1": 2}, "2031-06-01")
    return Hold(quantity=2, job="gate", until="2031-06-01")


@pytest.mark.parametrize(("left", "ended"), [(2, 0), (1, 1), (0, 2)])
@pytest.mark.parametrize("what", ["scrap", "take"])
def test_what_leaves_takes_the_holds_along_that_it_ends(what: str, left: int, ended: int, ledger: Ledger) -> None:
    hold = held_lot(ledger)
    if what == "scrap":
        (gone,) = handling.scrap(ledger, racks.doing("scrap"), ["A1"], 3 - left)
    else:
        gone = handling.take(ledger, racks.doing("take"), "A1", 3 - left)
    assert gone.holds == ((replace(hold, quantity=ended),) if ended else ())


def test_a_correction_tells_the_holds_of_what_is_now_another_length(ledger: Ledger) -> None:
    hold = held_lot(ledger)
    _, graded = handling.correct(ledger, racks.doing("correct"), "A1", grade="S235JRH")
    assert graded.holds == ()
    _, shorter = handling.correct(ledger, racks.doing("correct"), "A1", length=mm(5990))
    assert shorter.holds == (hold,)
    _, some = handling.correct(ledger, racks.doing("correct"), "A1", 2, length=mm(5980))
    assert some.holds == (replace(hold, quantity=1),), "of three one is left under the mark"


@pytest.mark.parametrize(
    ("state", "measured", "length", "longest", "end_a"),
    [
        (racks.full(6000), 6000, 6000, 6000, EndState.MILL),
        (racks.full(6000), 2500, 2500, 2500, EndState.SAWN),
        (racks.state(900, end_b=EndState.MILL), 700, 700, 700, EndState.SAWN),
        # 900 to its short point, 40 deep: whether the slant is there still nobody says, so that it is taken off.
        (racks.state(900, angle_a=45 * DEGREE, depth=mm(40)), 940, 900, 940, EndState.SAWN),
        (racks.state(900, angle_a=45 * DEGREE, depth=mm(40)), 700, 660, 700, EndState.SAWN),
    ],
)
def test_of_what_comes_back_shorter_no_end_is_promised_that_may_be_gone(
    state: State, measured: int, length: int, longest: int, end_a: EndState, ledger: Ledger
) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=state)])
    handling.take(ledger, racks.doing("take"), "A1")
    back = handling.bring_back(ledger, racks.doing("return"), "A1", mm(measured)).state
    assert (back.length, back.longest, back.end_a) == (mm(length), mm(longest), end_a)
    assert contradictions(ledger) == ()


def test_what_is_no_longer_than_its_slant_does_not_come_back(ledger: Ledger) -> None:
    racks.put(ledger, 900, angle_a=45 * DEGREE, depth=mm(40))
    handling.take(ledger, racks.doing("take"), "A1")
    for measured, told in ((40, "no longer than its slanted end is"), (941, "longer than when it was taken")):
        with pytest.raises(ProblemsFound, match=told):
            handling.bring_back(ledger, racks.doing("return"), "A1", mm(measured))
