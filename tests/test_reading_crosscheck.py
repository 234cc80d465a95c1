"""What fits what, to the last nanometre."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.input_files import job_of, refusal

H = ("Quantity", "Section", "Length", "Cut A")
PH = ("Merchant", "Section", "Length", "Price", "Per")
SHS = "SHS 40x40x3"
SIX = (PH, ("Yard", SHS, 6000, 30, "each"))
RACK = ("Mark", "Section", "Length", "End A", "End B")


@pytest.mark.parametrize(
    ("length", "angle", "saw", "fits"),
    [
        ("5980", "", "", True),
        ("5980.000001", "", "", False),
        ("5975", "", "end_trim_includes_cut = false", True),
        ("5975.000001", "", "end_trim_includes_cut = false", False),
        ("6000", "", "mill_ends_accepted = true", True),
        ("6000.000001", "", "mill_ends_accepted = true", False),
        ("6000", "", "end_trim = 0", True),
        # A mitred part alone may end flush with what a bar gives, as a square one may.
        ("5980", "45", "", True),
        ("5980.000001", "45", "", False),
    ],
)
def test_the_longest_part_of_a_bar(length: str, angle: str, saw: str, fits: bool, tmp_path: Path) -> None:
    found = refusal(tmp_path, (H, (1, SHS, length, angle)), prices=SIX, workshop=f"[saw]\n{saw}")
    assert (found == "") == fits


@pytest.mark.parametrize(
    ("ends", "longest"), [(("sawn", "sawn"), 7000), (("mill", "sawn"), 6990), (("mill", "mill"), 6980)]
)
def test_the_longest_part_of_an_offcut(ends: tuple[str, str], longest: int, tmp_path: Path) -> None:
    rack = (RACK, ("R1", SHS, 7000, *ends))
    assert refusal(tmp_path, (H, (1, SHS, longest, "")), prices=SIX, rack=rack) == ""
    found = refusal(tmp_path, (H, (1, SHS, longest + 1, "")), prices=SIX, rack=rack)
    assert f"at most {longest} mm, what offcut R1 of 7000 mm gives after trim" in found


def test_a_delivered_bar_may_be_longer_than_the_carry(tmp_path: Path) -> None:
    carry = '[carry]\nlongest = "5 m"\n'
    assert "longest carry" in refusal(tmp_path, prices=SIX, workshop=carry)
    assert refusal(tmp_path, prices=SIX, workshop=f'{carry}[[merchant]]\nname = "Yard"\ndelivers = true') == ""


SERVES = '[grades]\nalso = "S275: S355J2H"\n'
CARRY = '[carry]\nlongest = "5 m"\n'


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        ('brought = "fetched"', "Yard delivers, but all is to be fetched there, by brought in the workshop file"),
        ('longest_delivered = "5.5 m"', "Yard delivers lengths of up to 5500 mm, by longest_delivered"),
    ],
)
def test_why_a_merchant_who_delivers_does_not_deliver_a_length_is_said(said: str, hint: str, tmp_path: Path) -> None:
    shop = f'{CARRY}[[merchant]]\nname = "Yard"\ndelivers = true\n{said}'
    assert f"hint: {hint}" in refusal(tmp_path, prices=SIX, workshop=shop)


def test_parts_longer_than_what_is_carried_are_one_problem_for_all_sections(tmp_path: Path) -> None:
    """Short bars are carried and give 980 mm; of each section the parts of 1000 and 1100 need the long one."""
    sections = (SHS, "FL 50x6", "RD 12")
    rows = (H, *((1, section, length, "") for section in sections for length in (900, 1000, 1100)))
    prices = (PH, *(("Yard", section, length, 30, "each") for section in sections for length in (6000, 1000)))
    found = refusal(tmp_path, rows, prices=prices, workshop=CARRY)
    assert found.splitlines() == [
        'parts.csv, row 3, column C "Length": found longer than any bar that can be carried gives: P2 of 1000 mm, P3 '
        "of 1100 mm, P5 of 1000 mm and 3 more, here and in 5 more rows.",
        "Accepted: parts that a bar within the longest carry, 5000 mm, gives.",
        "hint: bars long enough for them are longer than the longest carry, 5000 mm: a merchant has to deliver them",
    ]


def test_nothing_within_the_carry_is_one_problem_for_all_sections(tmp_path: Path) -> None:
    rows = (H, *((1, section, length, "") for section in (SHS, "FL 50x6") for length in (100, 200, 300)))
    prices = (PH, *(("Yard", section, 6000, *SIX[1][3:]) for section in (SHS, "FL 50x6")))
    found = refusal(tmp_path, rows, prices=prices, workshop=CARRY)
    assert found.count("found ") == 1
    assert (
        "black; FL 50x6 to EN 10058, black but such as are longer than the longest carry, here and in 5 more" in found
    )


def test_parts_longer_than_what_can_be_carried_are_one_problem(tmp_path: Path) -> None:
    rows = (H, *((1, SHS, length, "") for length in (100, 5100, 5200, 5300, 5400)))
    prices = (PH, SIX[1], ("Yard", SHS, 4000, *SIX[1][3:]))
    found = refusal(tmp_path, rows, prices=prices, workshop=CARRY)
    assert found.count("found ") == 1
    assert "longer than any bar that can be carried gives" in found
    assert "5300 mm and 1 more, here and in 3 more rows" in found
    assert "longer than the longest carry, 5000 mm" in found


CUT = f'{CARRY}[[merchant]]\nname = "Yard"\ncuts_to_carry = true\n'


def test_parts_longer_than_any_piece_cut_for_the_carry_are_one_problem(tmp_path: Path) -> None:
    """5000 mm less 5 mm that a piece may come short and two trims of 10 mm are 4975; 5980 is what 6000 gives whole."""
    rows = (H, *((1, SHS, length, "") for length in (4975, 4975.1, 5300, 5980, 5980.1)))
    found = refusal(tmp_path, rows, prices=SIX, workshop=CUT)
    assert found.splitlines() == [
        'parts.csv, row 3, column C "Length": found longer than any bar that can be carried gives: P2 of 4975.1 mm, P3 '
        "of 5300 mm, P4 of 5980 mm, here and in 2 more rows.",
        "Accepted: parts that a bar, or a piece of one, within the longest carry, 5000 mm, gives.",
        "hint: the bar of 6000 mm in row 2 of the price list is longer than the longest carry, 5000 mm; its longest "
        "piece gives 4975 mm after trim",
        'parts.csv, row 6, column C "Length": found P5, which needs a bar of 6000.1 mm: 5980.1 mm + 20 mm end trims.',
        "Accepted: at most 4975 mm, what the longest piece to be carried of the bar of 6000 mm in row 2 of the price "
        "list gives after trim.",
    ]


def test_a_finish_or_a_grade_that_nobody_offers_is_not_put_to_the_carry(tmp_path: Path) -> None:
    for heading, value in (("Finish", "galvanised"), ("Grade", "S355")):
        rows = (("Quantity", "Section", "Length", heading), *((1, SHS, length, value) for length in (900, 5500)))
        found = refusal(tmp_path, rows, prices=SIX, workshop=CARRY)
        assert found.count("found ") == 1
        assert f"found no stock length and no offcut of {SHS} to EN 10219-2" in found
        assert "carry" not in found


def test_a_bar_of_which_none_is_left_serves_nothing(tmp_path: Path) -> None:
    prices = ((*PH, "Available"), (*SIX[1], 0))
    assert "no stock length and no offcut" in refusal(tmp_path, prices=prices)


def test_one_problem_for_a_group_that_nothing_serves(tmp_path: Path) -> None:
    rows = (H, *((1, "FL 50x6", length, "") for length in (100, 200, 300)))
    found = refusal(tmp_path, rows)
    assert found.startswith(
        'parts.csv, row 2, column B "Section": found no stock length and no offcut of '
        "FL 50x6 to EN 10058, black, here and in 2 more rows."
    )


def test_an_offcut_of_unknown_grade_serves_only_parts_with_none(tmp_path: Path) -> None:
    rack = (RACK, ("R1", "FL 50x6", 2000, "", ""))
    rows = (("Quantity", "Section", "Length", "Grade"), (1, "FL 50x6", 900, ""))
    assert refusal(tmp_path, rows, rack=rack) == ""
    graded = (rows[0], (1, "FL 50x6", 900, "S235"))
    assert "FL 50x6 is there as EN 10058, grade unknown, black\n" in refusal(tmp_path, graded, rack=rack) + "\n"


def test_where_another_grade_is_there_it_is_said_who_names_what_serves(tmp_path: Path) -> None:
    rows = (("Quantity", "Section", "Length", "Grade"), (1, SHS, 900, "S275"))
    prices = ((*PH, "Grade"), (*SIX[1], "S355J2H"))
    found = refusal(tmp_path, rows, prices=prices)
    assert f"hint: {SHS} is there as EN 10219-2, S355J2H, black; a grade that serves it too is the designer's" in found
    assert [part.grade for part in job_of(tmp_path, rows, prices=prices, workshop=SERVES).parts] == ["S275"]


def test_standards_stated_twice_are_two_groups(tmp_path: Path) -> None:
    rows = (
        ("Quantity", "Section", "Length", "Standard"),
        (1, SHS, 900, "EN 10219-2"),
        (1, SHS, 900, "EN 10210-2"),
    )
    prices = (("Merchant", "Section", "Length", "Standard"), *(("Yard", *row[1:2], 6000, row[3]) for row in rows[1:]))
    assert len({part.section.key for part in job_of(tmp_path, rows, prices=prices).parts}) == 2
