"""Sizes to choose from: listed ones, of the workshop's standards, each a section that is understood."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.sections import read_section
from cutplan.sections.section import Family
from cutplan.sections.usual import usual_sizes


def test_every_size_is_understood_as_it_stands() -> None:
    workshop = Workshop()
    sizes = usual_sizes(workshop.standard)
    assert "SHS 40x40x3" in sizes
    for size in sizes:
        section = read_section(size, standard=None, standard_of=workshop.standard)
        assert section.designation == size
        assert section.listed, size
    assert len(set(sizes)) == len(sizes)


def test_another_standard_has_other_sizes() -> None:
    sizes = usual_sizes(Workshop(standards=((Family.SHS, "AS/NZS 1163"),)).standard)
    assert sizes != usual_sizes(Workshop().standard)
    assert [size for size in sizes if size.startswith("SHS")]
