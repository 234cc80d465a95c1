"""What the rack offers to a job, and what changed between two looks."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import EndState, Workshop
from cutplan.rack import handling, holding, offering
from cutplan.rack.entry import entry
from cutplan.rack.pieces import Material
from cutplan.rack.store import Ledger
from cutplan.sections import Family, read_section
from tests import builders, racks
from tests.builders import mm

PART = builders.part("T1", 2, 300, section=read_section("SHS 40x40x3", standard=None, standard_of=Workshop().standard))
TODAY = "2031-05-04"


def offered(ledger: Ledger, job: str = "gate", workshop: Workshop | None = None, today: str = TODAY) -> list[str]:
    found = offering.offered(ledger, workshop or Workshop(), job, [PART], today)
    return [f"{offcut.quantity} {offcut.mark}" for offcut in found]


def test_only_the_sections_of_the_job_oldest_first(ledger: Ledger) -> None:
    racks.put(ledger, 500, 900, 700)
    others = [
        Material(designation="FL 50x6", standard="EN 10058", finish="black"),
        replace(racks.TUBE, finish="galvanised"),
        replace(racks.TUBE, standard="ASTM A500"),
    ]
    pieces = [handling.NewPiece(material=material, state=racks.state(800)) for material in others]
    handling.add(ledger, racks.doing(), pieces)
    assert offered(ledger) == ["1 A1", "1 C1", "1 E1"]


def test_a_slanted_end_is_offered_by_its_long_point(ledger: Ledger) -> None:
    racks.put(ledger, 500, angle_a=45_000_000, depth=mm(40), side=3)
    racks.put(ledger, 600, angle_a=45_000_000)
    one, other = offering.offered(ledger, Workshop(), "gate", [PART], TODAY)
    assert (one.length, one.tip, one.angle_a, one.depth, one.side) == (mm(540), mm(40), 45_000_000, mm(40), 3)
    assert (other.length, other.tip, other.angle_a) == (mm(600), 0, 0), "nobody knows what it runs across"
    squared = replace(one, angle_a=0, depth=0, side=0)
    assert offering.digest([one]) != offering.digest([squared])
    assert offering.changes([one], [squared]) == ("A1 has changed",)


def test_what_another_job_holds_is_not_offered(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=5)])
    with entry(ledger, racks.doing("hold", job="shelf")) as writing:
        holding.hold_for(writing, "shelf", {"A1": 3}, "2031-05-18")
    assert offered(ledger) == ["2 A1"]
    assert offered(ledger, "shelf") == ["5 A1"]
    assert offered(ledger, today="2031-05-19") == ["5 A1"]


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
