"""Which codes of refusals, warnings and assumptions the tests really make.

``pytest --codes-to FILE`` adds those of a run to a file, a line each; ``python -m tests.codes_made FILE`` then tells
those that no test made, and fails where there are any. What a test makes in a process that it starts is not seen.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from cutplan.model import Assumption
from cutplan.problem_codes import CODES
from cutplan.problems import NoPlan, Problem, Refused

made: set[str] = set()


def watch() -> None:
    """Note the code of all that is refused, warned about or assumed from now on in this process."""
    for of in (Problem, Refused, NoPlan, Assumption):
        kind: Any = of
        kind.__init__ = _noting(kind.__init__)


def _noting(begin: Callable[..., None]) -> Callable[..., None]:
    def noted(self: Any, *given: Any, **named: Any) -> None:
        begin(self, *given, **named)
        made.add(self.code)

    return noted


def keep(file: Path) -> None:
    """Add what was made to a file that several processes of a run write to, each at one go."""
    with file.open("ab", buffering=0) as kept:
        kept.write("".join(f"{code}\n" for code in sorted(made)).encode())


def never_made(file: Path) -> list[str]:
    """Registered codes that are not in the file."""
    return sorted(CODES.keys() - set(file.read_text(encoding="utf-8").split()))


if __name__ == "__main__":
    missing = never_made(Path(sys.argv[1]))
    print("\n".join(missing) or "Every code was made by a test.")
    sys.exit(bool(missing))
