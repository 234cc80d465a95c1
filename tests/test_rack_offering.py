"""What the rack offers to a job, and what changed between two looks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import EndState, Workshop
from cutplan.rack import handling, holding, offering
from cutplan.rack.entry import entry
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from cutplan.sections import Family, read_section
from tests import builders, racks
from tests.builders import mm

PART = builders.part("T1", 2, 300, section=read_section("SHS 40x40x3", standard=None, standard_of=Workshop().standard))
TODAY = "2031-05-04"


def offered(ledger: Ledger, job: str = "gate", workshop: Workshop | None = None, today: str = TODAY) -> list[str]:
    found = offering.offered(ledger, workshop or Workshop(), job, [PART], today)
    return [f"{offcut.quantity} {offcut.mark}" for offcut in found]


def test_the_oldest_come_first(ledger: Ledger) -> None:
    """Three that came at once, and one that came a day before by its clock, though it was written down later."""
    racks.put(ledger, 500, 900, 700)
    early = replace(racks.doing(), at="2031-05-03T09:30:00Z")
    handling.add(ledger, early, [handling.NewPiece(material=racks.TUBE, state=racks.state(600))])
    assert offered(ledger) == ["1 F1", "1 A1", "1 C1", "1 E1"]


def test_a_slanted_end_is_offered_by_its_long_point(ledger: Ledger) -> None:
    racks.put(ledger, 500, angle_a=45_000_000, depth=mm(40), side=3)
    racks.put(ledger, 600, angle_a=45_000_000)
    one, other = offering.offered(ledger, Workshop(), "gate", [PART], TODAY)
    assert (one.length, one.tip, one.angle_a, one.depth, one.side) == (mm(540), mm(40), 45_000_000, mm(40), 3)
    assert (other.length, other.tip, other.depth) == (mm(640), mm(40), mm(40)), "never noted, but it can be no other"
    squared = replace(one, angle_a=0, depth=0, side=0)
    assert offering.digest([one]) != offering.digest([squared])
    assert offering.changes([one], [squared]) == ("A1 has changed",)


def test_what_a_slant_runs_across_is_taken_to_be_known_only_where_it_can_be_no_other(ledger: Ledger) -> None:
    for designation, standard, longest in (
        ("SHS 40x40x3", "EN 10219-2", 640),
        ("RHS 60x40x3", "EN 10219-2", 600),
        ("EA 50x50x5", "EN 10056-1", 600),
    ):
        material = replace(racks.TUBE, designation=designation, standard=standard)
        new = handling.NewPiece(material=material, state=racks.state(600, angle_a=45_000_000))
        (mark,) = handling.add(ledger, racks.doing(), [new])
        (piece,) = [each for each in standing(ledger) if each.mark == mark]
        assert offering.offcut_of(piece, Workshop(), 1).length == mm(longest)


OFFERED: dict[str, tuple[str, str, str]] = {
    # what lies there (A1 is five full lengths), what then is done, and what the gate is offered on the 4th of May
    "nobody holds it": ("", "", "5 A1"),
    "another job holds some": ("hold 3 A1 shelf 05-18", "", "2 A1"),
    "another job holds all": ("hold 5 A1 shelf 05-18", "", ""),
    "two others hold some": ("hold 3 A1 shelf 05-18, hold 1 A1 rail 05-09", "", "1 A1"),
    "two others hold all": ("hold 3 A1 shelf 05-18, hold 2 A1 rail 05-09", "", ""),
    "it holds some itself": ("hold 3 A1 gate 05-18", "", "5 A1"),
    "it holds some, and another does": ("hold 3 A1 gate 05-18, hold 1 A1 shelf 05-18", "", "4 A1"),
    "held up to today": ("hold 3 A1 shelf 05-04", "", "2 A1"),
    "held up to yesterday": ("hold 3 A1 shelf 05-03", "", "5 A1"),
    "released": ("hold 3 A1 shelf 05-18", "release shelf", "5 A1"),
    "held anew for longer": ("hold 3 A1 shelf 05-03", "hold 3 A1 shelf 05-18", "2 A1"),
    "the hold is undone": ("hold 3 A1 shelf 05-18", "undo", "5 A1"),
    "some are scrapped": ("", "scrap 2 A1", "3 A1"),
    "all are scrapped": ("", "scrap 5 A1", ""),
    "some are out": ("", "take 1 A1", "4 A1"),
    "more came later": ("", "put 700", "5 A1, 1 C1"),
    "it is put right": ("", "put 700, correct C1 650", "5 A1, 1 C1"),
}


@pytest.mark.parametrize("case", OFFERED)
def test_what_is_offered(case: str, ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=5)])
    before, then, comes_to = OFFERED[case]
    for word in filter(None, f"{before}, {then}".split(", ")):
        match word.split():
            case ["hold", count, mark, job, day]:
                with entry(ledger, racks.doing("hold", job=job)) as writing:
                    holding.hold_for(writing, job, {mark: int(count)}, f"2031-{day}")
            case ["release", job]:
                holding.release(ledger, racks.doing("release"), job=job)
            case ["scrap", count, mark]:
                handling.scrap(ledger, racks.doing("scrap"), [mark], int(count))
            case ["take", count, mark]:
                handling.take(ledger, racks.doing("take"), mark, int(count))
            case ["put", length]:
                racks.put(ledger, length)
            case ["correct", mark, length]:
                handling.correct(ledger, racks.doing("correct"), mark, length=mm(length))
            case ["undo"]:
                handling.undo(ledger, racks.doing("undo"))
            case other:
                raise ValueError(other)
    assert ", ".join(offered(ledger)) == comes_to


OF_ANOTHER_KIND: dict[str, tuple[dict[str, str], bool]] = {
    "the tube of the job": ({}, True),
    "another section": ({"designation": "FL 50x6", "standard": "EN 10058"}, False),
    "another size": ({"designation": "SHS 40x40x4"}, False),
    "another finish": ({"finish": "galvanised"}, False),
    "to another standard": ({"standard": "ASTM A500"}, False),
}


@pytest.mark.parametrize("case", OF_ANOTHER_KIND)
def test_what_serves_a_part(case: str, ledger: Ledger) -> None:
    other, serves = OF_ANOTHER_KIND[case]
    piece = handling.NewPiece(material=replace(racks.TUBE, **other), state=racks.state(800))
    handling.add(ledger, racks.doing(), [piece])
    assert bool(offered(ledger)) == serves


def test_a_piece_as_a_job_knows_it(ledger: Ledger) -> None:
    shop = Workshop(offcut_value_per_mm=((Family.SHS, 1500),), density=7900)
    racks.put(ledger, "500.5", grade="S235JRH", heat_number="H1", place="B2", end_b=EndState.MILL)
    racks.put(ledger, 600, value=7_000_000)
    first, second = offering.offered(ledger, shop, "gate", [PART], TODAY)
    assert (first.mark, first.length, first.grade, first.heat_number, first.place) == (
        "A1", mm("500.5"), "S235JRH", "H1", "B2",
    )  # fmt: skip
    assert (first.end_a, first.end_b, first.section.density) == (EndState.SAWN, EndState.MILL, 7900)
    assert (first.book_value, second.book_value) == (750_750, 7_000_000)


CHANGED: dict[str, tuple[dict[str, Any] | None, dict[str, Any] | None, tuple[str, ...]]] = {
    # a piece before, the same mark at the second look, what is told; None is no such piece
    "as it was": ({}, {}, ()),
    "gone": ({}, None, ("A1 is not there any more, or is held for another job",)),
    "come": (None, {}, ("A1 has come",)),
    "shorter": ({}, {"length": mm(490)}, ("A1 has changed",)),
    "fewer": ({"quantity": 3}, {"quantity": 2}, ("A1 has changed",)),
    "another grade": ({}, {"grade": "S355J2H"}, ("A1 has changed",)),
    "another heat": ({}, {"heat_number": "H2"}, ("A1 has changed",)),
    "elsewhere": ({}, {"place": "B2"}, ("A1 has changed",)),
    "an end sawn": ({"end_a": EndState.MILL}, {}, ("A1 has changed",)),
    "worth something else": ({}, {"book_value": 5_000_000}, ()),
}


@pytest.mark.parametrize("case", CHANGED)
def test_what_changed_between_two_looks(case: str) -> None:
    before, after, told = CHANGED[case]
    looks = [[] if each is None else [replace(builders.offcut("A1", 500), **each)] for each in (before, after)]
    assert offering.changes(*looks) == told
    alike = offering.digest(looks[0]) == offering.digest(looks[1])
    assert alike == (before == after), "what a plan was made from is told apart by book values too"


def test_changes_are_told_by_mark(ledger: Ledger) -> None:
    racks.put(ledger, 500, 600, 700)
    before = offering.offered(ledger, Workshop(), "gate", [PART], TODAY)
    assert offering.changes(before, before) == ()
    racks.put(ledger, 800)
    handling.scrap(ledger, racks.doing("scrap"), ["A1"])
    handling.correct(ledger, racks.doing("correct"), "C1", length=mm(590))
    after = offering.offered(ledger, Workshop(), "gate", [PART], TODAY)
    assert offering.changes(before, after) == (
        "A1 is not there any more, or is held for another job",
        "C1 has changed",
        "F1 has come",
    )
    assert offering.digest(before) != offering.digest(after)
