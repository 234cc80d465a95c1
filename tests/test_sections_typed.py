"""A name taken apart, before any family is known."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.sections.names import PLAIN, Notation, plain_capitals
from cutplan.sections.typed import Typed, take_apart
from cutplan.units import INCH, MM

WORDS = frozenset({"TUBE", "SQUARE", "BRIGHT", "MS", "GA"})


def apart(text: str, notation: Notation = PLAIN) -> Typed:
    return take_apart(text, plain_capitals(text), notation, WORDS, sorted(WORDS))


def test_numbers_words_and_finish() -> None:
    typed = apart("MS sq. tube 30 x 30x2.5 bright")
    assert typed.sizes == (30 * MM, 30 * MM, 2_500_000)
    assert typed.shown == ("30", "30", "2.5")
    assert (typed.words, typed.finish, typed.inches) == (frozenset({"SQUARE", "TUBE"}), "bright", False)


def test_one_fraction_makes_every_number_inches() -> None:
    typed = apart("2 x 2 x 1/8 tube")
    assert typed.inches
    assert typed.sizes == (2 * INCH, 2 * INCH, INCH // 8)
    assert typed.shown == ('2"', '2"', '1/8"')


def test_a_gauge_number_leaves_the_other_numbers_what_they_are() -> None:
    typed = apart("25x25x16ga tube", Notation(gauge="BWG"))
    assert typed.sizes == (25 * MM, 25 * MM, 1_651_000)
    assert typed.shown == ("25", "25", "16 GA")


def test_unknown_word_is_compared_with_the_words_given() -> None:
    with pytest.raises(Refused) as refusal:
        apart("30x30x2 tuube")
    assert refusal.value.hint == 'did you mean "TUBE"?'
