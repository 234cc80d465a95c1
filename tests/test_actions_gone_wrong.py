"""What went wrong, in words of a person: what it says of every bar, what has to be asked, what is refused."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions.gone_wrong import Unsaid, Wrong, facts_of
from cutplan.model import Job, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.rack.ticks import Tick
from tests.builders import job, mm, offer, part

NOT_CUT = BarFact(cut=0)


@pytest.fixture(scope="module")
def gate() -> tuple[Job, Plan]:
    """Bar 1 is two L; bars 2 and 3 are rungs R, copies 1 to 4 and 5 to 9."""
    subject = job([part("L", 2, 2900), part("R", 9, 1100)], [offer("P6", 6000, 35)], kerf="2.5", end_trim=10, keep=300)
    plan = actions.plan(subject)
    assert [[(cut.mark, cut.copy) for cut in bar.cuts] for bar in plan.bars] == [
        [("L", 1), ("L", 2)],
        [("R", copy) for copy in range(1, 5)],
        [("R", copy) for copy in range(5, 10)],
    ]
    return subject, plan


@pytest.mark.parametrize(
    ("wrong", "facts", "told"),
    [
        (Wrong(), {1: NOT_CUT, 2: NOT_CUT, 3: NOT_CUT}, ["No bar is taken as cut."]),
        (Wrong(bar=2), {3: NOT_CUT}, ["Bars up to 2 are taken as cut."]),
        (
            Wrong(bent=(2,), usable=("0",)),
            {1: NOT_CUT, 2: BarFact(cut=0, left=0, scrapped=True, note="bent"), 3: NOT_CUT},
            ["No bar is taken as cut.", "Bar 2 cannot be used."],
        ),
        (
            Wrong(bar=1, bent=(2, 3), usable=("0", "3.8 m")),
            {number: BarFact(cut=0, left=mm(left), scrapped=True, note="bent") for number, left in ((2, 0), (3, 3800))},
            ["Bar 1 is taken as cut.", "Bar 2 cannot be used.", "Bar 3 cannot be used but for 3800 mm of it."],
        ),
        (
            Wrong(spoiled="R", bar=2, copy=2, measured="0"),
            {2: BarFact(cut=2, spoiled=(Spoiled(mark="R"),)), 3: NOT_CUT},
            [
                "Bars up to 2 are taken as cut, bar 2 up to the spoiled part.",
                "R copy 2 was spoiled and is scrap.",
            ],
        ),
        (
            Wrong(spoiled="R", bar=3, copy=9, measured="1087"),
            {3: BarFact(spoiled=(Spoiled(mark="R", measured=mm(1087)),))},
            [
                "Bars up to 3 are taken as cut, bar 3 up to the spoiled part.",
                "R copy 9 was spoiled and came to 1087.",
            ],
        ),
    ],
)
def test_what_it_says_of_every_bar(
    wrong: Wrong, facts: dict[int, BarFact], told: list[str], gate: tuple[Job, Plan]
) -> None:
    assert facts_of(*gate, wrong) == (facts, told)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (Wrong(spoiled="X"), "--spoiled: found X, which is not in the plan"),
        (Wrong(spoiled="L", bar=2), "--spoiled: found L, which is not on bar 2"),
        (Wrong(spoiled="L", bar=9), "--bar: found bar 9"),
        (Wrong(bent=(7,)), "--bent: found bar 7.\nAccepted: a bar of the plan, 1 to 3"),
        (Wrong(measured="12", bar=1), "--measured: found no part that was spoiled"),
        (Wrong(spoiled="L", measured="1,2", bar=1), "--measured: found"),
        (Wrong(spoiled="L", measured="9 m", bar=1), "found 9 m.\nAccepted: at most 6000 mm, the length of bar 1"),
        (Wrong(spoiled="R", bar=3, copy=2), "--copy: found copy 2 of R"),
        (Wrong(spoiled="R", copy=12), "R, which is on bars 2, 3"),
        (Wrong(bent=(2,), usable=("6.1 m",)), "--usable: found 6.1 m.\nAccepted: at most 6000 mm, the length of bar 2"),
        (Wrong(bent=(2,), usable=("x",)), '--usable: found "x"'),
        (Wrong(usable=("1 m",)), "--usable: found 1 lengths for 0 bent bars.\nAccepted: one for each --bent"),
    ],
)
def test_what_cannot_be_understood(wrong: Wrong, told: str, gate: tuple[Job, Plan]) -> None:
    with pytest.raises(ProblemsFound) as refused:
        facts_of(*gate, wrong)
    assert told in str(refused.value)


@pytest.mark.parametrize(
    ("wrong", "told", "field", "choices"),
    [
        (Wrong(spoiled="R"), "R, which is on bars 2, 3.\nAccepted: also --bar 2", "bar", (2, 3)),
        (Wrong(spoiled="R", bar=3), "copies 5, 6, 7, 8, 9.\nAccepted: also --copy 5", "copy", (5, 6, 7, 8, 9)),
        (Wrong(bent=(2,)), "--bent: found bar 2, and not what is usable of it.\nAccepted: also --usable", "usable", ()),
        (Wrong(bent=(1, 2), usable=("0",)), "--bent: found bar 2, and not what is usable", "usable", ()),
        (
            Wrong(spoiled="R", copy=6),
            "--spoiled: found R copy 6, and not what it came to.\nAccepted: also --measured LENGTH",
            "measured",
            (),
        ),
    ],
)
def test_what_is_asked(wrong: Wrong, told: str, field: str, choices: tuple[int, ...], gate: tuple[Job, Plan]) -> None:
    with pytest.raises(Unsaid) as unsaid:
        facts_of(*gate, wrong)
    assert told in str(unsaid.value)
    assert (unsaid.value.field, unsaid.value.choices) == (field, choices)


def test_answers_are_taken_one_after_another(gate: tuple[Job, Plan]) -> None:
    """Whoever is asked until nothing is open has said what one long command says."""
    wrong = Wrong(spoiled="R")
    asked = []
    for _ in range(3):
        with pytest.raises(Unsaid) as unsaid:
            facts_of(*gate, wrong)
        asked.append(unsaid.value.field)
        wrong = wrong.saying(unsaid.value.field, str((1087, *unsaid.value.choices)[-1]))
    assert asked == ["bar", "copy", "measured"]
    assert facts_of(*gate, wrong) == facts_of(*gate, Wrong(spoiled="R", bar=3, copy=9, measured="1087"))


def test_each_copy_leaves_what_is_behind_it(gate: tuple[Job, Plan]) -> None:
    """The later the copy, the more is good and the less is left to cut."""
    cut = [facts_of(*gate, Wrong(spoiled="R", bar=3, copy=copy, measured="0"))[0][3].cut for copy in range(5, 10)]
    assert cut == [1, 2, 3, 4, None]
    assert all(a is not None and (b is None or a < b) for a, b in pairwise(cut))


def test_a_copy_alone_tells_its_bar(gate: tuple[Job, Plan]) -> None:
    said, measured = Wrong(spoiled="R", copy=6, measured="0"), Wrong(spoiled="R", bar=3, copy=6, measured="0")
    assert facts_of(*gate, said) == facts_of(*gate, measured)


def ticks(*parts: tuple[int, str, int], **how: Any) -> tuple[Tick, ...]:
    return tuple(Tick(bar=bar, part=part, copy=copy, **how) for bar, part, copy in parts)


TICKED = ticks((1, "L", 1), (1, "L", 2), (2, "R", 1))
"""Bar 1 is cut and bar 2 begun."""

WITH_TICKS: dict[str, tuple[Wrong, tuple[Tick, ...], dict[int, BarFact]]] = {
    "another bar is spoiled": (
        Wrong(spoiled="R", copy=7, measured="0"), TICKED,
        {1: BarFact(), 2: BarFact(cut=1), 3: BarFact(cut=3, spoiled=(Spoiled(mark="R"),))},
    ),
    "the next part is spoiled": (
        Wrong(spoiled="R", copy=2, measured="0"), TICKED,
        {1: BarFact(), 2: BarFact(cut=2, spoiled=(Spoiled(mark="R"),)), 3: NOT_CUT},
    ),
    "one that is ticked was bad after all": (
        Wrong(spoiled="L", copy=1, measured="0"), TICKED,
        {1: BarFact(spoiled=(Spoiled(mark="L"),)), 2: BarFact(cut=1), 3: NOT_CUT},
    ),
    "it is ticked as spoiled already": (
        Wrong(spoiled="R", copy=1), (*TICKED[:2], *ticks((2, "R", 1), spoiled=True, measured=mm(1090))),
        {1: BarFact(), 2: BarFact(cut=1, spoiled=(Spoiled(mark="R", measured=mm(1090)),)), 3: NOT_CUT},
    ),
    "a bar that was not begun is bent": (
        Wrong(bent=(3,), usable=("2 m",)), TICKED,
        {1: BarFact(), 2: BarFact(cut=1), 3: BarFact(cut=0, left=mm(2000), scrapped=True, note="bent")},
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", WITH_TICKS)
def test_what_is_ticked_is_what_is_cut(case: str, gate: tuple[Job, Plan]) -> None:
    wrong, ticked, facts = WITH_TICKS[case]
    found, told = facts_of(*gate, wrong, ticked)
    assert found == facts
    assert told[0].startswith("3 parts are taken as cut, as ticked")


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (Wrong(bar=2), "--bar: found bar 2, with 3 parts ticked as cut.\nAccepted: no --bar"),
        (Wrong(bent=(2,), usable=("0",)), "--bent: found bar 2, with parts ticked as cut"),
    ],
)
def test_what_goes_against_the_ticks(wrong: Wrong, told: str, gate: tuple[Job, Plan]) -> None:
    with pytest.raises(ProblemsFound) as refused:
        facts_of(*gate, wrong, TICKED)
    assert told in str(refused.value)
