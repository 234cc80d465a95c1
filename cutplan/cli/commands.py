"""Every command: a module of theirs puts them on the app as it is loaded."""

from cutplan.cli import asking, comparing, help, planning, printing, quick, racking, recording, sections, starting, sums
from cutplan.cli.face import app

__all__ = [
    "app",
    "asking",
    "comparing",
    "help",
    "planning",
    "printing",
    "quick",
    "racking",
    "recording",
    "sections",
    "starting",
    "sums",
]
