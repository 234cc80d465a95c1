"""Comparing, with values: the job as it is, and what each change costs against it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Merchant, Status
from cutplan.problems import ProblemsFound
from cutplan.units import CURRENCY
from tests import builders


def test_the_first_row_is_the_job_as_it_is(small_job: Job) -> None:
    as_it_is, thinner = actions.compare(small_job, kerf="1 mm")
    assert as_it_is.words == "as it is"
    assert "1 mm" in thinner.words


def test_a_thinner_kerf_costs_less_where_it_saves_a_bar() -> None:
    """Five parts of 1,195 mm take 5,975 mm and four cuts between them: 5,985 mm at 2.5 mm each, 5,979 mm at 1 mm.

    A bar of 6 m gives 5,980 mm between its trims, so that the thick kerf wants a bar of 3 m as well.
    """
    five = builders.job(
        [builders.part("A", 5, 1195)],
        [builders.offer("P2", 6000, 35), builders.offer("P3", 3000, 20)],
        kerf="2.5",
        end_trim=10,
    )
    as_it_is, thinner, longer = actions.compare(five, kerf="1 mm", keep="5000 mm")
    assert [row.words for row in (as_it_is, thinner)] == ["as it is", "a kerf of 1 mm"]
    assert [row.money for row in (as_it_is, thinner, longer)] == [55 * CURRENCY, 35 * CURRENCY, 55 * CURRENCY]
    assert (thinner.least, thinner.most) == (-20 * CURRENCY, -20 * CURRENCY)


def test_what_a_carry_costs_and_what_fetching_saves() -> None:
    """Two of 3.9 m of 8 m: for a trailer of 4 m it is cut at 2, else it is delivered for 38 and needs no cut."""
    terms = Merchant(
        name="Yard", delivers=True, delivery=38 * CURRENCY, cuts_to_carry=True, carry_cut_charge=2 * CURRENCY
    )
    made = builders.job(
        [builders.part("A", 2, 3900)], [builders.offer("P2", 8000, 64)], longest_carry=4000, merchants=[terms]
    )
    rows = actions.compare(made, carry=["8 m", "3 m"], fetched=["yard"], delivered=["Yard"])
    assert [(row.words, row.money) for row in rows] == [
        ("as it is", 66 * CURRENCY),
        ("nothing longer than 8 m carried", 64 * CURRENCY),
        ("nothing longer than 3 m carried", 102 * CURRENCY),
        ("all from Yard delivered", 102 * CURRENCY),
        ("all from Yard fetched", 66 * CURRENCY),
    ]


def test_a_second_kind_of_length_for_next_time(tmp_path: Path) -> None:
    """By hand: four of 2.4 m are two to a length of 6 m at 30.00, or to one of 5 m at 23.00, of which three can be had.

    60.00 beside 46.00; with one of 5 m alone 23.00 and 30.00. A bar loses 10 mm at START and two kerfs of 2.5: of 6 m
    1185 mm are left at 5.00 a metre, of 5 m 185 mm at 4.60, each twice: 11.85 and 1.702.
    """
    (tmp_path / "list.csv").write_text("Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,2400\n")
    head = "Merchant,Section,Length,Price,Per,Available\n"
    (tmp_path / "prices.csv").write_text(head + "Yard,SHS 40x40x3,6 m,30,each,\n")
    job = actions.read_job(tmp_path / "list.csv", prices=tmp_path / "prices.csv")
    found = {}
    for available in (3, 1):
        (tmp_path / "five.csv").write_text(f"{head}Yard,SHS 40x40x3,5 m,23,each,{available}\n")
        rows = actions.compare(job, also=tmp_path / "five.csv")
        found[available] = [row.money and row.money // CURRENCY for row in rows]
    assert found == {3: [60, 46], 1: [60, 53]}
    (tmp_path / "five.csv").write_text(f"{head}Yard,SHS 40x40x3,5 m,23,each,3\n")
    lines = actions.comparison(job, actions.compare(job, also=tmp_path / "five.csv"), by_section=True).splitlines()
    title = "  SHS 40x40x3 to EN 10219-2, any grade, black"
    assert [line for line in lines if line.startswith(title)] == [
        f"{title}: 2 x 6 m; what is left of them adds 11.85",
        f"{title}: 2 x 5 m and 1 unused; what is left of them adds 1.70",
    ]


def test_all_that_cannot_be_understood_is_told_at_once(small_job: Job) -> None:
    shop = small_job.workshop
    apart = replace(small_job, workshop=replace(shop, saw=replace(shop.saw, share_mitres=False)))
    with pytest.raises(ProblemsFound) as found:
        actions.compare(apart, kerf="thin", keep="long", carry=["far", "off"], fetched=["No"], no_shared_mitres=True)
    wanted = ["--kerf", "--keep", "--carry", "--carry", "--fetched", "--no-shared-mitres"]
    assert [problem.where for problem in found.value.problems] == wanted


def test_quotes_alone_and_combined(tmp_path: Path) -> None:
    """By hand: 2 of 2.9 m of a tube and 1 of 0.9 m of a flat take one length of 6 m of each.

    Yard: 35 and 20, fetched. Mill: 30 and 24, delivered for 8. Dock: the flat alone at 11.
    Cheapest of each: Yard 55, Mill 62 (54 where it is fetched), Yard and Mill 50 is 30 + 20 with 8 for delivery: 58, so
    55 from Yard alone; Yard and Dock 46; Mill and Dock 49; all three 46.
    """
    (tmp_path / "list.csv").write_text("Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,2900\nB,1,flat 50x6,900\n")
    (tmp_path / "workshop.toml").write_text('[[merchant]]\nname = "Mill"\ndelivers = true\ndelivery = 8\n')
    head = "Merchant,Section,Length,Price,Per\n"
    tube, flat = "{},SHS 40x40x3,6 m,{},each\n", "{},flat 50x6,6 m,{},each\n"
    (tmp_path / "yard.csv").write_text(head + tube.format("Yard", 35) + flat.format("Yard", 20))
    (tmp_path / "mill.csv").write_text(head + tube.format("Mill", 30) + flat.format("Mill", 24))
    (tmp_path / "dock.csv").write_text(head + tube.format("Dock", "") + flat.format("Dock", 11))
    quotes = [tmp_path / f"{name}.csv" for name in ("yard", "mill", "dock")]
    job = actions.read_job(tmp_path / "list.csv", quotes=quotes)
    assert [offer.id for offer in job.offers] == ["1#2", "1#3", "2#2", "2#3", "3#3"], "what has no price is no quote"
    rows = actions.compare(job, quoted=True)
    assert [(row.words, None if row.money is None else row.money // CURRENCY) for row in rows] == [
        ("all quotes together", 46),
        ("Yard alone", 55),
        ("Mill alone", 62),
        ("Mill alone, fetched", 54),
        ("Mill alone, delivered", 62),
        ("Dock alone", None),
        ("Yard and Mill", 55),
        ("Yard and Dock", 46),
        ("Mill and Dock", 49),
    ]
    assert {row.status for row in rows if row.money} == {Status.RECHECKED}


def test_a_quote_that_cannot_be_read_is_placed(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,2900\n")
    (tmp_path / "yard.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6 m,dear,each\n")
    with pytest.raises(ProblemsFound) as found:
        actions.read_job(tmp_path / "list.csv", quotes=[tmp_path / "yard.csv", tmp_path / "none.csv"])
    assert [problem.code for problem in found.value.problems] == ["file.missing", "number.unreadable"]
    assert found.value.problems[1].where == 'yard.csv, row 2, column D "Price"'


def test_what_buying_together_saves() -> None:
    """By hand: 2 of 1,900 mm and 1 of 1,900 mm fill one bar of 6 m at 30 together; alone each wants a bar, 18 for 4 m.

    In turn, the first takes 4 m, 18, and leaves 200 mm; the second takes 4 m too: 36 to 30.
    """
    parts = [
        replace(builders.part("one/A", 2, 1900), list_name="one"),
        replace(builders.part("two/A", 1, 1900), list_name="two"),
    ]
    job = builders.job(parts, [builders.offer("P1", 6000, 30), builders.offer("P2", 4000, 18)])
    together, apart = actions.compare(job, one_by_one=True)
    assert (together.money, apart.money, apart.words) == (
        30 * CURRENCY, 36 * CURRENCY, "each list bought by itself, in turn"
    )  # fmt: skip
    assert (apart.least, apart.most, apart.status) == (6 * CURRENCY, 6 * CURRENCY, Status.RECHECKED)


def test_in_turn_each_has_what_the_first_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """3 of 1,900 mm fill the only bar on sale; apart, the second is cut from what the first left: the same 30."""
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,30,each\n")
    for name, count in (("one", 2), ("two", 1)):
        Path(f"{name}.csv").write_text(f"Mark,Quantity,Section,Length\nA,{count},SHS 40x40x3,1900\n")
    job = actions.read_job(["one.csv", "two.csv"], prices="prices.csv")
    _, apart = actions.compare(job, one_by_one=True, folder="out")
    assert (apart.least, apart.most, apart.offcuts_kept) == (0, 0, 1)
    assert {path.name for path in Path("out/1").iterdir()} == {"one", "two"}
    assert Path("out/1/two/plan.pdf").exists()


def test_one_list_cannot_be_bought_apart(small_job: Job) -> None:
    with pytest.raises(ProblemsFound, match="--one-by-one: found a single list"):
        actions.compare(small_job, one_by_one=True)


def test_what_another_price_would_cost(parts: str) -> None:
    """One bar of 6 m at 35.40 and one of 3 m at 19.80 before; what dearer 3 m come to is less than two of 6 m."""
    job = actions.read_job(parts)
    row = next(offer.row for offer in job.offers if offer.typed_price == "19.80")
    as_it_is, dearer, far = actions.compare(job, price=[f"{row}: 25.00", f"{row}:99"])
    assert as_it_is.money == round(55.20 * CURRENCY)
    assert dearer.least == dearer.most == round(5.20 * CURRENCY)
    assert far.least == far.most == round((35.40 - 19.80) * CURRENCY), "another bar of 6 m in its place"
    with pytest.raises(ProblemsFound) as refused:
        actions.compare(job, price=["12", "99: 3", f"{row}: free", "x: 4"])
    assert [problem.where for problem in refused.value.problems] == ["--price"] * 4
