"""A scheduler of dask and workers for it, on this machine, for the time of one test."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest

from cutplan.planning import cluster

HERE = "127.0.0.1"


@dataclass
class Running:
    """A scheduler and its workers, each a process."""

    address: str
    scheduler: subprocess.Popen[bytes]
    workers: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def hire(self, **environment: str) -> subprocess.Popen[bytes]:
        """Start one more worker."""
        command = ["-m", "distributed.cli.dask_worker", self.address, "--nthreads", "1", "--no-nanny", "--no-dashboard"]
        self.workers.append(_start(command, environment))
        return self.workers[-1]


def _start(command: list[str], environment: dict[str, str]) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, *command],
        env=os.environ | environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


@pytest.fixture
def running(monkeypatch: pytest.MonkeyPatch) -> Iterator[Running]:
    with socket.socket() as free:
        free.bind((HERE, 0))
        port = free.getsockname()[1]
    # A machine under load takes longer to start a process than anybody would wait for one that runs.
    monkeypatch.setattr(cluster, "PATIENCE", 60)
    command = ["-m", "distributed.cli.dask_scheduler", "--host", HERE, "--port", str(port), "--no-dashboard"]
    all_of_it = Running(f"tcp://{HERE}:{port}", _start(command, {}))
    yield all_of_it
    for process in [all_of_it.scheduler, *all_of_it.workers]:
        process.kill()
        process.wait()
