"""What is taken as done, and how the plan of the rest differs, one sentence each."""

from __future__ import annotations

import pytest

from cutplan.rack.outcome import NowThere
from cutplan.rack.pieces import Material
from cutplan.units import MM, Printing
from cutplan.words import rest_words as words
from tests.builders import offer, part

HOW = Printing()


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (words.taken_as_cut(1), "1 part is taken as cut, as ticked."),
        (
            words.taken_as_cut(3, up_to_the_spoiled=True),
            "3 parts are taken as cut, as ticked, and those up to the spoiled one.",
        ),
        (words.bars_taken_as_cut(0, spoiled=False), "No bar is taken as cut."),
        (words.bars_taken_as_cut(2, spoiled=False), "Bars up to 2 are taken as cut."),
        (
            words.bars_taken_as_cut(2, spoiled=True),
            "Bars up to 2 are taken as cut, bar 2 up to the spoiled part.",
        ),
        (words.bars_taken_as_cut(1, spoiled=True), "Bar 1 is taken as cut up to the spoiled part."),
        (words.was_spoiled("A", None, None, ""), "A was spoiled."),
        (words.was_spoiled("A", 2, 840 * MM, "840"), "A copy 2 was spoiled and came to 840."),
        (words.was_spoiled("A", 2, 0, "0"), "A copy 2 was spoiled and is scrap."),
        (words.cannot_be_used(3, 0, HOW), "Bar 3 cannot be used."),
        (words.cannot_be_used(3, 900 * MM, HOW), "Bar 3 cannot be used but for 900 mm of it."),
        (words.not_planned_again(4), "4 parts are cut already and not planned again."),
        (words.not_planned_again(1), "1 part is cut already and not planned again."),
        (words.received_before("gate", "2031-05-04"), "gate: received already, 2031-05-04. Nothing was changed."),
        (
            words.misfit([2], 4827 * MM, offer("P", 6000, 9, finish="galvanised"), HOW),
            "bar 2: nothing is left that the cuts fit; it needs 4827 mm of SHS 40x40x3 galvanised",
        ),
        (
            words.misfit([2, 3], 4827 * MM, offer("P", 6000, 9, grade="S235", finish=""), HOW),
            "bars 2, 3: nothing is left that the cuts fit; each needs 4827 mm of SHS 40x40x3 S235",
        ),
        (
            words.from_another(1, "A1", 5960 * MM, 1140 * MM, HOW),
            "  bar 1 from A1, 5960 mm long: 1140 mm left",
        ),
    ],
)
def test_a_sentence(said: str, sentence: str) -> None:
    assert said == sentence


def test_lengths_alike_that_are_taken_as_fetched_are_counted() -> None:
    tube, bar = (Material(designation=name, standard="", finish="black") for name in ("SHS 40x40x3", "FL 50x6"))
    uncut = [
        NowThere(bar=number, mark="A1", printed="", material=of, length=length * MM)
        for number, of, length in ((2, tube, 6000), (3, bar, 3000), (4, tube, 6000))
    ]
    assert words.taken_as_fetched(uncut, HOW) == (
        "No delivery is noted, so not cut and taken as fetched: "
        "2 x 6 m SHS 40x40x3, black (bars 2, 4); 1 x 3 m FL 50x6, black (bar 3)."
    )


def test_what_a_changed_list_says_otherwise() -> None:
    had = {each.mark: each for each in (part("A", 2, 900), part("B", 1, 800), part("C", 1, 700))}
    has = {each.mark: each for each in (part("A", 3, 900), part("C", 1, 700), part("D", 1, 600))}
    assert words.list_changes(had, has) == ["B is no longer wanted.", "D was added.", "A: 3 wanted, not 2."]
    assert words.list_changes(had, had) == []


def test_bars_of_the_rest() -> None:
    assert words.bars_of_the_rest([], [], []) == []
    assert words.bars_of_the_rest([1, 2], [(5, "A3", 3)], [6]) == [
        "As they were, with their labels: bars 1, 2.",
        "Bar 5, from A3, takes the place of bar 3.",
        "New: bar 6.",
    ]
