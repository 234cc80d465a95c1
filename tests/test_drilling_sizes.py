"""Sizes of holes as typed."""

from __future__ import annotations

import pytest

from cutplan.drilling import HOLE_FORMS, read_hole_size
from cutplan.problems import Refused
from cutplan.units import INCH, MM


@pytest.mark.parametrize("text", ["13.5", "13.5 mm", "ø13.5", "13.5 dia", "dia. 13.5 mm", "13.5 mm hole"])
def test_plain_diameters(text: str) -> None:
    size = read_hole_size(text)
    assert (size.diameter, size.name, size.standard) == (13_500_000, "", "")


def test_a_bare_diameter_is_in_the_unit_of_its_column() -> None:
    assert read_hole_size("9/16", "in").diameter == 9 * INCH // 16
    assert read_hole_size("9", "in").diameter == 9 * INCH


@pytest.mark.parametrize(
    ("text", "name", "standard"),
    [
        ("M12 clear", "M12 clear", "ISO 273, medium"),
        ("m12clearance", "M12 clear", "ISO 273, medium"),
        ("clearance for M12 bolt", "M12 clear", "ISO 273, medium"),
        ("M12 clear close", "M12 clear fine", "ISO 273, fine"),
        ("M12 clear loose", "M12 clear coarse", "ISO 273, coarse"),
        ("1/2 in clear", "1/2 in clear", "ASME B18.2.8, normal"),
        ('1/2" clear', "1/2 in clear", "ASME B18.2.8, normal"),
        ("1-1/2 clear", "1 1/2 in clear", "ASME B18.2.8, normal"),
        ("½ clear fine", "1/2 in clear close", "ASME B18.2.8, close"),
        ("#10 clear", "#10 clear", "ASME B18.2.8, normal"),
        ("M10 tapped", "M10x1.5 tapped", "ISO 2306"),
        ("M10x1.25 tap", "M10x1.25 tapped", "ISO 2306"),
        ("1/2 tapped", "1/2-13 tapped", "common tap drill chart"),
        ("1/2-20 UNF tapped", "1/2-20 tapped", "common tap drill chart"),
        ("1-8 threaded", "1-8 tapped", "common tap drill chart"),
    ],
)
def test_bolts(text: str, name: str, standard: str) -> None:
    size = read_hole_size(text)
    assert (size.name, size.standard) == (name, standard)
    assert read_hole_size(name) == size, "what is printed is read again as the same"


@pytest.mark.parametrize("text", ["M12", "M13 clear", "M12x3 tapped", "M12x1.75 clear", "#7", "1,5", "0", "F", ""])
def test_refusals(text: str) -> None:
    with pytest.raises(Refused) as refused:
        read_hole_size(text)
    assert refused.value.found == text


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("M12", "write M12 clear for a bolt to pass, M12 tapped for a thread"),
        ("M12 close", "write M12 clear for a bolt to pass, M12 tapped for a thread"),
        ("M12x1.75 clear", "a clearance hole has no pitch"),
        ("M12 tapped medium", "a tapped hole has no fit"),
        ("M12 tapped fine", "name the pitch of a thread: M10x1.25 tapped, 1/2-20 tapped"),
        (
            "1,5",
            "is 1.5 meant? write that, "
            "or say which sign is the decimal one with workshop.decimal_sign in the workshop file",
        ),
    ],
)
def test_hints(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refused:
        read_hole_size(text)
    assert refused.value.hint == hint


def test_bolts_offered_are_those_of_the_same_kind() -> None:
    for text, offered in (("M13 clear", "M3 to M36"), ("13/16 clear", "1/4 to 1 1/2"), ("#9 clear", "#4 to #10")):
        with pytest.raises(Refused, match=offered):
            read_hole_size(text)
    with pytest.raises(Refused, match=r"M12x1\.75 tapped or M12x1\.5 tapped or M12x1\.25 tapped"):
        read_hole_size("M12x3 tapped")


def test_every_example_is_accepted() -> None:
    examples = HOLE_FORMS.replace("a diameter such as ", "").replace("or a bolt such as ", "").replace(" or ", ", ")
    for example in examples.split(", "):
        assert read_hole_size(example.strip()).diameter > 4 * MM
