"""When a cut goes wrong: what is cut stands, the rest comes from the bars as they are, and nothing is bought in vain.

Of the small list four A of 1200 and two B of 850 come out of one bar of 6 m and one of 3 m.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.gone_wrong import Wrong
from cutplan.actions.replanning import next_folder, replan, replan_text, replan_values
from cutplan.model import Job, Plan, SourceKind
from cutplan.model.cut_facts import BarFact
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.units import MM
from cutplan.words.rest_words import CUT_WITH_THAT_KERF
from tests.builders import mm
from tests.commands import PARTS, PRICES
from tests.effort import some_rows

pytestmark = pytest.mark.usefixtures("no_paper")

Setting = tuple[Path, actions.Rack, Plan]


@pytest.fixture
def setting(parts: str, parts_planned: Plan) -> Setting:
    return Path("reports/frame/plan.json"), actions.find_rack(near=parts), parts_planned


def of_bar(plan: Plan, number: int) -> list[str]:
    return [cut.mark for bar in plan.bars if bar.number == number for cut in bar.cuts]


def last_copy(plan: Plan, number: int) -> int:
    return next(bar.cuts[-1].copy for bar in plan.bars if bar.number == number)


def wanted(plan: Plan) -> Counter[str]:
    return Counter(cut.mark for bar in plan.bars for cut in bar.cuts)


def test_one_wrong_cut_needs_no_form(setting: Setting) -> None:
    path, rack, plan = setting
    mark = of_bar(plan, 1)[-1]
    done = replan(path, rack, wrong=Wrong(spoiled=mark, measured="840", bar=1, copy=last_copy(plan, 1)))
    assert done.told[:2] == (
        "Bar 1 is taken as cut up to the spoiled part.",
        f"{mark} copy {last_copy(plan, 1)} was spoiled and came to 840.",
    )
    assert done.plan is not None
    assert wanted(done.plan) == wanted(plan) - Counter(of_bar(plan, 1)[:-1])
    pieces = {piece.state.length: piece for piece in actions.rack_show(rack)}
    assert 840 * MM in pieces
    assert {hold.job for piece in pieces.values() for hold in piece.holds} == {"frame"}
    whole = [bar for bar in done.plan.bars if bar.kind is SourceKind.OFFCUT]
    assert whole, "the length that lies there uncut is used before anything is bought"
    assert str(done.files[0]) == "reports/frame/rest-1/plan.json"
    assert actions.verify(done.files[0]) == ()
    assert actions.rack_verify(rack) == ((), 0)
    assert "Bar 1 is taken as cut up to the spoiled part." in " ".join(replan_text(done).split())


def test_the_rest_is_recorded_like_any_plan(setting: Setting) -> None:
    path, rack, plan = setting
    done = replan(path, rack, wrong=Wrong(spoiled=of_bar(plan, 1)[-1], bar=1, copy=last_copy(plan, 1), measured="0"))
    assert done.plan is not None
    recorded = actions.record(done.files[0], rack)
    assert recorded.recorded is not None
    assert recorded.recorded.missing == ()
    assert actions.rack_verify(rack) == ((), 0)
    life = [move.kind.value for move in actions.rack_history(rack, recorded.recorded.used[0]).movements]
    assert life[-1] == "used"
    with pytest.raises(ProblemsFound, match="a plan that was recorded on"):
        replan(path, rack, wrong=Wrong(bar=1))


def test_wrong_again(setting: Setting) -> None:
    path, rack, _ = setting
    first = replan(path, rack, wrong=Wrong(bent=(1, 2), usable=("0", "0")))
    assert first.plan is not None
    bar = next(first.plan.bars)
    assert bar.number == 3, "numbers go on"
    spoiled = Wrong(spoiled=bar.cuts[0].mark, bar=3, copy=bar.cuts[0].copy, measured="0")
    second = replan(first.files[0], rack, wrong=spoiled)
    assert str(second.files[0]) == "reports/frame/rest-2/plan.json"
    assert actions.rack_verify(rack) == ((), 0)


def test_no_bar_was_cut_yet(setting: Setting) -> None:
    path, rack, plan = setting
    done = replan(path, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert done.plan is not None
    assert wanted(done.plan) == wanted(plan)
    assert done.told == (
        "No bar is taken as cut.",
        "Bar 1 cannot be used.",
        "No delivery is noted, so not cut and taken as fetched: 1 x 3 m SHS 40x40x3, black (bar 2).",
        "As they were, with their labels: bar 2.",
        "New: bar 3.",
    )
    bought = [bar for bar in done.plan.bars if bar.kind is SourceKind.BOUGHT]
    assert len(bought) == 1, "one length more, for the one that is bent"


@pytest.mark.usefixtures("paper")
def test_bars_that_stay_keep_cuts_numbers_and_labels(setting: Setting, monkeypatch: pytest.MonkeyPatch) -> None:
    """Bar 1, which is bent, comes from a new length; bar 2 stays, under the mark that its whole length has by now."""
    from cutplan.reports.paper import label_sheets, labels

    printed: list[int] = []
    labels_of = labels.labels_of

    def noted(job: Job, plan: Plan, fingerprint: str, wanted: labels.Wanted) -> Iterator[label_sheets.Label]:
        found = list(labels_of(job, plan, fingerprint, wanted))
        printed.append(len(found))
        return iter(found)

    monkeypatch.setattr(labels, "labels_of", noted)
    path, rack, plan = setting
    done = replan(path, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert done.job is not None
    assert done.plan is not None
    old = next(bar for bar in plan.bars if bar.number == 2)
    stays, new = done.plan.bars
    assert (stays.number, stays.cuts) == (2, old.cuts)
    assert (new.number, of_bar(done.plan, 3)) == (3, of_bar(plan, 1))
    assert [cut.copy for cut in new.cuts] == [cut.copy + len(new.cuts) for cut in plan.groups[0].bars[0].cuts]
    all_labels = len(stays.cuts) + 1 + len(new.cuts) + 1  # each bar has a left over to keep
    assert printed == [len(new.cuts) + 1], "of changed bars alone"
    assert actions.print_labels(done.files[0]).count == all_labels
    assert printed == [len(new.cuts) + 1, all_labels, all_labels], "counted, then printed"
    assert actions.verify(done.files[0]) == ()
    actions.record(done.files[0], rack)
    assert {stays.drop.mark, new.drop.mark} <= {piece.mark for piece in actions.rack_show(rack)}
    assert actions.rack_verify(rack) == ((), 0)


def test_with_another_kerf_no_bar_stays(setting: Setting) -> None:
    path, rack, _ = setting
    done = replan(path, rack, wrong=Wrong(bent=(1,), usable=("0",)), kerf="3")
    assert done.job is not None
    assert done.job.earlier is not None
    assert (done.job.earlier.bars, done.job.earlier.stay) == (2, ())


def test_what_is_reported_of_a_rest_counts_bars_in_its_own_order(setting: Setting) -> None:
    """Its bars are 2 and 3: with bar 3 at the saw, bar 2 is cut; with bar 2, bar 3 is not."""
    path, rack, _ = setting
    rest = replan(path, rack, wrong=Wrong(bent=(1,), usable=("0",))).files[0]
    with pytest.raises(ProblemsFound, match="a bar of the plan, 2, 3"):
        replan(rest, rack, wrong=Wrong(bar=1))
    done = replan(rest, rack, wrong=Wrong(bar=2))
    assert done.plan is not None
    assert [bar.number for bar in done.plan.bars] == [3]


def test_what_came_is_known_once_a_delivery_was_noted(setting: Setting) -> None:
    path, rack, _ = setting
    actions.receive(path, rack)
    done = replan(path, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert not [line for line in done.told if "fetched" in line]


def test_after_recording_what_was_cut(setting: Setting) -> None:
    from cutplan.model.cut_facts import BarFact

    path, rack, plan = setting
    actions.record(path, rack, facts={2: BarFact(cut=0)})
    done = replan(path, rack)
    assert done.plan is not None
    assert wanted(done.plan) == Counter(of_bar(plan, 2))
    assert all(bar.kind is SourceKind.OFFCUT for bar in done.plan.bars), "nothing new is bought"
    assert replan_values(done)["plan"]["parts"][0]["mark"] in "AB"


def test_nothing_is_left(setting: Setting) -> None:
    path, rack, _ = setting
    actions.record(path, rack)
    done = replan(path, rack)
    assert (done.plan, replan_values(done)["plan"]) == (None, None)
    assert replan_text(done).endswith("Nothing is left to cut.")


def test_another_kerf_and_a_changed_list(setting: Setting, tmp_path: Path) -> None:
    path, rack, plan = setting
    changed = PARTS.replace("B,2", "B,1") + "C,1,SHS 40x40x3,300\n"
    (tmp_path / "frame.csv").write_text(changed)
    done = replan(path, rack, wrong=Wrong(bar=1), kerf="3.5", parts="frame.csv")
    assert done.job is not None
    assert done.plan is not None
    assert done.told[:2] == ("C was added.", "B: 1 wanted, not 2.")
    assert done.job.workshop.saw.kerf == 3_500_000
    assert wanted(done.plan)["C"] == 1
    made = Counter(of_bar(plan, 1))
    assert wanted(done.plan)["A"] + made["A"] == 4


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("B,2,SHS 40x40x3,840,,,", "length"),
        ("B,2,SHS 40x40x2,850,,,", "section"),
        ("B,2,SHS 40x40x3,850,45,,", "cut A, depth at a mitre"),
        ("B,2,SHS 40x40x3,850,,S355,", "grade"),
        ('B,2,SHS 40x40x3,850,,,"M12 clear, face 2: 100"', "holes"),
    ],
)
def test_a_part_that_became_another(line: str, what: str, setting: Setting, tmp_path: Path) -> None:
    """A piece that is cut already is not what the list now asks for: it may not count as made."""
    path, rack, _ = setting
    head, a, _ = PARTS.splitlines()
    (tmp_path / "frame.csv").write_text(f"{head},Cut A,Grade,Holes\n{a},,,\n{line}\n")
    more = "Yard,SHS 40x40x2,6000,30.00,each,\nYard,SHS 40x40x3,6000,40.00,each,S355\n"
    (tmp_path / "prices.csv").write_text(PRICES.replace("Per\n", "Per,Grade\n").replace("each\n", "each,\n") + more)
    with pytest.raises(ProblemsFound, match=f"B with another .*{what.split(',')[0]}.* than the plan has"):
        replan(path, rack, wrong=Wrong(bar=1), parts="frame.csv")
    assert not rack.path.exists(), "nothing was written"


def test_a_part_for_another_assembly_is_the_same_piece(setting: Setting, tmp_path: Path) -> None:
    path, rack, plan = setting
    head, a, b = PARTS.splitlines()
    (tmp_path / "frame.csv").write_text(f"{head},Note,Assembly\n{a},deburr,Gate\n{b},,Gate\n")
    done = replan(path, rack, wrong=Wrong(bar=1), parts="frame.csv")
    assert done.plan is not None
    assert wanted(done.plan) == wanted(plan) - Counter(of_bar(plan, 1))


def test_touching_a_bar_that_is_paid_for_earns_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three lengths of 6 m lie there whole, three parts of 500 mm are left: one bar is cut, two stay as they are."""
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text('[offcut_value_per_m]\nSHS = 2\n[files]\nprices = "prices.csv"\n')
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\n")
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nL,3,SHS 40x40x3,5000\nS,3,SHS 40x40x3,500\n")
    rack = actions.find_rack(near="gate.csv")
    actions.plan_into(actions.read_job("gate.csv"), "out", rack=rack)
    Path("short.csv").write_text("Mark,Quantity,Section,Length\nS,3,SHS 40x40x3,500\n")
    rack_before = actions.receive("out/plan.json", rack).pieces
    assert [(piece.quantity, piece.state.length) for piece in rack_before] == [(3, 6000 * MM)]
    done = replan("out/plan.json", rack, facts={n: BarFact(cut=0) for n in (1, 2, 3)}, parts="short.csv")
    assert done.plan is not None
    (bar,) = done.plan.bars
    assert bar.kind is SourceKind.OFFCUT, "an uncut length that lies there, not one that is bought"
    assert sorted(cut.mark for cut in bar.cuts) == ["S", "S", "S"]


def test_a_mark_of_the_rack_is_no_name_of_an_offer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An offcut with the mark P2 is used up; the one length on sale, in row 2 of the prices, can still be bought."""
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,6000,35.40,each,1\n")
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nL,1,SHS 40x40x3,2900\n")
    rack = actions.find_rack(near="gate.csv")
    actions.rack_add(rack, "SHS 40x40x3", "3000", mark="P2")
    job = actions.read_job("gate.csv", prices="prices.csv", rack=rack.path)
    plan, _ = actions.plan_into(job, "out", rack=rack)
    assert [bar.source for bar in plan.bars] == ["P2"]
    done = replan("out/plan.json", rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert done.plan is not None
    assert [(bar.kind, bar.source) for bar in done.plan.bars] == [(SourceKind.BOUGHT, "#2")]


def test_nothing_is_said_of_what_was_cut(setting: Setting) -> None:
    path, rack, _ = setting
    with pytest.raises(ProblemsFound, match="found nothing said of what was cut"):
        replan(path, rack)
    with pytest.raises(ProblemsFound, match="found bar 7"):
        replan(path, rack, wrong=Wrong(bent=(7,)))
    assert not Path("reports/frame/rest-1").exists()


@pytest.fixture
def runged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Setting:
    """Nine rungs R of 1100 out of two bars of 6 m: four, then five."""
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\n")
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nR,9,SHS 40x40x3,1100\n")
    rack = actions.find_rack(near="gate.csv")
    plan, _ = actions.plan_into(actions.read_job("gate.csv"), "out", rack=rack)
    assert [len(bar.cuts) for bar in plan.bars] == [4, 5]
    return Path("out/plan.json"), rack, plan


@pytest.mark.parametrize(
    ("copy", "good", "left"), some_rows([(5, 4, "4887.5"), (6, 5, "3785"), (9, 8, "477.5")], (9, 8, "477.5"))
)
def test_what_is_left_hangs_on_the_copy(copy: int, good: int, left: str, runged: Setting) -> None:
    """Trim 10, each R 1100 and a kerf of 2.5: what is behind the spoiled copy is still on the bar."""
    path, rack, _ = runged
    done = replan(path, rack, wrong=Wrong(spoiled="R", bar=2, copy=copy, measured="0"))
    assert done.recorded is not None
    assert dict(done.recorded.made) == {"R": good}
    assert mm(left) in {piece.state.length for piece in actions.rack_show(rack)}
    assert done.plan is not None
    assert wanted(done.plan) == {"R": 9 - good}


def test_typed_figures_have_the_decimal_sign_of_the_workshop(runged: Setting) -> None:
    """A ninth R that is 12.5 short leaves the 477.5 behind it and those 12.5, less 1 at each of five cuts."""
    with Path("workshop.toml").open("a") as file:
        file.write('[workshop]\ndecimal_sign = ","\n')
    Path("prices.csv").write_text("Merchant;Section;Length;Price;Per\nYard;SHS 40x40x3;6000;35,40;each\n")
    rack = actions.find_rack(near="gate.csv")
    actions.plan_into(actions.read_job("gate.csv"), "comma", rack=rack)
    wrong = Wrong(spoiled="R", bar=2, copy=9, measured="1087,5")
    done = replan(Path("comma/plan.json"), rack, wrong=wrong, kerf="3,5")
    assert {piece.state.length for piece in actions.rack_show(rack)} >= {mm("1087.5"), mm(485)}
    assert done.job is not None
    assert done.job.workshop.saw.kerf == mm("3.5")
    with pytest.raises(ProblemsFound, match="--measured"):
        replan(Path("comma/plan.json"), rack, wrong=replace(wrong, measured="1.087.5"))


@pytest.mark.parametrize(
    ("kerf", "left", "told"),
    [
        # Behind the four of bar 1 lie 6000 - 10 - 4 x 1102.5, behind the first of bar 2 6000 - 10 - 1102.5.
        ("3.5", ("1576", "4886.5"), True),
        ("2.5", ("1580", "4887.5"), False),
        ("1.5", ("1580", "4887.5"), False),  # it may be a new blade
    ],
)
def test_a_saw_that_takes_more_than_planned_took_it_from_the_bars_that_are_cut(
    kerf: str, left: tuple[str, str], told: bool, runged: Setting
) -> None:
    path, rack, _ = runged
    done = replan(path, rack, wrong=Wrong(spoiled="R", bar=2, copy=5, measured="0"), kerf=kerf)
    assert {piece.state.length for piece in actions.rack_show(rack)} == set(map(mm, left))
    assert (CUT_WITH_THAT_KERF in done.told) == told
    assert actions.rack_verify(rack)[0] == ()


def test_what_was_measured_of_a_bar_is_left_of_it_whatever_the_kerf(runged: Setting) -> None:
    path, rack, _ = runged
    replan(path, rack, facts={1: BarFact(left=mm(1571)), 2: BarFact(cut=0)}, kerf="3.5")
    assert {piece.state.length for piece in actions.rack_show(rack)} == {mm(1571), mm(6000)}


def test_bad_kerf(setting: Setting) -> None:
    path, rack, _ = setting
    with pytest.raises(ProblemsFound, match="--kerf"):
        replan(path, rack, wrong=Wrong(bar=1), kerf="wide")
    with pytest.raises(ProblemsFound, match="a kerf with which"):
        replan(path, rack, wrong=Wrong(bar=1), kerf="11 mm")


def test_what_was_cut_is_recorded_even_when_the_rest_cannot_be(parts: str, tmp_path: Path) -> None:
    prices = "Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,7000,35.40,each,1\n"
    (tmp_path / "prices.csv").write_text(prices)
    rack = actions.find_rack(near=parts)
    actions.plan_into(actions.read_job(parts), "out", rack=rack)
    with pytest.raises(NoPlan):
        replan("out/plan.json", rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert actions.rack_verify(rack) == ((), 0)
    assert actions.rack_history(rack, "A1").movements[-1].split.scrap == 7000 * MM


def test_folders_of_the_rest() -> None:
    assert next_folder(Path("reports/gate")) == Path("reports/gate/rest-1")
    assert next_folder(Path("reports/gate/rest-1")) == Path("reports/gate/rest-2")
    assert next_folder(Path("reports/rest-room")) == Path("reports/rest-room/rest-1")


def test_the_rest_is_recorded_though_it_is_cut_as_the_plan_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One bar gives one part and leaves scrap; it was not cut, and the rest is the same part of the same bar again."""
    monkeypatch.chdir(tmp_path)
    Path("post.csv").write_text("Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,2900\n")
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,3000,19.80,each\n")
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    rack = actions.find_rack(near="post.csv")
    plan, files = actions.plan_into(actions.read_job("post.csv"), "reports/post", rack=rack)
    for _ in range(3):
        again = actions.replan(files[0], rack, facts={bar.number: BarFact(cut=0) for bar in plan.bars})
        assert again.plan is not None
        plan, files = again.plan, again.files
    done = actions.record(files[0], rack)
    assert done.before is None
    assert done.recorded is not None
    assert dict(done.recorded.made) == {"A": 1}
