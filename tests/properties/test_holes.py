"""Holes, whatever the part: a mirror image can be drilled as well as the part, and mirrored twice it is the part."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from cutplan.drilling.edges import edge_cautions
from cutplan.drilling.marking import cards_of
from cutplan.model import Hole, Lean, Part
from cutplan.model.faces import face_numbers, face_width, is_round
from cutplan.model.holes import hole_faults, in_order, opposite_hand
from cutplan.units import MM
from tests.builders import job, offer, part_of

SECTIONS = ("SHS 40x40x3", "RHS 60x40x3", "FL 50x6", "SQ 20", "CHS 48.3x3.2", "EA 50x50x5", "UA 60x40x5", "UPN 100")


@st.composite
def parts(draw: st.DrawFn) -> Part:
    """A part of 400 to 1000 mm with mitres now and then, not drilled."""
    section = draw(st.sampled_from(SECTIONS))
    mitres = draw(st.sampled_from([(0, 0), (45, 0), (30, 45)]))
    part = part_of(section, draw(st.integers(400, 1000)), mitres, lean=draw(st.sampled_from(Lean)))
    depths = (part.section.height, part.section.width)
    return replace(part, depth=draw(st.sampled_from(depths)) if part.mitred else 0)


@st.composite
def holes(draw: st.DrawFn, part: Part) -> tuple[Hole, ...]:
    """Up to eight holes and landings, some of which cannot be drilled."""
    found = []
    for _ in range(draw(st.integers(0, 8))):
        face = draw(st.sampled_from(face_numbers(part.section)))
        width = face_width(part.section, face)
        across = width // 2 if is_round(part.section) else draw(st.integers(0, width // MM)) * MM
        found.append(
            Hole(
                position=draw(st.integers(0, 1000)) * MM,
                face=face,
                across=across,
                diameter=draw(st.integers(0, 14)) * MM,
                through=draw(st.booleans()),
            )
        )
    return in_order(found)


def sound(part: Part, asked: tuple[Hole, ...]) -> tuple[Hole, ...]:
    bad = {id(fault.hole) for fault in hole_faults(part, asked)}
    return tuple(hole for hole in asked if id(hole) not in bad)


@given(data=st.data(), part=parts())
def test_the_mirror_image_has_the_same_faults(data: st.DataObject, part: Part) -> None:
    asked = data.draw(holes(part))
    mirrored = opposite_hand(asked, part)
    other = replace(part, opposite_hand=True)
    assert sorted(f.what for f in hole_faults(part, asked)) == sorted(f.what for f in hole_faults(other, mirrored))
    assert opposite_hand(mirrored, part) == asked


@given(data=st.data(), part=parts())
def test_the_mirror_image_is_cautioned_about_as_often(data: st.DataObject, part: Part) -> None:
    drilled = replace(part, holes=sound(part, data.draw(holes(part))))
    mirrored = replace(part, holes=opposite_hand(drilled.holes, part), opposite_hand=True)

    def told(of: Part) -> list[tuple[str, int, int, int]]:
        return sorted((c.near.value, c.diameter, c.found, len(c.positions)) for c in edge_cautions(of))

    assert told(drilled) == told(mirrored)


@given(data=st.data(), part=parts())
def test_every_hole_stands_on_the_card_once_and_is_counted(data: st.DataObject, part: Part) -> None:
    drilled = replace(part, holes=sound(part, data.draw(holes(part))))
    cards = cards_of(job([drilled], [offer("O", 2000, 1, section=part.section)]))
    assert bool(cards) == bool(drilled.holes)
    for card in cards:
        near = [wall.hole for _, walls in card.faces for wall in walls if not wall.far]
        assert sorted(near, key=repr) == sorted(drilled.holes, key=repr)
        assert sum(line.each for line in card.drills) == sum(not hole.landing for hole in drilled.holes)
