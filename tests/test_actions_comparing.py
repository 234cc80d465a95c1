"""Comparing, with values: the job as it is, and what each change costs against it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.model import Job, Merchant
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
    """Two of 3.9 m: 8 m whole, or cut at 2 for a trailer of 4 m; delivered for 38 it needs no cut."""
    terms = Merchant(
        name="Yard", delivers=True, delivery=38 * CURRENCY, cuts_to_carry=True, carry_cut_charge=2 * CURRENCY
    )
    made = builders.job(
        [builders.part("A", 2, 3900)], [builders.offer("P2", 8000, 64)], longest_carry=4000, merchants=[terms]
    )
    rows = actions.compare(made, carry="3 m", fetched=["yard"], delivered=["Yard"])
    assert [(row.words, row.money) for row in rows] == [
        ("as it is", 102 * CURRENCY),
        ("nothing longer than 3000 mm carried", 102 * CURRENCY),
        ("all from Yard delivered", 102 * CURRENCY),
        ("all from Yard fetched", 66 * CURRENCY),
    ]


def test_all_that_cannot_be_understood_is_told_at_once(small_job: Job) -> None:
    shop = small_job.workshop
    apart = replace(small_job, workshop=replace(shop, saw=replace(shop.saw, share_mitres=False)))
    with pytest.raises(ProblemsFound) as found:
        actions.compare(apart, kerf="thin", keep="long", carry="far", fetched=["Nobody"], no_shared_mitres=True)
    wanted = ["--kerf", "--keep", "--carry", "--fetched", "--no-shared-mitres"]
    assert [problem.where for problem in found.value.problems] == wanted
