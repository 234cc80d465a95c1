"""Positions of holes, whatever the figures: as many as said, in place, no error adding up; nothing crashes."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cutplan.drilling import read_hole_size
from cutplan.problems import Refused
from cutplan.reading.lists.positions import parse_positions
from cutplan.units import INCH, MM, mm_text

UM = st.integers(0, 20_000_000).map(lambda um: um * 1000)


@given(first=UM, span=st.integers(1, 10**10), count=st.integers(2, 200))
def test_equal_division_is_exact_to_half_a_nanometre_everywhere(first: int, span: int, count: int) -> None:
    last = first + span
    text = f"{count} equal between {mm_text(first)} and {mm_text(last)}"
    places = parse_positions(text)
    assert len(places) == count
    assert (places[0], places[-1]) == (first, last)
    for i, place in enumerate(places):
        assert abs(place - (first + Fraction(span * i, count - 1))) <= Fraction(1, 2)


@given(first=UM, steps=st.lists(st.tuples(st.integers(1, 30), st.integers(1, 500_000)), max_size=6))
def test_steps_run_on_from_the_place_before(first: int, steps: list[tuple[int, int]]) -> None:
    text = ", ".join([mm_text(first), *(f"{count} @ {mm_text(pitch * 1000)}" for count, pitch in steps)])
    expected = [first]
    for count, pitch in steps:
        for _ in range(count):
            expected.append(expected[-1] + pitch * 1000)
    assert list(parse_positions(text)) == expected


@given(places=st.lists(st.integers(0, 64 * 300), min_size=1, max_size=8))
def test_inches_are_read_exactly(places: list[int]) -> None:
    def inches(sixtyfourths: int) -> str:
        whole, part = divmod(sixtyfourths, 64)
        return f"{whole} {Fraction(part, 64)}" if part else str(whole)

    found = parse_positions(", ".join(inches(place) for place in places), "in")
    assert list(found) == [place * INCH // 64 for place in places]


NOISE = st.text(alphabet="0123456789 @,;=.xM#/\"'-eqbtwnaodclrpØ", max_size=30)


@given(text=NOISE, unit=st.sampled_from(["mm", "in"]))
def test_noise_is_read_or_refused(text: str, unit: str) -> None:
    with suppress(Refused):
        places = parse_positions(text, unit)
        assert places
        assert all(isinstance(place, int) and place >= 0 for place in places)
    with suppress(Refused):
        assert 0 < read_hole_size(text, unit).diameter <= 100_000 * MM
