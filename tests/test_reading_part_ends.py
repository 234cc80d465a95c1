"""Mitres, leans, faces on the table, heels and copes, as a line says them."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Heel, Lean, LengthMeant, Part
from cutplan.reading.lists.part_ends import HEELS, LEANS, LENGTH_IS, SHARING, TEE_FORMS, tee_depth
from cutplan.units import MM
from tests.builders import mm
from tests.input_files import PRICES, job_of, refusal

SHS, RHS, FLAT, EA, UA, CHS = "SHS 40x40x3", "RHS 60x40x3", "FL 50x6", "EA 50x50x5", "UA 75x50x6", "CHS 48.3x3.2"
ON_SALE = (*PRICES, *(("Yard", section, 6000, 30, "each") for section in (FLAT, EA, UA, CHS)))


def lists(section: str, length: Any = 1000, **columns: Any) -> tuple[tuple[Any, ...], ...]:
    names = {
        "a": "Cut A",
        "b": "Cut B",
        "meant": "Length is",
        "lean": "Lean",
        "table": "On table",
        "heel": "Heel",
        "share": "Share mitres",
    }
    headings = [names.get(key, key.capitalize()) for key in columns]
    return (("Mark", "Quantity", "Section", "Length", *headings), ("A", 1, section, length, *columns.values()))


def part_of(folder: Path, section: str, length: Any = 1000, **columns: Any) -> Part:
    (part,) = job_of(folder, lists(section, length, **columns), prices=ON_SALE).parts
    return part


def told(folder: Path, section: str, length: Any = 1000, **columns: Any) -> str:
    return refusal(folder, lists(section, length, **columns), prices=ON_SALE)


@pytest.mark.parametrize(
    ("lean", "meant", "long_point"),
    [
        # 40 deep at 45 degrees: each end runs 40.
        ("opposite", "short point", 1080),
        ("opposite", "centre line", 1040),
        ("parallel", "long point", 1000),
        ("parallel", "centre line", 1040),
        # Along one side: from a long point to a short one, tip to tip is one run more.
        ("parallel", "one side", 1040),
    ],
)
def test_long_point_of_leaning_ends(lean: str, meant: str, long_point: int, tmp_path: Path) -> None:
    part = part_of(tmp_path, SHS, a=45, b=45, lean=lean, meant=meant)
    assert (part.length, part.lean.value) == (mm(long_point), lean)


@pytest.mark.parametrize("word", LEANS)
def test_words_for_the_lean(word: str, tmp_path: Path) -> None:
    assert part_of(tmp_path, SHS, a=45, b=30, lean=word.title()).lean is LEANS[word]


@pytest.mark.parametrize("word", SHARING)
def test_words_for_sharing(word: str, tmp_path: Path) -> None:
    assert part_of(tmp_path, SHS, a=45, share=word.upper()).share_mitres is SHARING[word]


def test_a_part_shares_its_mitres_unless_its_line_says_no(tmp_path: Path) -> None:
    assert part_of(tmp_path, SHS, a=45, share="").share_mitres
    message = told(tmp_path, SHS, a=45, share="perhaps")
    assert message.endswith('"Share mitres": found "perhaps".\nAccepted: yes or no; blank is yes.')
    two = (("Mark", "Quantity", "Section", "Length", "Share mitres"), ("A", 1, SHS, 900, "no"), ("A", 1, SHS, 900, ""))
    assert "entry under Share mitres" in refusal(tmp_path, two)


def test_a_lean_of_one_mitre_says_nothing(tmp_path: Path) -> None:
    assert part_of(tmp_path, SHS, a=45, lean="parallel").lean is Lean.OPPOSITE


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        (
            {"a": 45, "b": 45, "lean": "parallel", "meant": "SP"},
            "found a short point, with two mitres that lean parallel",
        ),
        (
            {"a": 45, "b": 30, "lean": "parallel", "meant": "one side"},
            'found "one side".\nAccepted: one side, only where',
        ),
        ({"a": 45, "b": 45, "meant": "one side"}, 'found "one side".\nAccepted: one side, only where'),
        ({"a": 45, "b": 45, "lean": "askew"}, 'found "askew".\nAccepted: opposite, as in a frame, or parallel'),
    ],
)
def test_a_length_that_does_not_settle_the_part(columns: dict[str, Any], message: str, tmp_path: Path) -> None:
    assert message in told(tmp_path, SHS, **columns)


def test_steep_parallel_ends_may_pass_each_other(tmp_path: Path) -> None:
    assert part_of(tmp_path, SHS, 60, a=45, b=45, lean="parallel").short_point == mm(20)
    assert "a long point of at least 40 mm" in told(tmp_path, SHS, 39, a=45, b=45, lean="parallel")
    assert "a long point of at least 80 mm" in told(tmp_path, SHS, 60, a=45, b=45)


@pytest.mark.parametrize(
    ("section", "words", "depth"),
    [
        (FLAT, "flat", 50),
        (FLAT, "on edge", 6),
        (FLAT, "6 mm", 6),
        (RHS, "wide side", 60),
        (RHS, "40", 40),
        (SHS, "edge", 40),
    ],
)
def test_the_face_on_the_table_is_what_a_mitre_runs_across(
    section: str, words: str, depth: int, tmp_path: Path
) -> None:
    assert part_of(tmp_path, section, a=45, table=words).depth == mm(depth)


@pytest.mark.parametrize(
    ("section", "columns", "message"),
    [
        (
            FLAT,
            {},
            "in a column On table flat or edge, the face that lies on the table; or in a column Depth 50 mm or 6 mm",
        ),
        (UA, {"heel": "LP"}, "in a column On table long leg or short leg, the face"),
        (
            RHS,
            {"table": "50"},
            'found "50".\nAccepted: wide side or narrow side, or the width of that face: 60 mm or 40 mm',
        ),
        (RHS, {"table": "flat", "depth": 40}, 'found "40".\nAccepted: 60 mm, the face that lies on the table'),
        (
            EA,
            {},
            "found a mitre on EA 50x50x5, not said on which side its heel lies.\nAccepted: in a column Heel long point",
        ),
        (EA, {"heel": "up"}, 'found "up".\nAccepted: long point or short point, the side on which the heel lies'),
    ],
)
def test_what_would_make_two_parts_is_asked(
    section: str, columns: dict[str, Any], message: str, tmp_path: Path
) -> None:
    assert message in told(tmp_path, section, a=45, **columns)


@pytest.mark.parametrize("word", HEELS)
def test_words_for_the_heel(word: str, tmp_path: Path) -> None:
    part = part_of(tmp_path, UA, a=45, table="short leg", heel=word)
    assert (part.heel, part.depth) == (HEELS[word], mm(50))


def test_nothing_is_asked_of_square_ends(tmp_path: Path) -> None:
    assert part_of(tmp_path, EA).heel is Heel.NOT_ASKED
    assert part_of(tmp_path, FLAT, table="edge").depth == 0


@pytest.mark.parametrize(
    ("branch", "main", "exact"),
    [
        # From the sums of the trade for a square tee: 48.3 on 48.3 is half the diameter, 48.3 on 60.3 is 12.1.
        ("48.3", "48.3", 24.15),
        ("48.3", "60.3", 12.1),
        ("33.7", "60.3", 30.15 - math.sqrt(30.15**2 - 16.85**2)),
        (30, 50, 5),
    ],
)
def test_depth_of_a_tee(branch: Any, main: Any, exact: float) -> None:
    depth = tee_depth(mm(branch), mm(main)) / MM
    assert exact - 1e-9 <= depth <= exact + 0.11


def test_a_tee_is_longer_by_its_copes_when_given_to_the_face(tmp_path: Path) -> None:
    """48.3 on 60.3: 30.15 - sqrt(30.15^2 - 24.15^2) = 12.1001, rounded up to 12.2, at each end."""
    to_face = part_of(tmp_path, CHS, cope="tee on CHS 60.3x3.2, both ends", meant="short point")
    assert (to_face.length, to_face.length_meant) == (mm("1024.4"), LengthMeant.SHORT_POINT)
    assert to_face.cope == "square tee on CHS 60.3x3.2, both ends: cope 12.2 mm deep"
    one_end = part_of(tmp_path, CHS, cope="Square tee on CHS 60.3x3.2, end A", meant="SP", b=45)
    assert one_end.length == mm("1060.5"), "12.2 of the cope and 48.3 of the mitre"
    assert part_of(tmp_path, CHS, cope="tee on CHS 60.3x3.2, one end", meant="LP").length == mm(1000)


@pytest.mark.parametrize(
    ("section", "columns", "message"),
    [
        (CHS, {"cope": "tee on CHS 60.3x3.2, both ends"}, "found a square tee, not said to where"),
        (CHS, {"cope": "tee on CHS 60.3x3.2, both ends", "meant": "CL"}, 'found "CL" for a square tee'),
        (CHS, {"cope": "tee on CHS 60.3x3.2"}, f"Accepted: {TEE_FORMS}"),
        (
            CHS,
            {"cope": "tee on CHS 33.7x3.2, one end", "meant": "SP"},
            "Accepted: a tee of two round tubes (CHS), the other",
        ),
        (SHS, {"cope": "tee on CHS 60.3x3.2, one end", "meant": "SP"}, "Accepted: a tee of two round tubes (CHS)"),
        (CHS, {"cope": "tee on CHS 60, one end", "meant": "SP"}, 'column E "Cope": found "tee on CHS 60, one end"'),
        (
            CHS,
            {"cope": "tee on CHS 60.3x3.2, end a", "meant": "SP", "a": 45},
            "Accepted: a tee at an end that is not mitred",
        ),
    ],
)
def test_a_tee_that_is_not_clear(section: str, columns: dict[str, Any], message: str, tmp_path: Path) -> None:
    assert message in told(tmp_path, section, **columns)


def test_any_other_cope_is_a_text(tmp_path: Path) -> None:
    part = part_of(tmp_path, RHS, cope="notch 20 x 60 for the rail, end A")
    assert (part.cope, part.length) == ("notch 20 x 60 for the rail, end A", mm(1000))


def test_every_length_meant_has_a_word() -> None:
    assert set(LENGTH_IS.values()) == set(LengthMeant)
