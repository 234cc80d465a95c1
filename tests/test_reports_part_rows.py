"""Lines of a parts list as rows."""

from __future__ import annotations

from cutplan.reports.part_rows import frames_of, part_row
from cutplan.units import MILLIMETRES, MM
from tests import builders


def test_a_line_of_an_assembly_made_seven_times() -> None:
    leg = builders.part("Leg", 28, 400, assembly="stool", assemblies=7)
    row = part_row(leg, MILLIMETRES, "SHS 40x40x3", first=True)
    assert (row.mark, row.quantity, row.each, row.units, row.assembly) == ("Leg", 28, 4, 7, "stool")
    assert (row.section, row.length, row.short_point, row.finished) == ("SHS 40x40x3", 400 * MM, None, None)
    assert row.mass == 28 * row.mass_each
    assert part_row(leg, MILLIMETRES, "", first=False).units == 1, "of a rest nobody knows which unit lacks it"


def test_frames_stand_by_assembly() -> None:
    parts = [builders.part(m, 2, length, mitres=(45, 45), assembly="gate") for m, length in (("A", 1200), ("B", 500))]
    frames = frames_of([*parts, builders.part("C", 1, 700)], MILLIMETRES)
    assert list(frames) == ["gate", ""]
    assert "both diagonals 1300 mm" in frames["gate"][0]
    assert frames[""] == ()
