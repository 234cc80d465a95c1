"""Which parts are meant by a mark, a bar and a copy: said, asked for with the words to add, or refused.

A tiny plan: bars 1 and 2 of 3000 mm hold two A of 1200 each, and bar 3 holds A and B.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.checked import read_plan
from cutplan.actions.gone_wrong import Unsaid
from cutplan.actions.ticking import Parts, tick_parts, tick_record
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.planfile import plan_digest
from cutplan.problems import ProblemsFound
from cutplan.rack.stages import Step
from cutplan.rack.ticks import Tick, ticks_of
from tests.builders import mm

pytestmark = pytest.mark.usefixtures("no_paper")

LIST = "Mark,Quantity,Section,Length\nA,5,SHS 40x40x3,1200\nB,1,SHS 40x40x3,850\n"
PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,3000,19.80,each\n"
PLAN = Path("reports/frame/plan.json")


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the list and, in ``reports/frame``, its plan."""
    folder = tmp_path_factory.mktemp("planned")
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        Path("frame.csv").write_text(LIST)
        Path("prices.csv").write_text(PRICES)
        Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
        rack = actions.find_rack(near="frame.csv")
        plan, _ = actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=rack)
    bars = [[(cut.mark, cut.copy) for cut in bar.cuts] for bar in plan.bars]
    assert bars == [[("A", 1), ("A", 2)], [("A", 3), ("A", 4)], [("A", 5), ("B", 1)]]
    return folder


@pytest.fixture
def rack(planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> actions.Rack:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(planned, tmp_path, dirs_exist_ok=True)
    return actions.find_rack(near="frame.csv", who="Ines")


def ticked(rack: actions.Rack, step: Step = Step.CUT, *marks: str, **how: object) -> list[tuple[str, int]]:
    words = {name: how.pop(name) for name in ("given_id",) if name in how}
    done = tick_parts(PLAN, rack, step, Parts(marks=marks, **how), **words)  # type: ignore[arg-type]
    return [(one.part, one.copy) for one in done.changed]


SAID: dict[str, tuple[tuple[str, ...], dict[str, object], list[tuple[str, int]]]] = {
    "the one copy there is": (("B",), {}, [("B", 1)]),
    "the one copy on the bar": (("A",), {"bar": 3}, [("A", 5)]),
    "a copy, which tells its bar": (("A",), {"copy": 4}, [("A", 4)]),
    "bar and copy": (("A",), {"bar": 1, "copy": 2}, [("A", 2)]),
    "all of a bar": ((), {"bar": 1}, [("A", 1), ("A", 2)]),
    "several marks of a bar": (("B", "A"), {"bar": 3}, [("B", 1), ("A", 5)]),
}


@pytest.mark.parametrize("case", SAID)
def test_what_is_meant(case: str, rack: actions.Rack) -> None:
    marks, how, expected = SAID[case]
    assert ticked(rack, Step.CUT, *marks, **dict(how)) == expected
    assert ticked(rack, Step.CUT, *marks, **dict(how)) == [], "said twice"
    assert ticked(rack, Step.UNCUT, *marks, **dict(how)) == expected


UNSAID: dict[str, tuple[tuple[str, ...], dict[str, object], str, tuple[object, ...], str]] = {
    "which bar": (
        ("A",), {}, "bar", (1, 2, 3),
        "MARK: found A, of which 5 are not ticked as cut, on bars 1, 2, 3.\nAccepted: also --bar 1, the bar it was on.",
    ),
    "which copy": (
        ("A",), {"bar": 2}, "copy", (3, 4),
        "MARK: found A, of which copies 3, 4 on bar 2 are not ticked as cut.\n"
        "Accepted: also --copy 3, as printed on its label.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", UNSAID)
def test_what_is_asked(case: str, rack: actions.Rack) -> None:
    marks, how, field, choices, text = UNSAID[case]
    parts = Parts(marks=marks, **how)  # type: ignore[arg-type]
    with pytest.raises(Unsaid) as unsaid:
        tick_parts(PLAN, rack, Step.CUT, parts)
    assert (unsaid.value.field, unsaid.value.choices, str(unsaid.value)) == (field, choices, text)
    assert not rack.path.exists(), "what is asked for begins no ledger"
    answered = parts.saying(field, str(choices[-1]))
    assert tick_parts(PLAN, rack, Step.CUT, answered).there == 1


REFUSED: dict[str, tuple[tuple[str, ...], dict[str, object], str]] = {
    "no part": ((), {}, "MARK: found no part named.\nAccepted: marks of parts, or --bar for all of a bar."),
    "another mark": (("C",), {}, "MARK: found C, which is not in the plan.\nAccepted: the mark of a part there: A, B."),
    "not on that bar": (
        ("B",), {"bar": 1}, "MARK: found B, which is not on bar 1.\nAccepted: the mark of a part there: A.",
    ),
    "another bar": (("A",), {"bar": 9}, "--bar: found bar 9.\nAccepted: a bar of the plan: 1, 2, 3."),
    "another copy": (
        ("A",), {"bar": 1, "copy": 5}, "--copy: found copy 5 of A.\nAccepted: a copy of A on bar 1: 1, 2.",
    ),
    "a copy of two marks": (
        ("A", "B"), {"copy": 1}, "--copy: found a copy of 2 marks.\nAccepted: one mark, of which it is a copy.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused(case: str, rack: actions.Rack) -> None:
    marks, how, text = REFUSED[case]
    with pytest.raises(ProblemsFound) as refused:
        ticked(rack, Step.CUT, *marks, **dict(how))
    assert str(refused.value) == text
    assert not rack.path.exists()


def test_of_several_the_one_that_is_left_is_meant(rack: actions.Rack) -> None:
    ticked(rack, Step.CUT, "A", copy=1)
    assert ticked(rack, Step.CUT, "A", bar=1) == [("A", 2)]
    with pytest.raises(Unsaid) as unsaid:
        ticked(rack, Step.UNCUT, "A", bar=1)
    assert unsaid.value.choices == (1, 2)


def test_a_message_that_comes_again_means_what_it_meant(rack: actions.Rack) -> None:
    """Said of the one A left on its bar; when it comes again the other one is the one left."""
    ticked(rack, Step.CUT, "A", copy=1)
    assert ticked(rack, Step.CUT, "A", bar=1, given_id="saw-1") == [("A", 2)]
    ticked(rack, Step.UNCUT, "A", copy=1)
    assert ticked(rack, Step.CUT, "A", bar=1, given_id="saw-1") == []
    assert ticked(rack, Step.CUT, bar=3, given_id="saw-2") == [("A", 5), ("B", 1)]
    assert ticked(rack, Step.CUT, bar=3, given_id="saw-2") == []


def test_a_spoiled_part_and_what_it_came_to(rack: actions.Rack) -> None:
    assert ticked(rack, Step.SPOILED, "B", measured="840 mm") == [("B", 1)]
    assert ticked(rack, Step.SPOILED, "B", measured="840 mm") == []
    assert ticked(rack, Step.SPOILED, "B") == [], "what it came to is known"
    assert ticked(rack, Step.SPOILED, "B", measured="0") == [("B", 1)], "it is scrap"
    assert ticked(rack, Step.CUT, "B", copy=1) == [("B", 1)], "it was good after all"
    with pytest.raises(Unsaid, match="found B copy 1 on bar 3, and not what it came to") as unsaid:
        ticked(rack, Step.SPOILED, "B")
    assert (unsaid.value.field, unsaid.value.choices) == ("measured", ())
    for measured, text in (("8x", "--measured: found"), ("4000", "at most 3000 mm, the length of bar 3")):
        with pytest.raises(ProblemsFound, match=text):
            ticked(rack, Step.SPOILED, "B", measured=measured)


def test_a_spoiled_part_is_good_only_where_that_is_said(rack: actions.Rack) -> None:
    """Whoever ticks the rest of a bar, or a mark for the second time, says nothing of the part that went wrong."""
    ticked(rack, Step.SPOILED, "A", copy=2, measured="1100")
    bad = Tick(bar=1, part="A", copy=2, spoiled=True, measured=mm(1100))
    assert ticked(rack, Step.CUT, bar=1) == [("A", 1)]
    assert ticked(rack, Step.CUT, bar=1) == []
    assert ticked(rack, Step.CUT, "A", bar=1) == [], "the other one is cut"
    ticked(rack, Step.UNCUT, "A", copy=1)
    assert ticked(rack, Step.CUT, "A", bar=1) == [("A", 1)]
    with pytest.raises(ProblemsFound, match="bar 1: found A copy 2 cut as wanted, which is ticked as spoiled"):
        tick_record(PLAN, rack, {2: BarFact(cut=0), 3: BarFact(cut=0)})
    with rack.open(read_only=True) as ledger:
        assert bad in ticks_of(ledger.db, plan_digest(*read_plan(PLAN)))
    ticked(rack, Step.SPOILED, "B", measured="0")
    with pytest.raises(Unsaid, match="B, ticked as spoiled: copy 1") as unsaid:
        ticked(rack, Step.CUT, "B")
    assert (unsaid.value.field, unsaid.value.choices) == ("copy", (1,))
    assert ticked(rack, Step.CUT, "B", copy=1) == [("B", 1)]
    assert tick_record(PLAN, rack, {1: BarFact(cut=0), 2: BarFact(), 3: BarFact(cut=1)}).changed != ()


def test_a_cut_record_does_what_single_ticks_do(rack: actions.Rack) -> None:
    facts = {2: BarFact(cut=1), 3: BarFact(spoiled=(Spoiled(mark="B", measured=mm(840)),))}
    done = tick_record(PLAN, rack, facts)
    bad = Tick(bar=3, part="B", copy=1, spoiled=True, measured=mm(840))
    assert [(one.part, one.copy) for one in done.changed] == [("A", 1), ("A", 2), ("A", 3), ("A", 5), ("B", 1)]
    assert done.changed[-1] == bad
    assert tick_record(PLAN, rack, facts).changed == ()
    actions.undo(rack)
    for parts in (Parts(bar=1), Parts(marks=("A",), bar=2, copy=3), Parts(marks=("A",), bar=3)):
        tick_parts(PLAN, rack, Step.CUT, parts)
    tick_parts(PLAN, rack, Step.SPOILED, Parts(marks=("B",), measured="840"))
    assert tick_record(PLAN, rack, facts).changed == (), "the same was said either way"


SHEETS = {
    "which copy": (
        {1: BarFact(spoiled=(Spoiled(mark="A"),))},
        "bar 1: found 1 of A spoiled, of which copies 1, 2 are cut.\n"
        "Accepted: no spoiled parts, and cutplan job spoiled PLAN A --copy 1 for each.",
    ),
    "bent": (
        {1: BarFact(cut=0, left=0, scrapped=True)},
        "bar 1: found a bent bar.\nAccepted: bars that are whole; cutplan replan --bent plans anew without it.",
    ),
}


@pytest.mark.parametrize("case", SHEETS)
def test_a_cut_record_that_ticks_cannot_say(case: str, rack: actions.Rack) -> None:
    facts, text = SHEETS[case]
    with pytest.raises(ProblemsFound) as refused:
        tick_record(PLAN, rack, facts)
    assert str(refused.value) == text
    assert not rack.path.exists()


def test_the_ledger_is_begun_and_that_is_said(rack: actions.Rack) -> None:
    first = tick_parts(PLAN, rack, Step.CUT, Parts(marks=("B",)))
    assert (first.begun, first.there, first.parts) == (rack.path, 1, 6)
    assert tick_parts(PLAN, rack, Step.CUT, Parts(bar=1)).begun is None


def test_of_many_the_first_are_named_and_the_others_counted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("frame.csv").write_text(LIST.replace("A,5", "A,29"))
    job = actions.read_job("frame.csv", stock="3 m")
    rack = actions.find_rack(near="frame.csv")
    actions.plan_into(job, "reports/frame", rack=rack)
    with pytest.raises(ProblemsFound) as refused:
        ticked(rack, Step.CUT, bar=99)
    assert str(refused.value).endswith("Accepted: a bar of the plan: 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 3 more.")
