"""Refusals and warnings as values for JSON, and warnings in lines; the words are those of :mod:`cutplan.problems`."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.problems import SHOWN_AT_ONCE, Problem
from cutplan.units import counted


def problem_values(problem: Problem) -> dict[str, str]:
    """A refusal or a warning as values for JSON."""
    return {
        "code": problem.code,
        "where": problem.where,
        "found": problem.found,
        "accepted": problem.accepted,
        "hint": problem.hint,
    }


def warning_lines(warnings: Sequence[Problem]) -> list[str]:
    """What may be a slip in a list, with how much of it there is; no line where there is none."""
    if not warnings:
        return []
    lines = [f"To look at: {counted(len(warnings), 'warning')}"]
    lines += [f"  {line}" for problem in warnings[:SHOWN_AT_ONCE] for line in str(problem).split("\n")]
    if len(warnings) > SHOWN_AT_ONCE:
        lines.append(f"  ... the first {SHOWN_AT_ONCE} are shown; --json prints all")
    return lines
