"""Plans that are being made: each in a process of its own, told of line by line, and stopped with the best it has."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import threading
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from cutplan.isolated import last_words, python
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.stop_words import NOTHING_WRITTEN

MOST_AT_ONCE = 2
"""Searches that run side by side; each takes a processor and more."""

MOST_SECONDS = 600.0
"""For which a search goes on, all plans of a comparison together; it is then stopped as by its button."""

_CODE = "from cutplan.web.plan_worker import work; work()"
_PATIENCE = 20.0
"""Seconds in which a search that is told to stop writes its best plan."""


@dataclass(slots=True)
class PlanRun:
    """A search: its ``order``, ``doing``, the last that it said, and ``done``, what came of it, None before.

    ``out_of_time`` says that it was stopped because it went on for so long.
    """

    key: str
    process: subprocess.Popen[bytes]
    doing: str = "reading"
    order: Mapping[str, Any] = field(default_factory=dict)
    done: Mapping[str, Any] | None = None
    out_of_time: bool = False
    changed: threading.Condition = field(default_factory=threading.Condition)

    def follow(self) -> None:
        """Take down what the process says until it ends, which is seen to once the time is up."""
        time_up = threading.Timer(MOST_SECONDS, self.time_is_up)
        time_up.daemon = True
        time_up.start()
        assert self.process.stdout is not None
        done: Mapping[str, Any] | None = None
        for line in self.process.stdout:
            with suppress(ValueError):
                said = json.loads(line)
                if "doing" in said:
                    self._now(said["doing"])
                else:
                    done = said
        self.process.wait()
        time_up.cancel()
        if done is None:
            assert self.process.stderr is not None
            told = last_words(self.process.stderr.read()) or "the search ended without a plan"
            if self.process.returncode == -signal.SIGINT:  # before it saw to being stopped
                told = NOTHING_WRITTEN
            done = {"problems": [{"where": "plan", "found": told, "accepted": "", "hint": "", "code": "bench.stopped"}]}
        with self.changed:
            self.done = done
            self.changed.notify_all()

    def _now(self, doing: str) -> None:
        with self.changed:
            self.doing = doing
            self.changed.notify_all()

    @property
    def minutes(self) -> int:
        """After how many it was stopped because they were up; 0 where it was not."""
        return round(MOST_SECONDS / 60) if self.out_of_time else 0

    def stop(self) -> None:
        """Ask for the best plan there is by now; nothing where there is none."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)

    def end(self) -> None:
        """End it: what does not end with its best plan in time is killed, and its folder stays as it was."""
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(_PATIENCE)
        if self.process.poll() is None:
            self.process.kill()

    def time_is_up(self) -> None:
        """Stop it, since it went on for as long as it may."""
        if self.process.poll() is None:
            self.out_of_time = True
            self.stop()
            self.end()


class PlanRuns:
    """The searches of a server, one for each job at a time."""

    def __init__(self) -> None:
        self._runs: dict[str, PlanRun] = {}
        self._lock = threading.Lock()

    def begin(self, key: str, order: Mapping[str, Any]) -> PlanRun:
        """Start a search for a job, unless one is under way.

        Raises
        ------
        ProblemsFound
            When as many as may run side by side are running.
        """
        with self._lock:
            there = self._runs.get(key)
            if there is not None and there.done is None:
                return there
            running = sum(run.done is None for run in self._runs.values())
            if running >= MOST_AT_ONCE:
                raise ProblemsFound(
                    [
                        Problem.statement(
                            key,
                            f"{running} plans being made at this time",
                            "one more as soon as one of them is done",
                            code="bench.busy",
                        )
                    ]
                )
            process = subprocess.Popen(
                python(_CODE, json.dumps(dict(order))),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                start_new_session=True,
                env={**os.environ, "PYTHONUNBUFFERED": "1"},
            )
            run = self._runs[key] = PlanRun(key=key, process=process, order=order)
        threading.Thread(target=run.follow, daemon=True).start()
        return run

    def of(self, key: str) -> PlanRun | None:
        """The last search for a job."""
        return self._runs.get(key)

    def running(self) -> Iterator[PlanRun]:
        """Those under way."""
        return (run for run in list(self._runs.values()) if run.done is None)

    def end(self) -> None:
        """Let every search keep what it has and end; who does not in time is ended. Their folders stay whole."""
        left = list(self.running())
        for run in left:
            run.stop()
        for run in left:
            run.end()
