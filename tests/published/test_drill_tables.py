"""Hole and drill sizes against standards, an open library of fasteners, and the rule of tapping.

Sources. ISO: medium series of ISO 273 as printed at engineeringhardware.com for M6 to M16. LIBRARY: bd_warehouse 0.4.0
(Apache-2.0), data/clearance_hole_sizes.csv, drill_sizes.csv and tap_hole_sizes.csv, retyped for the sizes here.
CHART: tap drills for M6 to M16 of the drill size chart at metricmech.com. RULE: a tap drill is about the major diameter
less the pitch, "List of drill and tap sizes", en.wikipedia.org. Values of ISO 273 and ASME B18.2.8 themselves are from
memory.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.drilling import nearest_inch, nearest_metric, read_hole_size
from cutplan.drilling.size_tables import FITS, clearances, named_drills, threads
from cutplan.units import INCH, MM, parse_length

ISO_MEDIUM = {"M6": "6.6", "M8": "9", "M10": "11", "M12": "13.5", "M16": "17.5"}

LIBRARY_METRIC = """
M3 3.2 3.4 3.6; M4 4.3 4.5 4.8; M5 5.3 5.5 5.8; M6 6.4 6.6 7; M8 8.4 9 10; M10 10.5 11 12; M12 13 14 15; M14 15 16 17;
M16 17 18 19; M18 19 20 21; M20 21 22 24; M22 23 24 26; M24 25 26 28; M27 28 30 32; M30 31 33 35; M33 34 36 38;
M36 37 39 42
"""
DISAGREE = {"M12", "M14", "M16"}
"""Bolts for which the library has whole millimetres, where ISO 273 has 13.5, 15.5 and 17.5 in its medium series."""

LIBRARY_INCH = """
1/4 17/64 9/32 19/64; 5/16 21/64 11/32 23/64; 3/8 25/64 13/32 27/64; 7/16 29/64 15/32 31/64; 1/2 17/32 9/16 39/64;
5/8 21/32 11/16 47/64; 3/4 25/32 13/16 29/32; 7/8 29/32 15/16 1-1/32; 1 1-1/32 1-3/32 1-5/32;
1-1/8 1-5/32 1-7/32 1-5/16; 1-1/4 1-9/32 1-11/32 1-7/16; 1-3/8 1-7/16 1-1/2 1-39/64; 1-1/2 1-9/16 1-5/8 1-47/64
"""
LIBRARY_NUMBERED = {"#4": "31 30 27", "#6": "23 18 13", "#8": "15 9 3", "#10": "5 2 B"}
"""Drills named in the library for number bolts, close, normal and loose."""

LIBRARY_DRILLS = """
A .234 B .238 C .242 D .246 E .250 F .257 G .261 H .266 I .272 J .277 K .281 L .290 M .295 N .302 O .316 P .323 Q .332
R .339 S .348 T .358 U .368 V .377 W .386 X .397 Y .404 Z .413 #1 .228 #2 .221 #3 .213 #4 .209 #5 .205 #6 .204 #7 .201
#8 .199 #9 .196 #10 .193 #11 .191 #12 .189 #13 .185 #14 .182 #15 .18 #16 .177 #17 .173 #18 .17 #19 .166 #20 .161
#21 .159 #22 .157 #23 .154 #24 .152 #25 .15 #26 .147 #27 .144 #28 .14 #29 .136 #30 .1285 #31 .12 #32 .116 #33 .113
#34 .111 #35 .11 #36 .1065 #37 .104 #38 .1015 #39 .0995 #40 .098 #41 .096 #42 .0935 #43 .089 #44 .086 #45 .082 #46 .081
#47 .0785 #48 .076 #49 .073 #50 .07 #51 .067 #52 .0635 #53 .0595 #54 .055 #55 .052 #56 .0465 #57 .043 #58 .042
#59 .041 #60 .04
"""

CHART_TAPS = {"M6": "5.0", "M8": "6.8", "M10": "8.5", "M12": "10.2", "M16": "14.0"}
LIBRARY_TAPS_METRIC = """
M3 0.5 2.5; M4 0.7 3.3; M5 0.8 4.2; M6 1 5; M8 1.25 6.8; M8 1 7; M10 1.5 8.5; M10 1.25 8.8; M10 1 9; M12 1.5 10.5;
M12 1.25 10.8; M14 1.5 12.5; M16 2 14; M16 1.5 14.5; M18 2.5 15.5; M20 2.5 17.5
"""
LIBRARY_TAPS_INCH = """
#4 40 43; #6 32 36; #8 32 29; #10 24 25; #10 32 21; 1/4 20 7; 1/4 28 3; 5/16 18 F; 5/16 24 I; 3/8 16 5/16; 3/8 24 Q;
7/16 14 U; 7/16 20 25/64; 1/2 13 27/64; 1/2 20 29/64; 9/16 12 31/64; 9/16 18 33/64; 5/8 11 17/32; 5/8 18 37/64;
3/4 10 21/32; 3/4 16 11/16; 7/8 9 49/64; 7/8 14 13/16; 1 8 7/8
"""


def cells(table: str) -> list[list[str]]:
    return [line.split() for line in " ".join(table.split()).split(";")]


def inches(text: str) -> int:
    """``1-1/32`` inches in nm; a letter or a bare number above 1 is a drill of that name."""
    named = dict(named_drills())
    if text in named:
        return named[text]
    if text.isdigit():
        return named[f"#{text}"]
    return parse_length(text, "in")


def diameter(text: str) -> int:
    return read_hole_size(text).diameter


@pytest.mark.parametrize("bolt", ISO_MEDIUM)
def test_medium_clearance_of_iso_273(bolt: str) -> None:
    assert diameter(f"{bolt} clear") == parse_length(ISO_MEDIUM[bolt])


def test_metric_clearance_agrees_with_the_library_but_where_it_is_known_not_to() -> None:
    wrong = set()
    for bolt, *sizes in cells(LIBRARY_METRIC):
        assert clearances()[bolt].standard == "ISO 273"
        if clearances()[bolt].diameters != tuple(parse_length(size) for size in sizes):
            wrong.add(bolt)
    assert wrong == DISAGREE


def test_inch_clearance_agrees_with_the_library() -> None:
    for bolt, *sizes in cells(LIBRARY_INCH):
        listed = clearances()[bolt.replace("-", " ")]
        assert listed.standard == "ASME B18.2.8"
        assert listed.diameters == tuple(inches(size) for size in sizes), bolt


def test_number_bolts_are_within_a_thousandth_of_the_drill_the_library_names() -> None:
    for bolt, drills in LIBRARY_NUMBERED.items():
        for size, drill in zip(clearances()[bolt].diameters, drills.split(), strict=True):
            assert abs(size - inches(drill)) <= INCH // 1000, (bolt, drill)


def test_every_bolt_grows_with_its_fit() -> None:
    for bolt, listed in clearances().items():
        assert len(listed.diameters) == len(FITS)
        assert list(listed.diameters) == sorted(set(listed.diameters)), bolt


def test_drills_agree_with_the_library_within_its_rounding() -> None:
    words = LIBRARY_DRILLS.split()
    listed = dict(named_drills())
    library = dict(zip(words[::2], words[1::2], strict=True))
    assert set(library) == set(listed)
    for name, size in library.items():
        assert abs(listed[name] - Fraction(size) * INCH) <= INCH // 2000, name


@pytest.mark.parametrize("bolt", CHART_TAPS)
def test_tap_drills_of_the_chart(bolt: str) -> None:
    assert diameter(f"{bolt} tapped") == parse_length(CHART_TAPS[bolt])


def test_metric_tap_drills_agree_with_the_library() -> None:
    for bolt, pitch, drill in cells(LIBRARY_TAPS_METRIC):
        assert diameter(f"{bolt}x{pitch} tapped") == parse_length(drill), (bolt, pitch)


def test_inch_tap_drills_agree_with_the_library() -> None:
    for bolt, pitch, drill in cells(LIBRARY_TAPS_INCH):
        assert diameter(f"{bolt}-{pitch} tapped") == inches(drill), (bolt, pitch)


def test_metric_tap_drills_are_diameter_less_pitch() -> None:
    for thread in threads():
        if thread.bolt.startswith("M"):
            rule = Fraction(thread.bolt[1:]) - Fraction(thread.pitch)
            assert abs(Fraction(thread.drill, MM) - rule) <= Fraction("0.05"), thread


def test_inch_tap_drills_leave_half_to_all_of_the_thread() -> None:
    """RULE for 60 degree threads: depth in percent is (major less drill) x threads per inch / 0.0129904."""
    for thread in threads():
        if not thread.bolt.startswith(("M", "#")):
            depth = (Fraction(thread.bolt) - Fraction(thread.drill, INCH)) * int(thread.pitch) / Fraction("0.0129904")
            assert 60 <= depth <= 85, (thread, float(depth))


def test_the_nearest_drills_of_a_half_inch_bolt() -> None:
    """9/16 in is 14.2875 mm; the nearest half millimetre above 14 mm is 14.5 mm. Worked by hand."""
    hole = read_hole_size("1/2 in clear")
    inch, metric = nearest_inch(hole.diameter), nearest_metric(hole.diameter)
    assert inch is not None
    assert metric is not None
    assert (inch.name, inch.diameter - hole.diameter) == ("9/16 in", 0)
    assert (metric.name, metric.diameter - hole.diameter) == ("14.5 mm", 212_500)
