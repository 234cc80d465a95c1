"""A workshop's own drills: sets by name, sizes as typed, and the one that makes a hole."""

from __future__ import annotations

import pytest

from cutplan.drilling.own_drills import own_drills, that_makes
from cutplan.problems import Refused
from cutplan.units import INCH, MM


@pytest.mark.parametrize(
    ("text", "count", "first", "last"),
    [
        ("metric by 0.5", 25, "1 mm", "13 mm"),
        ("Metric by 0.1", 121, "1 mm", "13 mm"),
        ("inch by 64ths", 29, "1/16 in", "1/2 in"),
        ("metric by 0.5; 6.8; 1/2 in", 27, "1 mm", "13 mm"),
        ("", 0, "", ""),
    ],
)
def test_sets_and_sizes(text: str, count: int, first: str, last: str) -> None:
    """Counts by hand: 1 to 13 by halves are 25, by tenths 121, 4/64 to 32/64 are 29."""
    names = [drill.name for drill in own_drills(text)]
    assert len(names) == count
    assert not names or (names[0], names[-1]) == (first, last)


def test_letters_and_numbers_have_their_names() -> None:
    """F is 0.257 in, after ASME B94.11M; from memory."""
    names = {drill.diameter: drill.name for drill in own_drills("letters and numbers", "in")}
    assert names[257 * INCH // 1000].startswith("F ")


@pytest.mark.parametrize(
    ("hole", "first", "second"),
    [(66, "7 mm", "7.5 mm"), (70, "7 mm", "7.5 mm"), (130, "13 mm", None), (135, None, None), (5, "1 mm", "1.5 mm")],
)
def test_the_drill_that_does_not_bind_and_the_next_size_up(hole: int, first: str | None, second: str | None) -> None:
    """In tenths of a millimetre; a drill of the hole's own size serves, a thinner one never."""
    found = that_makes(hole * MM // 10, own_drills("metric by 0.5"))
    assert [drill and drill.name for drill in found] == [first, second]


@pytest.mark.parametrize("text", ["metric by 0.3", "a full box", "6.8; x"])
def test_what_names_no_drill_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refused:
        own_drills(text)
    assert refused.value.code == "workshop.drills"
