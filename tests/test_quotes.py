"""Quotes in the ledger: their numbers, what was expected, what work took in the end."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack.entry import entry
from cutplan.rack.handling import undo
from cutplan.rack.quotes import (
    Expected,
    QuoteNote,
    Share,
    Spent,
    jobs_measured,
    next_number,
    note_quote,
    note_shares,
    note_spent,
    quoted,
    shares_in,
    spent_on,
)
from cutplan.rack.replay import contradictions
from cutplan.rack.seals import broken_seal
from cutplan.rack.store import Ledger
from tests import racks


def note(number: str = "Q1", plan: str = "abc") -> QuoteNote:
    frame = Expected(assembly="frame", materials=40, work=60, minutes=60_000, cost=110, price=140)
    return QuoteNote(
        plan=plan, number=number, customer="Fernhollow", valid_until="", materials=40, work=60, minutes=60_000,
        cost=110, price=140, to_pay=168, hour_rate=60, assemblies=(frame,),
    )  # fmt: skip


def give(ledger: Ledger, number: str = "Q1", plan: str = "abc") -> None:
    with entry(ledger, racks.doing("quoted", job="gate", plan=plan)) as writing:
        note_quote(writing, note(number, plan))


def test_a_quote_is_kept_with_what_it_expects(ledger: Ledger) -> None:
    give(ledger)
    (found,) = quoted(ledger.db, ["abc"])
    assert found.assemblies == note().assemblies
    assert (found.number, found.price, found.day != "") == ("Q1", 140, True)
    assert quoted(ledger.db, ["other"]) == ()
    assert contradictions(ledger) == ()


def test_no_number_is_given_twice(ledger: Ledger) -> None:
    assert next_number(ledger.db) == "Q1"
    give(ledger)
    give(ledger, "2031-014", "def")
    assert next_number(ledger.db) == "Q2"
    with pytest.raises(ProblemsFound) as refused:
        give(ledger, "Q1", "ghi")
    (problem,) = refused.value.problems
    assert (problem.code, problem.found) == ("quote.number", "Q1")
    assert len(quoted(ledger.db, ["abc", "def", "ghi"])) == 2


def test_one_that_was_taken_back_is_not_told_and_its_number_stays_given(ledger: Ledger) -> None:
    give(ledger)
    undo(ledger, racks.doing("undo"))
    assert quoted(ledger.db, ["abc"]) == ()
    assert next_number(ledger.db) == "Q2"


def test_what_work_took(ledger: Ledger) -> None:
    for plan, minutes in (("abc", 90_000), ("def", 30_000)):
        with entry(ledger, racks.doing("record", job="gate", plan=plan)) as writing:
            note_spent(writing, [Spent(work="saw", minutes=minutes, expected=60_000)])
            note_shares(writing, [Share(assembly="frame", materials=30, minutes=60_000)])
    assert spent_on(ledger.db, ["abc", "def"]) == (Spent(work="saw", minutes=120_000, expected=120_000),)
    assert shares_in(ledger.db, ["abc"]) == (Share(assembly="frame", materials=30, minutes=60_000),)
    assert jobs_measured(ledger.db, {}, {}) == {"saw": [(90_000, 60_000), (30_000, 60_000)]}
    with entry(ledger, racks.doing("record", job="gate", plan="ghi")) as writing:
        note_spent(writing, [Spent(work="saw", minutes=0, expected=60_000)])
    assert jobs_measured(ledger.db, {}, {}) == {"saw": [(90_000, 60_000), (30_000, 60_000)]}, (
        "of a job that told none nothing is known"
    )


def test_minutes_of_all_together_say_nothing_of_work_that_was_not_there(ledger: Ledger) -> None:
    """One job had welds and told them; one had holes and told 30 for all; one told 50 and had only the saw."""
    jobs = {
        "abc": [("weld", 20, 10), ("saw", 0, 10), ("", 0, 20)],
        "def": [("", 30, 25), ("saw", 0, 20), ("drill", 0, 5)],
        "ghi": [("", 50, 40), ("saw", 0, 40)],
    }
    for plan, spent in jobs.items():
        with entry(ledger, racks.doing("record", job=plan, plan=plan)) as writing:
            note_spent(writing, [Spent(work=work, minutes=took, expected=due) for work, took, due in spent])
    assert jobs_measured(ledger.db, {}, {}) == {"weld": [(20, 10)], "drill": [(30, 25)], "saw": [(30, 25), (50, 40)]}


def test_minutes_expected_by_other_figures_tell_nothing(ledger: Ledger) -> None:
    """Of a job that was recorded in two parts with a figure changed in between, nothing. What an earlier version noted
    says nothing of its figures: it is taken for the defaults.
    """
    rows = [("abc", 90, "bar 4"), ("def", 70, "bar 5"), ("ghi", 80, ""), ("jkl", 40, "bar 4"), ("jkl", 50, "bar 5")]
    for plan, took, figures in rows:
        with entry(ledger, racks.doing("record", job=plan, plan=plan)) as writing:
            note_spent(writing, [Spent(work="saw", minutes=took, expected=60, figures=figures)])
    assert jobs_measured(ledger.db, {"saw": "bar 4"}, {"saw": "bar 4"}) == {"saw": [(90, 60), (80, 60)]}
    assert jobs_measured(ledger.db, {"saw": "bar 5"}, {"saw": "bar 4"}) == {"saw": [(70, 60)]}
    assert jobs_measured(ledger.db, {"saw": "bar 6"}, {"saw": "bar 4"}) == {}


def test_a_figure_changed_by_hand_breaks_the_seal(ledger: Ledger) -> None:
    give(ledger)
    ledger.db.execute("DROP TRIGGER quote_no_update")
    ledger.db.execute("UPDATE quote SET price = 141")
    assert broken_seal(ledger.db) == 1
