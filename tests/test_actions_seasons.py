"""Jobs one after another from a rack of their own: sums by hand, and what the workshop's ledger makes of the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions import own_rack
from cutplan.actions.seasons import DrawTask
from cutplan.model import Job, Plan
from cutplan.planning import cluster
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.words.season_words import season_text, season_values
from tests.dask_processes import Running, running

__all__ = ["running"]

HEAD = "Mark,Quantity,Section,Length\n"
SHOP = """
[workshop]
currency = "EUR"
[saw]
kerf = "2 mm"
end_trim = "10 mm"
[keep]
SHS = "300 mm"
[files]
prices = "prices.csv"
ledger = "rack.db"
"""


@pytest.fixture
def lists(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Two parts of 900 mm, then one: a 3 m bar gives all three, 10 + 3 x 902 = 2,716 mm."""
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text(SHOP)
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,3000,10,each\n")
    Path("first.csv").write_text(f"{HEAD}A,2,SHS 40x40x3,900\n")
    Path("second.csv").write_text(f"{HEAD}B,1,SHS 40x40x3,900\n")
    return [Path("first.csv"), Path("second.csv")]


def test_what_the_first_leaves_serves_the_second(lists: list[Path]) -> None:
    """By hand: one bar for both, 10.00, and 284 mm left, too short to keep; a keep length of 2 m makes it two."""
    as_it_is, longer = actions.season(lists, ["keep=2 m"]).tried
    (one,), (two,) = as_it_is.draws, longer.draws
    assert (one.money, one.kept, one.used_again, one.pieces, one.over_time) == (10_000_000, 1, 1, 0, (1, 0))
    assert (two.money, two.kept, two.used_again, two.pieces) == (20_000_000, 1, 0, 1)
    assert two.length == (3000 - 10 - 902) * 1_000_000  # of the second bar; the first left 1,186 mm, scrap
    assert (sum(two.ages), len(two.ages)) == (0, 1)
    assert longer.lines == '[keep]\nSHS = "2 m"'


def test_what_a_metre_that_is_kept_is_worth(lists: list[Path]) -> None:
    """By hand: 1,186 mm of the first bar spared the second, 10.00; what that leaves is too short to keep."""
    season = actions.season(lists, ["offcuts.keep_at_most=0"])
    as_it_is, none = (tried.draws[0] for tried in season.tried)
    assert as_it_is.first_kept == (3000 - 10 - 2 * 902) * 1_000_000
    assert (none.first_kept, none.kept, none.money) == (0, 0, 20_000_000)
    assert "\n  as it is: 8.43\n" in season_text(season)
    assert "\nAll 4 plans are proven the cheapest.\n" in season_text(season)


def test_what_is_kept_of_a_piece_of_the_rack_was_kept_before(lists: list[Path]) -> None:
    """Of the 1,186 mm that the first leaves, the second uses 402 and keeps 784."""
    lists[1].write_text(f"{HEAD}B,1,SHS 40x40x3,400\n")
    (draw,) = actions.season(lists).tried[0].draws
    assert [each.length for each in draw.left_overs] == [1186_000_000, 784_000_000]
    assert draw.first_kept == 1186_000_000


@pytest.mark.parametrize(("listed", "book", "paid"), [(True, "", 10), (True, "1", 0), (False, "", 10)])
def test_the_lines_of_a_row_make_the_workshop_of_that_row(
    lists: list[Path], listed: bool, book: str, paid: int
) -> None:
    """A piece of 1,190 mm gives a part of 900 mm and scrap. With no book value of its own it is worth the offcut value,
    3.93, and a new bar of 10.00 is the cheaper one, since its left over is worth 6.89; at a book value of 1 it is cut.
    """
    shop = SHOP + 'rack = "rack.csv"\n' if listed else SHOP
    Path("workshop.toml").write_text(shop)
    if listed:
        Path("rack.csv").write_text(f"Mark,Section,Length,Book value\nR1,SHS 40x40x3,1190,{book}\n")
    else:
        actions.rack_add(actions.find_rack(near=lists[0]), "SHS 40x40x3", "1190 mm")
    (_, row) = actions.season([lists[1]], ["offcut_value_per_m=3.3; offcuts.keep_at_most=2"]).tried
    assert row.draws[0].money == paid * 1_000_000
    Path("workshop.toml").write_text(f"{shop}\n{row.lines}\n")
    (pasted,) = actions.season([lists[1]]).tried
    assert pasted.draws == row.draws


def test_dated_jobs_are_cut_in_the_order_of_their_days(lists: list[Path]) -> None:
    """By hand: the second, 27 days after the first, uses what that left; kept from 2 m on alone, 2,088 mm of the second
    lie there for ten days when the third is cut.
    """
    names = ("2031-05-05 first.csv", "2031-06-01_second.csv", "2031-06-11 third.csv")
    dated = [path.rename(name) for path, name in zip(lists, names, strict=False)]
    dated.append(Path(names[2]))
    dated[2].write_text(f"{HEAD}C,1,SHS 40x40x3,2500\n")
    season = actions.season([dated[2], *dated[:2]], ["keep=2 m"])
    as_it_is, longer = (tried.draws[0] for tried in season.tried)
    assert as_it_is.days == longer.days == (date(2031, 5, 5), date(2031, 6, 1), date(2031, 6, 11))
    assert (as_it_is.waits, as_it_is.days_waited) == ((1,), (27,))
    assert (longer.ages, longer.days_lain) == ((1,), (10,))
    text = season_text(season)
    assert text.startswith("3 jobs from 2031-05-05 to 2031-06-11, one after another")
    values = season_values(season)
    assert values["days"] == ["2031-05-05", "2031-06-01", "2031-06-11"]
    assert values["rows"][1]["draws"][0]["waiting_days"] == 10


def test_drawn_jobs_have_no_days(lists: list[Path]) -> None:
    (dated,) = [lists[0].rename("2031-05-05 first.csv")]
    season = actions.season([dated], jobs=2)
    assert season.days == ()
    assert season_values(season)["rows"][0]["draws"][0]["waiting_days"] is None


@pytest.mark.parametrize(
    ("names", "wrong", "found"),
    [
        (["2031-05-05 a.csv", "b.csv"], ["b.csv"], 'no day at the beginning of its name, where "2031-05-05 a.csv"'),
        (["2031-02-30 a.csv", "2031-05-05.csv"], ["2031-02-30 a.csv"], "2031-02-30"),
        (["2031-13-01.csv", "2031-05-05.csv", "c.csv"], ["2031-13-01.csv", "c.csv"], "2031-13-01"),
    ],
)
def test_days_that_are_refused(names: list[str], wrong: list[str], found: str, lists: list[Path]) -> None:
    for name in names:
        Path(name).write_text(lists[0].read_text())
    with pytest.raises(ProblemsFound) as refused:
        actions.season(names)
    assert [problem.where for problem in refused.value.problems] == wrong
    assert refused.value.problems[0].found.startswith(found)
    assert {problem.code for problem in refused.value.problems} == {"season.day"}


def test_it_is_what_the_ledger_makes_of_them(lists: list[Path]) -> None:
    """Planned and recorded with the commands, one list after the other."""
    (tried,) = actions.season(lists).tried
    paid = []
    for each in lists:
        job = actions.read_job(each)
        rack = actions.find_rack(near=each)
        plan, _ = actions.plan_into(job, Path("out") / each.stem, rack=rack)
        actions.record(Path("out") / each.stem / "plan.json", rack)
        paid.append(plan.cost)
    (draw,) = tried.draws
    assert draw.money == sum(paid)
    assert draw.pieces == len(actions.rack_show(actions.find_rack(near=lists[0])))


def test_the_rack_of_the_workshop_begins_it_and_stays_as_it_is(lists: list[Path]) -> None:
    rack = actions.find_rack(near=lists[0])
    actions.rack_add(rack, "SHS 40x40x3", "2000 mm")
    before = Path("rack.db").read_bytes()
    (tried,) = actions.season(lists).tried
    assert tried.draws[0].money == 10_000_000  # 10 + 2 x 902 = 1,814 of the 2,000 mm, and a bar for the second
    assert Path("rack.db").read_bytes() == before


def test_draws_are_the_same_for_every_key_and_each_seed(lists: list[Path]) -> None:
    season = actions.season(lists, ["saw.kerf=3 mm ;keep=300 mm;"], jobs=3, draws=2, seed=4)
    again = actions.season(lists, jobs=3, draws=2, seed=4)
    assert season.tried[0] == again.tried[0]
    assert [len(each.draws) for each in season.tried] == [2, 2]
    values = season_values(season)
    assert [row["keys"] for row in values["rows"]] == ["as it is", "saw.kerf=3 mm; keep=300 mm"]
    assert values["rows"][0]["draws"][0]["to_pay"] == f"{(season.tried[0].draws[0].money or 0) // 1_000_000}"
    assert "Too few jobs to advise on" in season_text(season)


@pytest.mark.parametrize("text", ["keep=2 m; keep.SHS=700 mm", "keep.SHS=700 mm;keep=2 m"])
def test_a_family_may_have_a_value_of_its_own_beside_that_of_all(text: str, lists: list[Path]) -> None:
    with Path("first.csv").open("a") as file:
        file.write("F,1,FL 50x6,900\n")
    with Path("prices.csv").open("a") as file:
        file.write("Yard,FL 50x6,3000,8,each\n")
    _, tried = actions.season(lists, [text], processes=0).tried
    assert sorted(tried.lines.splitlines()) == ['FL = "2 m"', 'SHS = "700 mm"', "[keep]"]


@pytest.mark.parametrize(
    ("text", "code", "found"),
    [
        ("kep=9", "season.key", "kep=9"),
        ("keep", "season.key", "keep"),
        ("keep=", "season.key", "keep="),
        (";", "season.key", ";"),
        ("merchant.delivery=3", "season.key", "merchant.delivery=3"),  # of which merchant?
        ("files.prices=other.csv", "season.key", "files.prices=other.csv"),
        ("keep.SHS=1 m; keep.SHS=2 m", "season.key", "keep.SHS=2 m"),
        ("keep=1 m; keep.SHS=3 m; keep=2 m", "season.key", "keep=2 m"),
        ("keep=9 furlongs", "length.unreadable", "9 furlongs"),
        ("offcuts.keep_at_most=many", "number.unreadable", "many"),
        ("offcut_value_per_m=4", "workshop.offcut_value", "4 a metre"),  # the bar costs 3.33 a metre
    ],
)
def test_keys_that_are_refused(lists: list[Path], text: str, code: str, found: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        actions.season(lists, [text])
    (problem,) = refused.value.problems
    assert problem.where.startswith(f'--try "{text}"')
    assert problem.found.startswith(found)
    assert problem.code == code


def test_a_job_without_a_plan_is_named(lists: list[Path]) -> None:
    lists[1].write_text(f"{HEAD}B,2,SHS 40x40x3,2600\n")
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,3000,10,each,1\n")
    with pytest.raises(NoPlan, match=r"^second: "):
        actions.season(lists)


@pytest.mark.thorough
def test_draws_side_by_side_come_to_the_same(lists: list[Path]) -> None:
    told: list[str] = []
    one_by_one, beside = (
        actions.season(lists, ["keep=2 m"], jobs=3, draws=2, processes=processes, progress=told.append)
        for processes in (0, 2)
    )
    assert beside == one_by_one
    assert sorted(told[: len(told) // 2]) == sorted(told[len(told) // 2 :])
    assert "keep=2 m, draw 2 of 2: 3 of 3 jobs" in told


@pytest.mark.thorough
def test_draws_on_a_cluster_come_to_the_same(running: Running, lists: list[Path]) -> None:
    """Whatever becomes of a worker: the first to answer is killed."""
    here = actions.season(lists, ["keep=2 m"], jobs=3, draws=3, processes=0)
    first = running.hire()
    running.hire()
    told: list[str] = []

    def heard(text: str) -> None:
        told.append(text)
        first.kill()

    there = actions.season(lists, ["keep=2 m"], jobs=3, draws=3, cluster=running.address, progress=heard)
    assert there == here
    assert [text for text in told if text.startswith("6 of 6: ")]
    lists[1].write_text(f"{HEAD}B,2,SHS 40x40x3,2600\n")
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,3000,10,each,1\n")
    with pytest.raises(NoPlan, match=r"^second: "):
        actions.season(lists, cluster=running.address)


@pytest.mark.parametrize("lost", [[0], [0, 1]])
def test_what_is_lost_on_a_cluster_is_drawn_here(
    lost: list[int], lists: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def there(tasks: Sequence[DrawTask], address: str, say: object, answered: Callable[[int, Any], None]) -> str:
        for place, task in enumerate(tasks):
            answered(place, cluster.Lost("gone") if place in lost else task.drawn(lambda text: None, processes=0))
        return ""

    monkeypatch.setattr(cluster, "on_cluster", there)
    assert actions.season(lists, ["keep=2 m"], cluster="nowhere") == actions.season(lists, ["keep=2 m"], processes=0)


@pytest.mark.thorough
def test_a_job_without_a_plan_is_told_from_another_process(lists: list[Path]) -> None:
    lists[1].write_text(f"{HEAD}B,2,SHS 40x40x3,2600\n")
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,3000,10,each,1\n")
    told = []
    for processes in (0, 2):
        with pytest.raises(NoPlan) as none:
            actions.season(lists, ["keep=2 m"], processes=processes)
        told.append((str(none.value), none.value.code))
    assert told[0] == told[1]
    assert told[0][0].startswith("second: ")


def test_stopped_at_one_job_no_other_is_begun(lists: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that the user stops hands out its best plan, which says so; a season is no better for half of it."""
    planned = []

    def stopped(job: Job, **how: object) -> Plan:
        planned.append(job.name)
        return replace(actions.plan(job), stopped_by="user")

    monkeypatch.setattr(own_rack, "plan", stopped)
    with pytest.raises(KeyboardInterrupt):
        actions.season(lists, processes=0)
    assert planned == ["first"]
