"""Names of files that are being written: each says whose it is, so that what a killed command left is swept.

And the name of the one that is there when all others are.
"""

from __future__ import annotations

import os
import re
from contextlib import suppress
from pathlib import Path

PLAN_FILE = "plan.json"
"""What the file of a plan is called: a folder that has one holds a plan, and it is the last to be there."""


def unfinished(path: Path) -> Path:
    """What a file is called beside its place until all of it is on disk; those of dead processes are removed.

    Where the system cannot say which processes live, nothing is removed. Whoever writes from another machine or
    container and loses a file by this is refused by the system, and what was there before stays.
    """
    ours = re.compile(re.escape(f".{path.name}.") + r"(\d+)(-journal)?")
    with suppress(OSError):
        for name in os.listdir(path.parent):
            match = ours.fullmatch(name)
            if match and not _lives(int(match[1])):
                with suppress(OSError):
                    (path.parent / name).unlink()
    return path.with_name(f".{path.name}.{os.getpid()}")


def _lives(process: int) -> bool:
    if os.name != "posix":  # elsewhere the question would end the process
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:  # it is somebody else's
        return True
    return True
