"""The process of the ``cutplan`` command: its exit codes, and what Ctrl-C does from its first moment to its last."""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from cutplan.words.stop_words import NOTHING_WRITTEN

DONE = 0

BAD_INPUT = 1

WRONG_USAGE = 2

NO_PLAN = 3

CHECK_REFUSED = 4

STOPPED_WITH_PLAN = 5

PROGRAM_FAULT = 70

STOPPED = 130

ASIDE = "cutplan typesetting"
"""The name of the thread in which the typesetter is at work, whose module is not loaded here."""


@contextmanager
def running() -> Iterator[None]:
    """See to Ctrl-C and to the streams while the command runs, from before its modules are loaded."""
    _no_gaps()
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # else whoever started it wants no Ctrl-C
        signal.signal(signal.SIGINT, _stop_at_once)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a mark may hold letters that the terminal lacks
    try:
        yield
    except SystemExit as ended:
        _leave_work_aside(ended.code)
        raise
    finally:
        # All is said and done; while the interpreter ends, Ctrl-C would only change the exit code.
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def _leave_work_aside(code: object) -> None:
    """End at once where a thread that Ctrl-C left to itself is in the midst of setting a sheet.

    All that was begun is cleared up by now. Python would end too, but a thread that comes back from the typesetter just
    then, into an interpreter that is gone, ends the process with a fault of its own.
    """
    threading = sys.modules.get("threading")
    if threading and isinstance(code, int) and any(each.name == ASIDE for each in threading.enumerate()):
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                with suppress(OSError, ValueError):
                    stream.flush()
        os._exit(code)


def _no_gaps() -> None:
    """Where stdin, stdout or stderr is closed, open nothing in its place.

    Else the first file opened would get its number, and what a library prints would stand in the middle of that file.
    """
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free, which is this one


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
def working() -> Iterator[Callable[[], bool]]:
    """While a command works, Ctrl-C raises KeyboardInterrupt, so that what was begun is cleared up; then it is ignored.

    So do a request to end and the closing of the terminal, unless whoever started the command has it ignore them; then
    they end it at once, as before. Changes nothing outside of :func:`main`. What it gives tells whether the command was
    asked to stop: a library in C that is stopped while it loads says only that it could not be loaded, or, asked for
    again by what goes on with the plan there is, that it is loaded already.
    """
    if signal.getsignal(signal.SIGINT) is not _stop_at_once:
        yield lambda: False
        return
    pressed = False

    def interrupt(number: int, frame: object) -> None:
        nonlocal pressed
        pressed = True
        raise KeyboardInterrupt

    asked = [number for number in _requests_to_end() if signal.getsignal(number) is signal.SIG_DFL]
    for number in (signal.SIGINT, *asked):
        signal.signal(number, interrupt)
    try:
        yield lambda: pressed
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        for number in asked:
            signal.signal(number, signal.SIG_DFL)


def _requests_to_end() -> list[signal.Signals]:
    """SIGTERM, which a system that shuts down sends, and SIGHUP of a terminal that is closed, where there are any."""
    return [signal.Signals[name] for name in ("SIGTERM", "SIGHUP") if name in signal.Signals.__members__]
