"""Jobs held against their quotes in words, where there is little to say."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.rack.job_events import JobStory, PlanNote, PlanStory
from cutplan.rack.learned import Learned
from cutplan.words.outcome_words import HEADINGS, Outcome, Year, year_rows, year_text, year_values


def unquoted(number: int = 1) -> Outcome:
    plan = PlanStory(note=PlanNote(plan="abc"), events=(), ticked=0)
    story = JobStory(job="abc", name="gate", number=number, plans=(plan,))
    return Outcome(story=story, materials=61_100_000, minutes=90_000, quote=None, after=None)


def test_an_empty_ledger() -> None:
    year = Year(outcomes=(), suggestions=(), measured=Learned())
    assert year_text(year, Workshop()) == "No job is in the ledger."
    assert year_values(year, Workshop())["jobs"] == []


def test_a_job_that_was_not_quoted() -> None:
    year = Year(outcomes=(unquoted(), unquoted(2)), suggestions=(), measured=Learned())
    assert "gate#2, planned, : not quoted; materials 61.10, 1.50 h." in year_text(year, Workshop())
    first, second = year_rows(year.outcomes)
    assert (first.job, second.job, first.price, first.cost) == ("gate", "gate#2", None, None)
    assert len(HEADINGS) == len(first.__slots__)
