"""The rule for the offcut value: refused only where a plan would buy steel to lay it on the rack."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.planning import plan_job
from tests.input_files import PARTS, job_of, refusal

PH = ("Merchant", "Section", "Length", "Price", "Per")
SHS = "SHS 40x40x3"
SIX = (PH, ("Yard", SHS, 6000, 30, "each"))


def overpays(tmp_path: Path, value: str, *prices: tuple[int, float]) -> bool:
    offers = (PH, *((f"Yard {n}", SHS, length, price, "each") for n, (length, price) in enumerate(prices)))
    found = refusal(tmp_path, PARTS, prices=offers, workshop=f'[offcut_value_per_m]\nSHS = "{value}"')
    assert not found or found.startswith('workshop.toml, key "offcut_value_per_m.SHS": found ')
    return bool(found)


@pytest.mark.parametrize(
    ("value", "prices", "refused"),
    [
        ("3.999", [(6000, 30), (7500, 36)], False),
        ("4", [(6000, 30), (7500, 36)], True),
        # A longer bar that is no dearer is bought anyway.
        ("3.8", [(6000, 30), (7500, 30)], False),
        ("3.8", [(6000, 30), (7500, 29)], False),
        ("4", [(6000, 30), (7500, 40), (12000, 57)], True),
        ("3.7", [(6000, 30), (7500, 40), (12000, 57)], False),
        # Neither neighbours in length nor in price: the outer two.
        ("2.6", [(6000, 20), (7000, 28), (8000, 25)], True),
        ("2.4", [(6000, 20), (7000, 28), (8000, 25)], False),
        # More than a new bar costs a metre: any bar would be bought for its offcut.
        ("4.999", [(6000, 30)], False),
        ("5", [(6000, 30)], True),
        ("1000", [(6000, 30)], True),
    ],
)
def test_offcut_value_against_prices(value: str, prices: Any, refused: bool, tmp_path: Path) -> None:
    assert overpays(tmp_path, value, *prices) == refused


def test_offcut_value_agrees_with_every_pair_looked_at(tmp_path: Path) -> None:
    import random

    draw = random.Random(7)
    seen = set()
    for _ in range(60):
        offers = {draw.randrange(3, 13) * 1000: draw.randrange(10, 60) for _ in range(5)}
        rate = draw.randrange(1, 9)
        # Buying nothing is as good as any other offer.
        shorter = [*offers.items(), (0, 0)]
        pairs = [(a, b) for a in shorter for b in offers.items() if a[0] < b[0] and a[1] < b[1]]
        wrong = any(rate * (b[0] - a[0]) >= (b[1] - a[1]) * 1000 for a, b in pairs)
        assert overpays(tmp_path, str(rate), *offers.items()) == wrong
        seen.add(wrong)
    assert seen == {True, False}


def most_of(tmp_path: Path, value: str, *rows: tuple[Any, ...], parts: Any = PARTS) -> tuple[str, str]:
    """What a refusal says is accepted, and the rows it names."""
    found = refusal(tmp_path, parts, prices=(PH, *rows), workshop=f'[offcut_value_per_m]\nSHS = "{value}"')
    return found.split("Accepted: less than ")[1].split(" a metre")[0], found.split("would pay: ")[1].split(" of")[0]


def test_what_is_accepted_is_the_tightest_of_all_bars_of_the_family(tmp_path: Path) -> None:
    """By hand: 30 for 6 m is 5 a metre, and 36 less 30 for the 1.5 m more is 4; of the other section 24 for 6 m is 4,
    and 3 for 1.5 m more is 2.
    """
    six, longer = ("Yard", SHS, 6000, 30, "each"), ("Yard", SHS, 7500, 36, "each")
    assert most_of(tmp_path, "1000", six, longer) == ("4.000", "rows 2 and 3")
    other = [("Yard", "SHS 50x50x3", 6000, 24, "each"), ("Yard", "SHS 50x50x3", 7500, 27, "each")]
    both = (*PARTS, ("P2", 1, "SHS 50x50x3", 700))
    assert most_of(tmp_path, "1000", six, longer, *other, parts=both) == ("2.000", "rows 4 and 5")
    assert most_of(tmp_path, "1000", *other, six, longer, parts=both) == ("2.000", "rows 2 and 3")


def test_what_is_accepted_is_accepted_and_no_more_is(tmp_path: Path) -> None:
    import random

    draw = random.Random(11)
    for _ in range(20):
        offers = list({draw.randrange(3, 13) * 1000: draw.randrange(10, 60) for _ in range(5)}.items())
        most, _ = most_of(tmp_path, "1000", *((f"Yard {n}", SHS, *each, "each") for n, each in enumerate(offers)))
        assert not overpays(tmp_path, f"{float(most) - 0.001:.3f}", *offers)
        assert overpays(tmp_path, f"{float(most) + 0.001:.3f}", *offers)


CARRY = '[carry]\nlongest = "6.5 m"\n'
VALUE = '[offcut_value_per_m]\nSHS = "4"\n'
DELIVERS = '[[merchant]]\nname = "Depot"\ndelivers = true\n'
WIDE = ("Merchant", "Section", "Length", "Price", "Per", "Available", "Grade", "Finish")


@pytest.mark.parametrize(
    ("long_bar", "workshop", "refused"),
    [
        (("Depot", SHS, 8000, 36, "each"), VALUE, True),
        (("Depot", SHS, 8000, 36, "each"), VALUE + CARRY, False),
        (("Depot", SHS, 8000, 36, "each"), VALUE + CARRY + DELIVERS, True),
        (("Depot", SHS, 8000, 36, "each", 0), VALUE, False),
        (("Depot", SHS, 8000, 36, "each", 1), VALUE, True),
        (("Depot", SHS, 8000, 36, "each", "", "S355"), VALUE, True),
        (("Depot", SHS, 8000, 36, "each", "", "", "galvanised"), VALUE, False),
        (("Depot", "SHS 50x50x3", 8000, 6, "each"), VALUE, False),
        # Planned by mass, where no value counts.
        (("Depot", SHS, 8000, "", ""), VALUE, False),
    ],
)
def test_only_bars_that_compete_for_a_part_are_held_together(
    long_bar: tuple[object, ...], workshop: str, refused: bool, tmp_path: Path
) -> None:
    rows = (WIDE, ("Yard", SHS, 6000, 30, "each", "", "", ""), (*long_bar, "", "", "")[:8])
    assert ("offcut_value_per_m" in refusal(tmp_path, prices=rows, workshop=workshop)) == refused


def test_a_bar_that_no_part_fits_competes_with_none(tmp_path: Path) -> None:
    rows = (PH, ("Yard", SHS, 6000, 30, "each"), ("Yard", SHS, 8000, 36, "each"))
    parts = (PARTS[0], ("A1", 2, SHS, 6500))
    assert refusal(tmp_path, parts, prices=rows, workshop=VALUE) == ""
    assert refusal(tmp_path, (*parts, ("A2", 2, SHS, 650)), prices=rows, workshop=VALUE)


@pytest.mark.parametrize(
    ("steps", "graded", "refused"), [(("S235", "S355"), "S355", False), (("S355", "S355"), "S355", True)]
)
def test_grades_keep_bars_apart(steps: tuple[str, str], graded: str, refused: bool, tmp_path: Path) -> None:
    rows = (
        WIDE[:7],
        ("Yard", SHS, 6000, 30, "each", "", steps[0]),
        ("Yard", SHS, 8000, 36, "each", "", steps[1]),
    )
    parts = ((*PARTS[0], "Grade"), ("A1", 2, SHS, 1200, graded))
    assert bool(refusal(tmp_path, parts, prices=rows, workshop=VALUE)) == refused


@pytest.mark.parametrize(
    ("book", "left_over_worth"),
    [
        ("0", 0),
        # 1497.5 - 1200 leaves 297.5 mm at 0.3 / 1.5 = 0.2 a metre.
        ("0.3", 59_500),
        ("", 297_500 * 4),
        ("9", 297_500 * 4),
    ],
)
def test_what_an_offcut_leaves_counts_for_no_more_than_it_is_booked_at(
    book: str, left_over_worth: int, tmp_path: Path
) -> None:
    """Worked by hand: the part takes 1200 and a kerf of 2.5 out of 1500, both ends sawn."""
    rack = (("Mark", "Section", "Length", "Book value"), ("R1", SHS, 1500, book))
    parts = (PARTS[0], ("A1", 1, SHS, 1200))
    job = job_of(tmp_path, parts, prices=SIX, rack=rack, workshop=f"{VALUE}[keep]\nSHS = 100\n")
    plan = plan_job(job)
    assert check(job, plan) == ()
    (bar,) = plan.bars
    assert (bar.source, bar.drop.value) == ("R1", left_over_worth)


def test_one_old_offcut_leaves_the_value_of_the_others(tmp_path: Path) -> None:
    rack = (("Mark", "Section", "Length", "Book value"), ("R1", SHS, 1500, "0"), ("R2", SHS, 1500, ""))
    job = job_of(
        tmp_path, (PARTS[0], ("A1", 2, SHS, 1200)), prices=SIX, rack=rack, workshop=VALUE + "[keep]\nSHS = 100"
    )
    plan = plan_job(job)
    assert check(job, plan) == ()
    assert {bar.source: bar.drop.value for bar in plan.bars} == {"R1": 0, "R2": 1_190_000}
