"""The process of the ``cutplan`` command: its exit codes, and what Ctrl-C does from its first moment to its last."""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

DONE = 0

BAD_INPUT = 1

WRONG_USAGE = 2

NO_PLAN = 3

CHECK_REFUSED = 4

STOPPED_WITH_PLAN = 5

PROGRAM_FAULT = 70

STOPPED = 130

NOTHING_WRITTEN = "Stopped before there was a plan; nothing was written."


def main() -> None:
    """Entry point of the ``cutplan`` command."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # else whoever started it wants no Ctrl-C
        signal.signal(signal.SIGINT, _stop_at_once)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a mark may hold letters that the terminal lacks
    try:
        from cutplan.cli.commands import app

        app()
    finally:
        # All is said and done; while the interpreter ends, Ctrl-C would only change the exit code.
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def _stop_at_once(number: int, frame: object) -> None:
    """Ends the process while modules load and the command line is read.

    Nothing is begun yet that would have to be cleared up. An exception might never come to whoever waits for it: raised
    in a callback of the import system, it is printed and dropped.
    """
    if sys.stderr is not None:
        with suppress(OSError):
            print(NOTHING_WRITTEN, file=sys.stderr, flush=True)
    os._exit(STOPPED)


@contextmanager
def working() -> Iterator[None]:
    """While a command works, Ctrl-C raises KeyboardInterrupt, so that what was begun is cleared up; then it is ignored.

    Changes nothing outside of :func:`main`.
    """
    if signal.getsignal(signal.SIGINT) is not _stop_at_once:
        yield
        return
    pressed = False

    def interrupt(number: int, frame: object) -> None:
        nonlocal pressed
        pressed = True
        raise KeyboardInterrupt

    signal.signal(signal.SIGINT, interrupt)
    try:
        yield
    except ImportError as half_loaded:
        if pressed:  # a library in C that is stopped while it loads says only that it could not be loaded
            raise KeyboardInterrupt from half_loaded
        raise
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
