"""Four frame parts in a row, worked out by hand, pass; whatever lies or is cut otherwise is named."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking.bar_rules import bar_failures
from cutplan.model import CutBar, Fate, Goal, GroupPlan, Heel, Job, Lean, groups_of
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.builders import job, mm, offer, part, part_of, square_tube
from tests.nested_row import ALONG, DEPTH, LONG, frame, row
from tests.slanted_start import begun_bar, begun_job, piece


def failures(tiny: Job, bar: CutBar) -> list[str]:
    group = groups_of(tiny)[0]
    planned = GroupPlan(title=group.title, goal=Goal.MONEY, bars=(bar,), proof=None)  # type: ignore[arg-type]
    return [text.removeprefix(f"{group.title}: bar 1") for text in bar_failures(tiny, group, planned)]


def test_a_frame_in_a_row_needs_what_the_sum_says() -> None:
    assert failures(frame(), row()) == []
    assert row().cuts[-1].end - mm(10) == mm(str(4 * (LONG - DEPTH) + DEPTH + 3 * ALONG))
    assert row().strokes == 5


@pytest.mark.parametrize("angle", [45, 30, 22.5, 60])
def test_where_angles_are_not_round_the_blade_still_has_its_width(angle: float) -> None:
    """0.1 mm steps are taken where they leave more between the parts, never less."""
    tiny = frame(parts=[part("P", 2, LONG, mitres=(angle, angle))])
    run, along = 40 * math.tan(math.radians(angle)), 2.5 / math.cos(math.radians(angle))
    between = math.ceil(along * 10 - 1e-9) - math.floor(run * 10 + 1e-9)
    second = mm(10) + mm(LONG) + between * 100_000
    at = round(angle * DEGREE)
    bar = row(2)
    cuts = (
        replace(bar.cuts[0], angle_a=at, angle_b=at, kerf=math.ceil(along * 10 - 1e-9) * 100_000),
        replace(bar.cuts[1], angle_a=at, angle_b=at, start=second, end=second + mm(LONG)),
    )
    last_kerf = math.ceil(along * 10 - 1e-9) * 100_000
    cuts = (cuts[0], replace(cuts[1], kerf=last_kerf))
    drop = replace(bar.drop, start=cuts[1].end + last_kerf, fate=Fate.KEEP)
    assert failures(tiny, replace(bar, cuts=cuts, drop=drop, slack=mm(1190) - cuts[1].end)) == []


Change = Callable[[CutBar], CutBar]


def on_cut(place: int, **change: Any) -> Change:
    return lambda bar: replace(
        bar, cuts=tuple(replace(cut, **change) if n == place else cut for n, cut in enumerate(bar.cuts))
    )


def moved(place: int, by: float) -> Change:
    """A part and all after it pushed along the bar."""

    def change(bar: CutBar) -> CutBar:
        push = mm(str(by))
        cuts = tuple(
            replace(cut, start=cut.start + push, end=cut.end + push) if n >= place else cut
            for n, cut in enumerate(bar.cuts)
        )
        drop = replace(bar.drop, start=bar.drop.start + push)
        return replace(bar, cuts=cuts, drop=drop, slack=bar.slack - push)

    return change


@pytest.mark.parametrize(
    ("why", "change", "failure"),
    [
        (
            "0.1 mm nearer, all figures to match",
            moved(2, -0.1),
            ", P copy 2: is 3.5 mm from P at an edge of the section, the blade takes 3.535534 mm along the bar",
        ),
        (
            "0.1 mm further",
            moved(2, 0.1),
            ", P copy 3: starts at 537.3 mm, 537.2 mm is where the cut before it ends",
        ),
        (
            "rolled the other way",
            on_cut(1, rolled=0),
            ", P copy 1: shares its cut with P, whose mitre slants another way or lies in another plane",
        ),
        (
            "and so it overlaps",
            on_cut(1, rolled=0),
            ", P copy 1: overlaps P by 36.4 mm at an edge of the section, the blade takes 3.535534 mm along the bar",
        ),
        (
            "rolled by a quarter: the mitre lies in the other plane",
            on_cut(1, rolled=1),
            ", P copy 1: overlaps P by 36.4 mm at an edge of the section, the blade takes 3.535534 mm along the bar",
        ),
        (
            "rolled by what is no turn",
            on_cut(1, rolled=4),
            ", P copy 2: is rolled by 4 quarter turns, its section does not lie so",
        ),
        (
            "not shared, and yet so near",
            on_cut(0, shared=False),
            ", P copy 2: starts at 273.6 mm, 313.6 mm is where the cut before it ends",
        ),
        (
            "the last cut is nobody else's",
            on_cut(3, shared=True),
            ", P copy 4: shares its cut with a part after it, and none comes there",
        ),
        ("a kerf that the blade does not take", on_cut(0, kerf=mm("2.5")), ", P copy 1: its cut takes 2.5 mm, "
         "it should be 3.6 mm"),
        (
            "an angle beside it",
            on_cut(1, angle_a=round(44.9 * DEGREE)),
            ", P copy 2: has ends at 44.9 and 45 degrees, the part wants 45 and 45",
        ),
        ("a bar that costs what it does not", lambda bar: replace(bar, cost=9_000_000), ": costs 9 EUR by the plan, "
         "10 EUR by its price, work and left over"),
    ],
)  # fmt: skip
def test_what_is_wrong_in_a_row(why: str, change: Change, failure: str) -> None:
    assert failure in failures(frame(), change(row())), why


def test_turned_end_for_end_is_as_good() -> None:
    assert failures(frame(), on_cut(1, turned=True, rolled=0)(row())) == []
    found = failures(frame(), on_cut(1, turned=True, rolled=2)(row()))
    assert ", P copy 1: shares its cut with P, whose mitre slants another way or lies in another plane" in found


def test_braces_all_lie_alike() -> None:
    braces = frame(lean=Lean.PARALLEL)
    assert failures(braces, row(rolled=(0, 0, 0, 0))) == []
    assert any("slants another way" in text for text in failures(braces, row()))


def test_parts_that_share_none() -> None:
    own = failures(frame(share_mitres=False), row(rolled=(0, 0, 0, 0)))
    assert ", P copy 1: shares its cut with P, P shares none by the parts list" in own
    assert ", P copy 2: is turned or rolled, and may not share cuts" in failures(frame(share_mitres=False), row())
    shop = failures(frame(settings={"share_mitres": False}), row(rolled=(0, 0, 0, 0)))
    assert ", P copy 1: shares its cut with P, the workshop shares none" in shop


def test_unequal_angles_share_nothing() -> None:
    two = frame(parts=[part("P", 3, LONG, mitres=(45, 45)), part("Q", 1, LONG, mitres=(44.9, 45))])
    bar = on_cut(3, mark="Q", copy=1, angle_a=round(44.9 * DEGREE))(row())
    assert ", P copy 3: shares its cut of 45 degrees with Q, whose end is at 44.9" in failures(two, bar)
    square = frame(parts=[part("P", 3, LONG, mitres=(45, 45)), part("Q", 1, LONG, mitres=(0, 45))])
    found = failures(square, on_cut(3, mark="Q", copy=1, angle_a=0)(row()))
    assert ", P copy 3: shares its cut of 45 degrees with Q, whose end is at 0" in found


def test_a_part_with_one_mitre_may_be_turned_for_it() -> None:
    one = frame(parts=[part("P", 4, LONG, mitres=(45, 0))])
    end = round(45 * DEGREE)
    pairs = row(2, rolled=(0, 0))
    cuts = (
        replace(pairs.cuts[0], turned=True, angle_a=0, angle_b=end),
        replace(pairs.cuts[1], rolled=0, angle_a=end, angle_b=0, kerf=mm("2.5")),
    )
    # End B of the first lies at START, so that its long point, seen from there, comes to lie on the left.
    bar = replace(pairs, cuts=cuts, drop=replace(pairs.drop, start=mm("576.1"), fate=Fate.KEEP))
    half = replace(one, parts=(replace(one.parts[0], quantity=2),))
    assert failures(half, bar) == []


def test_the_two_planes_of_a_rectangular_tube() -> None:
    tube = part_of("RHS 60x40x3").section
    parts = [part("P", 1, LONG, section=tube, mitres=(45, 45)), part("Q", 1, LONG, section=tube, mitres=(45, 45))]
    tiny = job([parts[0], replace(parts[1], depth=mm(40))], [offer("A", 1200, 10, section=tube)], kerf="2.5",
               end_trim=10, keep=300, share_mitres=True)  # fmt: skip
    bar = row(2)
    at = mm(10) + mm(LONG) + mm("3.6") - mm(60)
    cuts = (bar.cuts[0], replace(bar.cuts[1], mark="Q", copy=1, start=at, end=at + mm(LONG)))
    bar = replace(bar, cuts=cuts, drop=replace(bar.drop, start=at + mm("303.6")), slack=mm(1190) - cuts[1].end)
    found = failures(tiny, bar)
    assert ", P copy 1: shares its cut with Q, whose mitre slants another way or lies in another plane" in found
    assert any(text.startswith(", P copy 1: overlaps Q by") for text in found)


def test_sections_of_ones_own_share_no_cut() -> None:
    own = replace(square_tube(), family=Family.OWN)
    tiny = job([part("P", 4, LONG, section=own, mitres=(45, 45), lean=Lean.PARALLEL)],
               [offer("A", 1200, 10, section=own)], kerf="2.5", end_trim=10, keep=300, share_mitres=True)  # fmt: skip
    found = failures(tiny, row(rolled=(0, 0, 0, 0)))
    assert f", P copy 1: shares its cut with P, which parts of {own.designation} do not" in found


def test_parts_that_do_not_share_lie_as_listed_or_are_turned() -> None:
    """Square to square and long points apart: whether anything is shared or not, nothing comes too near."""
    assert square_tube().height == mm(DEPTH)
    bar = row(2)
    second = bar.cuts[0].end + mm("3.6")
    cuts = (replace(bar.cuts[0], shared=False), replace(bar.cuts[1], start=second, end=second + mm(LONG)))
    apart = replace(bar, cuts=cuts, drop=replace(bar.drop, start=mm(10) + 2 * mm("303.6"), fate=Fate.KEEP),
                    slack=mm(1190) - cuts[1].end)  # fmt: skip
    half = frame(parts=[part("P", 2, LONG, mitres=(45, 45))])
    assert failures(half, apart) == []
    assert apart.strokes == row(2).strokes + 1


def braces_of_angle(**other: Any) -> Job:
    """As :func:`frame`, of an equal angle of the same depth whose mitres lean parallel."""
    angle = part_of("L 40x40x4").section
    usual = {"lean": Lean.PARALLEL, "heel": Heel.LONG_POINT} | other
    parts = [part("P", 4, LONG, section=angle, mitres=(45, 45), **usual)]
    return job(parts, [offer("A", 1200, 10, section=angle)], kerf="2.5", end_trim=10, keep=300, share_mitres=True)


AS_ALL_LIE = (0, 0, 0, 0)


def test_braces_of_angle_lie_in_a_row_as_they_are() -> None:
    assert failures(braces_of_angle(), row(rolled=AS_ALL_LIE)) == []
    turned = row(rolled=(1, 1, 1, 1))
    turned = replace(turned, cuts=tuple(replace(cut, turned=True) for cut in turned.cuts))
    assert failures(braces_of_angle(), turned) == [], "all turned about their heel, mitred in the other leg"


@pytest.mark.parametrize(
    ("why", "change", "failure"),
    [
        (
            "0.1 mm nearer, all figures to match",
            moved(2, -0.1),
            ", P copy 2: is 3.5 mm from P at an edge of the section, the blade takes 3.535534 mm along the bar",
        ),
        (
            "0.1 mm further",
            moved(2, 0.1),
            ", P copy 3: starts at 537.3 mm, 537.2 mm is where the cut before it ends",
        ),
        (
            "rolled half over: its other leg would hang where there is none",
            on_cut(1, rolled=2),
            ", P copy 2: is rolled by 2 quarter turns, its section does not lie so",
        ),
        (
            "turned end for end alone, its heel at the other side",
            on_cut(1, turned=True),
            ", P copy 2: is turned end for end and rolled by 0 quarter turns, its section does not lie so",
        ),
        (
            "one turned about its heel among others: mitred in the other leg",
            on_cut(1, turned=True, rolled=1),
            ", P copy 1: shares its cut with P, whose mitre slants another way or lies in another plane",
        ),
        (
            "and so it overlaps",
            on_cut(1, turned=True, rolled=1),
            ", P copy 1: overlaps P by 36.4 mm at an edge of the section, the blade takes 3.535534 mm along the bar",
        ),
        (
            "a slant beside it",
            on_cut(2, angle_a=round(44.9 * DEGREE)),
            ", P copy 3: has ends at 44.9 and 45 degrees, the part wants 45 and 45",
        ),
    ],
)
def test_what_is_wrong_in_a_row_of_angles(why: str, change: Change, failure: str) -> None:
    assert failure in failures(braces_of_angle(), change(row(rolled=AS_ALL_LIE))), why


@pytest.mark.parametrize(
    ("why", "other"),
    [
        ("a frame: both long points at the heel", {"lean": Lean.OPPOSITE}),
        ("a frame: both short points at the heel", {"lean": Lean.OPPOSITE, "heel": Heel.SHORT_POINT}),
    ],
)
def test_a_frame_of_angle_in_a_row_overlaps(why: str, other: dict[str, Any]) -> None:
    found = failures(braces_of_angle(**other), row(rolled=AS_ALL_LIE))
    assert ", P copy 1: shares its cut with P, whose mitre slants another way or lies in another plane" in found, why
    assert any(text.startswith(", P copy 1: overlaps P by 36.4 mm at an edge of the section") for text in found)
    # Half over, as a tube lies, its slants would lie together: an angle does not lie so.
    half_over = failures(braces_of_angle(**other), row())
    assert ", P copy 2: is rolled by 2 quarter turns, its section does not lie so" in half_over


def test_a_part_of_opposite_hand_does_not_lie_as_it_is_listed_where_cuts_are_shared() -> None:
    """Seen from its end A its heel is at the left: it lies on its other leg, or with end B towards START."""
    mirrored = braces_of_angle(opposite_hand=True)
    said = ", P copy 1: lies as listed, its section does not lie so"
    assert said in failures(mirrored, row(rolled=AS_ALL_LIE))
    assert failures(mirrored, row(rolled=(1, 1, 1, 1))) == []


def test_an_unequal_angle_of_opposite_hand_shares_no_cut() -> None:
    angle = part_of("L 60x40x5").section
    parts = [part("P", 4, LONG, section=angle, mitres=(45, 45), lean=Lean.PARALLEL, heel=Heel.LONG_POINT)]
    parts = [replace(parts[0], depth=mm(40))]
    offers = [offer("A", 1200, 10, section=angle)]
    settings: dict[str, Any] = {"kerf": "2.5", "end_trim": 10, "keep": 300, "share_mitres": True}
    assert failures(job(parts, offers, **settings), row(rolled=AS_ALL_LIE)) == []
    mirrored = job([replace(parts[0], opposite_hand=True)], offers, **settings)
    said = f", P copy 1: shares its cut with P, which parts of {angle.designation} do not"
    assert said in failures(mirrored, row(rolled=AS_ALL_LIE))


@pytest.mark.parametrize(
    ("name", "rolled", "lean", "fine"),
    [
        ("UPN 80", (0, 2, 0, 2), Lean.OPPOSITE, False),
        ("UPN 80", AS_ALL_LIE, Lean.PARALLEL, True),
        ("T from IPE 80", AS_ALL_LIE, Lean.PARALLEL, True),
        ("T from IPE 80", AS_ALL_LIE, Lean.OPPOSITE, False),
    ],
)
def test_channels_and_tees_lie_as_their_sections_do(name: str, rolled: tuple[int, ...], lean: Lean, fine: bool) -> None:
    """Both are mitred across 40 mm here: a tee along its stem, a channel along flanges made as wide as that."""
    section = part_of(name).section
    section = replace(section, width=mm(DEPTH)) if name.startswith("UPN") else replace(section, height=mm(DEPTH))
    parts = [replace(part("P", 4, LONG, section=section, mitres=(45, 45), lean=lean), depth=mm(DEPTH))]
    made = job(parts, [offer("A", 1200, 10, section=section)], kerf="2.5", end_trim=10, keep=300, share_mitres=True)
    found = failures(made, row(rolled=rolled))
    assert (found == []) is fine, found


def test_a_part_begins_on_a_slanted_end_with_no_cut() -> None:
    """Two parts share a cut, and one is left for the far end of the second: two strokes, by hand."""
    assert failures(begun_job(), begun_bar()) == []
    assert begun_bar().strokes == 2


@pytest.mark.parametrize(
    ("why", "change", "other_piece", "failure"),
    [
        ("rolled half over", on_cut(0, rolled=2), {},
         ", P copy 1: begins 40 mm before the slanted end of K"),
        ("rolled by a quarter", on_cut(0, rolled=1), {},
         ", P copy 1: begins 40 mm before the slanted end of K"),
        ("pushed on by 0.1 mm", moved(0, 0.1), {},
         ", P copy 1: is said to begin on the slanted end of K, 0.1 mm from it at an edge of the section"),
        ("said to be cut as ever", lambda bar: replace(bar, starts_on_slant=False), {},
         ": has a start trim of 0 mm, K gives 40 mm"),
        ("a piece that is square", lambda bar: bar, {"angle_a": 0, "depth": 0, "side": 0},
         ": is said to start on a slanted end, K has none"),
        ("a piece of another angle", lambda bar: bar, {"angle_a": 44 * DEGREE},
         ", P copy 1: is said to begin on the slanted end of K, 1.372449 mm from it at an edge of the section"),
        ("a piece of a steeper angle", lambda bar: bar, {"angle_a": 46 * DEGREE},
         ", P copy 1: begins 1.421213 mm before the slanted end of K"),
        ("a stroke counted at START", lambda bar: replace(bar, cost=1_500_000), {},
         ": costs 1.5 EUR by the plan, 1 EUR by its price, work and left over"),
    ],
)  # fmt: skip
def test_a_start_that_is_no_slanted_end_is_named(
    why: str, change: Change, other_piece: dict[str, int], failure: str
) -> None:
    """tan 44 = 0.965689, tan 46 = 1.035530 (any table): 40 mm deep 1.372 less and 1.421 more than at 45."""
    made = replace(begun_job(), offcuts=(piece(**other_piece),))
    assert failure in failures(made, change(begun_bar())), why


def test_a_bar_that_is_bought_has_no_slanted_end() -> None:
    found = failures(frame(), replace(row(), starts_on_slant=True))
    assert ": is said to start on a slanted end, A has none" in found


def test_a_part_that_may_not_share_cuts_begins_on_no_slanted_end() -> None:
    made = begun_job(share_mitres=False)
    assert ", P copy 1: begins on the slanted end of K, and may not share cuts" in failures(made, begun_bar())
