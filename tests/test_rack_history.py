"""Where a piece came from and where it went."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import counting, handling, holding
from cutplan.rack.entry import entry
from cutplan.rack.history import left_by, life
from cutplan.rack.pieces import Kind, Movement, Split
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


def test_a_life_from_bar_to_scrap(ledger: Ledger) -> None:
    racks.put(ledger, 2000, heat_number="H7731")
    with entry(ledger, racks.doing("record", job="trailer", plan="abc")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(1100)), bar=3)
        child = writing.new_piece(
            Kind.CUT_FROM, racks.TUBE, racks.state(900, heat_number="H7731"), parent="A1", bar=3, note="first"
        )
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), [child])
    handling.undo(ledger, racks.doing("undo"))
    parent, offspring = life(ledger, "a1"), life(ledger, child)
    assert (parent.parent, parent.children, parent.on_hand) == ("", (child,), 0)
    assert (offspring.parent, offspring.children, offspring.on_hand) == ("A1", (), 1)
    assert [move.kind for move in offspring.movements] == [Kind.CUT_FROM, Kind.SCRAPPED, Kind.UNDONE]
    assert [move.undone for move in offspring.movements] == [False, True, False]
    first = offspring.movements[0]
    assert (first.doing.job, first.doing.plan, first.bar, first.note) == ("trailer", "abc", 3, "first")
    assert {move.state.heat_number for move in (*parent.movements, *offspring.movements)} == {"H7731"}
    assert offspring.movements[1].doing.reason == "bent"
    assert parent.movements[1].split.parts == mm(1100)


def test_a_mark_that_never_was(ledger: Ledger) -> None:
    with pytest.raises(ProblemsFound, match='found "X9"'):
        life(ledger, "X9")


LIVES: dict[str, tuple[str, str, str, str]] = {
    # what was done to A1, three full lengths put at B1; what its life tells, what it left, and what lies there
    "put there": ("", "put on the rack +3", "", "3"),
    "moved": ("move", "put on the rack +3, moved", "", "3"),
    "put right": ("correct 3", "put on the rack +3, corrected", "", "3"),
    "one of them put right": ("correct 1", "put on the rack +3, corrected -1", "C1", "2"),
    "scrapped": ("scrap 3", "put on the rack +3, scrapped -3", "", "0"),
    "some scrapped": ("scrap 1", "put on the rack +3, scrapped -1", "", "2"),
    "taken and brought back": ("take 1, return whole", "put on the rack +3, used -1, returned +1", "", "3"),
    "taken and brought back shorter": ("take 1, return 700", "put on the rack +3, used -1", "C1", "2"),
    "counted, and one is missing": ("count B1 2", "put on the rack +3, counted -1", "", "2"),
    "counted as they are": ("count B1 3", "put on the rack +3", "", "3"),
    "two found elsewhere": ("count C1 2", "put on the rack +3, counted -2", "C1", "1"),
    "held and released": ("hold 2, release", "put on the rack +3, held for gate 2, released for gate -2", "", "3"),
    "held, and one is missing": (
        "hold 3, count B1 2", "put on the rack +3, held for gate 3, counted -1, released for gate -1", "", "2"
    ),
    "scrapped and undone": ("scrap 3, undo", "put on the rack +3, scrapped -3 (undone), undone +3", "", "3"),
    "one cut up": ("cut", "put on the rack +3, used -1", "C1", "2"),
    "one cut up and undone": ("cut, undo", "put on the rack +3, used -1 (undone), undone +1", "C1", "3"),
    "undone from the first": ("undo", "put on the rack +3 (undone), undone -3", "", "0"),
}  # fmt: skip


@pytest.mark.parametrize("case", LIVES)
def test_a_life_in_words(case: str, ledger: Ledger) -> None:
    deeds, told, left, there = LIVES[case]
    handling.add(
        ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(place="B1"), quantity=3)]
    )
    for deed in filter(None, deeds.split(", ")):
        do(ledger, *deed.split())
    found = life(ledger, "a1")
    assert ", ".join(map(in_words, found.movements)) == told
    assert (", ".join(found.children), str(found.on_hand)) == (left, there)
    for child in found.children:
        assert life(ledger, child).parent == "A1"


def do(ledger: Ledger, what: str, *words: str) -> None:
    doing = racks.doing(what, job="gate")
    match what, *words:
        case ["move"]:
            handling.move(ledger, doing, ["A1"], "C1")
        case ["correct", count]:
            handling.correct(ledger, doing, "A1", int(count), heat_number="H2")
        case ["scrap", count]:
            handling.scrap(ledger, doing, ["A1"], int(count))
        case ["take", count]:
            handling.take(ledger, doing, "A1", int(count))
        case ["return", left]:
            handling.bring_back(ledger, doing, "A1", None if left == "whole" else mm(left))
        case ["count", place, many]:
            seen = counting.Seen(
                where="row 1", mark="A1", found=int(many), length=None, material=racks.TUBE, state=racks.full()
            )
            counting.count(ledger, doing, place, [seen])
        case ["hold", count]:
            with entry(ledger, doing) as writing:
                holding.hold_for(writing, "gate", {"A1": int(count)}, "2031-06-01")
        case ["release"]:
            holding.release(ledger, doing, job="gate")
        case ["cut"]:
            with entry(ledger, doing) as writing:
                writing.move("A1", Kind.USED, -1, split=Split(parts=mm(5100)))
                writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(900), parent="A1")
        case ["undo"]:
            handling.undo(ledger, doing)
        case other:
            raise ValueError(other)


def in_words(one: Movement) -> str:
    hold = f" for {one.hold.job} {one.hold.quantity}" if one.hold else ""
    quantity = f" {one.quantity:+}" if one.quantity else ""
    return f"{one.kind.value}{hold}{quantity}{' (undone)' if one.undone else ''}"


LEFT_BY: dict[str, tuple[str, dict[str, str]]] = {
    # what was done, and for each mark the job that left the piece
    "put there": ("", {"A1": ""}),
    "left over": ("cut", {"A1": "", "C1": "gate"}),
    "brought back from work that no plan knows of": ("take 1, return 700", {"C1": ""}),
    "found elsewhere": ("count C1 2", {"C1": ""}),
    "one put right": ("correct 1", {"C1": ""}),
    "never given": ("", {}),
}


@pytest.mark.parametrize("case", LEFT_BY)
def test_which_job_left_a_piece(case: str, ledger: Ledger) -> None:
    deeds, jobs = LEFT_BY[case]
    handling.add(
        ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(place="B1"), quantity=3)]
    )
    for deed in filter(None, deeds.split(", ")):
        do(ledger, *deed.split())
    assert left_by(ledger, list(jobs)) == jobs
