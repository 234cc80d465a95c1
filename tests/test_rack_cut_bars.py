"""A plan that was cut: every bar leaves, every left over comes, and all length is accounted for.

One bar of 3000 mm, kerf 2.5, trims of 10 at its mill ends: A of 1200 twice ends at 2412.5 and its cut takes 2.5, so
585 mm are left over; a second bar gives B of 850 and leaves 2137.5 mm.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan import actions
from cutplan.model import EndState, Fate, Job, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.model.placing import LEFT, RIGHT
from cutplan.problems import ProblemsFound
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.history import life
from cutplan.rack.holding import hold_for
from cutplan.rack.once import recorded_before
from cutplan.rack.outcome import Recorded
from cutplan.rack.pieces import Kind
from cutplan.rack.replay import balance, contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from cutplan.units import DEGREE
from tests import builders, nested_row, racks, slanted_start
from tests.builders import mm

DOING = racks.doing("record", job="tiny", plan="abc")


def job_of(*offcuts: object, parts: object = None) -> Job:
    return builders.job(
        parts or [builders.part("A", 2, 1200), builders.part("B", 1, 850)],  # type: ignore[arg-type]
        [builders.offer("P3", 3000, 20)],
        offcuts,  # type: ignore[arg-type]
        kerf="2.5",
        end_trim=10,
        keep=300,
    )


@pytest.fixture(scope="module")
def bought() -> tuple[Job, Plan]:
    job = job_of()
    return job, actions.plan(job)


def record(
    ledger: Ledger, subject: tuple[Job, Plan], facts: dict[int, BarFact] | None = None, *, of: str = "abc", **how: Any
) -> Recorded:
    done = cut_bars.record(ledger, replace(DOING, plan=of), *subject, facts or {}, **how)
    assert contradictions(ledger) == ()
    sums = balance(ledger)
    assert sums.came_in == sums.on_hand + sums.parts + sums.kerf_and_trim + sums.scrap
    assert min(sums.on_hand, sums.parts, sums.kerf_and_trim, sums.scrap) >= 0
    return done


def lengths(ledger: Ledger) -> list[tuple[str, int, int]]:
    return [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)]


def test_as_planned(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    done = record(ledger, bought, place="B2")
    assert (dict(done.made), done.missing, done.spoiled, done.uncut, done.used) == ({"A": 2, "B": 1}, (), (), (), ())
    assert sorted(piece.length for piece in done.kept) == [mm(585), mm("2137.5")]
    assert sorted(length for _, _, length in lengths(ledger)) == [mm(585), mm("2137.5")]
    assert {piece.state.place for piece in standing(ledger)} == {"B2"}
    assert balance(ledger).came_in == mm(6000)
    assert balance(ledger).parts == mm(3250)
    assert balance(ledger).kerf_and_trim == mm("27.5"), "two start trims and three kerfs"
    ends = {(piece.state.end_a, piece.state.end_b) for piece in standing(ledger)}
    assert ends == {(EndState.SAWN, EndState.MILL)}


def test_recorded_once(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    assert recorded_before(ledger, "abc") is None
    record(ledger, bought)
    before = recorded_before(ledger, "abc")
    assert before is not None
    assert before.what == "record"
    assert cut_bars.made_of(ledger, "abc") == {"A": 2, "B": 1}
    handling.undo(ledger, racks.doing("undo"))
    assert (recorded_before(ledger, "abc"), cut_bars.made_of(ledger, "abc")) == (None, {})
    assert lengths(ledger) == []


def test_a_piece_of_the_rack_is_used_and_its_heat_number_goes_on(ledger: Ledger) -> None:
    racks.put(ledger, 2000, heat_number="H7731", grade="S235JRH", certificate="3.1-88", end_b=EndState.MILL)
    job = job_of(builders.offcut("A1", 2000, grade="S235JRH", ends="sawn mill"), parts=[builders.part("B", 1, 850)])
    done = record(ledger, (job, actions.plan(job)))
    assert done.used == ("A1",)
    (rest,) = standing(ledger)
    assert (rest.state.heat_number, rest.state.grade, rest.state.certificate) == ("H7731", "S235JRH", "3.1-88")
    assert (rest.state.length, rest.state.end_a, rest.state.end_b) == (mm("1147.5"), EndState.SAWN, EndState.MILL)
    assert life(ledger, rest.mark).parent == "A1"
    used = life(ledger, "A1").movements[-1]
    assert (used.doing.job, used.bar, used.split.parts, used.split.kerf_and_trim) == ("tiny", 1, mm(850), mm("2.5"))


@pytest.mark.parametrize(
    ("book", "left_booked_at"),
    [
        (None, None),
        (0, 0),
        # 1147.5 of 2000 mm at 1 a metre, below the workshop's 2; and at 3 a metre, above it.
        (2_000_000, 1_147_500),
        (6_000_000, None),
    ],
)
def test_what_is_left_of_a_piece_with_a_book_value_is_booked_at_its_share(
    ledger: Ledger, book: int | None, left_booked_at: int | None
) -> None:
    racks.put(ledger, 2000, value=book)
    offcut = replace(builders.offcut("A1", 2000), book_value=4_000_000 if book is None else book)
    offers = [builders.offer("P3", 3000, 20)]
    parts = [builders.part("B", 1, 850)]
    job = builders.job(parts, offers, [offcut], kerf="2.5", keep=300, offcut_value_per_mm=2000)
    plan = actions.plan(job)
    record(ledger, (job, plan))
    (rest,) = standing(ledger)
    assert rest.state.value == left_booked_at
    assert [bar.drop.value for bar in plan.bars] == [2_295_000 if left_booked_at is None else left_booked_at]


def test_a_slanted_end_stays_with_what_is_left(ledger: Ledger) -> None:
    job = job_of(parts=[builders.part("M", 1, 850, mitres=(0, 45))])
    record(ledger, (job, actions.plan(job)))
    (left,) = standing(ledger)
    assert (left.state.angle_a, left.state.depth, left.state.side) == (45 * DEGREE, mm(40), LEFT)
    # 3000 less 10, 850 and a kerf of 3.6, to the short point.
    assert (left.state.length, left.state.longest) == (mm("2136.4"), mm("2176.4"))


def test_a_slanted_end_is_squared_when_its_piece_is_cut(ledger: Ledger) -> None:
    """What a square part gets out of it is less by depth x tan, and nothing of it is lost in the books."""
    job = job_of(parts=[builders.part("M", 1, 850, mitres=(0, 45))])
    record(ledger, (job, actions.plan(job)))
    (left,) = standing(ledger)
    piece = builders.offcut(
        left.mark, "2176.4", ends="sawn mill", angle_a=left.state.angle_a, depth=left.state.depth, side=left.state.side
    )
    again = job_of(piece, parts=[builders.part("A", 1, 1200), builders.part("B", 1, 500)])
    plan = actions.plan(again)
    (bar,) = plan.bars
    assert (bar.source, bar.start_trim, bar.strokes) == (left.mark, mm(40), 3)
    done = record(ledger, (again, plan), of="def")
    assert dict(done.made) == {"A": 1, "B": 1}
    (rest,) = standing(ledger)
    # 2136.4 less two parts and two kerfs of 2.5: the tip of 40 was never counted.
    assert (rest.state.length, rest.state.angle_a, rest.state.depth) == (mm("431.4"), 0, 0)


def test_a_plan_by_a_list_that_knows_of_no_slant_is_recorded_too(ledger: Ledger) -> None:
    job = job_of(parts=[builders.part("M", 1, 850, mitres=(0, 45))])
    record(ledger, (job, actions.plan(job)))
    (left,) = standing(ledger)
    by_list = builders.offcut(left.mark, "2136.4", ends="sawn mill")
    again = job_of(by_list, parts=[builders.part("A", 1, 1200)])
    record(ledger, (again, actions.plan(again)), of="def")
    (rest,) = standing(ledger)
    assert (rest.state.length, rest.state.angle_a) == (mm("933.9"), 0)
    longest = replace(by_list, length=mm("2176.4"))
    too_long = job_of(longest, parts=[builders.part("A", 1, 900)])
    with pytest.raises(ProblemsFound):
        record(ledger, (too_long, actions.plan(too_long)), of="ghi")


def test_a_piece_with_a_slanted_end_that_was_not_cut_is_as_it_was(ledger: Ledger) -> None:
    job = job_of(parts=[builders.part("M", 1, 850, mitres=(0, 45))])
    record(ledger, (job, actions.plan(job)))
    (left,) = standing(ledger)
    piece = builders.offcut(left.mark, "2176.4", ends="sawn mill", angle_a=45 * DEGREE, depth=mm(40), side=LEFT)
    again = job_of(piece, parts=[builders.part("A", 1, 1200)])
    plan = actions.plan(again)
    for left_over in (None, mm("2136.4"), mm("2176.4")):
        record(ledger, (again, plan), {1: BarFact(cut=0, left=left_over)}, of=f"not cut, {left_over} left")
        assert [each.state for each in standing(ledger)] == [left.state]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda ledger: handling.scrap(ledger, racks.doing("scrap"), ["A1"]), "A1, which is not on the rack any more"),
        (
            lambda ledger: handling.correct(ledger, racks.doing("correct"), "A1", length=mm(1990)),
            "A1 with 1990 mm of SHS 40x40x3, black on the rack",
        ),
        (lambda ledger: hold_for_another(ledger), "A1, which another job holds"),
    ],
)
def test_a_piece_that_is_not_as_planned(ledger: Ledger, change: object, told: str) -> None:
    racks.put(ledger, 2000)
    job = job_of(builders.offcut("A1", 2000), parts=[builders.part("B", 1, 850)])
    plan = actions.plan(job)
    change(ledger)  # type: ignore[operator]
    before = lengths(ledger)
    with pytest.raises(ProblemsFound) as refused:
        record(ledger, (job, plan))
    assert f"bar 1: found {told}." in str(refused.value)
    assert lengths(ledger) == before


@pytest.mark.parametrize(
    "change",
    [
        lambda ledger: handling.scrap(ledger, racks.doing("scrap"), ["A1"]),
        lambda ledger: handling.correct(ledger, racks.doing("correct"), "A1", length=mm(1990)),
        lambda ledger: hold_for_another(ledger),
    ],
)
def test_a_piece_that_is_not_as_planned_is_nothing_to_a_bar_that_was_not_cut(ledger: Ledger, change: object) -> None:
    """So a plan that the rack no longer serves can be planned again, as one of which nothing was cut."""
    racks.put(ledger, 2000)
    job = job_of(builders.offcut("A1", 2000), parts=[builders.part("B", 1, 850)])
    plan = actions.plan(job)
    change(ledger)  # type: ignore[operator]
    before = standing(ledger)
    done = record(ledger, (job, plan), {1: BarFact(cut=0)}, uncut_until="2031-06-01")
    lies = [(piece.mark, piece.state) for piece in standing(ledger)]
    assert (dict(done.missing), lies) == ({"B": 1}, [(piece.mark, piece.state) for piece in before])
    holds = [(hold.job, hold.quantity) for piece in standing(ledger) for hold in piece.holds]
    assert holds in ([], [("tiny", 1)], [("shelf", 1)])


def hold_for_another(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("hold")) as writing:
        hold_for(writing, "shelf", {"A1": 1}, "2031-06-01")


def test_a_hold_of_the_job_ends_with_the_piece(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(3000), quantity=3)])
    with entry(ledger, racks.doing("hold")) as writing:
        hold_for(writing, "tiny", {"A1": 2}, "2031-06-01")
    job = job_of(builders.offcut("A1", 3000, ends="mill mill", quantity=3))
    done = record(ledger, (job, actions.plan(job)))
    assert done.used == ("A1", "A1")
    lot = next(piece for piece in standing(ledger) if piece.mark == "A1")
    assert (lot.quantity, lot.holds) == (1, ())


def test_the_mark_on_the_sheet_is_the_mark_of_the_piece(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    from cutplan.rack.issuing import reserve

    job, plan = bought
    given = iter(reserve(ledger.db, "tiny", 2))
    marked = replace(
        plan,
        groups=tuple(
            replace(g, bars=tuple(replace(bar, drop=replace(bar.drop, mark=next(given))) for bar in g.bars))
            for g in plan.groups
        ),
    )
    for _ in range(2):
        done = record(ledger, (job, marked))
        assert [(piece.mark, piece.printed) for piece in done.kept] == [("A1", "A1"), ("C1", "C1")]
        handling.undo(ledger, racks.doing("undo"))


def whole_bar(bought: tuple[Job, Plan]) -> int:
    """The bar that gives both A."""
    return next(bar.number for bar in bought[1].bars if len(bar.cuts) == 2)


def test_a_measured_left_over(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    record(ledger, bought, {whole_bar(bought): BarFact(left=mm(580))})
    assert mm(580) in [length for _, _, length in lengths(ledger)]
    assert balance(ledger).kerf_and_trim == mm("32.5"), "the saw took more"


def test_a_bar_that_came_longer_is_put_right(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    record(ledger, bought, {whole_bar(bought): BarFact(left=mm(612))})
    assert mm(612) in [length for _, _, length in lengths(ledger)]
    assert balance(ledger).came_in == mm(6027)
    assert balance(ledger).kerf_and_trim == mm("27.5")


def test_one_of_a_lot_that_came_longer(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(3000), quantity=3)])
    job = job_of(builders.offcut("A1", 3000, ends="mill mill", quantity=3), parts=[builders.part("B", 1, 850)])
    record(ledger, (job, actions.plan(job)), {1: BarFact(left=mm(2150))})
    assert sorted(lengths(ledger)) == [("A1", 2, mm(3000)), ("E1", 1, mm(2150))]
    assert balance(ledger).came_in == mm("9012.5")


def test_a_left_over_that_is_too_short_to_keep_is_scrap(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    done = record(ledger, bought, {whole_bar(bought): BarFact(left=mm(299))})
    assert (done.scrap, done.scrap_mass) == (mm(299), 897_000)


def test_a_bar_that_was_not_cut(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    number = whole_bar(bought)
    done = record(ledger, bought, {number: BarFact(cut=0)}, uncut_until="2031-06-01")
    assert (dict(done.made), dict(done.missing)) == ({"B": 1}, {"A": 2})
    assert [(piece.bar, piece.length) for piece in done.uncut] == [(number, mm(3000))]
    (full,) = [piece for piece in standing(ledger) if piece.state.length == mm(3000)]
    assert [(h.job, h.quantity) for h in full.holds] == [("tiny", 1)]


def test_a_bar_that_was_cut_in_part(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    done = record(ledger, bought, {whole_bar(bought): BarFact(cut=1)}, uncut_until="2031-06-01")
    assert dict(done.missing) == {"A": 1}
    rest = next(piece for piece in standing(ledger) if piece.state.length == mm("1787.5"))
    assert rest.holds[0].job == "tiny"


def test_a_rest_too_short_for_the_rack_is_kept_for_the_part_it_is_for(ledger: Ledger) -> None:
    job = job_of(parts=[builders.part("L", 1, 2700), builders.part("S", 1, 250)])
    plan = actions.plan(job)
    assert [cut.mark for cut in next(iter(plan.bars)).cuts] == ["L", "S"]
    done = record(ledger, (job, plan), {1: BarFact(cut=1)})
    assert [piece.length for piece in done.kept] == [mm("287.5")], "below the keep length of 300 mm"


def test_a_spoiled_part_that_was_measured_is_a_piece(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    spoiled = BarFact(spoiled=(Spoiled(mark="A", measured=mm(1187)),))
    done = record(ledger, bought, {whole_bar(bought): spoiled}, uncut_until="2031-06-01")
    assert (dict(done.made), dict(done.spoiled), dict(done.missing)) == ({"A": 1, "B": 1}, {"A": 1}, {"A": 1})
    short = next(piece for piece in standing(ledger) if piece.state.length == mm(1187))
    assert (short.state.end_a, short.state.end_b) == (EndState.SAWN, EndState.SAWN)
    assert balance(ledger).kerf_and_trim == mm("27.5"), "the 13 mm it is short are on the bar still"


def test_a_spoiled_part_that_was_not_measured_is_scrap(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    done = record(ledger, bought, {whole_bar(bought): BarFact(spoiled=(Spoiled(mark="A", quantity=2),))})
    assert (done.scrap, dict(done.missing), dict(done.made)) == (mm(2400), {"A": 2}, {"B": 1})


def test_a_bar_that_cannot_be_used(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    done = record(ledger, bought, {whole_bar(bought): BarFact(cut=0, scrapped=True, note="bent")})
    assert (done.scrap, dict(done.missing)) == (mm(3000), {"A": 2})
    assert [length for _, _, length in lengths(ledger)] == [mm("2137.5")]


def test_fewer_lengths_received_than_the_plan_cuts(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(3010), 1, note="P3")
    with pytest.raises(ProblemsFound, match="bar 2: found no length left of those received that its cuts fit"):
        record(ledger, bought)
    assert lengths(ledger) == [("A1", 1, mm(3010))]


def test_received_lengths_are_cut_as_long_as_they_are(ledger: Ledger, bought: tuple[Job, Plan]) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(3010, heat_number="H2"), 2, note="P3")
    done = record(ledger, bought)
    assert sorted(piece.length for piece in done.kept) == [mm(595), mm("2147.5")]
    assert {piece.state.heat_number for piece in standing(ledger)} == {"H2"}
    assert done.used == ("A1", "A1")


def test_a_length_measured_short_stays_short_when_another_of_its_offer_is_cut(ledger: Ledger) -> None:
    """Two bars of one offer: the first lies uncut and measured 50 mm short, the second is cut."""
    subject = (job := job_of()), actions.plan(job)
    assert [bar.source for bar in subject[1].bars] == ["P3", "P3"]
    record(ledger, subject, {1: BarFact(cut=0, left=mm(2950))})
    whole = [(quantity, length) for _, quantity, length in lengths(ledger) if length > mm("2137.5")]
    assert whole == [(1, mm(2950))]
    assert balance(ledger).came_in == mm(5950)


def test_more_of_a_lot_never_changes_those_that_lie_there(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    with pytest.raises(ValueError, match="pieces of another length"), entry(ledger, racks.doing()) as writing:
        writing.move("A1", Kind.BOUGHT, 1, state=racks.state(600))


def test_what_is_usable_of_a_bent_bar_stays(ledger: Ledger) -> None:
    subject = (job := job_of()), actions.plan(job)
    done = record(ledger, subject, {1: BarFact(cut=0, left=mm(1900), scrapped=True)})
    usable = [(piece.state.length, piece.state.end_a, piece.state.end_b) for piece in standing(ledger)]
    assert (mm(1900), EndState.SAWN, EndState.MILL) in usable
    assert done.scrap == mm(1100)
    assert dict(done.missing) == dict.fromkeys([cut.mark for cut in subject[1].groups[0].bars[0].cuts], 2)


def test_nothing_is_usable_of_a_bent_bar_unless_that_is_said(ledger: Ledger) -> None:
    subject = (job := job_of()), actions.plan(job)
    assert record(ledger, subject, {1: BarFact(cut=0, scrapped=True)}).scrap == mm(3000)


@pytest.mark.parametrize(("measured", "left"), [(1187, "598"), (1200, "585"), (1210, "575")])
def test_what_a_spoiled_part_is_short_the_bar_has_more(measured: int, left: str, ledger: Ledger) -> None:
    """The second A comes out 13 mm short: those 13 mm are on the bar still, unless its left over was measured."""
    subject = (job := job_of()), actions.plan(job)
    assert [cut.mark for cut in subject[1].groups[0].bars[0].cuts] == ["A", "A"]
    record(ledger, subject, {1: BarFact(spoiled=(Spoiled(mark="A", measured=mm(measured)),))})
    assert mm(left) in {piece.state.length for piece in standing(ledger)}
    assert balance(ledger).kerf_and_trim == mm("27.5")


def test_parts_that_reach_into_one_another_are_accounted_for_once(ledger: Ledger) -> None:
    """Four of 300, 40 deep: three cuts shared. What is left has the slant of the last cut."""
    made = nested_row.frame(settings={"keep": 50})
    row = nested_row.row()
    bar = replace(row, drop=replace(row.drop, fate=Fate.KEEP))
    record(ledger, (made, nested_row.planned(made, bar)))
    assert balance(ledger).parts == mm(4 * 300 - 3 * 40)
    assert balance(ledger).kerf_and_trim == mm("24.4"), "a start trim of 10 and four kerfs of 3.6"
    (left,) = standing(ledger)
    assert (left.state.length, left.state.angle_a) == (mm("95.6"), 45 * DEGREE)


def test_a_row_cut_in_part_leaves_the_rest_of_its_bar(ledger: Ledger) -> None:
    made = nested_row.frame(settings={"keep": 50})
    record(ledger, (made, nested_row.planned(made, nested_row.row())), {1: BarFact(cut=2)})
    assert balance(ledger).parts == mm(2 * 300 - 40)
    (left,) = standing(ledger)
    assert left.state.length == mm(1200) - nested_row.row().cuts[1].end - mm("3.6")


def slanted_start_recorded(ledger: Ledger, fact: BarFact) -> None:
    """The piece of 700 to its long point, 660 to the short one, cut by a bar that begins on its slant."""
    (mark,) = racks.put(ledger, 660, angle_a=45 * DEGREE, depth=mm(40), side=RIGHT)
    made = replace(slanted_start.begun_job(), offcuts=(replace(slanted_start.piece(), mark=mark),))
    bar = replace(slanted_start.begun_bar(), source=mark)
    record(ledger, (made, nested_row.planned(made, bar)), {1: fact})


def test_a_part_that_begins_on_a_slanted_end_is_accounted_for_once(ledger: Ledger) -> None:
    """Of 660 two parts of 300 take 520, since 40 lie in the tip and 40 in one another; two kerfs of 3.6."""
    slanted_start_recorded(ledger, BarFact())
    assert (balance(ledger).parts, balance(ledger).kerf_and_trim) == (mm(520), mm("7.2"))
    (left,) = standing(ledger)
    assert (left.state.length, left.state.angle_a, left.state.side) == (mm("132.8"), 45 * DEGREE, RIGHT)


def test_a_part_spoiled_on_a_slanted_end_is_scrap_as_far_as_it_was_counted(ledger: Ledger) -> None:
    slanted_start_recorded(ledger, BarFact(cut=1, spoiled=(Spoiled(mark="P", quantity=1),)))
    found = balance(ledger)
    assert (found.parts, found.scrap, found.kerf_and_trim) == (0, mm(260), mm("3.6"))
    (left,) = standing(ledger)
    assert left.state.length == mm("396.4")


@pytest.mark.parametrize(
    ("cut", "measured", "left", "kerf_and_trim"),
    [
        # The first: a trim of 10, its kerf of 3.6, and both its slants of 40 sawn off once it is squared.
        (1, 290, "896.4", "93.6"),
        (1, 300, "886.4", "93.6"),
        # The second: what it reaches into the first is taken off that.
        (2, 290, "632.8", "97.2"),
    ],
)
def test_of_a_spoiled_mitred_part_what_lies_between_its_short_points_is_a_piece(
    cut: int, measured: int, left: str, kerf_and_trim: str, ledger: Ledger
) -> None:
    """300 to its long points, 40 deep: it lies on the rack slanted at both ends, as every piece to its short points."""
    made = nested_row.frame(settings={"keep": 50})
    fact = BarFact(cut=cut, spoiled=(Spoiled(mark="P", measured=mm(measured)),))
    record(ledger, (made, nested_row.planned(made, nested_row.row())), {1: fact}, uncut_until="2031-06-01")
    rest, spoiled = (piece.state for piece in standing(ledger))
    assert (spoiled.length, spoiled.longest) == (mm(measured - 80), mm(measured - 40))
    assert (spoiled.angle_a, spoiled.angle_b) == (45 * DEGREE, 45 * DEGREE)
    assert (rest.length, balance(ledger).kerf_and_trim) == (mm(left), mm(kerf_and_trim))


def test_a_spoiled_mitred_part_with_nothing_between_its_short_points_is_scrap(ledger: Ledger) -> None:
    made = nested_row.frame(settings={"keep": 50})
    fact = BarFact(cut=1, spoiled=(Spoiled(mark="P", measured=mm(80)),))
    done = record(ledger, (made, nested_row.planned(made, nested_row.row())), {1: fact})
    assert (done.scrap, [piece.state.length for piece in standing(ledger)]) == (mm(80), [mm("1106.4")])


def test_a_measured_part_spoiled_on_a_slanted_end_is_accounted_for_once(ledger: Ledger) -> None:
    """Of the 700 to the long point 290 came off and a kerf of 3.6; of the 290 lie 210 between short points."""
    slanted_start_recorded(ledger, BarFact(cut=1, spoiled=(Spoiled(mark="P", measured=mm(290)),)))
    assert balance(ledger).came_in == mm(660), "the piece is as long as it was"
    assert sorted(piece.state.length for piece in standing(ledger)) == [mm(210), mm("406.4")]
