"""Several lists as one job."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Assumption, InputFile, Job, Merchant, OtherLine, joined, own_name, own_part
from cutplan.model.totals import list_of_assembly, totals_of
from cutplan.problems import ProblemsFound
from cutplan.units import CURRENCY
from tests.builders import job, offcut, offer, part, square_tube
from tests.hand_plans import hand_plan

ROUND = square_tube(30)


def named(name: str, tiny: Job, **other: object) -> Job:
    return replace(tiny, name=name, **other)  # type: ignore[arg-type]


GATE = named(
    "gate",
    job([part("A", 2, 400, assembly="leaf"), part("B", 1, 100)], [offer("P1", 1000, 10)]),
    others=(OtherLine(name="hinge", quantity=2, price_each=CURRENCY),),
    assumptions=(Assumption("assumed.kerf", "Kerf 0 mm."), Assumption("assumed.grade", "Parts with no grade: all.")),
    silenced=1,
)
BENCH = named(
    "bench",
    job([part("A", 1, 900), part("B", 1, 100)], [offer("P1", 1000, 10)]),
    assumptions=(
        Assumption("assumed.kerf", "Kerf 0 mm."),
        Assumption("assumed.grade", "Parts with no grade: 1 of 2 lines."),
    ),
    silenced=2,
)


def test_a_single_list_stays_as_it_is() -> None:
    assert joined([GATE]) is GATE


def test_marks_and_assemblies_say_whose_they_are() -> None:
    both = joined([GATE, BENCH])
    assert both.name == "gate + bench"
    assert [(p.mark, p.assembly, p.list_name) for p in both.parts] == [
        ("gate/A", "gate/leaf", "gate"),
        ("gate/B", "gate", "gate"),
        ("bench/A", "bench", "bench"),
        ("bench/B", "bench", "bench"),
    ]
    assert [(line.name, line.assembly, line.list_name) for line in both.others] == [("hinge", "gate", "gate")]
    assert list_of_assembly(both) == {"gate/leaf": "gate", "gate": "gate", "bench": "bench"}
    assert [o.id for o in both.offers] == ["P1"]
    assert both.silenced == 3


def test_what_is_taken_for_granted_says_for_which_list() -> None:
    assert tuple(one.text for one in joined([GATE, BENCH]).assumptions) == (
        "Kerf 0 mm.",
        "gate: Parts with no grade: all.",
        "bench: Parts with no grade: 1 of 2 lines.",
        "The lists are planned and bought together; each mark has the name of its list in front.",
    )


def test_one_mark_for_two_parts_is_warned_about() -> None:
    (warning,) = joined([GATE, BENCH]).warnings
    assert (warning.where, warning.found) == ("bench, row 0", '"A", which gate has too, as another part')


def test_many_marks_for_other_parts_are_one_warning_a_list() -> None:
    """Most lists begin with 1 or A: hundreds of warnings would hide all others."""
    made = [
        named(name, job([part(f"M{n}", 1, length + n) for n in range(9)], [offer("P1", 1000, 10)]))
        for name, length in (("gate", 100), ("bench", 200), ("rail", 300))
    ]
    bench, rail = joined(made).warnings
    marks = '"M0", "M1", "M2", "M3", "M4", "M5" and 3 more marks'
    assert (bench.where, bench.found) == ("bench", f"{marks}, which gate has too, as other parts")
    assert (rail.where, rail.found) == ("rail", f"{marks}, which gate has too, as other parts")


def test_offers_that_lists_made_for_themselves_get_numbers_of_their_own() -> None:
    other = replace(BENCH, offers=(offer("P1", 1000, 10, section=ROUND),))
    assert [o.id for o in joined([GATE, other]).offers] == ["P1", "#S2"]


@pytest.mark.parametrize(
    ("other", "told"),
    [
        (replace(BENCH, name="gate"), "gate: found 2 lists of this name."),
        (replace(BENCH, workshop=replace(BENCH.workshop, unit="in")), "bench: found another workshop than gate has."),
        (replace(BENCH, offcuts=(offcut("R", 500),)), "bench: found another rack than gate has."),
        (
            replace(BENCH, files=(InputFile(role="prices", name="p.csv", sha256="aa"),)),
            "bench: found another price list than gate has.",
        ),
    ],
)
def test_lists_are_planned_on_the_same_grounds(other: Job, told: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        joined([GATE, other])
    assert told in str(found.value)


def test_money_and_weight_are_shared_out() -> None:
    """Two bars for 20: 900 of parts are the gate's and 1000 the bench's, so 9.47 and the rest; charges likewise."""
    both = joined([GATE, BENCH])
    shop = replace(both.workshop, merchants=(Merchant(name="Yard", delivery=19 * CURRENCY),))
    both = replace(both, workshop=shop)
    totals = totals_of(both, hand_plan(both, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"])))
    gate, bench = totals.lists
    assert (gate.name, gate.pieces, gate.part_length, bench.part_length) == ("gate", 3, 900_000_000, 1_000_000_000)
    assert gate.bars == 9_470_000
    assert gate.bars + bench.bars == totals.money.bars
    # 19 x 9.47 / 20 is 8.9965.
    assert gate.charges == 9 * CURRENCY
    assert gate.charges + bench.charges == 19 * CURRENCY
    assert (gate.others_money, bench.others_money) == (2 * CURRENCY, 0)
    assert gate.money + bench.money == totals.money.subtotal
    assert totals_of(GATE, hand_plan(GATE, ("P1", ["A", "A", "B"]))).lists == ()


def test_charges_are_shared_by_length_where_no_length_has_a_price() -> None:
    free = [replace(each, offers=(offer("P1", 1000, 0),)) for each in (GATE, BENCH)]
    both = joined(free)
    both = replace(both, workshop=replace(both.workshop, merchants=(Merchant(name="Yard", delivery=19 * CURRENCY),)))
    totals = totals_of(both, hand_plan(both, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"])))
    assert [(total.bars, total.charges) for total in totals.lists] == [(0, 9 * CURRENCY), (0, 10 * CURRENCY)]


def test_parts_are_called_as_in_their_own_list_again() -> None:
    both = joined([GATE, BENCH])
    own = [own_part(part) for part in both.parts]
    assert [(part.mark, part.assembly) for part in own] == [
        (part.mark, part.assembly) for part in (*GATE.parts, *BENCH.parts)
    ]
    assert own_part(GATE.parts[0]) == GATE.parts[0], "of a list planned alone"
    assert own_name("gate/gate/A", "gate") == "gate/A", "a mark may have the name of its list in it"
