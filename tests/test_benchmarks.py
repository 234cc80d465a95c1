"""The benchmark runner's own logic, without a clock: records as jobs, kerf, made-up jobs, rows, the models raced."""

from __future__ import annotations

import csv
import gzip
import json
import math
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import NO_WORK, EndState, Job, Plan, Status, Work, groups_of
from cutplan.planning import plan_job
from cutplan.sections.section import Family
from cutplan.units import CURRENCY, DEGREE, MM
from tests import builders
from tests.benchmarks import record, run, versus
from tests.benchmarks.instances import FOLDER, KERF, Instance, Mitres, find, instance_of, read_set, shop_job, shop_jobs
from tests.brute_force import least_cost
from tests.effort import some

ONE_LENGTH: dict[str, Any] = {
    "set": "tiny",
    "name": "one",
    "capacity": 10,
    "items": [[6, 2], [4, 1], [3, 1], [2, 1]],
    "optimum": 3,
}
SEVERAL: dict[str, Any] = {
    "set": "tiny",
    "name": "several",
    "stocks": [[10, 2, 11], [7, 1, 7]],
    "items": [[6, 2], [4, 2]],
    "optimum": 22,
}


def test_record_of_one_length_is_a_job() -> None:
    instance = instance_of(ONE_LENGTH)
    (offer,) = instance.job.offers
    assert (offer.length, offer.bar_price, offer.available) == (10 * MM, CURRENCY, None)
    assert [(part.length, part.quantity) for part in instance.job.parts] == [
        (6 * MM, 2),
        (4 * MM, 1),
        (3 * MM, 1),
        (2 * MM, 1),
    ]
    saw = instance.job.workshop.saw
    assert (saw.kerf, saw.end_trim, saw.safe_hold) == (0, 0, 0)
    assert (instance.lower, instance.upper) == (3 * CURRENCY, 3 * CURRENCY)
    assert least_cost(instance.job) == 3 * CURRENCY


def test_record_of_several_lengths_is_a_job() -> None:
    instance = instance_of(SEVERAL)
    assert [(o.length, o.bar_price, o.available) for o in instance.job.offers] == [
        (10 * MM, 11 * CURRENCY, 2),
        (7 * MM, 7 * CURRENCY, 1),
    ]
    assert least_cost(instance.job) == 22 * CURRENCY


def test_open_record_has_two_bounds() -> None:
    instance = instance_of(ONE_LENGTH | {"optimum": None, "lower": 2, "upper": 3})
    assert (instance.lower, instance.upper) == (2 * CURRENCY, 3 * CURRENCY)


@pytest.mark.parametrize("entry", [ONE_LENGTH, SEVERAL])
def test_kerf_leaves_the_least_cost(entry: dict[str, Any]) -> None:
    with_kerf = instance_of(entry, KERF)
    assert with_kerf.job.workshop.saw.kerf == MM // 2
    assert with_kerf.job.offers[0].length == 10 * MM - MM // 2
    assert with_kerf.job.parts[0].length == 6 * MM - MM // 2
    assert least_cost(with_kerf.job) == least_cost(instance_of(entry).job)


def written(path: Path, entries: list[dict[str, Any]]) -> Path:
    with gzip.open(path, "wt", encoding="utf-8") as file:
        file.writelines(json.dumps(entry) + "\n" for entry in entries)
    return path


def test_set_is_found_by_path_and_by_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path / "tiny.jsonl.gz", [ONE_LENGTH])
    monkeypatch.delenv(FOLDER, raising=False)
    assert find(str(path)) == path
    assert find("tiny") is None
    monkeypatch.setenv(FOLDER, str(tmp_path))
    assert find("tiny") == path
    assert find("tinier") is None


def test_every_nth_record_is_taken(tmp_path: Path) -> None:
    path = written(tmp_path / "tiny.jsonl.gz", [ONE_LENGTH | {"name": str(n)} for n in range(7)])
    assert [instance.name for instance in read_set(path, every=3)] == ["0", "3", "6"]


def test_made_up_jobs_are_the_same_each_time() -> None:
    three = list(shop_jobs(10, seed=4, count=3))
    assert three == list(shop_jobs(10, seed=4, count=5))[:3]
    assert three[0].job != three[1].job
    assert three[0].job != shop_job(10, seed=5, number=1).job
    valued = shop_job(10, seed=4, number=1, offcut_value=True).job
    assert (valued.parts, valued.offcuts) == (three[0].job.parts, three[0].job.offcuts)
    charged = shop_job(10, seed=4, number=1, cut_charges=True)
    assert charged.job.parts == three[0].job.parts
    assert charged.job.workshop.work_on("Yard").per_cut > charged.job.workshop.work_on("").per_cut > 0
    assert charged.set == "shop 10 lengths, cut charges"
    # Held here, so that figures recorded before and after a change of the maker are not compared unawares.
    assert [part.length // MM for part in three[0].job.parts[:4]] == [3723, 4394, 4910, 776]


def test_made_up_jobs_are_as_described() -> None:
    jobs = [instance.job for instance in shop_jobs(20, seed=1, count=40, offcut_value=True)]
    lengths = [part.length // MM for job in jobs for part in job.parts]
    assert 150 <= min(lengths) < 200
    assert 5_700 < max(lengths) <= 5_800
    assert all(len({part.length for part in job.parts}) == 20 for job in jobs)
    quantities = [part.quantity for job in jobs for part in job.parts]
    assert sum(quantities) / len(quantities) == pytest.approx(3, abs=0.15)
    assert {job.workshop.saw.kerf for job in jobs} == {2 * MM, 5 * MM // 2, 3 * MM, 7 * MM // 2}
    assert {len(job.offcuts) for job in jobs} == set(range(7))
    offcuts = [offcut for job in jobs for offcut in job.offcuts]
    assert all(Fraction(offcut.book_value, offcut.length) == Fraction(5 * CURRENCY, 1000 * MM) for offcut in offcuts)
    assert {offcut.end_b for offcut in offcuts} == set(EndState)


@pytest.mark.parametrize("mitred", [Mitres.ONE_ANGLE, Mitres.TWO_ANGLES, Mitres.ONE_LEG])
def test_half_the_parts_of_mitred_jobs_are_mitred(mitred: Mitres) -> None:
    """The same jobs but for that, and another section where they are mitred on one leg."""
    plain = [instance.job for instance in shop_jobs(20, seed=1, count=20)]
    jobs = [instance.job for instance in shop_jobs(20, seed=1, count=20, mitred=mitred)]
    assert [[p.length for p in job.parts] for job in jobs] == [[p.length for p in job.parts] for job in plain]
    parts = [part for job in jobs for part in job.parts]
    slanted = [part for part in parts if part.mitred]
    assert 0.4 < len(slanted) / len(parts) < 0.6
    angles = {end.angle // DEGREE for part in slanted for end in (part.end_a, part.end_b) if end.angle}
    assert angles == ({30, 45} if mitred is Mitres.TWO_ANGLES else {45})
    assert 0.55 < sum(bool(part.end_a.angle and part.end_b.angle) for part in slanted) / len(slanted) < 0.8
    assert {part.section.family for part in parts} == {Family.EA if mitred is Mitres.ONE_LEG else Family.SHS}
    assert all(len(groups_of(job)) == 1 for job in jobs)


def test_offcut_value_obeys_its_rule() -> None:
    job = shop_job(10, seed=1, number=1, offcut_value=True).job
    rate = Fraction(job.workshop.offcut_value(job.parts[0].section.family), MM)
    prices = [(Fraction(offer.bar_price or 0), offer.length) for offer in job.offers]
    for price, length in prices:
        for other, longer in prices:
            assert longer <= length or rate < (other - price) / (longer - length)
    assert all(rate <= Fraction(offcut.book_value, offcut.length) for offcut in job.offcuts)


def planned(instance: Instance) -> Plan:
    plan = plan_job(instance.job)
    assert check(instance.job, plan) == ()
    return plan


def test_plan_that_agrees_has_no_fault() -> None:
    instance = instance_of(ONE_LENGTH)
    result = record.judged(instance, planned(instance), failures=(), cpu=1.0, wall=2.0)
    assert result.faults == ()
    assert (result.cost, result.optimum, result.saving_percent) == (3 * CURRENCY, 3 * CURRENCY, 0.0)


@pytest.mark.parametrize(("published", "words"), [(2, "2.00 is published"), (4, "below the published least of 4.00")])
def test_plan_proven_at_another_value_is_a_fault(published: int, words: str) -> None:
    instance = instance_of(ONE_LENGTH | {"optimum": published})
    result = record.judged(instance, planned(instance), failures=(), cpu=1.0, wall=2.0)
    assert len(result.faults) == 1
    assert words in result.faults[0]


def test_what_the_checker_says_is_a_fault() -> None:
    instance = instance_of(ONE_LENGTH)
    result = record.judged(instance, planned(instance), failures=["bar 1 is too full"], cpu=1.0, wall=2.0)
    assert result.faults == ("the checker: bar 1 is too full",)


def results() -> list[record.Result]:
    return [
        record.Result(name="a", status=Status.RECHECKED, cost=200, bound=200, optimum=200, cpu=1.0, wall=2.0),
        record.Result(name="b", status=Status.BY_SEARCH, cost=300, bound=300, cpu=2.0, wall=2.0),
        record.Result(name="c", cost=400, bound=399, optimum=399, cpu=6.0, wall=8.0, stopped_by="time limit"),
    ]


def test_set_is_summed() -> None:
    summary = record.summed("tiny", results())
    assert (summary.instances, summary.rechecked, summary.by_search, summary.equal) == (3, 1, 1, 1)
    assert (summary.mean_cpu, summary.max_cpu, summary.mean_wall, summary.max_wall) == (3.0, 6.0, 4.0, 8.0)
    assert (summary.saving_percent, summary.stopped, summary.faults) == (0.25, 1, 0)
    assert record.summed("b", results()[1:2]).equal is None


def test_row_is_added_under_its_headings(tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    assert record.fits(path)
    row = record.row(record.summed("tiny", results()), record.surroundings(), seconds=10, note="one in 5")
    assert tuple(row) == record.HEADINGS
    record.append(path, row)
    record.append(path, row)
    assert record.fits(path)
    with path.open(encoding="utf-8", newline="") as file:
        first, second = csv.DictReader(file)
    assert first == second == row
    assert (row["largest possible saving %"], row["mean s"], row["time limit s"]) == ("0.2500", "3.000", "10")
    assert row["note"] == "one in 5; 1 stopped by the clock"


def test_csv_with_other_headings_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "out.csv"
    path.write_text("date,set\n", encoding="utf-8")
    with pytest.raises(SystemExit) as stopped:
        run.main(["tiny", "--out", str(path)])
    assert stopped.value.code == 2
    assert "a csv with other headings" in capsys.readouterr().err


def test_run_prints_and_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv(FOLDER, raising=False)
    path, out = written(tmp_path / "tiny.jsonl.gz", [ONE_LENGTH, SEVERAL]), tmp_path / "out.csv"
    assert run.main([str(path), "absent", "--with-kerf", "--out", str(out)]) == run.DONE
    printed = capsys.readouterr().out
    assert "skipped: absent is no file here" in printed
    with out.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["set"] for row in rows] == ["tiny", "tiny, kerf 0.5"]
    assert [(row["instances"], row["proven rechecked"], row["optimum equal"]) for row in rows] == [("2", "2", "2")] * 2


def test_what_shared_cuts_save_is_noted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight of 1500, 40 deep: four take 5,890.8 of 5,980 mm, and no four fit where each mitre is cut for itself."""
    frame = builders.job([builders.part("P", 8, 1500, mitres=(45, 45))], [builders.offer("A", 6000, 30)], kerf="2.5",
                         end_trim=10)  # fmt: skip
    made = [Instance(set="frames", name="one", job=frame)]
    monkeypatch.setattr(run, "shop_jobs", lambda *asked, **counted: made)
    assert run.main(["--shop", "10", "--mitred", "--apart", "--out", str(tmp_path / "out.csv")]) == run.DONE
    with (tmp_path / "out.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert row["set"] == "shop 10 lengths, half mitred"
    assert row["note"] == "seed 1; sharing cuts saves 33.33 % mean, 33.33 % largest"


def test_wrong_optimum_is_told_loudly(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path / "tiny.jsonl.gz", [ONE_LENGTH | {"optimum": 2}])
    assert run.main([str(path)]) == run.FAULT
    assert "*** FAULT *** tiny one: proven, rechecked at 3.00, but 2.00 is published" in capsys.readouterr().out


def test_job_without_a_plan_is_told_loudly(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path / "tiny.jsonl.gz", [SEVERAL | {"stocks": [[10, 1, 11]]}])
    assert run.main([str(path)]) == run.FAULT
    assert "*** FAULT *** tiny several: no plan:" in capsys.readouterr().out


def raced_jobs() -> list[Job]:
    offers = [builders.offer("P1", 600, 90), builders.offer("P2", 1200, 80, available=1)]
    parts = [builders.part("A", 3, 310), builders.part("B", 2, 240), builders.part("C", 1, 170)]
    offcuts = [builders.offcut("R1", 330, "0.5", "sawn mill")]
    plain = builders.job(parts, offers, offcuts, kerf="2.5", end_trim=10, safe_hold=120)
    valued = builders.job(
        parts, offers, offcuts, kerf="2.5", end_trim=10, safe_hold=120, keep=100, offcut_value_per_mm=1000
    )
    return [instance_of(ONE_LENGTH).job, instance_of(SEVERAL, KERF).job, plain, valued]


@pytest.mark.parametrize("number", some(range(4), 3))
def test_models_raced_come_to_the_least_cost(number: int) -> None:
    job = raced_jobs()[number]
    least = least_cost(job)
    assert least is not None
    problem = versus.problem_of(job)
    for found in (versus.assignment(problem, least, go_on=False), versus.arc_flow(problem, least)):
        assert (found.capped, found.cost) == (False, least)
    for found in (versus.assignment(problem, least - 1, go_on=False), versus.arc_flow(problem, least - 1)):
        assert (found.capped, found.cost, found.seconds) == (True, least, versus.CAP)


def test_job_with_rules_the_models_lack_is_refused() -> None:
    job = builders.job([builders.part("A", 1, 100)], [builders.offer("P1", 1000, 1)], safe_hold=120)
    with pytest.raises(ValueError, match="safe hold"):
        versus.problem_of(job)
    for part, work in ((builders.part("A", 1, 100, mitres=(45, 0)), NO_WORK), (job.parts[0], Work(per_cut=1))):
        other = builders.job([part], [builders.offer("P1", 1000, 1)], work=work)
        with pytest.raises(ValueError, match="square ends alone"):
            versus.problem_of(other)


def test_ratio_counts_capped_runs() -> None:
    def race(seconds: float, *, capped: bool) -> versus.Race:
        runs = {"assignment": versus.Run(seconds=seconds, capped=capped, cost=90 * CURRENCY)}
        return versus.Race(name="x", proven=False, cost=100 * CURRENCY, seconds=0.5, runs=runs)

    races = [race(2.0, capped=False), race(versus.CAP, capped=True)]
    ratio, capped = versus.ratios(races)["assignment"]
    assert ratio == pytest.approx(math.sqrt(2.0 * versus.CAP) / 0.5)
    assert capped == 1
    assert races[0].cheaper == {"assignment": "90.000000"}
    assert versus.note(races) == f"versus assignment {ratio:.1f} times (1 capped), dearer in 2"
