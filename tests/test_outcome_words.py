"""Jobs held against their quotes in words, where there is little to say."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.rack.job_events import JobStory, PlanNote, PlanStory
from cutplan.rack.learned import Learned, LengthsFound
from cutplan.words.outcome_words import HEADINGS, Outcome, Year, year_rows, year_text, year_values


def unquoted(number: int = 1) -> Outcome:
    plan = PlanStory(note=PlanNote(plan="abc"), events=(), ticked=0)
    story = JobStory(job="abc", name="gate", number=number, plans=(plan,))
    return Outcome(story=story, materials=61_100_000, minutes=90_000, quote=None, after=None)


def test_an_empty_ledger() -> None:
    year = Year(outcomes=(), suggestions=(), measured=Learned())
    assert year_text(year, Workshop()) == "No job is in the ledger."
    assert year_values(year, Workshop())["jobs"] == []


def test_what_was_measured_is_told_whatever_jobs_are_listed() -> None:
    """As those of a year, in which there may be none."""
    lengths = LengthsFound(family="SHS", now=0, shortest=0, middle=0, longest=0, counted=9, better=None)
    year = Year(outcomes=(), suggestions=(), measured=Learned(lengths=(lengths,)))
    assert "minus_tolerance.SHS stays 0 mm" in year_text(year, Workshop())


def test_a_job_that_was_not_quoted() -> None:
    year = Year(outcomes=(unquoted(), unquoted(2)), suggestions=(), measured=Learned())
    assert "gate#2, planned, : not quoted; materials 61.10, 1.50 h." in year_text(year, Workshop())
    first, second = year_rows(year.outcomes)
    assert (first.job, second.job, first.price, first.cost) == ("gate", "gate#2", None, None)
    assert len(HEADINGS) == len(first.__slots__)
