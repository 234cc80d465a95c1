"""Widths of letters are those of the shipped font, as an independent reader of fonts gives them."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont

from cutplan.reports import lettering
from cutplan.reports.lettering import FONTS, POINT_MM, printable, text_mm

FILES = {False: "DejaVuSansCondensed.ttf", True: "DejaVuSansCondensed-Bold.ttf"}


@pytest.mark.parametrize("bold", [False, True])
def test_every_width_is_the_font_s(bold: bool) -> None:
    font = TTFont(FONTS / FILES[bold])
    advances, letters = font["hmtx"], font.getBestCmap()
    em = font["head"].unitsPerEm
    text = "".join(chr(code) for code in letters if 32 <= code < 0xFFFF and printable(chr(code)) == chr(code))
    assert len(text) > 5000
    for letter in text:
        wide = advances[letters[ord(letter)]][0] / em * 100 * POINT_MM
        assert text_mm(letter, 100, bold=bold) == pytest.approx(wide, abs=1e-9), letter


def test_heights_are_the_font_s() -> None:
    font = TTFont(FONTS / FILES[False])
    em = font["head"].unitsPerEm
    assert pytest.approx(font["glyf"]["H"].yMax / em, abs=0.001) == lettering.CAPITAL


def test_family_and_stretch_are_the_font_s() -> None:
    font = TTFont(FONTS / FILES[False])
    assert font["name"].getDebugName(16) == lettering.FAMILY
    assert font["OS/2"].usWidthClass == 4, "semi-condensed"
    assert lettering.STRETCH == 87.5, "ISO/IEC 14496-22: width class 4 is 87.5 percent"


def test_what_the_font_lacks_is_named_and_taken_for_wide() -> None:
    assert lettering.lacking("A\N{CJK UNIFIED IDEOGRAPH-6881}1\n\N{WRENCH}\u0141") == {
        "\N{CJK UNIFIED IDEOGRAPH-6881}",
        "\N{WRENCH}",
    }
    assert lettering.lacking("U\N{COMBINING DIAERESIS} plain") == set()
    assert printable("U\N{COMBINING DIAERESIS}") == "\N{LATIN CAPITAL LETTER U WITH DIAERESIS}"
    assert text_mm("\N{CJK UNIFIED IDEOGRAPH-6881}", 10) == pytest.approx(10 * POINT_MM)


def test_the_licence_lies_beside_the_font() -> None:
    assert "Bitstream" in (FONTS / "LICENCE.txt").read_text(encoding="utf-8")


def test_names_of_many_jobs_are_cut_to_two_lines_of_a_head() -> None:
    names = [f"job-{number:02}" for number in range(30)]
    assert lettering.in_head(" + ".join(names[:3])) == "job-00 + job-01 + job-02"
    shown = lettering.in_head(" + ".join(names))
    *kept, more = shown.split(" + ")
    assert kept == names[: len(kept)]
    assert more == f"{30 - len(kept)} more"
    assert 90 < text_mm(shown, lettering.HEAD_POINTS, bold=True) < 181
    long = "x" * 200
    assert lettering.in_head(long) == long
    assert lettering.in_head(f"{long} + y + z") == f"{long} + 2 more", "one is named at least"
