"""Work given to the processes of a dask cluster, on other machines too; only user of ``distributed``.

Tasks and answers travel as plain values. What comes of a task does not depend on which worker did it: one that was lost
with its worker is done again by another, and workers of another release are refused, since their plans may differ.
"""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version
from math import inf
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from cutplan.planning.workers import Task
from cutplan.problems import Problem, ProblemsFound
from cutplan.solving import Clock, Parameters
from cutplan.units import counted

if TYPE_CHECKING:
    from distributed import Client, Future

DECIDE = ("cutplan", "ortools", "numpy")
"""Packages whose release may change a plan."""

PATIENCE = 10
"""Seconds after which a scheduler or a worker that does not answer is taken to be absent."""

GRACE = 5
"""Seconds after its deadline that a worker has to give back what it found; then it is not waited for."""

_Answer = TypeVar("_Answer")


class OtherRelease(Exception):
    """A worker that joined later has another release; the message says which."""


class Lost(Exception):
    """A task whose workers went away, one after another, or with their scheduler."""


def on_cluster(
    tasks: Sequence[Task[_Answer]],
    address: str,
    say: Callable[[str], None],
    answered: Callable[[int, _Answer | Exception], None],
    deadline: float = inf,
) -> str:
    """Do tasks on the workers of a cluster, the longest begun first.

    Parameters
    ----------
    address
        Of its scheduler, ``tcp://HOST:PORT`` or ``HOST:PORT``.
    say
        Is told when no worker is left.
    answered
        Called with the place of a task and its answer as it comes, one call at a time; in place of the answer the
        exception that ended it, :class:`Lost` where several workers were lost over it.
    deadline
        By ``time.monotonic`` of this process. What is not answered :data:`GRACE` after it is given up; a task is given
        out when a worker is free for it, has the time that is left when it begins, and its answer comes with what
        ended it.

    Returns
    -------
    str
        ``user`` where Ctrl-C ended it, else blank.

    Raises
    ------
    ProblemsFound
        When the cluster cannot be reached, has no worker, or one whose releases are others than those here.
    """
    with _joined(address) as client, client.as_current():
        from distributed import CancelledError, wait

        here = releases()
        _hold_to(here, client, address)
        waiting = sorted(range(len(tasks)), key=lambda place: (tasks[place].size, -place))
        places: dict[Future[Any], int] = {}
        timed = deadline < inf
        ends = client.run_on_scheduler(time.monotonic) + deadline - time.monotonic() if timed else inf
        try:
            while (waiting or places) and time.monotonic() < deadline + GRACE:
                patience = min(PATIENCE, max(0.0, deadline + GRACE - time.monotonic()))
                threads = 0
                try:
                    threads = sum(client.nthreads().values())
                    # Of work that must end at a time no more is given out than can be begun.
                    while waiting and (not timed or len(places) < max(1, threads)):
                        place = waiting.pop()
                        task = _Timed(task=tasks[place], ends=ends, further=-(-len(waiting) // max(1, threads)))
                        # What a task is called would otherwise come from its values, and two equal lists be one task.
                        places[client.submit(_done, task if timed else tasks[place], here, pure=False)] = place
                    done, _ = wait(list(places), timeout=patience, return_when="FIRST_COMPLETED")  # type: ignore[no-untyped-call]
                except TimeoutError:
                    if not threads:
                        say(f"{address}: no worker is left; waiting for one (Ctrl-C keeps what is done)")
                    continue
                except (CancelledError, OSError) as gone:
                    # The scheduler went away, and all that it had to give with it.
                    for place in (*places.values(), *waiting):
                        answered(place, Lost(str(gone)))
                    return ""
                for future in done:
                    answered(places.pop(future), _answer(future))
            client.cancel(list(places))
        except OtherRelease as other:
            raise _other_release(address, str(other)) from None
        except KeyboardInterrupt:
            client.cancel(list(places), force=True)
            return "user"
    return ""


def spread(
    tasks: Sequence[Task[_Answer]], address: str, deadline: float, say: Callable[[str], None]
) -> tuple[list[_Answer | None], str]:
    """Do tasks of one job on the workers of a cluster; what is given back is what ``side_by_side`` gives.

    Parameters
    ----------
    deadline
        By ``time.monotonic`` of this process, since clocks of other machines may be set otherwise.

    Raises
    ------
    ProblemsFound
        As :func:`on_cluster` does.
    """
    answers: list[_Answer | None] = [None] * len(tasks)
    stops: list[str] = []

    def answered(place: int, answer: Any) -> None:
        if isinstance(answer, Lost):
            return
        if isinstance(answer, Exception):
            raise answer
        answers[place], stopped_by = answer
        stops.append(stopped_by)

    stops.append(on_cluster(tasks, address, say, answered, deadline))
    return answers, "user" if "user" in stops else next(filter(None, stops), "")


@dataclass(frozen=True, kw_only=True)
class _Timed(Generic[_Answer]):
    """A task that ends at a time, and says what ended it.

    The time is by the clock of the scheduler, which every worker can ask: a task that was lost with its worker has what
    is left when another begins it. ``further`` is how many more its worker is likely to be given. [s]
    """

    task: Task[_Answer]
    ends: float
    further: int

    @property
    def size(self) -> int:
        """That of the task."""
        return self.task.size

    def run(self, clock: Clock, say: Callable[[str], None]) -> tuple[_Answer, str]:
        """In this process.

        Raises :class:`Lost` when the scheduler, to which the answer would go, does not say what time it is.
        """
        try:
            left = max(0.0, self.ends - _time_there())
        except (OSError, TimeoutError) as gone:
            raise Lost(str(gone)) from None
        own = replace(Clock.until(time.monotonic() + left, Parameters()), waiting=self.further)
        return self.task.run(own, say), own.stopped_by


def _time_there() -> float:
    """On a worker: what the scheduler's clock says, which nobody sets. [s]"""
    from distributed import get_client

    now: float = get_client().run_on_scheduler(time.monotonic)  # type: ignore[no-untyped-call]
    return now


def _answer(future: Future[_Answer]) -> _Answer | Exception:
    from distributed import CancelledError, KilledWorker

    try:
        return future.result()
    except (CancelledError, KilledWorker) as lost:
        return Lost(str(lost))
    except OtherRelease:
        raise
    except Exception as fault:
        return fault


def releases() -> dict[str, str]:
    """The releases of this process on which a plan may depend."""
    python = f"{sys.version_info.major}.{sys.version_info.minor}"
    return {"Python": python} | {name: version(name) for name in DECIDE}


def _done(task: Task[_Answer], wanted: Mapping[str, str]) -> _Answer:
    """On a worker: do one task, in that process alone."""
    if differing := difference(releases(), wanted):
        raise OtherRelease(f"a worker with {differing}")
    return task.run(Clock(deadline=inf), lambda text: None)


def difference(there: Mapping[str, str], here: Mapping[str, str]) -> str:
    """In words, how the releases of a worker differ from those here; blank where they do not."""
    return ", ".join(
        f"{name} {there.get(name)} (here {each})" for name, each in here.items() if there.get(name) != each
    )


def _joined(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError:
        found = "a cluster, and the library distributed is not installed"
        accepted = 'first: pip install "cutplan[cluster]"'
        raise ProblemsFound([Problem.statement(address, found, accepted, code="cluster.library")]) from None
    # What is lost comes back as an answer; its stacks are of no use to whoever reads the screen.
    logging.getLogger("distributed").setLevel(logging.CRITICAL + 1)
    try:
        client = Client(address, timeout=PATIENCE, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as error:
        found = "no scheduler that answers"
        accepted = "the address that the scheduler printed, such as tcp://192.0.2.7:8786"
        raise ProblemsFound([Problem.statement(address, found, accepted, code="cluster.address")]) from error
    return client


def _hold_to(here: Mapping[str, str], client: Client, address: str) -> None:
    """Refuse workers whose plans may differ, before any work is done."""
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
    except TimeoutError:
        accepted = "workers that were started with this address"
        raise ProblemsFound(
            [Problem.statement(address, "a scheduler with no worker", accepted, code="cluster.worker")]
        ) from None
    there = client.run(releases, on_error="return")
    wrong = []
    for worker, found in sorted(there.items()):
        if isinstance(found, BaseException):
            wrong.append(f"{worker}: no cutplan of this release ({found})")
        elif differing := difference(found, here):
            wrong.append(f"{worker}: {differing}")
    if wrong:
        raise _other_release(address, f"{counted(len(wrong), 'worker')} of another release: {'; '.join(wrong)}")


def _other_release(address: str, found: str) -> ProblemsFound:
    accepted = "the same releases everywhere, since plans may differ"
    return ProblemsFound([Problem.statement(address, found, accepted, code="cluster.releases")])
