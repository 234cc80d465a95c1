"""What is found wrong with a file, or odd, while it is read: collected with its rows, shown in the file's order."""

from __future__ import annotations

from dataclasses import dataclass, field

from cutplan.problems import Problem, ProblemsFound, TooManyProblems

MOST_TOLD = 100
"""Problems reported of one file; finding and hinting at a hundred thousand takes longer than anybody reads."""


@dataclass(slots=True)
class Findings:
    """Problems and warnings of one file, each with its row so that they can be shown in the file's order.

    ``last_row`` is how far the file goes, 0 as long as that is not known.
    """

    problems: list[tuple[int, Problem]] = field(default_factory=list)
    warnings: list[tuple[int, Problem]] = field(default_factory=list)
    last_row: int = 0

    def add(self, row: int, problem: Problem) -> None:
        """Note a problem of a row, counted from 1; 0 is the file itself.

        Raises
        ------
        TooManyProblems
            With all of them, when there are a hundred.
        """
        self.problems.append((row, problem))
        if len(self.problems) < MOST_TOLD:
            return
        where = problem.where.split(", row ")[0]
        below = self.last_row - max(place for place, _ in self.problems)
        rest = f"; {below} rows below were not looked at" if below > 0 else ""
        found = f"{MOST_TOLD} problems, and there may be more{rest}"
        last = Problem(
            where=where, found=found, accepted="a list without problems", found_is_text=False, code="list.many_problems"
        )
        raise TooManyProblems([*in_order(self.problems), last])

    def add_statement(self, row: int, where: str, found: str, accepted: str, hint: str = "", *, code: str) -> None:
        """Note a problem whose ``found`` is a statement, not a cell."""
        self.add(row, Problem(where=where, found=found, accepted=accepted, hint=hint, found_is_text=False, code=code))

    def warn(self, row: int, problem: Problem) -> None:
        """Note a warning of a row."""
        self.warnings.append((row, problem))

    def told(self) -> list[Problem]:
        """The first hundred warnings in the order of the file, and how many more there are."""
        every = in_order(self.warnings)
        told, left = every[:MOST_TOLD], len(every) - MOST_TOLD
        if left > 0:
            where, accepted = told[-1].where.split(", row ")[0], "a list with fewer of them"
            found = f"{left} more warnings, which are not shown" if left > 1 else "1 more warning, which is not shown"
            told.append(
                Problem(where=where, found=found, accepted=accepted, found_is_text=False, code="list.many_warnings")
            )
        return told

    def silence(self, rows: frozenset[int]) -> int:
        """Drop the warnings of some rows, and say how many they were."""
        told = [(row, warning) for row, warning in self.warnings if row not in rows]
        dropped = len(self.warnings) - len(told)
        self.warnings = told
        return dropped

    def add_all(self, found: ProblemsFound) -> None:
        """Note problems that concern the whole file."""
        if isinstance(found, TooManyProblems):
            raise found
        self.problems.extend((0, problem) for problem in found.problems)


def in_order(placed: list[tuple[int, Problem]]) -> list[Problem]:
    """By row; problems of one row in the order they were found."""
    return [problem for _, problem in sorted(placed, key=lambda pair: pair[0])]
