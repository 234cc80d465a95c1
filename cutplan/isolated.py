"""Helper processes: this Python once more, with nothing imported from the folder a user happens to stand in."""

from __future__ import annotations

import os
import sys
from pathlib import Path

_START = "import sys; sys.path += sys.argv.pop(1).split({apart!r}); {code}"


def python(code: str, *arguments: str) -> list[str]:
    """The command line of a helper process.

    Python puts the current folder first where it runs ``-c`` code, so that a ``numpy.py`` beside a parts list would be
    run in place of the library. A helper is started with ``-I``, and looks further only where this process found its
    libraries, the current folder left out, and the folder of cutplan itself last.

    Parameters
    ----------
    code
        One line, or several, of Python.
    arguments
        Found by the code from ``sys.argv[1]`` on.
    """
    here, own = os.path.abspath(os.curdir), str(Path(__file__).resolve().parent.parent)
    places = [place for place in map(os.path.abspath, sys.path) if place not in (here, own)]
    return [
        sys.executable,
        "-I",
        "-c",
        _START.format(apart=os.pathsep, code=code),
        os.pathsep.join([*places, own]),
        *arguments,
    ]


def last_words(stderr: bytes) -> str:
    """The last line that a helper process wrote to stderr: what went wrong in it; blank when it wrote nothing."""
    return next((line.strip() for line in reversed(stderr.decode("utf-8", "replace").splitlines()) if line.strip()), "")
