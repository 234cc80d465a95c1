"""One function per thing a person can do; every room meets here and nowhere else.

The command line and a program that imports cutplan call the same functions.
What is wrong with the input is raised as :class:`~cutplan.problems.ProblemsFound`,
an input that no plan can answer as :class:`~cutplan.problems.NoPlan`. The rooms
are imported inside the functions, because some of them load large libraries.
"""

from cutplan.actions.comparing import compare, comparison, comparison_values
from cutplan.actions.files import LOCK_FILE, PLAN_FILE, WORKBOOK
from cutplan.actions.lists import GroupFound, check, read_job, section
from cutplan.actions.planning import (
    TIME_LIMIT,
    CheckFailed,
    document,
    output_folder,
    plan,
    plan_into,
    review,
    summary,
    tables,
    verify,
    write_plan,
)
from cutplan.actions.sums import append_parts, brace, frame, spacing, sum_text, sum_values

__all__ = [
    "LOCK_FILE",
    "PLAN_FILE",
    "TIME_LIMIT",
    "WORKBOOK",
    "CheckFailed",
    "GroupFound",
    "append_parts",
    "brace",
    "check",
    "compare",
    "comparison",
    "comparison_values",
    "document",
    "frame",
    "output_folder",
    "plan",
    "plan_into",
    "read_job",
    "review",
    "section",
    "spacing",
    "sum_text",
    "sum_values",
    "summary",
    "tables",
    "verify",
    "write_plan",
]
