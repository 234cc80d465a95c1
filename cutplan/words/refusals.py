"""Refusals and warnings as values for JSON; their words are those of :class:`cutplan.problems.Problem`."""

from __future__ import annotations

from cutplan.problems import Problem


def problem_values(problem: Problem) -> dict[str, str]:
    """A refusal or a warning as values for JSON."""
    return {
        "code": problem.code,
        "where": problem.where,
        "found": problem.found,
        "accepted": problem.accepted,
        "hint": problem.hint,
    }
