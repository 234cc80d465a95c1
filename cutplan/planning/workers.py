"""Work done side by side in helper processes: groups of one job, or whole jobs.

A helper process is this Python with one line to run, fed through its stdin, so
that no program that calls cutplan is run a second time. What comes of a task
does not depend on which process did it, nor on how many there are. What a lost
one wrote to stderr goes to the log ``cutplan``, which Python prints unless logging is set up.
"""

from __future__ import annotations

import logging
import math
import os
import pickle
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import IO, Any, NamedTuple, Protocol, TypeVar

from cutplan.isolated import last_words, python
from cutplan.model import Group, StockLength, Workshop
from cutplan.problems import shown
from cutplan.solving import Clock, Multipliers, Parameters, Solved, solve_group

MANY_PARTS = 20
"""Different parts from which on planning a group takes longer than starting a process does, half a second."""

MOST_PROCESSES = 8

_LOG = logging.getLogger("cutplan")

_Answer_co = TypeVar("_Answer_co", covariant=True)
_Answer = TypeVar("_Answer")


class Task(Protocol[_Answer_co]):
    """What a helper process can be given: plain values that pickle takes, and what to do with them."""

    @property
    def size(self) -> int:
        """By which the longest is begun first."""

    def run(self, clock: Clock, say: Callable[[str], None]) -> _Answer_co:
        """Do it in this process, until the clock says stop."""


@dataclass(frozen=True, kw_only=True)
class GroupTask:
    """One group to be planned with some offers open; the rest as in :func:`~cutplan.solving.solve_group`."""

    group: Group
    workshop: Workshop
    offers: tuple[StockLength, ...]
    parameters: Parameters
    cutoff: int | None = None
    multipliers: Multipliers = field(default_factory=dict)

    @property
    def size(self) -> int:
        """Different parts."""
        return len(self.group.parts)

    def run(self, clock: Clock, say: Callable[[str], None]) -> Solved:
        """Plan the group in this process."""
        return solve_group(
            self.group,
            self.workshop,
            self.offers,
            parameters=self.parameters,
            clock=clock,
            say=lambda text: say(f"{self.group.title}: {text}"),
            cutoff=self.cutoff,
            multipliers=self.multipliers,
        )


def processes_for(tasks: Sequence[GroupTask], wanted: int | None = None) -> int:
    """How many helper processes are worth starting for groups; 0 is to plan one after another in this one.

    ``wanted`` is how many the caller allows; None for as many as there are processors.
    """
    most = min(processes_allowed(wanted), large_among(tasks))
    return most if most > 1 else 0


def large_among(tasks: Sequence[GroupTask]) -> int:
    """How many take longer to plan than it takes to have another process do it."""
    return sum(task.size >= MANY_PARTS for task in tasks)


def processes_allowed(wanted: int | None) -> int:
    """How many helper processes may run at once; 0 where all is to be done in this one."""
    # Elsewhere a process cannot be asked to stop with what it has.
    if os.name != "posix":
        return 0
    return min(processors(), MOST_PROCESSES) if wanted is None else wanted


def processors() -> int:
    """How many this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def side_by_side(
    tasks: Sequence[Task[_Answer]],
    processes: int,
    deadline: float,
    say: Callable[[str], None],
    answered: Callable[[int, _Answer], None] = lambda number, answer: None,
    *,
    kept: tuple[float, float] = (0.0, math.inf),
) -> tuple[list[_Answer | None], str]:
    """Do tasks in helper processes.

    Parameters
    ----------
    processes
        At least one.
    deadline
        By ``time.monotonic``; each task ends then with the best it has.
    answered
        Called with the place of a task and its answer as it comes, one call at a time.
    kept
        How long a processor takes for what follows when all are done, and how much that may take off their time: a
        helper knows at what pace things go while this process waits. [s]

    Returns
    -------
    tuple
        In the order of the tasks what was found, None where a helper was lost or stopped before it had anything;
        and what stopped them: ``user``, ``time limit`` or blank.
    """
    answers: list[_Answer | None] = [None] * len(tasks)
    stops: list[str] = []
    helpers: list[subprocess.Popen[bytes]] = []
    # The longest first, so that none is left to run by itself at the end.
    order = sorted(range(len(tasks)), key=lambda n: (-tasks[n].size, n))
    waiting, lock, ended = deque(order), threading.Lock(), threading.Event()

    def serve() -> None:
        with tempfile.TemporaryFile() as errors:
            helper = subprocess.Popen(
                # Taking down what was loaded for it takes as long as planning a group does, and is waited for.
                python("import os; from cutplan.planning.workers import help_out; help_out(); os._exit(0)"),
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=errors,
                start_new_session=True,  # Ctrl-C at the terminal reaches this process alone, which passes it on
            )
            helpers.append(helper)
            feed(helper)
            errors.seek(0)
            words = last_words(errors.read())
        if (words or helper.returncode) and not ended.is_set():
            _LOG.warning("a helper process ended with %s: %s", helper.returncode, shown(words) or "nothing on stderr")

    def feed(helper: subprocess.Popen[bytes]) -> None:
        assert helper.stdin is not None
        assert helper.stdout is not None
        with suppress(BrokenPipeError), helper:  # a lost one does not take what is still to be flushed
            while not ended.is_set():
                with lock:
                    number = waiting.popleft() if waiting else None
                    further = -(-len(waiting) // processes)
                if number is None:
                    break
                try:
                    turn = _Turn(tasks[number], deadline - time.monotonic(), further, kept)
                    pickle.dump(turn, helper.stdin)
                    helper.stdin.flush()
                    answer, stopped_by = _listen(helper.stdout, say)
                except (OSError, EOFError, pickle.UnpicklingError):
                    return  # lost: what it did not answer is left to whoever called
                answers[number] = answer
                if answer is not None:
                    with lock:
                        answered(number, answer)
                if stopped_by:
                    stops.append(stopped_by)

    with ThreadPoolExecutor(processes) as threads:
        running = [threads.submit(serve) for _ in range(processes)]
        try:
            wait(running)
        except KeyboardInterrupt:
            ended.set()
            stops.append("user")
            for helper in helpers:
                helper.send_signal(signal.SIGINT)
            wait(running)
    for thread in running:
        thread.result()
    return answers, "user" if "user" in stops else next(iter(stops), "")


def _listen(stream: IO[bytes], say: Callable[[str], None]) -> tuple[Any, str]:
    """Pass on what a helper says, until it answers."""
    while True:
        message = pickle.load(stream)
        if isinstance(message, str):
            say(message)
        else:
            answer, stopped_by = message
            return answer, stopped_by


def help_out() -> None:
    """What a helper process does: task after task from stdin, until there are no more."""
    out = sys.stdout.buffer
    sys.stdout = sys.stderr  # nothing that a library prints may come between the answers

    def put(message: Any) -> None:
        pickle.dump(message, out)
        out.flush()

    checks = 0.0
    for turn in _incoming(sys.stdin.buffer):
        clock = turn.clock(checks)
        try:
            put((turn.task.run(clock, put), clock.stopped_by))
        except KeyboardInterrupt:
            put((None, "user"))
        checks = clock.kept_back - turn.kept[0]


class _Turn(NamedTuple):
    """A task with how long it may take, how many more the helper is likely to be given, and what follows them. [s]"""

    task: Task[Any]
    seconds: float
    further: int
    kept: tuple[float, float]

    def clock(self, checks: float) -> Clock:
        """For a search that leaves time for what follows, and for ``checks`` of proofs that were made before. [s]"""
        whole = Clock.until(time.monotonic() + self.seconds, Parameters())
        kept_back, at_most = self.kept
        return replace(whole, waiting=self.further, kept_back=kept_back + checks, at_most=at_most)


def _incoming(stream: IO[bytes]) -> Iterator[_Turn]:
    while True:
        try:
            yield pickle.load(stream)
        except (EOFError, KeyboardInterrupt):
            return
