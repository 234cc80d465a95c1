"""The one way a user is told that something in their input is wrong.

Value parsers raise :class:`Refused`; whoever knows the place turns it into a
:class:`Problem`; a reader collects every Problem and raises them together as
:class:`ProblemsFound`.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Annotated

from cutplan.fields import said

SHOWN_AT_ONCE = 20
"""Warnings that a text shows."""
PROBLEMS_SHOWN = 101
"""Problems that a text shows: a hundred of a file, and the one that says what was not looked at then."""
LONGEST_SHOWN = 200
"""Characters of a cell that a message repeats."""
LONGEST_STATEMENT = 1000
"""Characters of a sentence, which may quote a cell."""


class Refused(ValueError):
    """A text that cannot be understood, before its place is known.

    Parameters
    ----------
    found
        What was read, as typed.
    accepted
        What would be accepted instead, with an example that really is.
    hint
        One likely repair; blank when none is likely.
    code
        What is wrong as a short word for programs, one of :data:`cutplan.problem_codes.CODES`.
    """

    def __init__(self, found: str, accepted: str, hint: str = "", *, code: str) -> None:
        super().__init__(f'found "{found}". Accepted: {accepted}')
        self.code = code
        self.found = found
        self.accepted = accepted
        self.hint = hint


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong, placed in the words of the file it is in.

    ``where`` names file, sheet, row and column as a spreadsheet shows them;
    ``found`` is the cell as typed (or a whole statement when ``found_is_text``
    is false); ``accepted`` says what would pass. ``code`` is one of :data:`cutplan.problem_codes.CODES`, and stays the
    same where the words change.
    """

    code: Annotated[str, said("what is wrong in a word for programs")]
    where: str
    found: str
    accepted: str
    hint: str = ""
    found_is_text: Annotated[bool, said("is the finding a cell as typed")] = True

    @classmethod
    def at(cls, where: str, refused: Refused) -> Problem:
        """Place a refusal."""
        return cls(code=refused.code, where=where, found=refused.found, accepted=refused.accepted, hint=refused.hint)

    @classmethod
    def statement(cls, where: str, found: str, accepted: str, hint: str = "", *, code: str) -> Problem:
        """One whose finding is a whole statement."""
        return cls(code=code, where=where, found=found, accepted=accepted, hint=hint, found_is_text=False)

    def __str__(self) -> str:
        found = f'"{shown(self.found)}"' if self.found_is_text else shown(self.found, LONGEST_STATEMENT)
        where, hint = shown(self.where, LONGEST_STATEMENT), shown(self.hint, LONGEST_STATEMENT)
        lines = [f"{where}: found {found}.", f"Accepted: {self.accepted}."]
        if hint:
            lines.append(f"hint: {hint}")
        return "\n".join(lines)


class ProblemsFound(Exception):
    """Input was refused; ``problems`` holds all that was found, in reading order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(problems_text(self.problems))


class TooManyProblems(ProblemsFound):
    """A file with so many problems that the rest of it was not looked at; the last problem says so."""


class NoPlan(Exception):
    """The input is sound but no plan can answer it; the message says which part and why."""

    def __init__(self, message: str, *, code: str) -> None:
        super().__init__(message)
        self.code = code

    def __reduce__(self) -> tuple[Callable[..., NoPlan], tuple[str, str]]:
        """Pickled with its code, which helper processes send back."""
        return _no_plan, (str(self), self.code)


def _no_plan(message: str, code: str) -> NoPlan:
    return NoPlan(message, code=code)


def shown(text: str, longest: int = LONGEST_SHOWN) -> str:
    """A text as a message repeats it: on one line, without what steers a terminal, and not endless."""
    plain = "".join(letter if letter.isprintable() else _escaped(letter) for letter in text[:longest])
    return f"{plain}... ({len(text)} characters)" if len(text) > longest else plain


_STEERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufeff]")
"""What moves the cursor, colours, hides or turns round what a terminal shows, and bytes that are no text."""


def plain(text: str) -> str:
    """A whole output as any terminal shows it: letters that steer one are escaped, as they are in JSON."""
    return _STEERS.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def _escaped(letter: str) -> str:
    return " " if letter.isspace() else letter.encode("unicode_escape").decode("ascii")


_FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
"""What the system calls a disk without room, and a user who has filled what is granted."""


def disk_full(error: Exception) -> bool:
    """Did the system refuse to write for want of room?"""
    return getattr(error, "errno", None) in _FULL


def to_be_written(error: Exception, accepted: str) -> str:
    """What would be accepted where something could not be written: room on a full disk, elsewhere what is said."""
    return "a disk with room for it" if disk_full(error) else accepted


def problems_text(problems: tuple[Problem, ...], shown: int = PROBLEMS_SHOWN) -> str:
    """All problems as text: the first ``shown`` of them, and the total when there are more."""
    blocks = [str(problem) for problem in problems[:shown]]
    if len(problems) > shown:
        blocks.append(f"... {len(problems)} problems in total, the first {shown} are shown.")
    return "\n".join(blocks)


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like ``word`` as a hint, or blank when none is near."""
    from difflib import get_close_matches

    by_lower = {name.lower(): name for name in known}
    close = get_close_matches(word.lower(), by_lower, n=1, cutoff=0.6)
    return f'did you mean "{by_lower[close[0]]}"?' if close else ""
