"""Groups planned side by side, each in a process of its own, where that is faster than one after another.

A helper process is this Python with one line to run, fed through its stdin, so
that no program that calls cutplan is run a second time. What a group's plan is
does not depend on which process made it, nor on how many there are. What a lost
one wrote to stderr goes to the log ``cutplan``, which Python prints unless logging is set up.
"""

from __future__ import annotations

import logging
import os
import pickle
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from dataclasses import dataclass, field
from typing import IO, Any

from cutplan.isolated import last_words, python
from cutplan.model import Group, StockLength, Workshop
from cutplan.problems import shown
from cutplan.solving import Clock, Multipliers, Parameters, Solved, solve_group

MANY_PARTS = 20
"""Different parts from which on planning a group takes longer than starting a process does, half a second."""

MOST_PROCESSES = 8

_LOG = logging.getLogger("cutplan")


@dataclass(frozen=True, kw_only=True)
class Task:
    """One group to be planned with some offers open; the rest as in :func:`~cutplan.solving.solve_group`."""

    group: Group
    workshop: Workshop
    offers: tuple[StockLength, ...]
    parameters: Parameters
    cutoff: int | None = None
    multipliers: Multipliers = field(default_factory=dict)

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


def processes_for(tasks: Sequence[Task]) -> int:
    """How many processes are worth starting; 1 is to plan one group after another in this one."""
    large = sum(len(task.group.parts) >= MANY_PARTS for task in tasks)
    # Elsewhere a process cannot be asked to stop with what it has.
    if os.name != "posix" or large < 2:
        return 1
    return min(_processors(), large, MOST_PROCESSES)


def _processors() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def solve_side_by_side(
    tasks: Sequence[Task], processes: int, deadline: float, say: Callable[[str], None]
) -> tuple[list[Solved | None], str]:
    """Plan groups in helper processes.

    Parameters
    ----------
    deadline
        By ``time.monotonic``; each group ends then with the best plan it has.

    Returns
    -------
    tuple
        In the order of the tasks what was found, None where a helper was lost or stopped before it had a plan;
        and what stopped them: ``user``, ``time limit`` or blank.
    """
    answers: list[Solved | None] = [None] * len(tasks)
    stops: list[str] = []
    helpers: list[subprocess.Popen[bytes]] = []
    # The longest first, so that none is left to run by itself at the end.
    order = sorted(range(len(tasks)), key=lambda n: (-len(tasks[n].group.parts), n))
    waiting, lock, ended = iter(order), threading.Lock(), threading.Event()

    def serve() -> None:
        with tempfile.TemporaryFile() as errors:
            helper = subprocess.Popen(
                python("from cutplan.planning.workers import help_out; help_out()"),
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
                    number = next(waiting, None)
                if number is None:
                    break
                try:
                    pickle.dump((tasks[number], deadline - time.monotonic()), helper.stdin)
                    helper.stdin.flush()
                    answers[number], stopped_by = _listen(helper.stdout, say)
                except (OSError, EOFError, pickle.UnpicklingError):
                    return  # lost: what it did not answer is planned in this process
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


def _listen(stream: IO[bytes], say: Callable[[str], None]) -> tuple[Solved | None, str]:
    """Pass on what a helper says, until it answers."""
    while True:
        message = pickle.load(stream)
        if isinstance(message, str):
            say(message)
        else:
            return message  # type: ignore[no-any-return]


def help_out() -> None:
    """What a helper process does: plan group after group from stdin, until there are no more."""
    out = sys.stdout.buffer
    sys.stdout = sys.stderr  # nothing that a library prints may come between the answers

    def put(message: Any) -> None:
        pickle.dump(message, out)
        out.flush()

    for task, seconds in _incoming(sys.stdin.buffer):
        clock = Clock(deadline=time.monotonic() + seconds)
        try:
            put((task.run(clock, put), clock.stopped_by))
        except KeyboardInterrupt:
            put((None, "user"))


def _incoming(stream: IO[bytes]) -> Iterator[tuple[Task, float]]:
    while True:
        try:
            yield pickle.load(stream)
        except (EOFError, KeyboardInterrupt):
            return
