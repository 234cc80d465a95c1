"""Parts typed on the spot: the forms understood, and everything that is not of them told at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.reading.lists.typed_parts import PART_FORMS, QUICK_FORMS, typed_sheet
from cutplan.reading.whole_job import JobRead, read_typed


def read(text: str, folder: Path, stock: str = "6 m", **settings: dict[str, str]) -> JobRead:
    places = {f"{table}.{key}": f"--{key}" for table, keys in settings.items() for key in keys}
    sheet = typed_sheet(text)
    return read_typed("quick", sheet, folder=folder, settings=settings, places=places, stock=[stock])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("SHS 40x40x3: 4 @ 1200, 2 @ 850", [(4, 1200), (2, 850)]),
        ("SHS 40x40x3: 1200 x 4, 850x2,", [(4, 1200), (2, 850)]),
        ("\n40x40x3 SHS : 4@1.2 m\n\n", [(4, 1200)]),
        ('SHS 40x40x3: 2 @ 3\' 4"; FL 50x6: 47 1/4" × 8', [(2, 1016), (8, 1200.15)]),
        ("SHS 40x40x3: 60 x 60", [(60, 60)]),
        ("SHS 40x40x3: 4 off 1200, 2 OFF @ 850, 3off 3' 4\"", [(4, 1200), (2, 850), (3, 1016)]),
        ("SHS 40x40x3: 4 x 420, 4 x 420.5, 4 x 1.2 m, 1.2 m x 4", [(4, 420), (4, 420.5), (4, 1200), (4, 1200)]),
    ],
)
def test_forms_understood(text: str, expected: list[tuple[int, float]], tmp_path: Path) -> None:
    parts = read(text, tmp_path).job.parts
    assert [(part.quantity, part.length / 1_000_000) for part in parts] == expected
    assert [part.mark for part in parts] == [f"P{number}" for number in range(1, len(parts) + 1)]


@pytest.mark.parametrize(
    ("text", "length", "ends"),
    [
        ("2 @ 900 45/45", 900, (45, 45)),
        ("900 0/22.5 x 2", 900, (0, 22.5)),
        ("2 x 900 45 / 0", 900, (45, 0)),
        ('2 @ 47 1/4" 45/30', 1200.15, (45, 30)),
        ("2 @ 47 1/4 in", 1200.15, (0, 0)),
        ("2 @ 15/16 in", 23.8125, (0, 0)),
    ],
)
def test_ends_stand_behind_the_length(text: str, length: float, ends: tuple[float, float], tmp_path: Path) -> None:
    (part,) = read(f"SHS 40x40x3: {text}", tmp_path).job.parts
    assert (part.quantity, part.length / 1_000_000) == (2, length)
    assert (part.end_a.angle / 1_000_000, part.end_b.angle / 1_000_000) == ends


def test_ends_that_are_no_angle_are_told_where_they_stand(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match='part 1, "2 @ 900 95/0": found "95"'):
        read("SHS 40x40x3: 2 @ 900 95/0", tmp_path)


def test_bare_numbers_in_inches(tmp_path: Path) -> None:
    job = read("SHS 40x40x3: 2 @ 12", tmp_path, "20'", workshop={"unit": "in"}).job
    assert job.parts[0].length == 304_800_000
    assert job.assumed[:4] == (
        "Bare numbers are in inches.",
        "Kerf ~3/32 in.",
        "End trim ~25/64 in at each mill end, its squaring cut included.",
        "Stock lengths: 20 ft.",
    )


def test_what_a_first_look_needs_comes_first_and_once(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text("[saw]\nkerf = 3\nmill_ends_accepted = true\n")
    told = read("SHS 40x40x3: 2 @ 1200", tmp_path, "SHS 40x40x3: 6 m, 7.5 m").job.assumed
    assert told[:5] == (
        "Bare numbers are in millimetres.",
        "Kerf 3 mm.",
        "Mill ends are used as they come.",
        "Stock lengths: SHS 40x40x3: 6 m, 7.5 m.",
        "Workshop file: workshop.toml.",
    )
    assert len(set(told)) == len(told)
    assert not [text for text in told[5:] if text.startswith(("Kerf", "End trim", "Bare numbers"))]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", f"typed text: found no parts.\nAccepted: {QUICK_FORMS}."),
        ("4 @ 1200", f'typed text: found "4 @ 1200".\nAccepted: {QUICK_FORMS}.'),
        ("SHS 40x40x3:", f'typed text: found "SHS 40x40x3:".\nAccepted: {QUICK_FORMS}.'),
        (
            "SHS 40x40x3: 4 @ 1,200",
            f'typed text, "SHS 40x40x3": found "4 @ 1,200".\nAccepted: {PART_FORMS}.\n'
            "hint: a comma between parts has a space behind it; write 1200, not 1,200",
        ),
        ("SHS 40x40x3: 1200", f'typed text, "SHS 40x40x3": found "1200".\nAccepted: {PART_FORMS}.'),
        (
            "SHS 40x40x3: 24 x 120",
            f'typed text, "SHS 40x40x3": found "24 x 120".\nAccepted: {PART_FORMS}.\n'
            "hint: which is the length? write 24 @ 120, or 120 @ 24",
        ),
    ],
)
def test_forms_refused(text: str, expected: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        typed_sheet(text)
    assert str(found.value) == expected


def test_values_refused_name_the_part_and_the_section_once(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        read("SHZ 40x40x3: 4 @ 12OO, 0 @ 850", tmp_path, saw={"kerf": "2x"})
    lines = [line for line in str(found.value).splitlines() if ": found" in line]
    assert lines == [
        '--kerf: found "2x".',
        'typed text: found "SHZ 40x40x3".',
        'typed text, part 1, "4 @ 12OO": found "12OO".',
        'typed text, part 2, "0 @ 850": found "0".',
    ]


def test_examples_in_messages_are_understood(tmp_path: Path) -> None:
    for example in ("SHS 40x40x3: 4 @ 1200, 2 @ 850", "SHS 40x40x3: 4 @ 1200 45/0, 1200 x 4"):
        assert read(example, tmp_path).job.parts
    assert '"SHS 40x40x3: 4 @ 1200, 2 @ 850"' in QUICK_FORMS
    assert "4 @ 1200 45/0, 4 off 1200 or 1200 x 4" in PART_FORMS
