"""The command line: words around :mod:`cutplan.actions`, and nothing else.

Results go to stdout, messages to stderr. Exit codes: 0 done, 1 bad input, 2 wrong usage, 3 no plan possible,
4 the checker refused, 5 stopped with a plan, 70 a fault in the program, 130 stopped without a plan.
"""

from cutplan.cli import asking, comparing, planning, printing, quick, racking, recording, sections, starting, sums
from cutplan.cli.face import app, main

__all__ = [
    "app",
    "asking",
    "comparing",
    "main",
    "planning",
    "printing",
    "quick",
    "racking",
    "recording",
    "sections",
    "starting",
    "sums",
]
