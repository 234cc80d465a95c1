"""What measurements say, in words and as values: a figure to change, one that stays, and one that is not judged yet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan.actions import find_rack
from cutplan.model import Workshop
from cutplan.rack.learned import KerfFound, Learned, LengthsFound
from cutplan.sections.section import Family
from cutplan.words.learned_words import learned_lines, learned_values
from tests.builders import mm

KERF = KerfFound(
    saw="", now=mm(2), middle=mm("2.467"), low=mm("2.4"), high=mm("2.5"), bars=12, cuts=61, better=mm("2.5")
)
LENGTHS = LengthsFound(family="SHS", now=0, shortest=mm("-4.5"), middle=mm(6), longest=mm(21), counted=14, better=mm(5))


def test_what_is_to_change_stands_as_in_the_workshop_file() -> None:
    assert learned_lines(Learned(kerfs=(KERF,), lengths=(LENGTHS,), passed_over=3), Workshop()) == [
        "What was measured says of the figures in the workshop file:",
        '  kerf = "2.5 mm"  # in [saw], now 2 mm: a cut took 2.47 mm, in the middle half 2.40 to 2.50; it rests on 12 '
        "bars with 61 cuts",
        "  3 more bars measured, but not how long before the cuts, or with an end trimmed: they show no kerf",
        '  SHS = "5 mm"  # in [minus_tolerance], now 0 mm: lengths came -4.5 to +21.0 mm beside the nominal one, the '
        "middle one +6.0; it rests on 14 lengths",
    ]


def test_a_workshop_in_inches_is_told_inches() -> None:
    """2.467 mm over 25.4 is 0.0971 in, 21 mm 0.827 in; what is advised is exact, as no 64th of an inch is."""
    shop = Workshop(unit="in")
    kerf, lengths = learned_lines(Learned(kerfs=(KERF,), lengths=(LENGTHS,)), shop)[1:]
    assert "a cut took 0.097 in, in the middle half 0.094 to 0.098; " in kerf
    assert kerf.startswith('  kerf = "2.5 mm"  # in [saw], now 2 mm: ')
    assert "lengths came -0.18 to +0.83 in beside the nominal one, the middle one +0.24; " in lengths


@pytest.mark.parametrize("settings", ["", 'unit = "in"', 'decimal_sign = ","'])
def test_lines_are_pasted_as_they_stand(settings: str, tmp_path: Path) -> None:
    """Each below its heading, also in inches and with a comma: the workshop file is read, and has what was advised."""
    file = tmp_path / "workshop.toml"
    file.write_text(f"[workshop]\n{settings}\n")
    found = Learned(kerfs=(KERF,), lengths=(LENGTHS,))
    _, kerf, lengths = learned_lines(found, find_rack(workshop=file).workshop)
    file.write_text(f"[workshop]\n{settings}\n[saw]\n{kerf}\n[minus_tolerance]\n{lengths}\n")
    read = find_rack(workshop=file).workshop
    assert (read.saw.kerf, dict(read.minus_tolerance)) == (KERF.better, {Family.SHS: LENGTHS.better})
    band = replace(KERF, saw="band")
    (_, line) = learned_lines(Learned(kerfs=(band,)), read)
    assert '# in the [[saw]] named "band", now' in line
    file.write_text(f'[workshop]\n{settings}\n[[saw]]\nname = "band"\n{line}\n')
    assert find_rack(workshop=file).workshop.saw.kerf == KERF.better


def test_what_stays_and_what_is_not_judged() -> None:
    few = replace(KERF, saw="band", bars=1, cuts=1, better=None)
    stays = replace(LENGTHS, better=None)
    kerf, lengths = learned_lines(Learned(kerfs=(few,), lengths=(stays,)), Workshop())[1:]
    assert kerf.startswith("  saw.kerf of band, now 2 mm, not judged before 5: a cut took 2.47 mm")
    assert kerf.endswith("it rests on 1 bar with 1 cut")
    assert lengths.startswith("  minus_tolerance.SHS stays 0 mm: ")


def test_nothing_measured_has_no_line() -> None:
    assert learned_lines(Learned(), Workshop()) == []


def test_values_say_the_same() -> None:
    values = learned_values(Learned(kerfs=(KERF,), lengths=(LENGTHS,), passed_over=3))
    assert values["bars_passed_over"] == 3
    (kerf,), (lengths,) = values["kerfs"], values["lengths"]
    assert (kerf["now_mm"], kerf["suggested_mm"], kerf["bars"], kerf["cuts"]) == ("2", "2.5", 12, 61)
    assert (lengths["key"], lengths["suggested_mm"], lengths["shortest_mm"]) == ("minus_tolerance.SHS", "5", "-4.5")
