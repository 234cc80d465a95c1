"""From a group to whole numbers: trims and room, what parts take, how many of each, what is made small."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.model import EndState, Goal, SourceKind, groups_of
from cutplan.solving.parameters import Parameters
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.builders import mm
from tests.solver_instances import instance_for


def test_a_part_takes_its_length_and_its_kerf() -> None:
    parts = [builders.part("A", 1, 400), builders.part("B", 2, 300, mitres=(45, 22.5))]
    instance = instance_for(builders.job(parts, [builders.offer("P1", 1000, 8)], kerf=2.5, share_mitres=False))
    # 2.5 / cos 45 = 3.5355 mm, rounded up to a tenth.
    assert [piece.take for piece in instance.pieces] == [mm("402.5"), mm("303.6")]
    assert [piece.square for piece in instance.pieces] == [True, False]
    assert instance.demand == (1, 2)
    assert instance.divisor == mm("2.3"), "402.5 = 175 x 2.3 and 303.6 = 132 x 2.3"


@pytest.mark.parametrize(
    ("settings", "start_trim", "room", "reach"),
    [
        ({"kerf": 3}, 0, 1003, 1000),
        ({"kerf": 3, "end_trim": 10}, 10, 983, 990),
        ({"kerf": 3, "end_trim": 10, "end_trim_includes_cut": False}, 13, 977, 987),
        ({"kerf": 3, "end_trim": 10, "mill_ends_accepted": True}, 0, 1003, 1000),
        ({"kerf": 3, "end_trim": 0, "end_trim_includes_cut": False}, 0, 1003, 1000),
    ],
)
def test_both_mill_ends_of_a_stock_length_are_trimmed(
    settings: dict[str, Any], start_trim: int, room: int, reach: int
) -> None:
    job = builders.job([builders.part("A", 3, 400)], [builders.offer("P1", 1000, 8)], **settings)
    source = instance_for(job).sources[0]
    assert (source.start_trim, source.room, source.reach) == (mm(start_trim), mm(room), mm(reach))
    assert source.far_trim == source.start_trim
    assert source.trimmed is (start_trim > 0)


def test_the_length_counted_on_is_what_a_bar_has() -> None:
    job = builders.job([builders.part("A", 1, 400)], [builders.offer("P1", 1000, 8, counted=994)])
    assert instance_for(job).sources[0].length == mm(994)


@pytest.mark.parametrize(
    ("ends", "trims", "far_end"),
    [
        ("sawn sawn", (0, 0), EndState.SAWN),
        ("mill sawn", (0, 10), EndState.MILL),
        ("sawn mill", (0, 10), EndState.MILL),
        ("mill mill", (10, 10), EndState.MILL),
    ],
)
def test_an_offcut_starts_at_a_sawn_end(ends: str, trims: tuple[int, int], far_end: EndState) -> None:
    job = builders.job([builders.part("A", 1, 100)], [], [builders.offcut("K", 500, 2, ends=ends)], end_trim=10)
    (source,) = instance_for(job).sources
    assert (source.start_trim, source.far_trim) == (mm(trims[0]), mm(trims[1]))
    assert source.far_end is far_end
    assert (source.kind, source.price, source.most) == (SourceKind.OFFCUT, 2_000_000, 1)


def test_no_source_is_counted_more_often_than_there_are_pieces() -> None:
    offers = [builders.offer("P1", 1000, 8), builders.offer("P2", 1000, 8, available=2)]
    offers.append(builders.offer("P3", 1000, 8, available=99))
    job = builders.job([builders.part("A", 3, 400), builders.part("B", 2, 100)], offers)
    assert [source.most for source in instance_for(job).sources] == [5, 2, 5]


def test_one_offer_without_a_price_turns_the_goal_to_mass() -> None:
    offers = [builders.offer("P1", 1000, 8), builders.offer("P2", 2000, None)]
    job = builders.job(
        [builders.part("A", 1, 400)], offers, [builders.offcut("K", 500, 2)], offcut_value_per_mm=100, keep=100
    )
    instance = instance_for(job)
    assert instance.goal is Goal.MASS
    # 3 kg/m, in mg; an offcut on hand adds no mass to what is bought, and no left over is worth anything.
    assert [source.price for source in instance.sources] == [3_000_000, 6_000_000, 0]
    assert not instance.valued


def test_the_goal_follows_from_all_offers_of_the_group_not_from_those_open() -> None:
    offers = [builders.offer("P1", 1000, 8), builders.offer("P2", 2000, None)]
    job = builders.job([builders.part("A", 1, 400)], offers)
    group = groups_of(job)[0]
    assert instance_of(group, job.workshop, group.offers[:1], Parameters()).goal is Goal.MASS


def test_a_left_over_counts_for_no_more_a_millimetre_than_its_bar() -> None:
    """8 for 1000 mm is 8000 millionths a mm; 2 for 3 mm less than 500 is 4024.14, rounded down."""
    offcuts = [builders.offcut("K", 497, 2), builders.offcut("M", 500, 0), builders.offcut("N", 500, 20)]
    job = builders.job([builders.part("A", 1, 400)], [builders.offer("P", 1000, 8)], offcuts, offcut_value_per_mm=9000)
    assert [source.rate for source in instance_for(job).sources] == [8000, 4024, 0, 9000]
