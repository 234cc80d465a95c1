"""Angles from square, and what a slanted cut takes."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    ANGLE_FORMS,
    DEGREE,
    MM,
    ROUNDED_UP_TO,
    angle_text,
    kerf_along,
    mitre_run,
    mitre_saving,
    mm_text,
    parse_angle,
    unsaid_comma,
)


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("45", 45 * DEGREE),
        ("22.5", 22_500_000),
        ("22 1/2", 22_500_000),
        ("0", 0),
        ("45°", 45 * DEGREE),
        ("45 deg", 45 * DEGREE),
        ("45 Degrees", 45 * DEGREE),
        ("1 degree", DEGREE),
        ("75", 75 * DEGREE),
    ],
)
def test_angle_is_read(text: str, angle: int) -> None:
    assert parse_angle(text) == angle


@pytest.mark.parametrize("text", ["", "-45", "75.1", "steep", "30.0000001", "9" * 5000])
def test_angle_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_angle(text)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, ANGLE_FORMS, "")


@pytest.mark.parametrize("text", ["90", "90.0", "90°"])
def test_ninety_is_asked_about(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_angle(text)
    assert refusal.value.hint.startswith("is a square end meant?")


@pytest.mark.parametrize(
    ("kerf", "degrees", "along"),
    [
        # 2.5 at 45 degrees is 3.536 (trade sum k / cos); rounded up to 0.1 mm.
        ("2.5", "45", "3.6"),
        ("2.5", "0", "2.5"),
        ("3.175", "0", "3.175"),
        ("2.5", "60", "5"),
        ("3", "60", "6"),
        ("2.5", "22.5", "2.8"),
        ("0", "45", "0"),
        ("2.5", "75", "9.7"),
        ("2.5", "0.000001", "2.5"),
    ],
)
def test_kerf_along_the_bar(kerf: str, degrees: str, along: str) -> None:
    angle = int(Fraction(degrees) * DEGREE)
    assert mm_text(kerf_along(int(Fraction(kerf) * MM), angle)) == along


@pytest.mark.parametrize(
    ("depth", "degrees", "run"),
    [
        # 50 mm deep: 50.0 at 45 degrees and 20.7 at 22.5 (20.711, rounded up).
        ("50", "45", "50"),
        ("50", "22.5", "20.8"),
        ("50.8", "45", "50.8"),
        ("33.337", "45", "33.337"),
        ("50", "0", "0"),
        ("50", "75", "186.7"),
    ],
)
def test_mitre_run(depth: str, degrees: str, run: str) -> None:
    angle = int(Fraction(degrees) * DEGREE)
    assert mm_text(mitre_run(int(Fraction(depth) * MM), angle)) == run


@pytest.mark.parametrize(
    ("depth", "degrees", "saving"),
    [("50", "45", "50"), ("33.337", "45", "33.337"), ("50", "22.5", "20.7"), ("50", "0", "0"), ("0.1", "22.5", "0")],
)
def test_what_a_shared_mitre_saves_is_rounded_down(depth: str, degrees: str, saving: str) -> None:
    angle = int(Fraction(degrees) * DEGREE)
    assert mm_text(mitre_saving(int(Fraction(depth) * MM), angle)) == saving


def test_trigonometry_never_falls_short_and_never_wastes_more_than_its_step() -> None:
    for tenth in range(1, 751):
        angle = tenth * DEGREE // 10
        radians = math.radians(tenth / 10)
        assert -1 <= kerf_along(2_500_000, angle) - 2_500_000 / math.cos(radians) < ROUNDED_UP_TO
        assert -1 <= mitre_run(50 * MM, angle) - 50 * MM * math.tan(radians) < ROUNDED_UP_TO
        assert -1 <= 50 * MM * math.tan(radians) - mitre_saving(50 * MM, angle) < ROUNDED_UP_TO


def test_angle_as_a_plain_decimal() -> None:
    assert angle_text(22_500_000) == "22.5"
    assert angle_text(45 * DEGREE) == "45"


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("45,5", unsaid_comma("45,5")),
        ("1/0", "a fraction with nothing below the line"),
        ("slope 3:0", "a slope with nothing to run over"),
        ("3:12", "is a slope meant? write slope 3:12"),
        ("3 in 12", "is a slope meant? write slope 3 in 12"),
        ("135", "is the corner of two mitres meant? write included 135"),
        ("180", ""),
        ("included 20", ""),
        ("included 200", ""),
        ("slope 12:3", ""),
    ],
)
def test_another_angle_is_asked_about(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_angle(text)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, ANGLE_FORMS, hint)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        # atan(rise / run): arctan 1/4 = 14.036243, arctan 5/12 = 22.619865 (the 5-12-13 triangle), arctan 1 = 45.
        ("slope 3:12", "14.036243"),
        ("5:12 slope", "22.619865"),
        ("5 in 12 slope", "22.619865"),
        ("Slope 1:1", "45"),
        ("slope 2.5:2.5", "45"),
        # The saw angle of a frame's corner is half its turn (1kfe.com, figuring angles).
        ("included 90", "45"),
        ("135° included", "22.5"),
        ("included 120 deg", "30"),
        ("22° 30'", "22.5"),
        ("22°30′", "22.5"),
        ("10 deg 0 min 36 sec", "10.01"),
    ],
)
def test_angles_that_are_named(text: str, degrees: str) -> None:
    assert parse_angle(text) == Fraction(degrees) * DEGREE
